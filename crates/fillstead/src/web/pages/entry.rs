//! Entering something: the form of a kind of entry, and what came of it.
//!
//! Without script the typed texts come back with the page where something is wrong; with it they
//! are kept in the browser until they are in the book.

use std::sync::Arc;

use askama::Template;
use axum::Router;
use axum::extract::{Form as Posted, Path, State};
use axum::response::Response;
use axum::routing::get;

use crate::usecase::Trouble;
use crate::usecase::book::add::{self, Added};
use crate::usecase::book::desk::Who;
use crate::usecase::book::form::{Form, Given};
use crate::web::App;
use crate::web::inputs::{Input, about_none, inputs};
use crate::web::page::{PageError, Place, Sheet, show, work};
use crate::web::person::{Person, remember};

/// Pages that make entries.
pub fn router() -> Router<Arc<App>> {
    Router::new().route("/book/add/{form}", get(empty).post(enter))
}

/// A form, empty or with what is wrong.
#[derive(Template)]
#[template(path = "web/entry.html")]
struct EntryPage {
    sheet: Sheet,
    form: &'static Form,
    inputs: Vec<Input>,
    by: String,
    at: String,
    wrong: Vec<String>,
    added: Option<Added>,
}

/// `GET /book/add/{form}`: the empty form. What is in the address fills it in.
async fn empty(
    State(app): State<Arc<App>>,
    person: Person,
    Path(name): Path<String>,
    axum::extract::Query(given): axum::extract::Query<Given>,
) -> Result<Response, PageError> {
    let form = Form::named(&name).map_err(unknown)?;
    let sheet = work(&app, move |app| Sheet::of(app, Place::Book, form.about)).await?;
    show(&page(
        sheet,
        form,
        &given,
        &[],
        person.name.unwrap_or_default(),
        None,
    ))
}

/// `POST /book/add/{form}`: writes the entry, or shows what is wrong beside each input.
async fn enter(
    State(app): State<Arc<App>>,
    person: Person,
    Path(name): Path<String>,
    Posted(given): Posted<Given>,
) -> Result<Response, PageError> {
    let form = Form::named(&name).map_err(unknown)?;
    let text = |wanted: &str| {
        let found = given.iter().find(|(name, _)| name == wanted);
        found
            .map(|(_, text)| text.trim().to_owned())
            .filter(|text| !text.is_empty())
    };
    let (by, at) = (person.author(text("by").as_deref()), text("at"));
    let fields: Given = given
        .iter()
        .filter(|(name, _)| form.field(name).is_some())
        .cloned()
        .collect();
    let who = by.clone();
    let kept = fields.clone();
    let (sheet, done) = work(&app, move |app| {
        let who = Who {
            by: who.as_deref(),
            at: at.as_deref(),
            zone: None,
        };
        let done = add::add(&app.book, form, &fields, &who);
        (Sheet::of(app, Place::Book, form.about), done)
    })
    .await?;
    let by = by.unwrap_or_default();
    match done {
        Ok(added) => {
            let shown = show(&page(
                sheet,
                form,
                &Given::new(),
                &[],
                by.clone(),
                Some(added),
            ))?;
            Ok(remember(shown, &by))
        }
        Err(troubles) => {
            let mut shown = show(&page(sheet, form, &kept, &troubles, by, None))?;
            *shown.status_mut() = axum::http::StatusCode::UNPROCESSABLE_ENTITY;
            Ok(shown)
        }
    }
}

fn page(
    sheet: Sheet,
    form: &'static Form,
    given: &[(String, String)],
    troubles: &[Trouble],
    by: String,
    added: Option<Added>,
) -> EntryPage {
    let inputs = inputs(form.fields, given, troubles);
    EntryPage {
        wrong: about_none(troubles, &inputs),
        sheet,
        form,
        inputs,
        by,
        at: String::new(),
        added,
    }
}

fn unknown(trouble: Trouble) -> PageError {
    PageError::from(trouble).way("/book", "Book")
}
