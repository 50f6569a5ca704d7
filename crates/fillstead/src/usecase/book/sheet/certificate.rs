//! The certificate of one air test: as it was judged when entered, and judged again today.
//!
//! Start at [`sheet`]. Not here: limits and outcomes (`insight::air`).

use book::Body;
use book::answer::parts;
use book::body::{AirTest, Outcome as Stored, Part};
use insight::air::{
    Due, DueState, Judged, Margin, Outcome, Overall, Point, Standard, Verdict, standards,
};

use super::{Room, joined};
use crate::draw::figures::three_digits;
use crate::print::certificate::{Certificate, Judgement, OutcomeWord, QuantityRow, SampleRows};
use crate::usecase::Trouble;
use crate::usecase::air::{AirReport, judge_file};

/// The certificate of the air test of this entry; of the last one where none is given.
pub fn sheet(room: &Room<'_>, entry: Option<u64>) -> Result<Certificate, Trouble> {
    let no = match entry {
        Some(entry) => entry,
        None => last(room)?,
    };
    let event = room.book.event(no)?.filter(|event| !event.withdrawn);
    let event = event.ok_or_else(|| none_such(format!("there is no air test at entry {no}")))?;
    let Ok(Body::AirTest(test)) = &event.body else {
        return Err(none_such(format!(
            "entry {no} is no air test, but a {}",
            event.kind
        )));
    };
    let report = again(room, test)?;
    Ok(Certificate {
        head: room.head()?,
        no,
        entered: format!("{} by {}", room.zone.minute(event.happened), event.author),
        corrected: (event.carrier != event.seq).then_some(event.carrier),
        standard: test.standard.clone(),
        outcome: stored(test.outcome),
        sentence: sentence(&test.sentence),
        sample: sample(test, report.as_ref().ok()),
        results: test.results.clone(),
        not_again: report.as_ref().err().cloned(),
        again: report
            .ok()
            .map(|report| judgement(&report.verdict, test.outcome)),
    })
}

fn none_such(what: String) -> Trouble {
    let remedy = "give the entry's number; `book list BOOK --kind air_test` shows them";
    Trouble::new(what, remedy).about("test")
}

/// The last air test.
fn last(room: &Room<'_>) -> Result<u64, Trouble> {
    let parts = parts::in_book(room.book, room.at)?;
    let test = parts
        .part(Part::AirSample)
        .and_then(|part| part.air_test.as_ref());
    test.map(|test| test.seq).ok_or_else(|| {
        let what = "no air test is in the book";
        Trouble::new(what, "enter one with its results first")
    })
}

/// Judged again by the limits held today; why not, where they are not held.
fn again(room: &Room<'_>, test: &AirTest) -> Result<Result<AirReport, String>, Trouble> {
    let Some(standard) = held(&test.standard) else {
        return Ok(Err(format!(
            "The limits of {} are not held by this program: it was the owner’s own, or another edition.",
            test.standard
        )));
    };
    let today = room.today()?;
    let judged = judge_file(&test.results, Some(&standard.name), None, Some(today));
    Ok(judged.map_err(|problems| {
        let told: Vec<String> = problems.iter().map(ToString::to_string).collect();
        format!("The results do not read today: {}.", told.join("; "))
    }))
}

/// The standard of this name and edition, nothing near it.
fn held(stored: &str) -> Option<&'static Standard> {
    let same = |s: &&Standard| {
        [s.title(), s.name.clone()]
            .iter()
            .any(|name| name == stored.trim())
    };
    standards().iter().find(same)
}

fn stored(outcome: Stored) -> OutcomeWord {
    match outcome {
        Stored::Passes => OutcomeWord::Passes,
        Stored::Fails => OutcomeWord::Fails,
        Stored::CannotTell => OutcomeWord::CannotTell,
    }
}

fn overall(outcome: Overall) -> OutcomeWord {
    match outcome {
        Overall::Passes => OutcomeWord::Passes,
        Overall::Fails => OutcomeWord::Fails,
        Overall::CannotTell => OutcomeWord::CannotTell,
    }
}

fn sample(test: &AirTest, report: Option<&AirReport>) -> SampleRows {
    let file = report.map(|report| &report.sample);
    let of_file = |text: Option<&String>| text.cloned();
    SampleRows {
        day: test.sampled.clone(),
        point: file
            .and_then(|f| f.point)
            .map(|point| Point::in_words(point).to_owned()),
        cylinder: test.cylinder.clone(),
        pressure: of_file(file.and_then(|f| f.cylinder_pressure.as_ref())),
        laboratory: of_file(test.laboratory.as_ref())
            .or_else(|| of_file(file.and_then(|f| f.laboratory.as_ref()))),
        invented: file.is_some_and(|f| f.invented),
    }
}

fn judgement(verdict: &Verdict, was: Stored) -> Judgement {
    let outcome = overall(verdict.overall);
    Judgement {
        standard: format!("{} ({})", verdict.standard, verdict.edition),
        outcome,
        sentence: sentence(&verdict.sentence),
        differs: outcome != stored(was),
        rows: verdict.quantities.iter().map(row).collect(),
        open: verdict.quantities.iter().filter_map(open).collect(),
        sources: sources(&verdict.quantities),
        not_limited: verdict.not_limited.clone(),
        next: verdict.due.as_ref().map(next),
        notes: verdict.notes.iter().map(|note| sentence(note)).collect(),
    }
}

fn row(judged: &Judged) -> QuantityRow {
    let given = judged.given.as_deref().unwrap_or("not measured");
    let (found, uncertainty) = parted(given);
    QuantityRow {
        what: judged.what.name().to_owned(),
        limit: judged.limit.clone(),
        unverified: judged.unverified,
        found: found.to_owned(),
        uncertainty: uncertainty.unwrap_or("not stated").to_owned(),
        margin: judged.margin.map(margin).unwrap_or_default(),
        outcome: match judged.outcome {
            Outcome::Passes => OutcomeWord::Passes,
            Outcome::Fails => OutcomeWord::Fails,
            Outcome::CannotTell { .. } => OutcomeWord::CannotTell,
        },
    }
}

/// A result as given, and how far it may be off.
fn parted(given: &str) -> (&str, Option<&str>) {
    let parts = given.split_once('±').or_else(|| given.split_once("+/-"));
    match parts {
        Some((found, off)) => (found.trim(), Some(off.trim())),
        None => (given, None),
    }
}

fn margin(margin: Margin) -> String {
    // A difference of two percentages is no percentage.
    let unit = match margin.unit {
        "%" => "points",
        unit => unit,
    };
    let share = margin
        .percent_of_limit
        .map(|percent| format!("({:.0} %)", percent.abs()));
    let by = format!("{} {unit}", three_digits(margin.by));
    joined([Some(by), share], " ")
}

fn open(judged: &Judged) -> Option<String> {
    match &judged.outcome {
        Outcome::CannotTell { why, settle } => Some(format!(
            "{}: {why}. To settle it: {settle}.",
            judged.what.name()
        )),
        Outcome::Passes | Outcome::Fails => None,
    }
}

/// Where each limit was seen, those from one place together.
fn sources(quantities: &[Judged]) -> Vec<String> {
    let mut groups: Vec<(String, Vec<&str>)> = Vec::new();
    for judged in quantities {
        let source = format!("{} ({})", judged.source, judged.certainty.meaning());
        match groups.iter_mut().find(|(known, _)| *known == source) {
            Some((_, names)) => names.push(judged.what.name()),
            None => groups.push((source, vec![judged.what.name()])),
        }
    }
    let line = |(source, names): &(String, Vec<&str>)| format!("{}: {source}.", names.join(", "));
    groups.iter().map(line).collect()
}

fn next(due: &Due) -> String {
    let every = format!("Every {} months by this standard", due.every_months);
    let by = match (due.state, &due.latest_on) {
        (DueState::Overdue, Some(day)) => format!("overdue since {day}"),
        (DueState::InWindow, Some(day)) => format!("due now, by {day} at the latest"),
        (_, Some(day)) => format!("by {day} at the latest"),
        (_, None) => "when, cannot be told: the day of the sample is not stated".to_owned(),
    };
    format!("{every}: {by}.")
}

/// A clause as a sentence.
fn sentence(clause: &str) -> String {
    let mut letters = clause.chars();
    let Some(first) = letters.next() else {
        return String::new();
    };
    let capital: String = match clause.starts_with("mg/") {
        true => clause.to_owned(),
        false => first.to_uppercase().chain(letters).collect(),
    };
    match capital.ends_with('.') {
        true => capital,
        false => capital + ".",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_result_is_parted_from_its_uncertainty() {
        assert_eq!(parted("430 ppm ± 20 ppm"), ("430 ppm", Some("20 ppm")));
        assert_eq!(parted("< 1 ppm"), ("< 1 ppm", None));
        assert_eq!(parted("18 mg/m3 +/- 10 %"), ("18 mg/m3", Some("10 %")));
    }

    #[test]
    fn a_standard_is_held_by_its_whole_name_only() {
        for standard in standards() {
            assert_eq!(
                held(&standard.title()).map(|s| &s.name),
                Some(&standard.name)
            );
        }
        assert!(held("EN 12021 (1998)").is_none());
    }
}
