//! The certificate of one air sample: every quantity with its limit, margin and outcome.
//!
//! It speaks of a sample, never of air that somebody is about to breathe. Not here: what is decided
//! ([`insight::air`]).

use askama::Template;
use serde::Serialize;

use super::Head;

/// The certificate.
#[derive(Clone, Debug, PartialEq, Serialize, Template)]
#[template(path = "print/certificate.html")]
pub struct Certificate {
    /// Whose, when.
    pub head: Head,
    /// The entry of the test.
    pub no: u64,
    /// When it was entered, and by whom.
    pub entered: String,
    /// The entry was corrected by this one.
    pub corrected: Option<u64>,
    /// The standard with its edition, as stored.
    pub standard: String,
    /// What came of it, as stored.
    pub outcome: OutcomeWord,
    /// The same in a sentence, as stored.
    pub sentence: String,
    /// The sample.
    pub sample: SampleRows,
    /// Judged again today.
    pub again: Option<Judgement>,
    /// Why it could not be judged again.
    pub not_again: Option<String>,
    /// The results as they were given, where they cannot be judged again.
    pub results: String,
}

impl Certificate {
    /// Whether it comes out another way today than when it was entered.
    pub fn differs(&self) -> bool {
        self.again.as_ref().is_some_and(|judged| judged.differs)
    }
}

/// What came of a test.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum OutcomeWord {
    /// Every quantity passes.
    Passes,
    /// One at least fails.
    Fails,
    /// None fails, not all can be told.
    CannotTell,
}

impl OutcomeWord {
    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            OutcomeWord::Passes => "passes",
            OutcomeWord::Fails => "FAILS",
            OutcomeWord::CannotTell => "cannot be told",
        }
    }
}

/// Where, when and by whom the sample was taken and measured.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct SampleRows {
    /// The day.
    pub day: Option<String>,
    /// The point.
    pub point: Option<String>,
    /// The cylinder it came from.
    pub cylinder: Option<String>,
    /// What cylinders filled there are filled to.
    pub pressure: Option<String>,
    /// Who measured.
    pub laboratory: Option<String>,
    /// The results say that they are invented.
    pub invented: bool,
}

/// A judgement by the limits held by this program.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Judgement {
    /// The standard with its edition.
    pub standard: String,
    /// All quantities together.
    pub outcome: OutcomeWord,
    /// The same in a sentence.
    pub sentence: String,
    /// Whether that differs from what is stored.
    pub differs: bool,
    /// Every quantity.
    pub rows: Vec<QuantityRow>,
    /// What cannot be told, and what would settle it.
    pub open: Vec<String>,
    /// Where the limits were seen.
    pub sources: Vec<String>,
    /// Measured, and not limited here.
    pub not_limited: Vec<String>,
    /// When the next sample is due.
    pub next: Option<String>,
    /// What to keep in mind.
    pub notes: Vec<String>,
}

/// One quantity.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct QuantityRow {
    /// Which.
    pub what: String,
    /// The limit with its unit.
    pub limit: String,
    /// The limit was not seen in the standard itself.
    pub unverified: bool,
    /// The result as given.
    pub found: String,
    /// How far it may be off, as given.
    pub uncertainty: String,
    /// How far from the limit.
    pub margin: String,
    /// What comes of it.
    pub outcome: OutcomeWord,
}
