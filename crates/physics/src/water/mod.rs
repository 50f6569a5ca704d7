//! The water ledger: where each gram of water drawn in goes.
//!
//! Start at [`Ledger`]: told piece by piece what the machine did, it follows
//! the water from the intake through every cooler to the sump, and what passes
//! on to the purifier. [`drain_interval`] turns the liquid into minutes.
//!
//! Not here: how much air holds ([`crate::moist`]), what the beds do with it
//! ([`crate::purifier`]), where the pressures come from ([`crate::sim`]).
//!
//! Invariant: what came in is in exactly one place; [`Ledger::residual`] is
//! rounding.

mod drain;
mod ledger;

pub use drain::{DrainInterval, DrainRule, drain_interval};
pub use ledger::{Ledger, Piece, Sump, Train, WaterError, weather_phase};
