//! A requalification rule as data: who is examined how often, and what else it says.
//!
//! Start at [`known_rules`]; an owner's own rules come through
//! [`read_rules`](super::read_rules). Not here: any date ([`super::fill`]).

use super::rule_text::read_rules;
use super::tags::Tags;
use serde::Serialize;
use std::sync::LazyLock;

/// One country's or body's rule.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Rule {
    /// Short name, such as `uk`.
    pub id: String,
    /// What it is.
    pub title: String,
    /// What it says, in order.
    pub rows: Vec<Row>,
}

/// One thing a rule says.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Row {
    /// What.
    pub demand: Demand,
    /// For whom: any of these, each a list of names that all must fit. Empty: anybody.
    pub who: Vec<Vec<String>>,
    /// Where it is from.
    pub source: RuleSource,
}

/// Where a row comes from.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct RuleSource {
    /// Document, clause and edition.
    pub clause: String,
    /// How surely it was seen.
    pub certainty: String,
    /// Where it was seen.
    pub seen: String,
}

/// What a row says.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Demand {
    /// An examination every so many months.
    Every {
        /// Which.
        check: Check,
        /// How often.
        months: u32,
    },
    /// End of life so many months after it was made.
    Life {
        /// How many.
        months: u32,
    },
    /// Not to be filled.
    Never {
        /// Why.
        why: String,
    },
    /// More than the stamped pressure where the plus mark holds.
    Plus {
        /// How much more, %.
        percent: f64,
    },
    /// Highest pressure it may develop when hot.
    Hot {
        /// Of the fill pressure, %.
        percent: f64,
        /// At this temperature, K.
        t_k: f64,
    },
    /// Said beside the answer.
    Note {
        /// What.
        text: String,
    },
}

/// An examination.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Check {
    /// Pressure test (requalification).
    Test,
    /// Inspection inside and out.
    Visual,
    /// Eddy-current examination of the neck.
    EddyCurrent,
}

impl Check {
    /// Its name in rules and messages.
    pub fn name(self) -> &'static str {
        match self {
            Check::Test => "test",
            Check::Visual => "visual",
            Check::EddyCurrent => "eddy current",
        }
    }

    /// The check of this name.
    pub fn named(name: &str) -> Option<Check> {
        let all = [Check::Test, Check::Visual, Check::EddyCurrent];
        all.into_iter().find(|check| check.name() == name)
    }
}

impl Row {
    /// Whether it speaks of a cylinder with these names.
    pub(super) fn fits(&self, tags: &Tags) -> bool {
        let all = |names: &Vec<String>| names.iter().all(|name| tags.has(name));
        self.who.is_empty() || self.who.iter().any(all)
    }
}

impl Rule {
    /// What it says of such a cylinder.
    pub(super) fn rows<'r>(&'r self, tags: &'r Tags) -> impl Iterator<Item = &'r Row> {
        self.rows.iter().filter(|row| row.fits(tags))
    }

    /// How often such a cylinder has this examination: the first row that fits.
    pub(super) fn every(&self, wanted: Check, tags: &Tags) -> Option<(u32, &RuleSource)> {
        self.rows
            .iter()
            .filter(|row| row.fits(tags))
            .find_map(|row| match row.demand {
                Demand::Every { check, months } if check == wanted => Some((months, &row.source)),
                _ => None,
            })
    }
}

/// The rules that come with the program. Read each one's certainty.
pub fn known_rules() -> &'static [Rule] {
    static RULES: LazyLock<Vec<Rule>> =
        LazyLock::new(|| read_rules(include_str!("rules.txt")).unwrap_or_default());
    &RULES
}

/// The known rule of this short name.
pub fn rule_named(id: &str) -> Option<&'static Rule> {
    known_rules()
        .iter()
        .find(|rule| rule.id.eq_ignore_ascii_case(id.trim()))
}
