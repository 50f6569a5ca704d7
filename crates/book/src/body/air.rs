//! Entries about the air: tests, symptoms, causes, release of what was set aside.

use serde::{Deserialize, Serialize};

/// What came of an air test.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Outcome {
    /// Every quantity passed.
    Passes,
    /// One at least failed.
    Fails,
    /// None failed, but not all could be told.
    CannotTell,
}

/// An air test, judged when it was entered.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AirTest {
    /// Day the sample was taken; none where the report does not say.
    pub sampled: Option<String>,
    /// The standard it was held against, with its edition.
    pub standard: String,
    /// What came of it.
    pub outcome: Outcome,
    /// The same in a sentence.
    pub sentence: String,
    /// Who measured.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub laboratory: Option<String>,
    /// The cylinder it was taken from, where it was not the outlet.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cylinder: Option<String>,
    /// The file of results as given, whole: it can be judged again.
    pub results: String,
}

/// Somebody felt unwell, or the air smelt or tasted. Filling is locked until the cause is recorded.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SymptomReported {
    /// What.
    pub what: String,
    /// Who.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub person: Option<String>,
    /// What was breathed from.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cylinder: Option<String>,
}

/// Why a symptom or a failed air test came about, and what was done.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CauseRecorded {
    /// Number of the entry it explains.
    pub of: u64,
    /// The cause.
    pub cause: String,
    /// What was done about it.
    pub done: String,
}

/// Cylinders set aside are free again.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Released {
    /// Number of the entry that set them aside.
    pub of: u64,
    /// Which cylinders; empty: all of it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub cylinders: Vec<String>,
    /// Why: vented to nothing and filled anew, tested and found good.
    pub why: String,
}
