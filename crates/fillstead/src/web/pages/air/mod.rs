//! The air: results judged by a standard, written down, how they move, what to do when one fails.
//!
//! No page says that air is safe: a test speaks of one sample.

mod beside;
mod convert;
mod sent;
#[cfg(test)]
mod tests;
mod verdict;

use std::sync::Arc;

use askama::Template;
use axum::Router;
use axum::extract::{Form as Posted, Path, Query, State};
use axum::http::StatusCode;
use axum::response::Response;
use axum::routing::{get, post};
use insight::air::{Measurand, Overall, Verdict, standards};

use convert::{ConvertBox, convert_box};
use sent::Pasted;
use verdict::Judged;

use super::book::{DueRow, Plotted, due_row};
use crate::usecase::Trouble;
use crate::usecase::air::sent::Sent;
use crate::usecase::air::under_every_standard;
use crate::usecase::book::air::{self, Air, Typed as Results, field_of, judge_typed, verdict_of};
use crate::usecase::book::air_test;
use crate::usecase::book::desk::Who;
use crate::usecase::book::form::Given;
use crate::usecase::book::shelf::shelf;
use crate::usecase::book::trace::{self, BatchPage};
use crate::web::App;
use crate::web::page::{PageError, Place, Sheet, in_sentences, see_other, sentence, show, work};
use crate::web::person::{Person, remember};
use crate::web::typed::Typed;
use crate::words::capital;

/// Pages of the air.
pub fn router() -> Router<Arc<App>> {
    Router::new()
        .route("/air", get(page))
        .route("/air/results", post(sent::look))
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
    /// Results sent as a text.
    pasted: Pasted,
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
    let name = standard.clone().unwrap_or_default();
    let tried = tried(&typed, &name, &air);
    let beside = |text: &str| under_every_standard(text, Some(air.today)).ok();
    let judged = match tried.judged {
        Some((verdict, text)) => {
            let fails = verdict.overall == Overall::Fails;
            let aside = fails.then(|| since_last_pass(app, &air)).transpose()?;
            Some(Judged::of(verdict, aside.flatten(), beside(&text)))
        }
        None => None,
    };
    let found = Found {
        judged,
        errors: tried.errors,
        pasted: tried.pasted,
        wrong,
    };
    Ok(AirView {
        by,
        ..filled(app, &air, &typed, &name, found)
    })
}

/// What came of holding what was typed or sent against a standard.
#[derive(Default)]
struct Tried {
    /// The verdict, and the results as a file.
    judged: Option<(Verdict, String)>,
    errors: Vec<(String, Trouble)>,
    pasted: Pasted,
}

fn tried(typed: &Typed, standard: &str, air: &Air) -> Tried {
    if let Some(text) = sent::text(typed) {
        let (pasted, judged) = sent::judged(text, standard, air.today);
        return Tried {
            judged,
            pasted,
            ..Tried::default()
        };
    }
    let results = Results {
        given: &typed.0,
        invented: air.invented,
    };
    let done = match (results.any(), standard) {
        (false, _) => return Tried::default(),
        (true, "") => {
            let remedy = "choose the one that governs this station";
            let trouble = Trouble::new("no standard is chosen", remedy);
            Err(vec![("standard".to_owned(), trouble)])
        }
        (true, standard) => judge_typed(&results, standard, air.today),
    };
    match done {
        Ok(verdict) => Tried {
            judged: Some((verdict, results.file().0)),
            ..Tried::default()
        },
        Err(errors) => Tried {
            errors,
            ..Tried::default()
        },
    }
}

/// What came of what was typed.
struct Found {
    judged: Option<Judged>,
    errors: Vec<(String, Trouble)>,
    pasted: Pasted,
    wrong: Vec<String>,
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

fn filled(app: &App, air: &Air, typed: &Typed, name: &str, found: Found) -> AirView {
    let Found {
        judged,
        errors,
        pasted,
        mut wrong,
    } = found;
    let fields: Vec<Field> = Measurand::ALL
        .into_iter()
        .map(|what| field(what, typed, &errors))
        .collect();
    let other = errors
        .iter()
        .filter(|(at, _)| fields.iter().all(|field| field.name != *at));
    wrong.extend(other.map(|(_, trouble)| in_sentences(trouble)));
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
        pasted,
        by: String::new(),
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
        .map(|(_, t)| in_sentences(t))
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
            let wrong = troubles.iter().map(in_sentences).collect();
            Err(Box::new(view(app, typed.0, author, wrong)))
        }
    })
    .await?;
    match done {
        Ok(entry) => Ok(remember(see_other(&format!("/air/test/{entry}")), &by)),
        Err(view) => keeps(&(*view)?, true),
    }
}

/// The page with what was given; refused or not.
fn keeps(view: &AirView, refused: bool) -> Result<Response, PageError> {
    let mut shown = show(view)?;
    if refused {
        *shown.status_mut() = StatusCode::UNPROCESSABLE_ENTITY;
    }
    Ok(shown)
}

fn written(app: &App, typed: &Typed, by: &str) -> Result<u64, Vec<Trouble>> {
    let text = match sent::text(typed) {
        Some(text) => {
            let (sent, problems) = Sent::understood(text);
            if !problems.is_empty() {
                let remedy = "mend the lines named below";
                let what = "the results cannot be read as they are";
                return Err(vec![Trouble::new(what, remedy)]);
            }
            sent.text
        }
        None => {
            let invented = air::air(&app.book).map_err(|t| vec![t])?.invented;
            let results = Results {
                given: &typed.0,
                invented,
            };
            results.file().0
        }
    };
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
    locks: bool,
}

/// Whether this entry keeps filling locked today.
fn locks(app: &App, entry: u64) -> Result<bool, Trouble> {
    let shelf = app.shelf.get(&app.book, "", || shelf(&app.book, None))?;
    Ok(shelf.locks.iter().any(|lock| lock.entry == entry))
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
            sentence: sentence(&found.body.sentence),
            results: found.body.results.clone(),
            judged: verdict_of(&found.body).map(|verdict| {
                let beside = under_every_standard(&found.body.results, None).ok();
                Judged::of(verdict, None, beside)
            }),
            locks: locks(app, found.entry)?,
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
