//! The air: results judged by a standard, written down, how they move, what to do when one fails.
//!
//! No page says that air is safe: a test speaks of one sample.

#[cfg(test)]
mod tests;

use std::sync::Arc;

use askama::Template;
use axum::Router;
use axum::extract::{Form as Posted, Path, Query, State};
use axum::http::StatusCode;
use axum::response::Response;
use axum::routing::{get, post};
use insight::air::{DueState, Measurand, Overall, Verdict, standards};
use insight::convert::{Converted, Points};

use super::book::{DueRow, Plotted, due_row};
use crate::draw::limits;
use crate::usecase::Trouble;
use crate::usecase::air::capital;
use crate::usecase::book::air::{self, Air, Typed as Results, field_of, judge_typed, verdict_of};
use crate::usecase::book::air_test;
use crate::usecase::book::desk::Who;
use crate::usecase::book::form::Given;
use crate::usecase::book::trace::{self, BatchPage};
use crate::usecase::convert::{Asked as Conversion, converted};
use crate::web::App;
use crate::web::page::{PageError, Place, Sheet, see_other, sentence, show, work};
use crate::web::person::{Person, remember};
use crate::web::typed::Typed;

/// Pages of the air.
pub fn router() -> Router<Arc<App>> {
    Router::new()
        .route("/air", get(page))
        .route("/air/keep", post(keep))
        .route("/air/test/{entry}", get(test))
}

/// The air.
#[derive(Template)]
#[template(path = "web/air/main.html")]
struct AirView {
    sheet: Sheet,
    fields: Vec<Field>,
    standard: String,
    standards: Vec<(String, bool)>,
    sampled: String,
    point: String,
    cylinder_pressure: String,
    laboratory: String,
    oil_free: bool,
    by: String,
    wrong: Vec<String>,
    judged: Option<Judged>,
    sent: Vec<(String, String)>,
    tests: Vec<TestRow>,
    due: Option<DueRow>,
    trends: Vec<Plotted>,
    convert: ConvertBox,
}

/// A quantity to type.
struct Field {
    name: String,
    label: String,
    hint: String,
    value: String,
    error: Option<String>,
}

/// A test in the book, in a line.
struct TestRow {
    entry: u64,
    entered: String,
    sampled: String,
    standard: String,
    word: &'static str,
    mark: &'static str,
    laboratory: String,
}

/// A verdict on a page.
struct Judged {
    verdict: Verdict,
    mark: &'static str,
    title: &'static str,
    plot: Plotted,
    cannot: Vec<String>,
    due: String,
    aside: Option<BatchPage>,
}

impl Judged {
    fn of(verdict: Verdict, aside: Option<BatchPage>) -> Judged {
        let (mark, title) = match verdict.overall {
            Overall::Passes => ("m-normal", "Every limit is kept by this sample"),
            Overall::Fails => ("m-danger", "A limit is passed: fill nothing"),
            Overall::CannotTell => ("m-abnormal", "It cannot be told"),
        };
        let cannot = verdict
            .quantities
            .iter()
            .filter_map(|judged| match &judged.outcome {
                insight::air::Outcome::CannotTell { why, settle } => Some(format!(
                    "{}: {} {}",
                    capital(judged.what.name()),
                    sentence(why),
                    sentence(settle)
                )),
                _ => None,
            });
        Judged {
            mark,
            title,
            plot: Plotted::from((limits::draw(&verdict), limits::table(&verdict))),
            cannot: cannot.collect(),
            due: verdict.due.as_ref().map(due_text).unwrap_or_default(),
            aside: aside.filter(|_| verdict.overall == Overall::Fails),
            verdict,
        }
    }
}

fn due_text(due: &insight::air::Due) -> String {
    let latest = due
        .latest_on
        .as_deref()
        .unwrap_or("a day that is not known");
    let state = match due.state {
        DueState::Current => "not due yet",
        DueState::InWindow => "past the usual day",
        DueState::Overdue => "overdue",
        DueState::Unknown => "the day of this sample is not known",
    };
    let unverified = if due.unverified {
        ", not seen in the standard itself"
    } else {
        ""
    };
    format!(
        "Next sample by {latest}: {state} ({}{unverified}).",
        due.source
    )
}

/// The box that converts units.
struct ConvertBox {
    amount: String,
    of: String,
    at: String,
    rows: Vec<(String, String)>,
    notes: Vec<String>,
    wrong: String,
}

/// `GET /air`: the form, the verdict on what was typed, the tests so far.
async fn page(
    State(app): State<Arc<App>>,
    person: Person,
    Query(given): Query<Given>,
) -> Result<Response, PageError> {
    let by = person.name.unwrap_or_default();
    let view = work(&app, move |app| view(app, given, by, Vec::new())).await??;
    show(&view)
}

fn view(app: &App, given: Given, by: String, wrong: Vec<String>) -> Result<AirView, Trouble> {
    let air = air::air(&app.book)?;
    let typed = Typed(given);
    let standard = typed.own("standard").or(air.standard.clone());
    let results = Results {
        given: &typed.0,
        invented: air.invented,
    };
    let name = standard.clone().unwrap_or_default();
    let (judged, errors) = match (results.any(), name.as_str()) {
        (true, "") => (
            None,
            vec![(
                String::from("standard"),
                Trouble::new(
                    "no standard is chosen",
                    "choose the one that governs this station",
                ),
            )],
        ),
        (true, name) => match judge_typed(&results, name, air.today) {
            Ok(verdict) => (Some(verdict), Vec::new()),
            Err(troubles) => (None, troubles),
        },
        (false, _) => (None, Vec::new()),
    };
    let aside = || since_last_pass(app, &air);
    let judged = match judged {
        Some(verdict) if verdict.overall == Overall::Fails => Some(Judged::of(verdict, aside()?)),
        other => other.map(|verdict| Judged::of(verdict, None)),
    };
    Ok(filled(app, &air, &typed, &name, judged, &errors, by, wrong))
}

/// Who got air since the last test that passed: what a failed one sets aside.
fn since_last_pass(app: &App, air: &Air) -> Result<Option<BatchPage>, Trouble> {
    let passed = air
        .tests
        .iter()
        .find(|t| air::word(t.body.outcome) == "passes");
    let from = passed.map(|test| test.entry.to_string());
    trace::batch(&app.book, from.as_deref(), None).map(Some)
}

#[allow(clippy::too_many_arguments, reason = "one page gathers them all")]
fn filled(
    app: &App,
    air: &Air,
    typed: &Typed,
    name: &str,
    judged: Option<Judged>,
    errors: &[(String, Trouble)],
    by: String,
    mut wrong: Vec<String>,
) -> AirView {
    let told = |t: &Trouble| format!("{} {}", sentence(&t.what), sentence(&t.remedy));
    let fields: Vec<Field> = Measurand::ALL
        .into_iter()
        .map(|what| field(what, typed, errors))
        .collect();
    let other = errors
        .iter()
        .filter(|(at, _)| fields.iter().all(|field| field.name != *at));
    wrong.extend(other.map(|(_, trouble)| told(trouble)));
    let standards = standards().iter().map(|s| (s.name.clone(), s.name == name));
    AirView {
        sheet: Sheet::of(app, Place::Air, "Air"),
        fields,
        standard: name.to_owned(),
        standards: standards.collect(),
        sampled: typed.shown("sampled"),
        point: typed.shown("point"),
        cylinder_pressure: typed.shown("cylinder-pressure"),
        laboratory: typed.shown("laboratory"),
        oil_free: typed.text("oil-free") == Some("yes"),
        by,
        wrong,
        judged,
        sent: typed
            .0
            .iter()
            .filter(|(name, text)| !text.trim().is_empty() && name != "by")
            .cloned()
            .collect(),
        tests: air.tests.iter().map(row).collect(),
        due: air.due.as_ref().map(due_row),
        trends: air.trends.iter().cloned().map(Plotted::from).collect(),
        convert: convert_box(typed),
    }
}

fn field(what: Measurand, typed: &Typed, errors: &[(String, Trouble)]) -> Field {
    let name = field_of(what);
    let wrong: Vec<String> = errors
        .iter()
        .filter(|(at, _)| *at == name)
        .map(|(_, t)| format!("{} {}", sentence(&t.what), sentence(&t.remedy)))
        .collect();
    Field {
        label: capital(what.name()),
        hint: what.examples().replace('`', ""),
        value: typed.shown(&name),
        error: (!wrong.is_empty()).then(|| wrong.join(" ")),
        name,
    }
}

fn row(test: &air::Test) -> TestRow {
    let word = air::word(test.body.outcome);
    TestRow {
        entry: test.entry,
        entered: test.entered.clone(),
        sampled: test.body.sampled.clone().unwrap_or_default(),
        standard: test.body.standard.clone(),
        word,
        mark: match word {
            "passes" => "m-normal",
            "fails" => "m-danger",
            _ => "m-abnormal",
        },
        laboratory: test.body.laboratory.clone().unwrap_or_default(),
    }
}

fn convert_box(typed: &Typed) -> ConvertBox {
    let amount = typed.shown("amount");
    let of = typed.text("of").unwrap_or("water").to_owned();
    let mut shown = ConvertBox {
        amount,
        of,
        at: typed.shown("at-pressure"),
        rows: Vec::new(),
        notes: Vec::new(),
        wrong: String::new(),
    };
    if shown.amount.is_empty() {
        return shown;
    }
    let asked = Conversion {
        amount: shown.amount.clone(),
        of: Some(shown.of.clone()),
        at: typed.own("at-pressure"),
        ..Conversion::default()
    };
    match converted(&asked) {
        Ok(found) => {
            shown.rows = rows(&found);
            shown.notes = found.notes;
        }
        Err(t) => shown.wrong = format!("{} {}", sentence(&t.what), sentence(&t.remedy)),
    }
    shown
}

fn rows(found: &Converted) -> Vec<(String, String)> {
    let mut rows = vec![("Understood as".to_owned(), found.understood_as.clone())];
    let mut put = |name: &str, value: Option<f64>, unit: &str| {
        if let Some(value) = value {
            let digits = if value.abs() < 10.0 { 2 } else { 1 };
            rows.push((name.to_owned(), format!("{value:.digits$} {unit}")));
        }
    };
    put("By volume", found.ppm, "ppm");
    put("In air at 20 °C and 1 atm", Some(found.mg_m3), "mg/m³");
    put("By mass", found.mg_kg, "mg/kg");
    let mut points = |points: &Points, place: &str| {
        put(&format!("Dew point {place}"), points.dew_c, "°C");
        put(&format!("Dew point {place}"), points.dew_f, "°F");
        put(&format!("Frost point {place}"), points.frost_c, "°C");
        put(&format!("Frost point {place}"), points.frost_f, "°F");
    };
    if let Some(at) = &found.at_1_atm {
        points(at, "at 1 atm");
    }
    if let Some(at) = &found.at_pressure {
        points(at, &format!("at {:.0} bar gauge", at.gauge_bar));
    }
    rows
}

/// `POST /air/keep`: writes the results down. One that fails locks filling.
async fn keep(
    State(app): State<Arc<App>>,
    person: Person,
    Posted(given): Posted<Given>,
) -> Result<Response, PageError> {
    let typed = Typed(given);
    let by = person.author(typed.text("by")).unwrap_or_default();
    let author = by.clone();
    let done = work(&app, move |app| match written(app, &typed, &author) {
        Ok(entry) => Ok(entry),
        Err(troubles) => {
            let told = |t: &Trouble| format!("{} {}", sentence(&t.what), sentence(&t.remedy));
            let wrong = troubles.iter().map(told).collect();
            Err(view(app, typed.0, author, wrong))
        }
    })
    .await?;
    match done {
        Ok(entry) => Ok(remember(see_other(&format!("/air/test/{entry}")), &by)),
        Err(view) => {
            let mut shown = show(&view?)?;
            *shown.status_mut() = StatusCode::UNPROCESSABLE_ENTITY;
            Ok(shown)
        }
    }
}

fn written(app: &App, typed: &Typed, by: &str) -> Result<u64, Vec<Trouble>> {
    let invented = air::air(&app.book).map_err(|t| vec![t])?.invented;
    let results = Results {
        given: &typed.0,
        invented,
    };
    let (text, _) = results.file();
    let asked = air_test::Asked {
        results: &text,
        file: "the form",
        standard: typed.text("standard"),
        cylinder: typed.text("cylinder"),
    };
    let who = Who {
        by: Some(by),
        at: typed.text("at"),
        zone: None,
    };
    Ok(air_test::enter(&app.book, &asked, &who)?.added.seq)
}

/// One test of the book.
#[derive(Template)]
#[template(path = "web/air/test.html")]
struct TestView {
    sheet: Sheet,
    row: TestRow,
    sentence: String,
    results: String,
    judged: Option<Judged>,
    fails: bool,
}

/// `GET /air/test/{entry}`.
async fn test(
    State(app): State<Arc<App>>,
    Path(entry): Path<String>,
) -> Result<Response, PageError> {
    let view = work(&app, move |app| {
        let air = air::air(&app.book)?;
        let found = air
            .tests
            .iter()
            .find(|test| test.entry.to_string() == entry);
        let found = found.ok_or_else(|| {
            let what = format!("there is no air test at entry {entry}");
            Trouble::new(what, "the page of the air lists those there are")
        })?;
        Ok::<_, Trouble>(TestView {
            sheet: Sheet::of(app, Place::Air, "Air test"),
            row: row(found),
            sentence: found.body.sentence.clone(),
            results: found.body.results.clone(),
            judged: verdict_of(&found.body).map(|verdict| Judged::of(verdict, None)),
            fails: air::word(found.body.outcome) == "fails",
        })
    })
    .await?;
    let view = view.map_err(|trouble| {
        let mut error = PageError::from(trouble).way("/air", "Air");
        error.status = StatusCode::NOT_FOUND;
        error
    })?;
    show(&view)
}
