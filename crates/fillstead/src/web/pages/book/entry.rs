//! One entry whole, with its corrections; and the form that corrects it.

use std::sync::Arc;

use askama::Template;
use axum::Router;
use axum::extract::{Form as Posted, Path, State};
use axum::http::StatusCode;
use axum::response::Response;
use axum::routing::get;

use crate::usecase::Trouble;
use crate::usecase::book::correct::{self as corrections, AsTyped, Change};
use crate::usecase::book::desk::Who;
use crate::usecase::book::form::{Given, whole};
use crate::usecase::book::list::{Row, Written, show as shown};
use crate::web::App;
use crate::web::inputs::{Input, about_none, inputs};
use crate::web::page::{PageError, Place, Sheet, see_other, show, work};
use crate::web::person::{Person, remember};
use crate::web::typed::Typed;

/// The pages of an entry.
pub fn router() -> Router<Arc<App>> {
    Router::new()
        .route("/book/entry/{seq}", get(entry))
        .route("/book/entry/{seq}/correct", get(form).post(correct))
}

/// One entry.
#[derive(Template)]
#[template(path = "web/book/entry.html")]
struct EntryView {
    sheet: Sheet,
    seq: u64,
    entry: Option<Row>,
    written: Vec<(Written, String)>,
}

/// `GET /book/entry/{seq}`.
async fn entry(
    State(app): State<Arc<App>>,
    Path(seq): Path<String>,
) -> Result<Response, PageError> {
    let seq = number(&seq)?;
    let view = work(&app, move |app| {
        let shown = shown(&app.book, seq)?;
        let with_body = |written: Written| {
            let body = serde_json::to_string_pretty(&written.body).unwrap_or_default();
            (written, body)
        };
        Ok::<_, Trouble>(EntryView {
            sheet: Sheet::of(app, Place::Book, &format!("Entry {seq}")),
            seq,
            entry: shown.entry,
            written: shown.written.into_iter().map(with_body).collect(),
        })
    })
    .await?;
    show(&view.map_err(|trouble| missing(&trouble))?)
}

fn number(text: &str) -> Result<u64, PageError> {
    text.parse().map_err(|_| {
        let what = format!("\"{text}\" is no number of an entry");
        missing(&Trouble::new(what, "entries are numbered from 1"))
    })
}

fn missing(trouble: &Trouble) -> PageError {
    let mut error = PageError::from(trouble.clone()).way("/book", "Book");
    error.status = StatusCode::NOT_FOUND;
    error
}

/// The form that corrects an entry.
#[derive(Template)]
#[template(path = "web/book/correct.html")]
struct CorrectView {
    sheet: Sheet,
    seq: u64,
    about: &'static str,
    inputs: Vec<Input>,
    why: String,
    at: String,
    by: String,
    wrong: Vec<String>,
}

/// `GET /book/entry/{seq}/correct`: the form as the entry stands.
async fn form(
    State(app): State<Arc<App>>,
    person: Person,
    Path(seq): Path<String>,
) -> Result<Response, PageError> {
    let seq = number(&seq)?;
    let (sheet, old) = with_entry(&app, seq).await?;
    let typed = Typed(old.given.clone());
    show(&view(
        sheet,
        seq,
        &old,
        &typed,
        person.name.unwrap_or_default(),
        &[],
    ))
}

async fn with_entry(app: &Arc<App>, seq: u64) -> Result<(Sheet, AsTyped), PageError> {
    let found = work(app, move |app| {
        let sheet = Sheet::of(app, Place::Book, &format!("Correct entry {seq}"));
        corrections::as_typed(&app.book, seq).map(|old| (sheet, old))
    })
    .await?;
    found.map_err(|trouble| missing(&trouble))
}

fn view(
    sheet: Sheet,
    seq: u64,
    old: &AsTyped,
    typed: &Typed,
    by: String,
    troubles: &[Trouble],
) -> CorrectView {
    let fields = old.form.map_or(&[][..], |form| form.fields);
    let inputs = inputs(sheet.units, fields, &typed.0, troubles);
    CorrectView {
        sheet,
        seq,
        about: old.form.map_or("", |form| form.about),
        wrong: about_none(troubles, &inputs),
        inputs,
        why: typed.shown("because"),
        at: typed.shown("at"),
        by,
    }
}

/// `POST /book/entry/{seq}/correct`. The reason is `because`: a form may have a `why` of its own.
async fn correct(
    State(app): State<Arc<App>>,
    person: Person,
    Path(seq): Path<String>,
    Posted(given): Posted<Given>,
) -> Result<Response, PageError> {
    let seq = number(&seq)?;
    let (sheet, old) = with_entry(&app, seq).await?;
    let typed = Typed(given);
    let by = person.author(typed.text("by")).unwrap_or_default();
    let withdraw = typed.text("do") == Some("withdraw");
    let given = if withdraw {
        Given::new()
    } else {
        old.changed(&typed.0)
    };
    let fields = old.form.map_or(&[][..], |form| form.fields);
    let (author, why) = (by.clone(), typed.shown("because"));
    let at = typed.own("at").filter(|_| !withdraw);
    let done = work(&app, move |app| {
        let change = Change {
            of: seq,
            why: &why,
            withdraw,
            given: whole(fields, &given),
        };
        let who = Who {
            by: Some(&author),
            at: at.as_deref(),
            zone: None,
        };
        corrections::correct(&app.book, &change, &who)
    })
    .await?;
    match done {
        Ok(_) => Ok(remember(see_other(&format!("/book/entry/{seq}")), &by)),
        Err(troubles) => {
            let mut shown = show(&view(sheet, seq, &old, &typed, by, &troubles))?;
            *shown.status_mut() = StatusCode::UNPROCESSABLE_ENTITY;
            Ok(shown)
        }
    }
}
