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
use crate::usecase::book::form::{FILL_LINE, Form, Given};
use crate::usecase::book::gate;
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
    /// The name is that of the session.
    by_fixed: bool,
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
    show(&page(sheet, form, &given, &[], &person, None))
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
        .filter(|(name, _)| form.field(name).is_some() || is_of_line(form, name))
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
        let done = match form.kind {
            book::Kind::Fill => gated(app, &fields, &who),
            _ => add::add(&app.book, form, &fields, &who),
        };
        (Sheet::of(app, Place::Book, form.about), done)
    })
    .await?;
    let person = Person {
        name: by.clone(),
        ..person
    };
    match done {
        Ok(added) => {
            let shown = show(&page(sheet, form, &[], &[], &person, Some(added)))?;
            Ok(remember(shown, &by.unwrap_or_default()))
        }
        Err(troubles) => {
            let mut shown = show(&page(sheet, form, &kept, &troubles, &person, None))?;
            *shown.status_mut() = axum::http::StatusCode::UNPROCESSABLE_ENTITY;
            Ok(shown)
        }
    }
}

/// A fill, behind the fill gate: a refusal is in the book, and told here.
fn gated(app: &App, given: &Given, who: &Who<'_>) -> Result<Added, Vec<Trouble>> {
    let filled = gate::fill(&app.book, given, who)?;
    if filled.written {
        return Ok(filled.added);
    }
    let told = |refusal: &insight::cylinder::answer::Refusal| {
        Trouble::new(refusal.what.clone(), refusal.way_forward.clone())
    };
    Err(filled.verdict.refusals.iter().map(told).collect())
}

fn is_of_line(form: &Form, name: &str) -> bool {
    form.kind == book::Kind::Fill && FILL_LINE.iter().any(|field| field.name == name)
}

fn page(
    sheet: Sheet,
    form: &'static Form,
    given: &[(String, String)],
    troubles: &[Trouble],
    person: &Person,
    added: Option<Added>,
) -> EntryPage {
    let inputs = inputs(form.fields, given, troubles);
    EntryPage {
        wrong: about_none(troubles, &inputs),
        sheet,
        form,
        inputs,
        by: person.name.clone().unwrap_or_default(),
        by_fixed: person.is_signed_in(),
        at: String::new(),
        added,
    }
}

fn unknown(trouble: Trouble) -> PageError {
    PageError::from(trouble).way("/book", "Book")
}
