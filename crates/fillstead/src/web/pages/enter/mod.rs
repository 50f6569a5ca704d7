//! Entering something: the form of a kind of entry, and what came of it.
//!
//! Without script the typed texts come back with the page where something is wrong; with it they
//! are kept in the browser until they are in the book. What was entered is told on a page of its
//! own, so that a reload sends nothing again.

mod done;
mod fill;
mod station;

use std::sync::Arc;

use askama::Template;
use axum::Router;
use axum::extract::{Extension, Form as Posted, Path, Query, State};
use axum::http::StatusCode;
use axum::response::Response;
use axum::routing::get;
use book::Kind;

pub use done::{Outcome, Tellings};

use crate::usecase::Trouble;
use crate::usecase::book::choices::{Choices, choices};
use crate::usecase::book::desk::Who;
use crate::usecase::book::form::{FILL_LINE, FORMS, Field, Form, Given, whole};
use crate::usecase::book::{add, gate};
use crate::web::App;
use crate::web::inputs::{Input, about_none, inputs, with_last};
use crate::web::page::{PageError, Place, Sheet, see_other, show, work};
use crate::web::person::{Person, remember};
use crate::web::typed::Typed;

/// Pages that make entries.
pub fn router() -> Router<Arc<App>> {
    Router::new()
        .route("/book/add", get(all))
        .route(
            "/book/add/station",
            get(station::empty).post(station::enter),
        )
        .route("/book/add/{form}", get(empty).post(enter))
        .route("/book/fill", get(fill::quick))
        .route("/book/done/{seq}", get(done::done))
        .layer(Extension(Arc::new(Tellings::default())))
}

/// Forms that belong together.
pub struct Group {
    /// What of.
    pub name: &'static str,
    /// Address and words of each.
    pub links: Vec<(String, &'static str)>,
}

const GROUPS: [(&str, &[&str]); 5] = [
    ("Run", &["start", "stop", "reading", "drain"]),
    ("Cylinders", &["cylinder", "inspection", "condemn", "left"]),
    (
        "Machine",
        &["replaced", "tested", "valve", "check", "interval", "park"],
    ),
    ("Air", &["symptom", "cause", "release"]),
    ("Book", &["rules", "price", "note"]),
];

/// Every form, in groups.
pub fn groups() -> Vec<Group> {
    let link = |name: &&str| {
        let form = FORMS.iter().find(|form| form.name == *name)?;
        Some((format!("/book/add/{name}"), form.about))
    };
    GROUPS
        .iter()
        .map(|(name, forms)| {
            let mut links: Vec<(String, &'static str)> = forms.iter().filter_map(link).collect();
            match *name {
                "Cylinders" => links.insert(
                    0,
                    ("/book/fill".into(), "A cylinder is filled: the quick way"),
                ),
                "Air" => links.insert(0, ("/air".into(), "Results of an air test")),
                "Machine" => links.push((
                    "/book/add/station".into(),
                    "The station file as it stands from here on",
                )),
                _ => {}
            }
            Group { name, links }
        })
        .collect()
}

/// Every form.
#[derive(Template)]
#[template(path = "web/enter/all.html")]
struct AllView {
    sheet: Sheet,
    groups: Vec<Group>,
}

/// `GET /book/add`.
async fn all(State(app): State<Arc<App>>) -> Result<Response, PageError> {
    let sheet = work(&app, |app| Sheet::of(app, Place::Book, "Enter something")).await?;
    show(&AllView {
        sheet,
        groups: groups(),
    })
}

/// A form, empty or with what is wrong.
#[derive(Template)]
#[template(path = "web/enter/form.html")]
struct FormView {
    sheet: Sheet,
    form: &'static Form,
    inputs: Vec<Input>,
    line: Vec<Input>,
    choices: Choices,
    rules: Vec<String>,
    standards: Vec<String>,
    by: String,
    at: String,
    wrong: Vec<String>,
    /// Whether what is shown was typed and sent: then the browser's own copy is older.
    sent: bool,
}

/// The fields beside a form that are asked and not kept: an override is asked only on a refusal.
fn line_of(form: &Form) -> &'static [Field] {
    match form.kind {
        Kind::Fill => FILL_LINE.get(..2).unwrap_or_default(),
        _ => &[],
    }
}

/// `GET /book/add/{form}`: the empty form. What is in the address fills it in.
async fn empty(
    State(app): State<Arc<App>>,
    person: Person,
    Path(name): Path<String>,
    Query(given): Query<Given>,
) -> Result<Response, PageError> {
    let form = Form::named(&name).map_err(unknown)?;
    let by = person.name.unwrap_or_default();
    show(&work(&app, move |app| view(app, form, &Typed(given), &[], by)).await??)
}

fn view(
    app: &App,
    form: &'static Form,
    typed: &Typed,
    troubles: &[Trouble],
    by: String,
) -> Result<FormView, Trouble> {
    let choices = choices(&app.book, form)?;
    let sheet = Sheet::of(app, Place::Book, form.about);
    let own = inputs(sheet.units, form.fields, &typed.0, troubles);
    let own = with_last(own, &choices.last);
    let line = inputs(sheet.units, line_of(form), &typed.0, troubles);
    let mut wrong = about_none(troubles, &own);
    if !line.is_empty() {
        let of_line = about_none(troubles, &line);
        wrong.retain(|text| of_line.contains(text));
    }
    Ok(FormView {
        sheet,
        form,
        inputs: own,
        line,
        choices,
        rules: insight::cylinder::known_rules()
            .iter()
            .map(|rule| rule.id.clone())
            .collect(),
        standards: insight::air::standards()
            .iter()
            .map(|s| s.name.clone())
            .collect(),
        by,
        at: typed.shown("at"),
        wrong,
        sent: !troubles.is_empty(),
    })
}

/// `POST /book/add/{form}`: writes the entry, or shows what is wrong beside each input.
async fn enter(
    State(app): State<Arc<App>>,
    Extension(tellings): Extension<Arc<Tellings>>,
    person: Person,
    Path(name): Path<String>,
    Posted(given): Posted<Given>,
) -> Result<Response, PageError> {
    let form = Form::named(&name).map_err(unknown)?;
    let typed = Typed(given);
    let by = person.author(typed.text("by")).unwrap_or_default();
    let author = by.clone();
    let done = work(&app, move |app| match written(app, form, &typed, &author) {
        Ok(outcome) => Ok(outcome),
        Err(troubles) => Err(Box::new(view(app, form, &typed, &troubles, author))),
    })
    .await?;
    match done {
        Ok(outcome) => {
            let seq = outcome.seq();
            tellings.put(seq, outcome);
            Ok(remember(see_other(&format!("/book/done/{seq}")), &by))
        }
        Err(view) => {
            let mut shown = show(&(*view)?)?;
            *shown.status_mut() = StatusCode::UNPROCESSABLE_ENTITY;
            Ok(shown)
        }
    }
}

fn written(
    app: &App,
    form: &'static Form,
    typed: &Typed,
    by: &str,
) -> Result<Outcome, Vec<Trouble>> {
    let who = Who {
        by: Some(by),
        at: typed.text("at"),
        zone: None,
    };
    let fields = form.fields.iter();
    let beside: &[Field] = if form.kind == Kind::Fill {
        FILL_LINE
    } else {
        &[]
    };
    let known = fields.chain(beside);
    let typed = whole(known.clone(), &typed.0);
    let mut given = typed.clone();
    given.retain(|(name, _)| known.clone().any(|field| field.name == name));
    if form.kind == Kind::Fill {
        let filled = gate::fill(&app.book, &given, &who)?;
        return Ok(Outcome::Filled(Box::new(filled), typed.clone()));
    }
    let added = add::add(&app.book, form, &given, &who)?;
    Ok(Outcome::Added(added, form.name, typed))
}

fn unknown(trouble: Trouble) -> PageError {
    let mut error = PageError::from(trouble).way("/book/add", "All forms");
    error.status = StatusCode::NOT_FOUND;
    error
}
