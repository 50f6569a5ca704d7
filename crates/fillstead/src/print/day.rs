//! The day sheet: everything entered about one day, with its totals and its seal.
//!
//! Not here: which entries those are ([`crate::usecase::book::sheet::day`]).

use askama::Template;
use serde::Serialize;

use super::{Head, Seal, Shown};

/// The day sheet.
#[derive(Clone, Debug, PartialEq, Serialize, Template)]
#[template(path = "print/day.html")]
pub struct DaySheet {
    /// Whose, when; the seal holds everything on the sheet.
    pub head: Head,
    /// The day.
    pub day: String,
    /// Who made entries about it.
    pub operators: Vec<String>,
    /// The first reading of the hour meter.
    pub meter_start: Option<MeterAt>,
    /// The last.
    pub meter_end: Option<MeterAt>,
    /// Runs that touch the day.
    pub runs: Vec<RunRow>,
    /// Fills.
    pub fills: Vec<FillRow>,
    /// Refusals.
    pub refusals: Vec<RefusalRow>,
    /// Drains.
    pub drains: Vec<DrainRow>,
    /// Readings.
    pub readings: Vec<ReadingRow>,
    /// Air tests, symptoms, causes, releases.
    pub air: Vec<Line>,
    /// Parts and valves, cylinders, notes, the book itself, what cannot be read.
    pub others: Vec<Line>,
    /// Corrections written this day.
    pub corrections: Vec<CorrectionRow>,
    /// What cannot be so, was written late, or could not be read.
    pub doubts: Vec<String>,
    /// What nothing was entered of.
    pub absent: Vec<&'static str>,
    /// Sums.
    pub totals: Totals,
    /// Which entries were written this day; none where none was.
    pub written: Option<String>,
    /// The seal of the book at the end of the day; none where it began later.
    pub day_seal: Option<Seal>,
    /// Entries on the sheet that were written or corrected after the day.
    pub later: Option<String>,
}

impl DaySheet {
    /// Whether drains and readings are short enough to stand beside each other.
    pub fn side_by_side(&self) -> bool {
        let short = 1..=8;
        short.contains(&self.drains.len()) && short.contains(&self.readings.len())
    }
}

/// A reading of the hour meter.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct MeterAt {
    /// What it showed, as typed.
    pub hours: String,
    /// When.
    pub time: String,
    /// Entry number.
    pub no: u64,
}

/// Sums of the day.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Totals {
    /// How long the machine ran in the day.
    pub ran: String,
    /// What came out of the drains.
    pub drained: String,
    /// Free air filled, where it can be told.
    pub free_air: Option<FreeAir>,
}

/// Free air filled.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct FreeAir {
    /// How much.
    pub amount: String,
    /// Of how many fills.
    pub from: String,
    /// How it was computed.
    pub how: &'static str,
}

/// A run.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct RunRow {
    /// Numbers of its entries, for people.
    pub no: String,
    /// Those of them that happened this day, with spaces.
    pub entries: String,
    /// When it began.
    pub start: String,
    /// When it ended.
    pub stop: String,
    /// How long by the clock.
    pub lasted: String,
    /// Hour meter at both ends, and how long by it.
    pub meter: String,
    /// The tower at the end.
    pub tower: Option<Shown>,
    /// The air at the intake.
    pub intake: String,
    /// What was looked at, and why it was stopped.
    pub remark: String,
    /// Who started it.
    pub by: String,
}

/// A fill.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FillRow {
    /// Entry number.
    pub no: u64,
    /// When.
    pub time: String,
    /// Cylinder.
    pub cylinder: String,
    /// Gauge before.
    pub from: Option<Shown>,
    /// Gauge at the stop.
    pub to: Option<Shown>,
    /// Gauge once cold.
    pub settled: Option<Shown>,
    /// For whom.
    pub person: String,
    /// Who filled.
    pub by: String,
    /// All else.
    pub remark: String,
    /// Something stood against it.
    pub against: bool,
}

/// A refusal.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RefusalRow {
    /// Entry number.
    pub no: u64,
    /// When.
    pub time: String,
    /// Cylinder.
    pub cylinder: String,
    /// What it was to be filled to.
    pub asked: Option<Shown>,
    /// Who brought it.
    pub person: String,
    /// Every reason.
    pub reason: String,
    /// Who refused.
    pub by: String,
}

/// A drain.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct DrainRow {
    /// Entry number.
    pub no: u64,
    /// When.
    pub time: String,
    /// Which drain.
    pub drain: String,
    /// How much, as typed.
    pub volume: String,
    /// What it looked like.
    pub looks: String,
    /// Who.
    pub by: String,
}

/// A reading.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ReadingRow {
    /// Entry number.
    pub no: u64,
    /// When.
    pub time: String,
    /// Of what.
    pub of: String,
    /// What was shown.
    pub value: Option<Shown>,
    /// What was seen or heard.
    pub observed: String,
    /// Who.
    pub by: String,
}

/// Any other entry, in a line.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Line {
    /// Entry number.
    pub no: u64,
    /// When.
    pub time: String,
    /// What people call it.
    pub kind: String,
    /// What it says.
    pub text: String,
    /// The correction that counts, where there is one.
    pub corrected: Option<u64>,
    /// Who.
    pub by: String,
}

/// A correction.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct CorrectionRow {
    /// Entry number.
    pub no: u64,
    /// When it was written.
    pub time: String,
    /// The entry it is about.
    pub of: u64,
    /// Why.
    pub why: String,
    /// Takes that entry back.
    pub withdraws: bool,
    /// Who.
    pub by: String,
}
