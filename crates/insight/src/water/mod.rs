//! The water of a forecast: condensate, drains, purifier.
//!
//! Start at `follow`: it reads a finished run and tells where the water went.
//! Water hardly moves pressures and times, so the run is made first and the
//! ledger after it. Not here: the physics ([`physics::water`],
//! [`physics::moist`], [`physics::purifier`]).

pub mod answer;
mod cartridge;
mod climate;
mod follow;
mod storage;

pub(crate) use cartridge::Cartridge;
pub(crate) use follow::{Followed, Wet, follow};
pub(crate) use storage::stand;
