//! An air test's file judged by a standard.
//!
//! Start at [`judge_file`]. The file, commented, is `stations/air-results.toml`:
//!
//! | table | key | says |
//! |---|---|---|
//! | sample | date | day it was taken, `2026-05-04` |
//! | | point | `outlet` or `cylinder` |
//! | | cylinder_pressure | what the cylinder is filled to, with its unit |
//! | | oil_free | true for a machine without oil where it compresses |
//! | | last_passed | day of the last sample that passed |
//! | | laboratory | who measured |
//! | | invented | true for demonstration data |
//! | results | a quantity | its value with unit and, after ±, its uncertainty |
//!
//! Only `[results]` is needed. Other forms in which results are sent become this one in [`sent`].
//! Not here: limits and their outcome (`insight::air`), files on the disk, the clock.

mod read;
pub mod sent;

use std::fmt;

use insight::air::{At, Beside, Mistake, Point, Standard, Verdict, beside, find, judge, standards};
use serde::Serialize;
use station::Date;

use read::AirFile;

/// A verdict with what the file says about the sample.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct AirReport {
    /// What was sampled.
    pub sample: Sample,
    /// What comes of it.
    pub verdict: Verdict,
}

/// What the file says about the sample.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Sample {
    /// The day, if stated.
    pub date: Option<String>,
    /// Where, if stated.
    pub point: Option<Point>,
    /// What the cylinder is filled to, in its own unit, if stated.
    pub cylinder_pressure: Option<String>,
    /// Who measured, if stated.
    pub laboratory: Option<String>,
    /// Demonstration data.
    pub invented: bool,
}

/// Something wrong with what was given. Cause and remedy are parts of a sentence.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AirProblem {
    /// In which of the texts.
    pub text: Text,
    /// The line, counted from 1; none where it is about the whole.
    pub line: Option<usize>,
    /// What is wrong.
    pub cause: String,
    /// What to do about it.
    pub remedy: String,
}

/// Which text a problem is in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Text {
    /// The results.
    Results,
    /// The owner's standard.
    OwnStandard,
    /// The name of the standard.
    StandardName,
}

impl fmt::Display for AirProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(line) = self.line {
            write!(f, "line {line}: ")?;
        }
        write!(f, "{}: {}", self.cause, self.remedy)
    }
}

/// Judges the results in `text` by the standard of that name, among those held and the owner's
/// own. Without a name the owner's own is meant. Every problem is told, not only the first.
pub fn judge_file(
    text: &str,
    standard_name: Option<&str>,
    own_standard: Option<&str>,
    today: Option<Date>,
) -> Result<AirReport, Vec<AirProblem>> {
    let mut problems = Vec::new();
    let own = own_standard.map(Standard::read).transpose();
    let own = own.unwrap_or_else(|mistakes| {
        problems.extend(
            mistakes
                .into_iter()
                .map(|m| told(Text::OwnStandard, m, None)),
        );
        None
    });
    // A name is looked up only where the owner's own standard could be read: it may be that one.
    let standard = if problems.is_empty() {
        chosen(standard_name, own.as_ref())
            .map_err(|mistake| problems.push(told(Text::StandardName, mistake, None)))
            .ok()
    } else {
        None
    };
    let file = AirFile::read(text, today, &mut problems);
    let (Some(standard), true) = (standard, problems.is_empty()) else {
        return Err(problems);
    };
    let verdict = judge(&file.results, standard, &file.context);
    let verdict = verdict.map_err(|mistakes| placed(&file, mistakes))?;
    Ok(AirReport {
        sample: file.sample(),
        verdict,
    })
}

/// The results in `text` under every standard held. Every problem is told, not only the first.
pub fn under_every_standard(text: &str, today: Option<Date>) -> Result<Beside, Vec<AirProblem>> {
    let mut problems = Vec::new();
    let file = AirFile::read(text, today, &mut problems);
    match problems.is_empty() {
        true => beside(&file.results, &file.context).map_err(|mistakes| placed(&file, mistakes)),
        false => Err(problems),
    }
}

/// Mistakes in the results with their lines.
fn placed(file: &AirFile, mistakes: Vec<Mistake>) -> Vec<AirProblem> {
    let place = |mistake: Mistake| {
        let line = file.line_of(mistake.at);
        told(Text::Results, mistake, line)
    };
    mistakes.into_iter().map(place).collect()
}

fn told(text: Text, mistake: Mistake, line: Option<usize>) -> AirProblem {
    let line = match mistake.at {
        At::Line(line) => Some(line),
        _ => line,
    };
    AirProblem {
        text,
        line,
        cause: mistake.cause,
        remedy: mistake.remedy,
    }
}

/// The standard meant.
fn chosen<'a>(name: Option<&str>, own: Option<&'a Standard>) -> Result<&'a Standard, Mistake> {
    match (name, own) {
        (Some(name), own) => find(name, own.into_iter().chain(standards())),
        (None, Some(own)) => Ok(own),
        (None, None) => {
            let names: Vec<&str> = standards().iter().map(|s| s.name.as_str()).collect();
            Err(Mistake {
                at: At::Whole,
                cause: "no standard is named, and there is no pass without one".into(),
                remedy: format!("name one of {}", names.join(", ")),
            })
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use insight::air::{DueState, Outcome, Overall};

    const SAMPLE: &str = include_str!("../../../../../stations/air-results.toml");

    fn messages(text: &str, name: Option<&str>, own: Option<&str>) -> Vec<String> {
        let today = Date::parse("2026-05-20");
        let problems = judge_file(text, name, own, today).unwrap_err();
        problems.iter().map(|p| p.to_string()).collect()
    }

    /// NFPA 1989 allows 24 ppm of water, -65 °F; -70 °F ± 2 °F is drier. EN 12021 allows 35 mg/m³.
    #[test]
    fn the_sample_file_is_judged() {
        let today = Date::parse("2026-05-20");
        let report = judge_file(SAMPLE, Some("NFPA 1989"), None, today).unwrap();
        assert_eq!(
            report.verdict.overall,
            Overall::Passes,
            "{:?}",
            report.verdict
        );
        assert!(report.sample.invented);
        assert_eq!(report.sample.cylinder_pressure.as_deref(), Some("4500 psi"));
        let due = report.verdict.due.unwrap();
        assert_eq!(
            (due.state, due.latest_on.as_deref()),
            (DueState::Current, Some("2026-08-04"))
        );
        let european = judge_file(SAMPLE, Some("en 12021"), None, today).unwrap();
        assert_eq!(european.verdict.overall, Overall::Passes);
    }

    #[test]
    fn the_file_without_a_pressure_is_judged_too() {
        let text = "[results]\nco = \"8 ppm\"\n";
        let report = judge_file(text, Some("EN 12021"), None, None).unwrap();
        assert_eq!(report.verdict.overall, Overall::Fails);
        let failed = report
            .verdict
            .quantities
            .iter()
            .filter(|q| q.outcome == Outcome::Fails);
        assert_eq!(failed.count(), 1);
    }

    #[test]
    fn an_own_standard_is_used_and_its_lines_are_told() {
        let own = "standard,Club\nedition,2026\nquantity,at_most,unit\nco,2,ppm\n";
        let text = "[results]\nco = \"3 ppm\"\n";
        let report = judge_file(text, None, Some(own), None).unwrap();
        assert_eq!(report.verdict.overall, Overall::Fails);
        let by_name = judge_file(text, Some("grade e"), Some(own), None).unwrap();
        assert_eq!(by_name.verdict.standard, "CGA G-7.1 Grade E");
        let wrong = messages(
            text,
            None,
            Some("standard,Club\nedition,1\nquantity,at_most,unit\nco,2,bar\n"),
        );
        assert!(
            wrong[0].starts_with("line 4: `2 bar` is not an amount"),
            "{wrong:?}"
        );
    }

    #[test]
    fn every_problem_has_its_line_cause_and_remedy() {
        let text = "[sample]\ndate = \"2026-02-30\"\npoint = \"hose\"\ncylinder_pressure = \"300\"\n\
                    oil_free = \"no\"\nplace = \"shed\"\n\n[results]\noxigen = \"20.9 %\"\nco = 8\n\n[extra]\n";
        let told = messages(text, Some("EN 12012"), None);
        let expected = [
            "no standard called `EN 12012` is held: did you mean `EN 12021`?",
            "line 2: `2026-02-30` is no day of the calendar: write year-month-day, like \"2026-05-04\"",
            "line 3: `hose` is no sampling point: write \"outlet\" or \"cylinder\"",
            "line 4: \"300\" has no unit: write a gauge pressure such as 232 bar, 3300 psi, 23.2 MPa, 23200 kPa",
            "line 5: `oil_free` is yes or no: write true or false",
            "line 6: [sample] has no key `place`: use date, point, cylinder_pressure, oil_free, \
             last_passed, laboratory, invented",
            "line 9: `oxigen` is nothing an air test measures: did you mean `oxygen`?",
            "line 10: the value of `co` has no quotes and no unit: write `3 ppm`, `< 1 ppm`, \
             `3 ppm ± 1 ppm` or `4 mg/m3`",
            "line 12: `extra` is not a table of a results file: use [sample] and [results]",
        ];
        assert_eq!(told, expected);
    }

    #[test]
    fn mistakes_in_results_keep_their_line() {
        let text = "[sample]\ndate = 2026-06-01\n[results]\nco = \"-1 ppm\"\noil = \"5 ppm\"\n";
        let told = messages(text, Some("EN 12021"), None);
        let starts = [
            "line 4: `-1 ppm` is below zero",
            "line 5: `5 ppm` is not an amount of oil",
            "line 2: the sample is dated 2026-06-01, after today",
        ];
        for (message, start) in told.iter().zip(starts) {
            assert!(message.starts_with(start), "{message}");
        }
        assert_eq!(told.len(), starts.len(), "{told:?}");
    }

    #[test]
    fn what_is_not_toml_or_empty() {
        let told = messages("[results]\nco = 8 ppm\n", Some("EN 12021"), None);
        assert!(
            told[0].starts_with("line 2: this cannot be read"),
            "{told:?}"
        );
        assert_eq!(
            messages("", Some("EN 12021"), None),
            ["the table [results] is missing: add it with one line a quantity"]
        );
        assert!(messages(SAMPLE, None, None)[0].starts_with("no standard is named"));
        assert!(
            messages("[results]\n", Some("EN 12021"), None)[0].starts_with("no result is given")
        );
    }

    /// A file may be cut anywhere.
    #[test]
    fn every_cut_is_answered() {
        for at in (0..SAMPLE.len()).filter(|&at| SAMPLE.is_char_boundary(at)) {
            if let Err(problems) = judge_file(&SAMPLE[..at], Some("NFPA 1989"), None, None) {
                assert!(!problems.is_empty());
            }
        }
    }
}
