//! The compressor: stages, how they share the work, what they deliver.
//!
//! Start at [`Train::operating_point`] for one discharge pressure, at
//! [`Delivery`] for what a run needs: flow, enthalpy and power over tower
//! pressure, prepared once. Single formulas are in [`stage`].
//! Not here: coolers' condensate (see the water ledger), oil, bearings.

mod delivery;
pub mod stage;
mod train;

pub use delivery::{Arriving, Delivered, Delivery};
pub use train::{MachineError, OperatingPoint, Sizing, Stage, Train, sized_for};
