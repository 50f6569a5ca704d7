//! Quantities with their units: what a pressure, a volume or a time is, how
//! one is read from text and how it is printed.
//!
//! Start at [`parse`], which reads `"232 bar"` as a [`GaugePressure`] and
//! keeps the unit as typed in [`Typed`]. [`show`] and [`display_as`] print;
//! [`UnitSystem`] chooses a unit for showing.
//!
//! Every quantity is a newtype over an `f64` in SI, with a constructor and a
//! reader for each unit ([`GaugePressure::bar`], [`GaugePressure::as_bar`]).
//! Constructors take any number; only [`parse`] refuses what cannot exist.
//!
//! Not here: any physics, any file format, any locale. Numbers use a decimal
//! point everywhere.
//!
//! Invariant: gauge and absolute pressure never mix. The only way from one to
//! the other names the surrounding atmosphere: [`GaugePressure::above`] and
//! [`AbsolutePressure::gauge`].
//!
//! ```
//! use quantity::{AbsolutePressure, GaugePressure, parse};
//!
//! let dial = parse::<GaugePressure>("3,300 psi")?;
//! assert_eq!(dial.to_string(), "3300 psi");
//! let inside = dial.value.above(AbsolutePressure::mbar(1013.25));
//! assert!((inside.as_bar() - 228.54).abs() < 0.01);
//! # Ok::<(), quantity::ParseError>(())
//! ```

mod amounts;
mod error;
mod kinds;
mod number;
mod ops;
mod parse;
mod pressure;
mod print;
mod rates;
mod system;
mod temperature;
mod unit;

pub use amounts::{FreeVolume, Length, Mass, TimeSpan, Volume};
pub use error::{ParseError, Reason};
pub use parse::parse;
pub use pressure::{AbsolutePressure, GaugePressure, PressureDifference};
pub use print::{Typed, clock, display_as, show};
pub use rates::{Concentration, FlowRate, Fraction, Power, Speed};
pub use system::UnitSystem;
pub use temperature::{Temperature, TemperatureDifference};
pub use unit::{Quantity, Unit};
