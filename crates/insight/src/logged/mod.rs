//! The cartridge as the runs on record left it: what it holds, what it has left.
//!
//! Start at [`cartridge`]. Each run is rebuilt from what somebody wrote down (pressures at both
//! ends, minutes, the air of the day), its water followed by the same ledger as a forecast's, and
//! what reaches the drying bed carried from run to run. Not here: reading records, the forecast
//! of a run to come, and any word on the air itself: only a measurement speaks of that.
//! Invariant: what had to be assumed is said beside the run.

mod answer;
mod carry;
mod one;
mod path;
mod today;

pub use answer::{CartridgeAnswer, LedgerBalance, RunWater};
pub use carry::{Today, cartridge};

use quantity::{Fraction, GaugePressure, Temperature, TimeSpan, Volume};

/// One run as it was written down.
#[derive(Debug, Clone, PartialEq)]
pub struct LoggedRun {
    /// What it is called: a date, or the number of its entry.
    pub name: String,
    /// When it began, days from any fixed day, the same for all.
    pub start_day: f64,
    /// How long the machine ran; else the station's rate tells.
    pub ran: Option<TimeSpan>,
    /// Air at the intake; else the station file's.
    pub intake_temperature: Option<Temperature>,
    /// Its relative humidity; else the station file's.
    pub humidity: Option<Fraction>,
    /// Tower gauge before the start; else what the PMV keeps.
    pub tower_start: Option<GaugePressure>,
    /// Cylinders in the order they were filled.
    pub fills: Vec<LoggedFill>,
    /// Drains opened; none: not written down, taken as drained when due. An empty list: never.
    pub drains: Option<Vec<LoggedDrain>>,
    /// How long the machine stood before this run, days; none: from the run before.
    pub stood_days: Option<f64>,
    /// Tower gauge while it stood, where that is known.
    pub stood_tower: Option<GaugePressure>,
    /// Whether a new cartridge went in before this run.
    pub fresh_cartridge: bool,
}

/// One cylinder of a run.
#[derive(Debug, Clone, PartialEq)]
pub struct LoggedFill {
    /// What it is called.
    pub id: String,
    /// Its water volume.
    pub water_volume: Volume,
    /// Gauge before.
    pub from: GaugePressure,
    /// Gauge at the stop.
    pub to: GaugePressure,
    /// Gauge once cold, and how warm it was then.
    pub settled: Option<(GaugePressure, Temperature)>,
}

/// One drain of a run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LoggedDrain {
    /// When, from the start of the run; none: spread evenly over it.
    pub after: Option<TimeSpan>,
    /// How much came out.
    pub volume: Option<Volume>,
}
