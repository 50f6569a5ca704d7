//! Reading a results file: TOML with the line of everything in it.
//!
//! Every problem is told, not only the first. Not here: what comes of the results ([`super`]), other
//! forms in which results are sent ([`super::sent`]).

use std::ops::Range;

use insight::air::{At, Context, Measurand, Measured, Point, Results};
use quantity::{GaugePressure, Typed, parse};
use station::Date;
use toml_edit::{Document, Item, TableLike, TomlError, Value};

use super::{AirProblem, Sample, Text};

/// A results file, read.
#[derive(Default)]
pub(super) struct AirFile {
    pub(super) results: Results,
    pub(super) context: Context,
    laboratory: Option<String>,
    invented: bool,
    /// The line of each result, and that of the date.
    lines: Vec<usize>,
    date_line: Option<usize>,
}

/// Keys of `[sample]`.
pub(super) const SAMPLE_KEYS: [&str; 7] = [
    "date",
    "point",
    "cylinder_pressure",
    "oil_free",
    "last_passed",
    "laboratory",
    "invented",
];

impl AirFile {
    pub(super) fn read(text: &str, today: Option<Date>, problems: &mut Vec<AirProblem>) -> AirFile {
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

    pub(super) fn line_of(&self, at: At) -> Option<usize> {
        match at {
            At::Result(place) => self.lines.get(place).copied(),
            At::Sampled => self.date_line,
            At::Whole | At::Line(_) => None,
        }
    }

    pub(super) fn sample(&self) -> Sample {
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

pub(super) fn problem(
    line: Option<usize>,
    cause: impl Into<String>,
    remedy: impl Into<String>,
) -> AirProblem {
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
