//! The quantities of an air test against their limits, and where these limits come from.
//!
//! Not here: the verdict on the whole.

use insight::air::{Judged, Margin, Outcome, Verdict};

use crate::cli::render::page::{Table, item, paragraph};
use crate::draw::figures::three_digits;

/// A row for each quantity.
pub(super) fn text(verdict: &Verdict) -> String {
    let mut table = Table::new(2).narrow(18);
    table.row(["", "", "found", "margin", "limit"].map(str::to_owned));
    for row in &verdict.quantities {
        let given = row.given.clone().unwrap_or_else(|| "not given".to_owned());
        let margin = row.margin.map(margin).unwrap_or_default();
        let limit = marked(&row.limit, row.unverified);
        let name = row.what.name().to_owned();
        table.row([name, word(&row.outcome).to_owned(), given, margin, limit]);
    }
    let mut text = table.text();
    text += &paragraph(2, MARGIN);
    if verdict.quantities.iter().any(|row| row.unverified) {
        text += &paragraph(2, STAR);
    }
    for row in &verdict.quantities {
        if let Some(also) = &row.also {
            text += &paragraph(2, &format!("{}: {also}.", row.what.name()));
        }
    }
    for row in verdict.quantities.iter().filter(|r| !r.note.is_empty()) {
        text += &paragraph(2, &format!("{}: {}.", row.what.name(), row.note));
    }
    text
}

/// What cannot be told, and what would settle it.
pub(super) fn open(verdict: &Verdict) -> String {
    let mut text = String::new();
    for row in &verdict.quantities {
        if let Outcome::CannotTell { why, settle } = &row.outcome {
            text += &item(&format!("{}: {why}.", row.what.name()));
            text += &paragraph(4, &format!("To settle it: {settle}."));
        }
    }
    match text.is_empty() {
        true => text,
        false => format!("Cannot be told, so it does not pass\n{text}"),
    }
}

/// Where each limit was seen, those from one place together.
pub(super) fn sources(verdict: &Verdict) -> String {
    let mut groups: Vec<(String, Vec<&str>)> = Vec::new();
    for row in &verdict.quantities {
        let source = source(row);
        match groups.iter_mut().find(|(known, _)| *known == source) {
            Some((_, names)) => names.push(row.what.name()),
            None => groups.push((source, vec![row.what.name()])),
        }
    }
    let mut text = "Where the limits come from\n".to_owned();
    for (source, names) in &groups {
        text += &item(&format!("{}: {source}.", names.join(", ")));
    }
    match groups.is_empty() {
        true => String::new(),
        false => text,
    }
}

fn source(row: &Judged) -> String {
    format!("{} ({})", row.source, row.certainty.meaning())
}

/// The limit, with a star where it was not seen in the standard itself.
pub(super) fn marked(limit: &str, unverified: bool) -> String {
    match unverified {
        true => format!("{limit} *"),
        false => limit.to_owned(),
    }
}

/// What a margin means.
const MARGIN: &str = "Margin: how far the value keeps from the limit, and that as a share of the \
                      limit; with a minus it is beyond it.";

/// What the star means.
const STAR: &str =
    "* unverified: the limit was not seen in the standard itself; compare it with your copy.";

/// One word for what comes of it.
pub(super) fn word(outcome: &Outcome) -> &'static str {
    match outcome {
        Outcome::Passes => "passes",
        Outcome::Fails => "FAILS",
        Outcome::CannotTell { .. } => "cannot tell",
    }
}

/// `4 ppm (80 %)`; `-3 ppm (60 %)` where it is beyond the limit.
fn margin(margin: Margin) -> String {
    let sign = if margin.by < 0.0 { "-" } else { "" };
    let share = match margin.percent_of_limit {
        Some(percent) => format!(" ({:.0} %)", percent.abs()),
        None => String::new(),
    };
    // a difference of two percentages is no percentage
    let unit = if margin.unit == "%" {
        "points"
    } else {
        margin.unit
    };
    format!("{sign}{} {unit}{share}", three_digits(margin.by.abs()))
}
