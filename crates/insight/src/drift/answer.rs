//! What a trend says: plain data, ready for a screen, a page or JSON.
//!
//! Names are a contract with programs. Values are in [`TrendAnswer::unit`]; days count from the
//! day the caller counts from.

use super::Setting;
use serde::Serialize;

/// A value and the range that holds it nine times in ten.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Interval {
    /// Low end.
    pub low: f64,
    /// Most likely.
    pub mid: f64,
    /// High end.
    pub high: f64,
}

/// Where a setting stands and where it goes.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TrendAnswer {
    /// Which.
    pub setting: Setting,
    /// Unit of every value here: `bar` (gauge), or a share of the station's figure.
    pub unit: &'static str,
    /// Readings that count.
    pub readings: usize,
    /// The day the trend begins anew; none where all readings count.
    pub since_day: Option<f64>,
    /// What was done then.
    pub since_what: Option<String>,
    /// What the station file specifies.
    pub specified: Option<f64>,
    /// Lowest that is still within its tolerance; none where lower does not matter.
    pub tolerance_low: Option<f64>,
    /// Highest; none where higher does not matter.
    pub tolerance_high: Option<f64>,
    /// Where it stands today.
    pub level: Option<Interval>,
    /// Where today's value stands.
    pub standing: Standing,
    /// How it moves, per year.
    pub per_year: Option<Interval>,
    /// How it moves, per 100 running hours; none where a reading lacks its hours.
    pub per_100_running_h: Option<Interval>,
    /// Whether the movement can be told from none.
    pub significant: bool,
    /// Scatter of the readings over what their stated uncertainty explains.
    pub scatter_ratio: Option<f64>,
    /// A reading that was left out, and why.
    pub apart: Option<Apart>,
    /// When it leaves its tolerance.
    pub crossing: Crossing,
    /// All of it in one sentence.
    pub sentence: String,
    /// How the figures come about.
    pub method: &'static str,
}

/// A reading that stands apart from the others.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Apart {
    /// When.
    pub day: f64,
    /// What was read.
    pub value: f64,
    /// How far it stands from the others, in ordinary scatters.
    pub scatters: f64,
    /// Whether it is the latest: it may be a slip of the eye or the first sign of a change.
    pub latest: bool,
}

/// Where a value stands against its tolerance.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Standing {
    /// The whole range is within.
    Within,
    /// The likely value is within, the range is not.
    LikelyWithin,
    /// The likely value is outside, the range is not all so.
    LikelyOutside,
    /// The whole range is outside.
    Outside,
    /// No reading, or no tolerance.
    Unknown,
}

/// When a setting leaves its tolerance.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(tag = "state", rename_all = "snake_case")]
pub enum Crossing {
    /// It is outside already.
    Outside,
    /// It is on its way out.
    Crosses {
        /// Which end of the band: `low` or `high`.
        edge: &'static str,
        /// May be there from this day on.
        earliest_day: f64,
        /// Most likely there.
        median_day: f64,
        /// There by this day at the latest; none: no later than the horizon cannot be said.
        latest_day: Option<f64>,
    },
    /// Not within so many years.
    NotWithin {
        /// The horizon, or less where the range reaches the limit earlier than the likely value.
        years: f64,
    },
    /// Cannot be told.
    CannotTell {
        /// Why.
        why: String,
        /// It may be outside from this day on; none where not even that is known.
        earliest_day: Option<f64>,
    },
}
