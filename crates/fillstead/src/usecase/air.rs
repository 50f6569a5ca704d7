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
//! Only `[results]` is needed. Not here: limits and their outcome (`insight::air`), files on the
//! disk, the clock.

use std::fmt;
use std::ops::Range;

use insight::air::{
    At, Context, Measurand, Measured, Mistake, Point, Results, Standard, Verdict, find, judge,
    standards,
};
use quantity::{GaugePressure, Typed, parse};
use serde::Serialize;
use station::Date;
use toml_edit::{Document, Item, TableLike, TomlError, Value};

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
    let verdict = judge(&file.results, standard, &file.context).map_err(|mistakes| {
        let place = |m: Mistake| {
            let line = file.line_of(m.at);
            told(Text::Results, m, line)
        };
        mistakes.into_iter().map(place).collect::<Vec<_>>()
    })?;
    Ok(AirReport {
        sample: file.sample(),
        verdict,
    })
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

/// A results file, read.
#[derive(Default)]
struct AirFile {
    results: Results,
    context: Context,
    laboratory: Option<String>,
    invented: bool,
    /// The line of each result, and that of the date.
    lines: Vec<usize>,
    date_line: Option<usize>,
}

/// Keys of `[sample]`.
const SAMPLE_KEYS: [&str; 7] = [
    "date",
    "point",
    "cylinder_pressure",
    "oil_free",
    "last_passed",
    "laboratory",
    "invented",
];

impl AirFile {
    fn read(text: &str, today: Option<Date>, problems: &mut Vec<AirProblem>) -> AirFile {
        let mut file = AirFile::default();
        file.context.today = today;
        let document = match Document::parse(text) {
            Ok(document) => document,
            Err(error) => {
                problems.push(not_toml(text, &error));
                return file;
            }
        };
        let mut page = Page { text, problems };
        for (name, item) in document.as_table().iter() {
            let line = page.line(document.as_table(), name, item);
            match (name, item.as_table_like()) {
                ("sample", Some(table)) => file.sample_table(&mut page, table),
                ("results", Some(table)) => file.results_table(&mut page, table),
                ("sample" | "results", None) => {
                    page.tell(
                        line,
                        format!("`{name}` is no table"),
                        format!("write [{name}]"),
                    );
                }
                _ => page.tell(
                    line,
                    format!("`{name}` is not a table of a results file"),
                    "use [sample] and [results]",
                ),
            }
        }
        if !document.as_table().contains_key("results") {
            page.tell(
                None,
                "the table [results] is missing",
                "add it with one line a quantity",
            );
        }
        file
    }

    fn sample_table(&mut self, page: &mut Page, table: &dyn TableLike) {
        for (key, item) in table.iter() {
            let line = page.line(table, key, item);
            let text = words(item);
            let flag = item.as_bool();
            match (key, text.as_deref(), flag) {
                ("date", Some(text), _) => {
                    self.results.sampled = page.date(line, text);
                    self.date_line = line;
                }
                ("last_passed", Some(text), _) => {
                    self.context.last_passed = page.date(line, text);
                }
                ("point", Some(text), _) => self.context.point = page.point(line, text),
                ("cylinder_pressure", Some(text), _) => {
                    self.context.cylinder_pressure = page.pressure(line, text);
                }
                ("laboratory", Some(text), _) => self.laboratory = Some(text.to_owned()),
                ("oil_free", _, Some(flag)) => self.context.oil_free = flag,
                ("invented", _, Some(flag)) => self.invented = flag,
                ("oil_free" | "invented", ..) => {
                    page.tell(line, format!("`{key}` is yes or no"), "write true or false");
                }
                (known, ..) if SAMPLE_KEYS.contains(&known) => {
                    page.tell(
                        line,
                        format!("`{key}` is not in quotes"),
                        "put the value in quotes",
                    );
                }
                _ => {
                    let cause = format!("[sample] has no key `{key}`");
                    page.tell(line, cause, format!("use {}", SAMPLE_KEYS.join(", ")));
                }
            }
        }
    }

    fn results_table(&mut self, page: &mut Page, table: &dyn TableLike) {
        for (key, item) in table.iter() {
            let line = page.line(table, key, item);
            let Some(what) = Measurand::named(key) else {
                let known: Vec<&str> = Measurand::ALL.iter().map(|m| m.name()).collect();
                let remedy = match Measurand::near(key) {
                    Some(near) => format!("did you mean `{}`?", near.replace(' ', "_")),
                    None => format!(
                        "use {}",
                        known.join(", ").replace(' ', "_").replace(",_", ", ")
                    ),
                };
                page.tell(
                    line,
                    format!("`{key}` is nothing an air test measures"),
                    remedy,
                );
                continue;
            };
            let Some(text) = words(item) else {
                let cause = format!("the value of `{key}` has no quotes and no unit");
                page.tell(line, cause, format!("write {}", what.examples()));
                continue;
            };
            self.results.values.push(Measured::new(what, &text));
            self.lines.push(line.unwrap_or_default());
        }
    }

    fn line_of(&self, at: At) -> Option<usize> {
        match at {
            At::Result(place) => self.lines.get(place).copied(),
            At::Sampled => self.date_line,
            At::Whole | At::Line(_) => None,
        }
    }

    fn sample(&self) -> Sample {
        Sample {
            date: self.results.sampled.map(|day| day.to_string()),
            point: self.context.point,
            cylinder_pressure: self
                .context
                .cylinder_pressure
                .map(|typed| typed.to_string()),
            laboratory: self.laboratory.clone(),
            invented: self.invented,
        }
    }
}

/// The text being read, and what is wrong with it.
struct Page<'a> {
    text: &'a str,
    problems: &'a mut Vec<AirProblem>,
}

impl Page<'_> {
    fn tell(&mut self, line: Option<usize>, cause: impl Into<String>, remedy: impl Into<String>) {
        self.problems.push(problem(line, cause, remedy));
    }

    fn line(&self, table: &dyn TableLike, key: &str, item: &Item) -> Option<usize> {
        let span: Option<Range<usize>> = table.key(key).and_then(|k| k.span()).or(item.span());
        span.map(|span| line_at(self.text, span.start))
    }

    fn date(&mut self, line: Option<usize>, text: &str) -> Option<Date> {
        let day = Date::parse(text.trim());
        if day.is_none() {
            let cause = format!("`{text}` is no day of the calendar");
            self.tell(line, cause, "write year-month-day, like \"2026-05-04\"");
        }
        day
    }

    fn point(&mut self, line: Option<usize>, text: &str) -> Option<Point> {
        let point = Point::named(text);
        if point.is_none() {
            let cause = format!("`{text}` is no sampling point");
            self.tell(line, cause, "write \"outlet\" or \"cylinder\"");
        }
        point
    }

    fn pressure(&mut self, line: Option<usize>, text: &str) -> Option<Typed<GaugePressure>> {
        match parse::<GaugePressure>(text) {
            Ok(typed) if typed.value.as_bar() > 0.0 && typed.value.as_bar() <= 1000.0 => {
                return Some(typed);
            }
            Ok(typed) => {
                let cause = format!("no cylinder is filled to {typed}");
                self.tell(
                    line,
                    cause,
                    "write the pressure stamped on it, with its unit",
                );
            }
            Err(error) => self.tell(line, error.cause(), error.remedy()),
        }
        None
    }
}

fn problem(line: Option<usize>, cause: impl Into<String>, remedy: impl Into<String>) -> AirProblem {
    AirProblem {
        text: Text::Results,
        line,
        cause: cause.into(),
        remedy: remedy.into(),
    }
}

/// Where the text is no TOML, in the words of its reader.
fn not_toml(text: &str, error: &TomlError) -> AirProblem {
    let line = error.span().map(|span| line_at(text, span.start));
    let said = error.message().lines().next().unwrap_or_default();
    problem(
        line,
        format!("this cannot be read: {said}"),
        "write key = \"value\", the value in quotes, and remarks after #",
    )
}

/// A text in quotes, or a bare date.
fn words(item: &Item) -> Option<String> {
    match item.as_value()? {
        Value::String(text) => Some(text.value().clone()),
        Value::Datetime(day) => Some(day.value().to_string()),
        _ => None,
    }
}

/// The line of a byte, counted from 1.
fn line_at(text: &str, at: usize) -> usize {
    let before = text.as_bytes().get(..at).unwrap_or(text.as_bytes());
    before.iter().filter(|&&b| b == b'\n').count() + 1
}

#[cfg(test)]
mod tests {
    use super::*;
    use insight::air::{DueState, Outcome, Overall};

    const SAMPLE: &str = include_str!("../../../../stations/air-results.toml");

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
