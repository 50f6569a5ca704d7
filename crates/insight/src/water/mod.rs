//! The water of a forecast: condensate, drains, purifier.
//!
//! Start at `follow`: it reads a finished run and tells where the water went; `walk` does the
//! same for a run known piece by piece.
//! Water hardly moves pressures and times, so the run is made first and the
//! ledger after it. Not here: the physics ([`physics::water`],
//! [`physics::moist`], [`physics::purifier`]).

pub mod answer;
mod cartridge;
mod climate;
mod follow;
mod samples;
mod storage;

pub(crate) use cartridge::{Cartridge, fresh_held_g};
pub(crate) use follow::{Plan, Step, Walked, Wet, condensate_ml, open_ledger, walk};
pub(crate) use samples::{Followed, follow};
pub(crate) use storage::stand;
