//! A verdict as a page shows it.

use insight::air::{Beside, Due, DueState, Outcome, Overall, Verdict};

use super::beside::Table;
use crate::draw::limits;
use crate::usecase::book::trace::BatchPage;
use crate::web::page::sentence;
use crate::web::pages::book::Plotted;
use crate::words::capital;

/// A verdict on a page.
pub struct Judged {
    /// The verdict itself.
    pub verdict: Verdict,
    /// Its mark.
    pub mark: &'static str,
    /// It in a few words.
    pub title: &'static str,
    /// The quantities against their limits.
    pub plot: Plotted,
    /// What cannot be told, and what would settle it.
    pub cannot: Vec<String>,
    /// When the next sample is due.
    pub due: String,
    /// The same sample under every standard held.
    pub beside: Option<Table>,
    /// Who got air since the last test that passed, where this one fails.
    pub aside: Option<BatchPage>,
}

impl Judged {
    /// A verdict, what is set aside where it fails, and the sample under every standard.
    pub fn of(verdict: Verdict, aside: Option<BatchPage>, beside: Option<Beside>) -> Judged {
        let (mark, title) = match verdict.overall {
            Overall::Passes => ("m-normal", "Every limit is kept by this sample"),
            Overall::Fails => ("m-danger", "A limit is broken: fill nothing"),
            Overall::CannotTell => ("m-abnormal", "It cannot be told"),
        };
        let cannot = verdict
            .quantities
            .iter()
            .filter_map(|judged| match &judged.outcome {
                Outcome::CannotTell { why, settle } => Some(format!(
                    "{}: {} {}",
                    capital(judged.what.name()),
                    sentence(why),
                    sentence(settle)
                )),
                _ => None,
            });
        Judged {
            mark,
            title,
            plot: Plotted::from((limits::draw(&verdict), limits::table(&verdict))),
            cannot: cannot.collect(),
            due: verdict.due.as_ref().map(due_text).unwrap_or_default(),
            beside: beside.map(|beside| Table::of(beside, &verdict.standard)),
            aside: aside.filter(|_| verdict.overall == Overall::Fails),
            verdict,
        }
    }
}

fn due_text(due: &Due) -> String {
    let latest = due
        .latest_on
        .as_deref()
        .unwrap_or("a day that is not known");
    let state = match due.state {
        DueState::Current => "not due yet",
        DueState::InWindow => "past the usual day",
        DueState::Overdue => "overdue",
        DueState::Unknown => "the day of this sample is not known",
    };
    let unverified = if due.unverified {
        ", not seen in the standard itself"
    } else {
        ""
    };
    format!(
        "Next sample by {latest}: {state} ({}{unverified}).",
        due.source
    )
}
