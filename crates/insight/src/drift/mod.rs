//! How each setting and the charging rate move over months, and when they leave their tolerance.
//!
//! Start at [`trend`]: readings in, level, slope and the day of crossing out. [`tolerance_of`]
//! takes the band from the station file, [`gauge_uncertainty`] a reading's uncertainty from the
//! gauge. [`measured_rate`] turns a run's minutes into a rate that does not depend on what was
//! filled or on the weather. Not here: how a setting is read off a run, and moving one: valves
//! are set only as the maker's manual says.
//! Invariant: readings from before a valve was set or a part replaced never count.

mod answer;
mod cross;
mod limits;
mod line;
mod outlier;
mod rate;
mod trend;
mod words;

#[cfg(test)]
mod tests;

pub use answer::{Apart, Crossing, Interval, Standing, TrendAnswer};
pub use limits::{Tolerance, gauge_uncertainty, tolerance_of};
pub use rate::{RatePoint, measured_rate};
pub use trend::trend;
pub use words::sentence;

use serde::Serialize;

/// What is followed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Setting {
    /// Where the pressure maintaining valve opens.
    PmvOpens,
    /// Where it closes.
    PmvCloses,
    /// Where the final relief valve lifts.
    ReliefLifts,
    /// Where it reseats.
    ReliefReseats,
    /// How fast the machine fills, as a share of its figure ([`RatePoint::rate_ratio`]).
    ChargingRate,
}

impl Setting {
    /// What people call it.
    pub fn called(self) -> &'static str {
        match self {
            Setting::PmvOpens => "the PMV's opening pressure",
            Setting::PmvCloses => "the PMV's closing pressure",
            Setting::ReliefLifts => "the relief valve's lifting pressure",
            Setting::ReliefReseats => "the relief valve's reseating pressure",
            Setting::ChargingRate => "the charging rate",
        }
    }

    /// Unit of every value in its answer.
    pub fn unit(self) -> &'static str {
        match self {
            Setting::ChargingRate => "share of the station's figure",
            _ => "bar",
        }
    }

    /// SI to that unit.
    fn shown(self, si: f64) -> f64 {
        match self {
            Setting::ChargingRate => si,
            _ => si / 1e5,
        }
    }
}

/// One reading of a setting.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// Days from any fixed day, the same for all.
    pub day: f64,
    /// The hour meter then, h.
    pub running_h: Option<f64>,
    /// What was read: Pa gauge, or 1 for the charging rate.
    pub value: f64,
    /// Its standard uncertainty, in the same unit.
    pub standard_uncertainty: f64,
}

/// The valve was set, or the part replaced: the trend begins anew.
#[derive(Debug, Clone, PartialEq)]
pub struct Reset {
    /// When, in the days of the points.
    pub day: f64,
    /// What was done.
    pub what: String,
}
