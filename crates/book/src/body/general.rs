//! Entries about the book itself: begun, station and rules, intervals, prices, notes, corrections.

use quantity::{FreeVolume, TimeSpan};
use serde::{Deserialize, Serialize};

use super::{Packed, Part};
use crate::measure::Measure;

/// The first entry of every book.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BookBegun {
    /// What people call the station.
    pub station: String,
    /// Demonstration data: no such station exists.
    pub invented: bool,
    /// What the book says on its first page.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub remark: Option<String>,
}

/// The station file from here on, whole.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StationRevised {
    /// What people call the station.
    pub name: String,
    /// The text of the station file.
    pub file: String,
    /// What was changed, and why.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub why: Option<String>,
}

/// The rules by which cylinders and air are judged from here on. What is not given stays.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RulesChosen {
    /// Short name of the requalification rule.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cylinder_rule: Option<String>,
    /// Name of the air standard.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub air_standard: Option<String>,
}

/// How often something is due: whichever comes first. What is not given is not counted; an
/// interval with nothing given is taken away.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct IntervalSet {
    /// Of what.
    pub part: Part,
    /// After so many running hours.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hours: Option<Measure<TimeSpan>>,
    /// After so many months.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub months: Option<u32>,
    /// After so much free air.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub free_air: Option<Measure<FreeVolume>>,
    /// Where that is written.
    pub source: String,
}

/// What is paid for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Priced {
    /// A kilowatt hour at the motor, or its worth in fuel.
    KilowattHour,
    /// A cartridge or its filling.
    Cartridge,
    /// An hour of the machine: oil, valves, overhaul.
    RunningHour,
}

impl Priced {
    /// Everything that has a price.
    pub const ALL: [Priced; 3] = [Priced::KilowattHour, Priced::Cartridge, Priced::RunningHour];

    /// What people call it.
    pub fn called(self) -> &'static str {
        match self {
            Priced::KilowattHour => "kWh",
            Priced::Cartridge => "cartridge",
            Priced::RunningHour => "running hour",
        }
    }
}

/// What something costs from here on.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PriceSet {
    /// Of what.
    pub of: Priced,
    /// How much.
    pub amount: f64,
    /// The currency as people write it.
    pub currency: String,
}

/// Anything worth keeping.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Note {
    /// What.
    pub text: String,
    /// The cylinder it is about.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cylinder: Option<String>,
}

/// An earlier entry put right or withdrawn. The earlier one stays in the ledger as it was.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Correction {
    /// Number of the entry it is about: never itself a correction.
    pub of: u64,
    /// Why.
    pub why: String,
    /// What it should have said; none withdraws it.
    pub becomes: Option<Becomes>,
}

/// What a corrected entry should have said.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Becomes {
    /// When it really happened, where that changes: microseconds since 1970-01-01 UTC.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub happened: Option<i64>,
    /// The whole body as it should have been, of the same kind.
    pub entry: Packed,
}
