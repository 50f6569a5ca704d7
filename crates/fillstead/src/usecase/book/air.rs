//! The air by the book: the standard in force, the tests so far, how each quantity moves, when the
//! next sample is due, what would be set aside.
//!
//! Not here: limits and verdicts ([`insight::air`]), writing a test down ([`super::air_test`]).

use std::path::Path;

use book::answer::station::rules_in_force;
use book::body::{AirTest, Kind, Outcome};
use book::{Body, Book, Wanted};
use insight::air::{Measurand, Reading, Verdict, standards};
use insight::upkeep::{DueItem, air_sample};
use quantity::GaugePressure;
use station::Date;

use super::desk;
use super::list::{title, today};
use super::records::day;
use crate::draw::points::{self, Points, Value};
use crate::draw::{Drawing, Table};
use crate::usecase::air::judge_file;
use crate::usecase::air::sent::quoted;
use crate::usecase::clock::Zone;
use crate::usecase::units::whole;
use crate::usecase::{Trouble, air};

/// The air by the book.
pub struct Air {
    /// The standard in force; none: not chosen yet.
    pub standard: Option<String>,
    /// Demonstration data.
    pub invented: bool,
    /// Today.
    pub today: Date,
    /// Every test, latest first.
    pub tests: Vec<Test>,
    /// When the next sample is due; none without a standard.
    pub due: Option<DueItem>,
    /// Each quantity that was counted more than once.
    pub trends: Vec<(Drawing, Table)>,
}

/// A test in the book.
pub struct Test {
    /// Its entry.
    pub entry: u64,
    /// When it was entered.
    pub entered: String,
    /// What was written down.
    pub body: AirTest,
    /// Day of the sample, as a number; of the entry where the sample's is not known.
    day: f64,
    date: String,
}

/// So many tests are drawn.
const MOST: usize = 40;

/// The air by this book.
pub fn air(path: &Path) -> Result<Air, Trouble> {
    let book = desk::read(path)?;
    let zone = desk::zone(&book)?;
    let (today, _) = today(&book, &zone, None)?;
    let standard = rules_in_force(&book, None)?.air_standard.map(|s| s.name);
    let tests = tests(&book, &zone)?;
    let sampled = tests.iter().filter_map(|t| Date::parse(&t.date)).max();
    let due = standard.as_deref().map(|name| {
        air_sample(name, standards(), sampled, today)
            .map_err(|mistake| Trouble::new(mistake.cause, mistake.remedy))
    });
    Ok(Air {
        invented: title(&book)?.1,
        due: due.transpose()?,
        trends: standard
            .as_deref()
            .map(|name| trends(&tests, name))
            .unwrap_or_default(),
        standard,
        today,
        tests,
    })
}

fn tests(book: &Book, zone: &Zone) -> Result<Vec<Test>, Trouble> {
    let wanted = Wanted {
        kinds: &[Kind::AirTest],
        latest: Some(MOST),
        ..Wanted::default()
    };
    let events = book.events(&wanted)?;
    let tests = events.into_iter().rev().filter_map(|event| {
        let Ok(Body::AirTest(body)) = event.body else {
            return None;
        };
        let sampled = body.sampled.as_deref().and_then(Date::parse);
        Some(Test {
            entry: event.seq,
            entered: zone.minute(event.happened),
            day: sampled.map_or_else(|| day(event.happened), super::shelf::day_number),
            date: body
                .sampled
                .clone()
                .unwrap_or_else(|| zone.day_text(event.happened)),
            body,
        })
    });
    Ok(tests.collect())
}

/// The results of one test, judged again by this standard; none where they do not read.
fn judged(test: &Test, standard: &str) -> Option<Verdict> {
    let report = judge_file(&test.body.results, Some(standard), None, None).ok()?;
    Some(report.verdict)
}

fn trends(tests: &[Test], standard: &str) -> Vec<(Drawing, Table)> {
    let verdicts: Vec<(&Test, Verdict)> = tests
        .iter()
        .rev()
        .filter_map(|test| Some((test, judged(test, standard)?)))
        .collect();
    let of = |what: Measurand| trend(what, &verdicts, standard);
    Measurand::ALL.into_iter().filter_map(of).collect()
}

fn trend(
    what: Measurand,
    verdicts: &[(&Test, Verdict)],
    standard: &str,
) -> Option<(Drawing, Table)> {
    let mut values = Vec::new();
    let mut bounds = None;
    let mut unit = what.unit();
    for (test, verdict) in verdicts {
        let Some(judged) = verdict.of(what) else {
            continue;
        };
        bounds = judged.bounds.or(bounds);
        if let Some(Reading::Counted(amount)) = &judged.reading {
            unit = amount.unit;
            values.push(Value {
                day: test.day,
                date: test.date.clone(),
                value: amount.value,
                low: if amount.below { 0.0 } else { amount.low },
                high: amount.high,
            });
        }
    }
    if values.len() < 2 {
        return None;
    }
    values.sort_by(|a, b| a.day.total_cmp(&b.day));
    let name = crate::words::capital(what.name());
    let plot = Points {
        title: format!("{name}, {unit}").replace("/m3", "/m³"),
        unit: format!("{name}, {unit}; thick line: limit of {standard}").replace("/m3", "/m³"),
        values,
        least: bounds.and_then(|b| b.least),
        most: bounds.and_then(|b| b.most),
        level: None,
        today: None,
        ahead: None,
        from_nothing: what != Measurand::Oxygen && what != Measurand::Nitrogen,
    };
    Some((points::draw(&plot), points::table(&plot)))
}

/// Results as typed into a form: fields of the sample, and of each quantity by its name.
pub struct Typed<'a> {
    /// What was typed, by name.
    pub given: &'a [(String, String)],
    /// Whether the book is a demonstration.
    pub invented: bool,
}

/// Fields of the sample in a form, and their keys in a file of results.
const OF_SAMPLE: [(&str, &str); 4] = [
    ("sampled", "date"),
    ("point", "point"),
    ("cylinder-pressure", "cylinder_pressure"),
    ("laboratory", "laboratory"),
];

/// The name of a quantity in a form.
pub fn field_of(what: Measurand) -> String {
    what.name().replace(' ', "-")
}

impl Typed<'_> {
    fn text(&self, name: &str) -> Option<&str> {
        let found = self.given.iter().find(|(other, _)| other == name);
        found
            .map(|(_, text)| text.trim())
            .filter(|text| !text.is_empty())
    }

    /// Whether any quantity was typed.
    pub fn any(&self) -> bool {
        Measurand::ALL
            .into_iter()
            .any(|what| self.text(&field_of(what)).is_some())
    }

    /// The same as a file of results, which the book keeps; and the field of each of its lines.
    pub fn file(&self) -> (String, Vec<String>) {
        let mut lines = vec!["[sample]".to_owned()];
        let mut fields = vec![String::new()];
        let mut put = |line: String, field: &str| {
            lines.push(line);
            fields.push(field.to_owned());
        };
        for (field, key) in OF_SAMPLE {
            if let Some(text) = self.text(field) {
                let text = match field {
                    "cylinder-pressure" => whole::<GaugePressure>(text),
                    _ => text.to_owned(),
                };
                put(format!("{key} = {}", quoted(&text)), field);
            }
        }
        if self.text("oil-free") == Some("yes") {
            put("oil_free = true".into(), "oil-free");
        }
        if self.invented {
            put("invented = true".into(), "");
        }
        put("[results]".into(), "");
        for what in Measurand::ALL {
            let field = field_of(what);
            if let Some(text) = self.text(&field) {
                put(
                    format!("{} = {}", field.replace('-', "_"), quoted(text)),
                    &field,
                );
            }
        }
        (lines.join("\n") + "\n", fields)
    }
}

/// A verdict on typed results, or what is wrong, each with its field.
pub fn judge_typed(
    typed: &Typed<'_>,
    standard: &str,
    today: Date,
) -> Result<Verdict, Vec<(String, Trouble)>> {
    let (text, fields) = typed.file();
    let judged = judge_file(&text, Some(standard), None, Some(today));
    judged.map(|report| report.verdict).map_err(|problems| {
        let told = |problem: air::AirProblem| {
            let line = problem.line.and_then(|line| fields.get(line - 1));
            let field = line.cloned().unwrap_or_default();
            (field, Trouble::new(problem.cause, problem.remedy))
        };
        problems.into_iter().map(told).collect()
    })
}

/// What a test came to, in a word.
pub fn word(outcome: Outcome) -> &'static str {
    match outcome {
        Outcome::Passes => "passes",
        Outcome::Fails => "fails",
        Outcome::CannotTell => "cannot tell",
    }
}

/// The verdict of a test in the book, by the standard it was judged by then; none where its results
/// do not read.
pub fn verdict_of(test: &AirTest) -> Option<Verdict> {
    let name = test
        .standard
        .rsplit_once(", ")
        .map_or(test.standard.as_str(), |(name, _)| name);
    let report = judge_file(&test.results, Some(name), None, None).ok()?;
    Some(report.verdict)
}
