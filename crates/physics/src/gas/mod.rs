//! Breathing gas as a real gas.
//!
//! Start at [`Composition`], make a [`Gas`], ask it for a [`State`]. Where
//! speed counts, build a [`GasTable`] (any state from density and energy) or an
//! [`Isotherm`] (density and enthalpy against pressure).
//!
//! Two equations of state, one code: dry air has its own reference equation
//! (Lemmon et al. 2000), because air is what is compressed here and a mixture
//! equation misses it by 0.1 % in density; every other gas is a mixture after
//! GERG-2008, because a blend has no equation of its own.
//!
//! Not here: moisture, and anything that flows.
//! Invariant: per kg and in SI units throughout; pressures are absolute; a
//! liquid or two-phase state is an error, never a number.

mod air;
mod coefficients;
mod composition;
mod equation;
mod error;
mod helmholtz;
mod hermite;
mod ideal;
mod isotherm;
mod mixture;
mod phase;
mod state;
mod table;
mod table_build;

pub use composition::{COMPONENTS, Composition};
pub use equation::{Gas, P_RANGE_PA, T_RANGE_K};
pub use error::GasError;
pub use ideal::{ZERO_P_PA, ZERO_T_K};
pub use isotherm::{Isotherm, IsothermPoint};
pub use state::State;
pub use table::{Fast, GasTable};
