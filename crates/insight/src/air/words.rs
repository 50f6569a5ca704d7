//! The verdict in a sentence, and what to keep in mind.
//!
//! Invariant: every sentence names the standard and its edition; none says that
//! air is safe to breathe.

use super::amount::Reading;
use super::answer::{DueState, Judged, Outcome, Overall, Verdict};
use super::judge::Context;
use super::standard::Standard;

/// The verdict in a sentence.
pub(super) fn sentence(verdict: &Verdict) -> String {
    let title = format!("{} ({})", verdict.standard, verdict.edition);
    let listed = |wanted: fn(&Outcome) -> bool| -> String {
        let rows = verdict.quantities.iter().filter(|row| wanted(&row.outcome));
        rows.map(reason).collect::<Vec<_>>().join("; ")
    };
    match verdict.overall {
        Overall::Fails => format!("fails {title}: {}", listed(|o| *o == Outcome::Fails)),
        Overall::CannotTell if verdict.quantities.is_empty() => {
            format!("cannot tell by {title}: it limits nothing for this machine")
        }
        Overall::CannotTell => {
            format!("cannot tell by {title}: {}", listed(|o| !o.is_decided()))
        }
        Overall::Passes => {
            let late = match &verdict.due {
                Some(due) if due.state == DueState::Overdue => {
                    format!(", but the next sample was due by {}", day(&due.latest_on))
                }
                _ => ": no reason found to stop".to_owned(),
            };
            format!("this sample keeps every limit of {title}{late}")
        }
    }
}

fn day(day: &Option<String>) -> &str {
    day.as_deref().unwrap_or("an unknown day")
}

/// `carbon monoxide 8 ppm, at most 5 ppm`.
fn reason(row: &Judged) -> String {
    let name = row.what.name();
    match (&row.outcome, &row.given) {
        (Outcome::CannotTell { why, .. }, None) => format!("{name}: {why}"),
        (Outcome::CannotTell { why, .. }, Some(given)) => {
            format!("{name} {given}, {}: {why}", row.limit)
        }
        (_, given) => {
            let given = given.as_deref().unwrap_or("not given");
            format!("{name} {given}, {}", row.limit)
        }
    }
}

/// What to keep in mind.
pub(super) fn notes(verdict: &Verdict, standard: &Standard, context: &Context) -> Vec<String> {
    let names = |wanted: fn(&Judged) -> bool| -> Vec<&str> {
        let rows = verdict.quantities.iter().filter(|row| wanted(row));
        rows.map(|row| row.what.name()).collect()
    };
    let mut notes = vec![
        "it speaks of this sample, at this point, on its day; not of air filled later".to_owned(),
        "mg/m3 is per m³ of air at 20 °C and 1 atm; ppm is by volume".to_owned(),
    ];
    let mut tell = |names: Vec<&str>, text: &str| {
        if !names.is_empty() {
            notes.push(format!("{}: {text}", names.join(", ")));
        }
    };
    tell(names(|row| row.unverified), UNVERIFIED);
    tell(names(at_face_value), FACE_VALUE);
    tell(names(|row| row.margin.is_some_and(close)), CLOSE);
    if context.oil_free && standard.limits.iter().any(|l| l.not_for_oil_free) {
        notes.push("oil: this standard asks no test of it of a machine without oil".to_owned());
    }
    if !verdict.not_limited.is_empty() {
        let text = "measured, but not limited by this standard as held here";
        notes.push(format!("{}: {text}", verdict.not_limited.join(", ")));
    }
    if !verdict.otherwise.is_empty() {
        notes.push(OTHERS.to_owned());
    }
    notes
}

const UNVERIFIED: &str = "the limit was not seen in the standard itself and is unverified; \
                          compare it with your copy";
const FACE_VALUE: &str = "no uncertainty is stated, so the value is taken as it stands";
const CLOSE: &str = "within 1 % of the limit; documents round so between units (67 ppm and -50 °F \
                     of water differ by 0.6 %), so look at the unit in which the limit is printed";
const OTHERS: &str = "that another standard allows more is no reason to use the air: law, \
                      employer or owner say which one applies";

fn at_face_value(row: &Judged) -> bool {
    let bare = |a: &super::Amount| !a.uncertainty_stated && !a.below;
    matches!(&row.reading, Some(Reading::Counted(amount)) if bare(amount))
}

/// Nearer than documents round when they change units.
fn close(margin: super::Margin) -> bool {
    margin
        .percent_of_limit
        .is_some_and(|percent| percent.abs() < 1.0)
}
