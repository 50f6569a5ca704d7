//! Which other standards would say otherwise.
//!
//! Not here: which standard applies; law, employer or owner say that.

use super::answer::{DueState, Judged, Otherwise, Outcome, OutcomeThere};
use super::due::due;
use super::find::{key, standards};
use super::judge::{Context, Results, Taken, overall, rows};
use super::standard::Standard;

/// Every other standard held that decides a measured quantity otherwise, or
/// whose interval has run out while this one's has not.
pub(super) fn otherwise(
    taken: &Taken,
    chosen: &Standard,
    results: &Results,
    context: &Context,
    here: &[Judged],
) -> Vec<Otherwise> {
    let day = |s: &Standard| due(s, results.sampled, context.today);
    let overdue_here = day(chosen).is_some_and(|d| d.state == DueState::Overdue);
    let mut found = Vec::new();
    for other in standards()
        .iter()
        .filter(|s| key(&s.name) != key(&chosen.name))
    {
        let there = rows(taken, other, context);
        let differing: Vec<OutcomeThere> = there
            .iter()
            .filter(|row| row.given.is_some() && differs(row, here))
            .map(outcome_there)
            .collect();
        let due = day(other).filter(|d| !overdue_here && d.state == DueState::Overdue);
        if !differing.is_empty() || due.is_some() {
            found.push(Otherwise {
                standard: other.name.clone(),
                edition: other.edition.clone(),
                overall: overall(&there),
                quantities: differing,
                due,
            });
        }
    }
    found
}

/// What is not limited here and passes there differs in nothing.
fn differs(there: &Judged, here: &[Judged]) -> bool {
    let same = here.iter().find(|row| row.what == there.what);
    match (&there.outcome, same.map(|row| &row.outcome)) {
        (Outcome::CannotTell { .. }, _) | (Outcome::Passes, None) => false,
        (Outcome::Fails, None) => true,
        (there, Some(here)) => there != here,
    }
}

fn outcome_there(row: &Judged) -> OutcomeThere {
    OutcomeThere {
        what: row.what,
        limit: row.limit.clone(),
        outcome: row.outcome.clone(),
        unverified: row.unverified,
    }
}
