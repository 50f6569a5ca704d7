//! A row of what is due: plain data.
//!
//! Names are a contract with programs that read the JSON. Hours, litres of free air, ISO dates.

use super::hints::Hint;
use serde::Serialize;

/// What is looked after.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Item {
    /// The purifier's cartridge.
    Cartridge,
    /// Oil.
    Oil,
    /// Intake filter.
    IntakeFilter,
    /// Suction and discharge valves of the stages.
    StageValves,
    /// Drive belt.
    Belt,
    /// Pressure maintaining valve.
    Pmv,
    /// Final relief valve.
    Relief,
    /// Burst disc.
    BurstDisc,
    /// Fill hose.
    Hose,
    /// Gauges.
    Gauge,
    /// The tower's vessel.
    Tower,
    /// The air itself: a sample and its test.
    AirSample,
    /// An examination of a cylinder.
    Cylinder,
}

impl Item {
    /// Those of the station: all but cylinders.
    pub const OF_STATION: [Item; 12] = [
        Item::Cartridge,
        Item::Oil,
        Item::IntakeFilter,
        Item::StageValves,
        Item::Belt,
        Item::Pmv,
        Item::Relief,
        Item::BurstDisc,
        Item::Hose,
        Item::Gauge,
        Item::Tower,
        Item::AirSample,
    ];

    /// What people call it.
    pub fn called(self) -> &'static str {
        match self {
            Item::Cartridge => "cartridge",
            Item::Oil => "oil",
            Item::IntakeFilter => "intake filter",
            Item::StageValves => "stage valves",
            Item::Belt => "belt",
            Item::Pmv => "pressure maintaining valve",
            Item::Relief => "relief valve",
            Item::BurstDisc => "burst disc",
            Item::Hose => "fill hose",
            Item::Gauge => "gauges",
            Item::Tower => "tower",
            Item::AirSample => "air sample",
            Item::Cylinder => "cylinder",
        }
    }
}

/// Where something stands, most urgent first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum State {
    /// Past its limit.
    Over,
    /// To be done now.
    Due,
    /// Never recorded, so nobody knows.
    NeverRecorded,
    /// Soon to be done.
    Soon,
    /// In time.
    InTime,
    /// No interval is known.
    NoInterval,
}

/// One limit of an interval.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum LimitKind {
    /// Running hours.
    RunningH,
    /// Calendar months.
    Months,
    /// Free air, litres.
    FreeAirLitres,
}

/// How far one limit is used.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LimitUse {
    /// Which limit.
    pub kind: LimitKind,
    /// The limit.
    pub limit: f64,
    /// Used of it, in the same unit; none where it is not known.
    pub used: Option<f64>,
    /// The same as a share: 1 is due.
    pub fraction: Option<f64>,
    /// When it is reached; none where the recent use does not tell.
    pub due: Option<DueDates>,
}

/// When something falls due.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DueDates {
    /// As early as this.
    pub earliest: String,
    /// Most likely.
    pub likely: String,
    /// As late as this; none where the use may well stop altogether.
    pub latest: Option<String>,
    /// Days from 1970-01-01 to the likely date: for sorting.
    pub likely_day_number: i64,
}

/// One row.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DueItem {
    /// What it is.
    pub item: Item,
    /// What people call it, with which one and what is to be done.
    pub name: String,
    /// Which, where there are several; a cylinder's name.
    pub which: Option<String>,
    /// Where it stands.
    pub state: State,
    /// When it was last done.
    pub last: Option<String>,
    /// What was done then.
    pub last_what: Option<String>,
    /// The hour meter then.
    pub last_running_h: Option<f64>,
    /// Running hours since.
    pub since_running_h: Option<f64>,
    /// Free air since, litres.
    pub since_free_air_litres: Option<f64>,
    /// Each limit.
    pub limits: Vec<LimitUse>,
    /// The limit that comes first.
    pub first: Option<LimitKind>,
    /// Share of that limit used.
    pub fraction: Option<f64>,
    /// When it is due.
    pub due: Option<DueDates>,
    /// Where the interval is written.
    pub source: Option<String>,
    /// How surely that was seen; none for the owner's own.
    pub certainty: Option<String>,
    /// What others do, where no interval is known. The maker's manual decides.
    pub hints: Vec<Hint>,
    /// In one sentence.
    pub sentence: String,
}
