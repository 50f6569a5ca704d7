//! What the program does for a person: plain answers from plain inputs.
//!
//! Not here: arguments, forms, printing. The command line and the pages both call these.

mod adsorbent;
pub mod air;
pub mod air_file;
pub mod as_json;
pub mod audit;
pub mod bench;
pub mod book;
pub mod clock;
pub mod convert;
pub mod cylinder;
pub mod demonstration;
pub mod diagnose;
pub mod draft;
pub mod drawing;
pub mod file;
pub mod first;
pub mod forecast;
pub mod memo;
mod near;
pub mod people;
pub mod plan;
pub mod questions;
pub mod run;
pub mod serving;
pub mod station;
pub mod station_edit;
pub mod station_front;

mod trouble;
pub mod units;
pub mod vent;
mod wishes;

pub use trouble::Trouble;
