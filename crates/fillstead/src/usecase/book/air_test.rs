//! An air test entered in the book: judged by the standard in force, kept whole.

use std::path::Path;

use book::Pen;
use book::answer::station::rules_in_force;
use book::body::{AirTest, Outcome};
use insight::air::{Overall, Verdict};
use station::Date;

use super::add::{self, Added};
use super::desk::{self, Signed, Who};
use super::list::title;
use crate::usecase::Trouble;
use crate::usecase::air::{AirReport, judge_file};

/// What is asked, as typed.
#[derive(Clone, Copy, Debug, Default)]
pub struct Asked<'a> {
    /// The text of the results file.
    pub results: &'a str,
    /// What that file is called.
    pub file: &'a str,
    /// The standard; that in force for the book, where not given.
    pub standard: Option<&'a str>,
    /// The cylinder the sample was taken from, where it was not the outlet.
    pub cylinder: Option<&'a str>,
}

/// An air test in the book.
pub struct Entered {
    /// Its entry.
    pub added: Added,
    /// What comes of it.
    pub verdict: Verdict,
}

/// Judges results and writes them down. A test that fails locks filling.
pub fn enter(path: &Path, asked: &Asked<'_>, who: &Who<'_>) -> Result<Entered, Vec<Trouble>> {
    let (mut pen, signed) = desk::pen(path, "fillstead book add", who)?;
    enter_with(&mut pen, &signed, asked)
}

/// The same with a pen at hand, signed already.
pub fn enter_with(
    pen: &mut Pen,
    signed: &Signed,
    asked: &Asked<'_>,
) -> Result<Entered, Vec<Trouble>> {
    let one = |trouble: Trouble| vec![trouble];
    let day = signed.zone.today_at(signed.happened).map_err(one)?;
    let in_force = rules_in_force(pen.book(), None).map_err(|e| one(e.into()))?;
    let standard = asked.standard.map(str::to_owned);
    let standard = standard.or(in_force.air_standard.map(|chosen| chosen.name));
    let standard = standard.ok_or_else(|| {
        let remedy = "name one with --standard, or once for all with \
                      `book add BOOK rules --air-standard \"EN 12021\"`";
        one(Trouble::new("no air standard is chosen for this station", remedy).about("standard"))
    })?;
    let report = judged(asked, &standard, day)?;
    let (_, invented) = title(pen.book()).map_err(one)?;
    fits(&report, invented, day).map_err(one)?;
    if let Some(id) = asked.cylinder {
        add::on_register(pen.book(), id).map_err(one)?;
    }
    let body = body(asked, &report);
    let mut added = add::write(pen, signed, body.into())?;
    added.remarks.extend(lock_remark(&report, added.seq));
    Ok(Entered {
        added,
        verdict: report.verdict,
    })
}

fn judged(asked: &Asked<'_>, standard: &str, day: Date) -> Result<AirReport, Vec<Trouble>> {
    judge_file(asked.results, Some(standard), None, Some(day)).map_err(|problems| {
        let told = |problem: crate::usecase::air::AirProblem| {
            let what = match problem.line {
                Some(line) => format!("line {line} of {}: {}", asked.file, problem.cause),
                None => problem.cause,
            };
            Trouble::new(what, problem.remedy)
        };
        problems.into_iter().map(told).collect()
    })
}

/// Whether the sample can be one of this station's.
fn fits(report: &AirReport, invented: bool, day: Date) -> Result<(), Trouble> {
    if report.sample.invented && !invented {
        let what = "the results are marked as invented, and this is a real station's book";
        return Err(Trouble::new(what, "give the laboratory's own results"));
    }
    let sampled = report.sample.date.as_deref().and_then(Date::parse);
    if let Some(sampled) = sampled.filter(|sampled| *sampled > day) {
        let what = format!("the sample is of {sampled}, after the day of this entry, {day}");
        return Err(Trouble::new(what, "check the day in the file, and --at"));
    }
    Ok(())
}

fn body(asked: &Asked<'_>, report: &AirReport) -> AirTest {
    let verdict = &report.verdict;
    AirTest {
        sampled: report.sample.date.clone(),
        standard: format!("{} ({})", verdict.standard, verdict.edition),
        outcome: match verdict.overall {
            Overall::Passes => Outcome::Passes,
            Overall::Fails => Outcome::Fails,
            Overall::CannotTell => Outcome::CannotTell,
        },
        sentence: verdict.sentence.clone(),
        laboratory: report.sample.laboratory.clone(),
        cylinder: asked.cylinder.map(str::to_owned),
        results: asked.results.to_owned(),
    }
}

/// What a failed test means for filling.
fn lock_remark(report: &AirReport, seq: u64) -> Option<String> {
    (report.verdict.overall == Overall::Fails).then(|| {
        format!(
            "filling is locked from here on; set aside what was filled since the last test that \
             passed (`book trace` and `book print BOOK quarantine` list it); record the cause with \
             `book add BOOK cause {seq}`, and take a new sample"
        )
    })
}
