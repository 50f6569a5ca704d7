//! What a rule says: findings with their evidence, what was fine, and silence.

use super::source::Source;
use crate::ladder::Part;
use serde::Serialize;

/// How grave a finding is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Severity {
    /// Somebody may be hurt.
    Stop,
    /// A protection or the air is in doubt.
    FixBeforeNextRun,
    /// Something to find out.
    LookInto,
    /// Worth knowing.
    Note,
}

impl Severity {
    /// What to do about it, in one sentence.
    pub fn meaning(self) -> &'static str {
        match self {
            Severity::Stop => "Stop: do not run the compressor until this is put right.",
            Severity::FixBeforeNextRun => "Put this right before the next run.",
            Severity::LookInto => "Look into this; the run need not wait for it.",
            Severity::Note => "Worth knowing; nothing has to be done.",
        }
    }
}

/// A number that a finding rests on.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Measure {
    /// What it is.
    pub what: String,
    /// In `unit`.
    pub value: f64,
    /// `bar` for gauge pressures, `°C`, `h`, `min`, `mm`, `kg/h`, `mm²`, `1`.
    pub unit: &'static str,
    /// As shown to a person, in the station's units.
    pub shown: String,
}

/// Something noticed.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Finding {
    /// Name of the rule.
    pub rule: &'static str,
    /// How grave it is.
    pub severity: Severity,
    /// What is so, with the parts and their numbers.
    pub claim: String,
    /// What goes wrong.
    pub why: String,
    /// What to do.
    pub remedy: String,
    /// The parts it is about.
    pub parts: Vec<Part>,
    /// The numbers.
    pub evidence: Vec<Measure>,
    /// Room left; negative where it is overstepped.
    pub margin: Option<Measure>,
    /// Where the rule stands.
    pub source: Source,
}

impl Finding {
    pub(in crate::audit) fn new(severity: Severity, source: Source, claim: String) -> Finding {
        Finding {
            rule: "",
            severity,
            claim,
            why: String::new(),
            remedy: String::new(),
            parts: Vec::new(),
            evidence: Vec::new(),
            margin: None,
            source,
        }
    }

    pub(in crate::audit) fn why(mut self, why: impl Into<String>) -> Finding {
        self.why = why.into();
        self
    }

    pub(in crate::audit) fn remedy(mut self, remedy: impl Into<String>) -> Finding {
        self.remedy = remedy.into();
        self
    }

    pub(in crate::audit) fn on<const N: usize>(mut self, parts: [&Part; N]) -> Finding {
        self.parts.extend(parts.into_iter().cloned());
        self
    }

    pub(in crate::audit) fn with(mut self, measure: Measure) -> Finding {
        self.evidence.push(measure);
        self
    }

    pub(in crate::audit) fn margin(mut self, margin: Measure) -> Finding {
        self.margin = Some(margin);
        self
    }
}

/// What a rule saw.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Look {
    /// What is wrong.
    pub findings: Vec<Finding>,
    /// What was looked at and is as it should be.
    pub fine: Vec<String>,
    /// What could not be looked at, and why.
    pub silent: Vec<String>,
}

impl Look {
    /// Nothing could be looked at.
    pub(in crate::audit) fn silent(why: impl Into<String>) -> Look {
        Look {
            silent: vec![why.into()],
            ..Look::default()
        }
    }

    /// All is as it should be.
    pub(in crate::audit) fn fine(says: impl Into<String>) -> Look {
        Look {
            fine: vec![says.into()],
            ..Look::default()
        }
    }

    /// One thing is wrong.
    pub(in crate::audit) fn found(finding: Finding) -> Look {
        Look {
            findings: vec![finding],
            ..Look::default()
        }
    }

    /// Both.
    pub(in crate::audit) fn and(mut self, other: Look) -> Look {
        self.findings.extend(other.findings);
        self.fine.extend(other.fine);
        self.silent.extend(other.silent);
        self
    }
}

impl FromIterator<Look> for Look {
    fn from_iter<I: IntoIterator<Item = Look>>(looks: I) -> Look {
        looks.into_iter().fold(Look::default(), Look::and)
    }
}
