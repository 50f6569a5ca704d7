//! What a verdict says: plain data, ready for a screen, a page or JSON.
//!
//! Names of fields are a contract with programs that read the JSON.

use serde::Serialize;

use super::amount::Reading;
use super::measurand::Measurand;
use super::standard::Certainty;

/// A whole verdict.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Verdict {
    /// The standard's name.
    pub standard: String,
    /// Its edition.
    pub edition: String,
    /// All quantities together.
    pub overall: Overall,
    /// The same in a sentence that names standard and edition.
    pub sentence: String,
    /// Every quantity the standard limits, in the order of a report.
    pub quantities: Vec<Judged>,
    /// What was measured though this standard, as held here, does not limit it.
    pub not_limited: Vec<String>,
    /// Other standards that would say otherwise on something.
    pub otherwise: Vec<Otherwise>,
    /// When the next sample is due; none where the standard, as held here, sets no interval.
    pub due: Option<Due>,
    /// What to do now.
    pub advice: Vec<Advice>,
    /// What to keep in mind.
    pub notes: Vec<String>,
}

/// All quantities together.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Overall {
    /// Every quantity passes.
    Passes,
    /// One at least fails.
    Fails,
    /// None fails, but not all can be told.
    CannotTell,
}

/// One quantity against its limit.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Judged {
    /// Which quantity.
    pub what: Measurand,
    /// The result as given; none where there is none.
    pub given: Option<String>,
    /// The result read and normalised.
    pub reading: Option<Reading>,
    /// Water only: the same in other units.
    pub also: Option<String>,
    /// The limit in words, with its own unit; several where it is not known which holds.
    pub limit: String,
    /// The limit as numbers, in the unit of the reading; none where several may hold or nothing is
    /// counted.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub bounds: Option<Bounds>,
    /// How far the value is from the limit, negative beyond it.
    pub margin: Option<Margin>,
    /// What comes of it.
    #[serde(flatten)]
    pub outcome: Outcome,
    /// What else the standard says here.
    pub note: String,
    /// Where the limit was seen.
    pub source: String,
    /// How sure that is.
    pub certainty: Certainty,
    /// The limit was not seen in the standard itself.
    pub unverified: bool,
}

/// A limit as numbers.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Bounds {
    /// Least allowed.
    pub least: Option<f64>,
    /// Most allowed.
    pub most: Option<f64>,
}

/// Distance to a limit.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Margin {
    /// So much is left; negative where the limit is broken.
    pub by: f64,
    /// The unit of that.
    pub unit: &'static str,
    /// The same as a share of the limit, %.
    pub percent_of_limit: Option<f64>,
}

/// What comes of one quantity.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(tag = "outcome", rename_all = "snake_case")]
pub enum Outcome {
    /// Within the limit, uncertainty included.
    Passes,
    /// Beyond the limit, uncertainty included.
    Fails,
    /// Neither can be said.
    CannotTell {
        /// Why not.
        why: String,
        /// What would settle it.
        settle: String,
    },
}

/// Another standard that would say otherwise.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Otherwise {
    /// Its name.
    pub standard: String,
    /// Its edition.
    pub edition: String,
    /// All its quantities together.
    pub overall: Overall,
    /// The quantities on which it differs.
    pub quantities: Vec<OutcomeThere>,
    /// Its interval, where that alone or too is judged otherwise.
    pub due: Option<Due>,
}

/// One quantity there.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct OutcomeThere {
    /// Which quantity.
    pub what: Measurand,
    /// The limit there, in words.
    pub limit: String,
    /// What comes of it there.
    #[serde(flatten)]
    pub outcome: Outcome,
    /// The limit was not seen in that standard itself.
    pub unverified: bool,
}

/// When the next sample is due.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Due {
    /// Months between samples, as a rule.
    pub every_months: u16,
    /// Months at the latest.
    pub latest_months: u16,
    /// The day of the sample; none where it is not stated.
    pub sampled: Option<String>,
    /// The usual day of the next.
    pub usual_on: Option<String>,
    /// The last day of it.
    pub latest_on: Option<String>,
    /// Where today stands.
    pub state: DueState,
    /// What else the standard says.
    pub note: String,
    /// Where the interval was seen.
    pub source: String,
    /// It was not seen in the standard itself.
    pub unverified: bool,
}

/// Where a day stands against an interval.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum DueState {
    /// Not due yet.
    Current,
    /// Past the usual day, still inside what is allowed.
    InWindow,
    /// Past the last day.
    Overdue,
    /// The day of the sample, or today, is not known.
    Unknown,
}

/// Something to do.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Advice {
    /// What.
    pub step: String,
    /// Why.
    pub why: String,
    /// Where that comes from.
    pub source: String,
}

impl Outcome {
    /// Passes or fails.
    pub fn is_decided(&self) -> bool {
        !matches!(self, Self::CannotTell { .. })
    }
}

impl Verdict {
    /// The row of one quantity.
    pub fn of(&self, what: Measurand) -> Option<&Judged> {
        self.quantities.iter().find(|q| q.what == what)
    }
}
