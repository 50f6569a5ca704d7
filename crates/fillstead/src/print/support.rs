//! The support-call sheet: what a technician on the telephone asks, on one page.
//!
//! Not here: where it comes from ([`crate::usecase::book::sheet::support`]).

use askama::Template;
use serde::Serialize;

use super::{Head, Shown};

/// The sheet.
#[derive(Clone, Debug, PartialEq, Serialize, Template)]
#[template(path = "print/support.html")]
pub struct SupportSheet {
    /// Whose, when.
    pub head: Head,
    /// The day it holds for.
    pub day: String,
    /// What the hour meter should show now.
    pub meter: Option<String>,
    /// Hours recorded in the book.
    pub recorded: String,
    /// Figures of the machine from the station file in force.
    pub machine: Vec<Fact>,
    /// Which revision that is; none without one.
    pub revision: Option<String>,
    /// The latest reading of each gauge.
    pub readings: Vec<Latest>,
    /// The last settings known to be good.
    pub settings: Vec<Fact>,
    /// The last runs.
    pub runs: Vec<RunLine>,
    /// What drains should have given, in the words of whoever knows.
    pub drains_expected: Option<String>,
    /// Parts with the hours since.
    pub parts: Vec<PartLine>,
    /// Symptoms and failed tests that lock filling.
    pub locks: Vec<String>,
    /// What drifts, in the words of whoever knows.
    pub drift: Vec<String>,
    /// What in the records is in doubt.
    pub doubts: Vec<String>,
    /// Gauges, to be read now.
    pub gauges: Vec<String>,
    /// What a check found, where the sheet is printed from one.
    pub check: Option<CheckPart>,
}

/// Readings of a run, and what they show.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CheckPart {
    /// All of it in a sentence.
    pub headline: String,
    /// How far the readings decide.
    pub standing: String,
    /// Unit of the readings.
    pub unit: &'static str,
    /// Minute, gauge, read, fitted, as specified, remark.
    pub readings: Vec<Vec<String>>,
    /// Minute, what was noticed, what was made of it.
    pub noticed: Vec<[String; 3]>,
    /// Setting, specified, found, what that means.
    pub settings: Vec<[String; 4]>,
    /// Chance and cause.
    pub causes: Vec<(String, String)>,
    /// The readings as text, to be typed or pasted into a Check page again.
    pub text: String,
}

/// A figure with its name.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Fact {
    /// Its name.
    pub name: String,
    /// The figure.
    pub figure: Shown,
    /// When, by whom, which entry; empty where that does not apply.
    pub note: String,
}

/// The latest reading of a gauge.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Latest {
    /// Of what.
    pub of: String,
    /// What it showed.
    pub value: Option<Shown>,
    /// What was seen or heard.
    pub observed: String,
    /// How long ago.
    pub age: String,
    /// Entry number.
    pub no: u64,
}

/// A run in a line.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RunLine {
    /// When it began.
    pub start: String,
    /// How long.
    pub lasted: String,
    /// How many fills.
    pub fills: usize,
    /// The highest pressure filled to.
    pub highest: Option<Shown>,
    /// The tower at the end.
    pub tower: Option<Shown>,
    /// What came out of the drains.
    pub drained: String,
    /// Why it was stopped.
    pub why: String,
}

/// A part in a line.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct PartLine {
    /// Which.
    pub part: String,
    /// When it was replaced or tested.
    pub last: String,
    /// Running hours since it was replaced.
    pub since: String,
}
