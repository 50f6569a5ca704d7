//! An air test on paper: the verdict, a row for each quantity, what to do, what others say.
//!
//! Start at [`text`]. Not here: what is decided ([`insight::air`]). No sentence says that air may
//! be breathed.

mod quantities;

use insight::air::{Due, DueState, Otherwise, Overall, Point, Standard, Verdict};

use crate::cli::render::page::{Table, item, paragraph};
use crate::cli::terminal::harmless;
use crate::usecase::air::{AirReport, Sample};

/// The whole page.
pub fn text(report: &AirReport) -> String {
    let verdict = &report.verdict;
    let sections = [
        title(report),
        quantities::text(verdict),
        quantities::open(verdict),
        steps(verdict),
        due(verdict.due.as_ref()),
        otherwise(&verdict.otherwise),
        quantities::sources(verdict),
        notes(verdict),
    ];
    let filled: Vec<&str> = sections
        .iter()
        .map(String::as_str)
        .filter(|section| !section.is_empty())
        .collect();
    harmless(&filled.join("\n"))
}

/// The standards held.
pub fn list(standards: &[Standard]) -> String {
    let mut table = Table::new(2);
    for s in standards {
        table.row([s.title(), s.purpose.clone()]);
    }
    format!(
        "Standards held. Law, employer or owner say which one applies; compare the limits with your \
         copy.\n{}",
        table.text()
    )
}

fn title(report: &AirReport) -> String {
    let mut text = paragraph(0, &format!("{}.", capital(&report.verdict.sentence)));
    text += &paragraph(0, &sample(&report.sample));
    if report.sample.invented {
        text += "Demonstration data: this sample is invented.\n";
    }
    text
}

/// `Sample of 2026-05-04, in a cylinder (4500 psi), measured by a laboratory.`
fn sample(sample: &Sample) -> String {
    let mut parts = match &sample.date {
        Some(day) => vec![format!("Sample of {day}")],
        None => vec!["Sample of a day not stated".to_owned()],
    };
    parts.push(match sample.point {
        Some(point) => Point::in_words(point).to_owned(),
        None => "sampling point not stated".to_owned(),
    });
    if let Some(pressure) = &sample.cylinder_pressure {
        parts.push(format!("for cylinders of {pressure}"));
    }
    if let Some(who) = &sample.laboratory {
        parts.push(format!("measured by {who}"));
    }
    format!("{}.", parts.join(", "))
}

fn steps(verdict: &Verdict) -> String {
    if verdict.advice.is_empty() {
        return String::new();
    }
    let mut text = "What to do\n".to_owned();
    for advice in &verdict.advice {
        text += &item(&format!("{}.", capital(&advice.step)));
        let why = format!("Why: {}. Source: {}.", advice.why, advice.source);
        text += &paragraph(4, &why);
    }
    text
}

fn due(due: Option<&Due>) -> String {
    let Some(due) = due else {
        return "Next sample\n  - This standard, as held here, sets no interval; ask who governs \
                your fills.\n"
            .to_owned();
    };
    let months = match due.every_months == due.latest_months {
        true => format!("Every {} months", due.every_months),
        false => format!(
            "Every {} months, after {} at the latest",
            due.every_months, due.latest_months
        ),
    };
    let state = match (due.state, &due.latest_on) {
        (DueState::Current, Some(day)) => format!("not due yet, by {day} at the latest"),
        (DueState::InWindow, Some(day)) => format!("due now, by {day} at the latest"),
        (DueState::Overdue, Some(day)) => format!("overdue since {day}"),
        (_, Some(day)) => format!("by {day} at the latest"),
        (_, None) => "when, cannot be told: the day of the sample is not stated".to_owned(),
    };
    let mut text = format!("Next sample\n{}", item(&format!("{months}: {state}.")));
    if !due.note.is_empty() {
        text += &item(&format!("{}.", due.note));
    }
    text
}

fn otherwise(others: &[Otherwise]) -> String {
    if others.is_empty() {
        return String::new();
    }
    let mut text = "Other standards say otherwise (* unverified)\n".to_owned();
    for other in others {
        let overall = match other.overall {
            Overall::Passes => "keeps every limit",
            Overall::Fails => "fails",
            Overall::CannotTell => "cannot tell",
        };
        text += &item(&format!(
            "{} ({}): {overall}.",
            other.standard, other.edition
        ));
        let mut table = Table::new(4);
        for there in &other.quantities {
            let limit = quantities::marked(&there.limit, there.unverified);
            let word = quantities::word(&there.outcome);
            table.row([there.what.name(), word, &limit].map(str::to_owned));
        }
        text += &table.text();
        if let Some(due) = &other.due {
            let by = due.latest_on.as_deref().unwrap_or("a day not known");
            text += &paragraph(4, &format!("Its next sample: by {by}."));
        }
    }
    text
}

fn notes(verdict: &Verdict) -> String {
    let mut text = "To know\n".to_owned();
    for note in &verdict.notes {
        text += &item(&format!("{}.", capital(note)));
    }
    text += &item(
        "Nothing here says that air is fit to breathe. The laboratory, the standard itself, local \
         codes and competent persons decide.",
    );
    text
}

fn capital(clause: &str) -> String {
    let mut letters = clause.chars();
    match letters.next() {
        // units keep their small letters
        Some(_) if clause.starts_with("mg/") => clause.to_owned(),
        Some(first) => first.to_uppercase().chain(letters).collect(),
        None => String::new(),
    }
}
