//! What the fill gate says: plain data, ready for a screen, a page or JSON.

use super::pressure::BothUnits;
use super::when::When;
use serde::Serialize;

/// Whether a cylinder may be filled, to what, until when, and why not.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FillAnswer {
    /// The cylinder.
    pub cylinder: String,
    /// The rule's short name.
    pub rule: String,
    /// The rule's title.
    pub rule_title: String,
    /// The day this holds for.
    pub today: String,
    /// Whether nothing was found against filling it.
    pub may: bool,
    /// In one sentence.
    pub verdict: String,
    /// Highest settled pressure; none where it is not known.
    pub to: Option<BothUnits>,
    /// The gas temperature at which that pressure holds, °C.
    pub settled_at_c: f64,
    /// The last day, or month, it may be filled as things are.
    pub until: Option<When>,
    /// What stands against filling.
    pub refusals: Vec<Refusal>,
    /// What to know besides.
    pub notes: Vec<Note>,
    /// Each examination.
    pub checks: Vec<CheckAnswer>,
    /// What it would show when hot, where the rule limits that.
    pub hot: Option<HotAnswer>,
}

/// A reason not to fill.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Refusal {
    /// Which: `unknown`, `rating-unknown`, `stamp-implausible`, `condemned`, `never`,
    /// `no-rule`, `date-unknown`, `dates-contradict`, `overdue`, `end-of-life`,
    /// `above-rating`, `mixed-ratings`, `unprotected`, `hot`.
    pub id: &'static str,
    /// What is wrong, with its numbers.
    pub what: String,
    /// What to do about it.
    pub way_forward: String,
    /// Document, clause and edition.
    pub source: String,
    /// How surely that was seen.
    pub certainty: String,
    /// Whether it may be overridden, with a name and a reason in the book.
    pub may_be_overridden: bool,
}

/// Something to know.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Note {
    /// What.
    pub text: String,
    /// Document, clause and edition; empty where it is none of a rule's.
    pub source: String,
    /// How surely that was seen.
    pub certainty: String,
}

/// One examination.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CheckAnswer {
    /// Which: `test`, `visual`, `eddy current`, `end of life`.
    pub check: &'static str,
    /// When it was last done, or it was made.
    pub last: Option<When>,
    /// How often, months.
    pub every_months: u32,
    /// The last day, or month, it is good for.
    pub due: Option<When>,
    /// Whether that has passed, or is not known.
    pub overdue: bool,
    /// Document, clause and edition.
    pub source: String,
    /// How surely that was seen.
    pub certainty: String,
    /// Where it was seen.
    pub seen: String,
}

/// The pressure it develops when hot.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct HotAnswer {
    /// At this temperature, °C.
    pub at_c: f64,
    /// It shows this, by the real gas.
    pub bar: f64,
    /// The same in psi.
    pub psi: f64,
    /// The limit, bar.
    pub limit_bar: f64,
    /// The limit, psi.
    pub limit_psi: f64,
}

impl FillAnswer {
    /// The same with more that stands against filling, which no rule of cylinders knows of: the
    /// state of the record, of the air, of the machine.
    #[must_use]
    pub fn with_refusals(mut self, more: Vec<Refusal>) -> FillAnswer {
        if more.is_empty() {
            return self;
        }
        let all: Vec<&str> = more
            .iter()
            .chain(&self.refusals)
            .map(|refusal| refusal.what.as_str())
            .collect();
        self.verdict = format!("Do not fill it: {}", all.join("; "));
        self.may = false;
        self.refusals.splice(..0, more);
        self
    }
}
