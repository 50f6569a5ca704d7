//! From a station to answers.
//!
//! Start at [`forecast::forecast`]. [`assemble`] turns a station file's model
//! into a plant that the simulation can run; [`fault`] lists what can be wrong
//! with it. [`mod@bench`] runs it by hand. Not here: files, screens, the book.
//! Invariant: rules and forecasts see data, not files; the same station,
//! request and seed give the same answer.

pub mod air;
pub mod assemble;
pub mod audit;
pub mod bench;
pub mod convert;
pub mod cost;
pub mod cylinder;
pub mod diagnose;
pub mod drift;
pub mod fault;
pub mod forecast;
pub mod ladder;
pub mod logged;
pub mod upkeep;
pub mod vent;
pub mod water;
