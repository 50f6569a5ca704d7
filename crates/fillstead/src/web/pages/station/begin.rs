//! The first page of a first owner: a few answers, and the book with its station is there.

use std::sync::Arc;

use askama::Template;
use axum::extract::{Form as Posted, State};
use axum::http::StatusCode;
use axum::response::Response;

use crate::usecase::Trouble;
use crate::usecase::book::desk::Who;
use crate::usecase::clock::{Zone, zones};
use crate::usecase::file::read_text;
use crate::usecase::first::{self, Known};
use crate::usecase::questions::{QUESTIONS, Question, When};
use crate::usecase::station_edit::save::{Revision, save};
use crate::web::App;
use crate::web::page::{PageError, Place, Sheet, in_sentences, see_other, show, work};
use crate::web::person::{Person, remember};

type Given = Vec<(String, String)>;

/// The form.
#[derive(Template)]
#[template(path = "web/station/begin.html")]
struct BeginPage {
    sheet: Sheet,
    /// Where it is sent.
    action: &'static str,
    /// Whether a book is begun too, and where.
    book: Option<String>,
    by: Field,
    zone: Field,
    zones: Vec<String>,
    rule: Field,
    rules: Vec<Choice>,
    standard: Field,
    standards: Vec<Choice>,
    questions: Vec<Field>,
    file: Field,
    general: Vec<String>,
}

/// One input.
struct Field {
    name: &'static str,
    label: String,
    example: &'static str,
    value: String,
    needed: bool,
    error: Option<String>,
}

/// One thing to choose, with its source.
struct Choice {
    value: String,
    label: String,
    source: String,
    chosen: bool,
}

/// `GET /begin`: the empty form.
pub(super) async fn empty(
    State(app): State<Arc<App>>,
    person: Person,
) -> Result<Response, PageError> {
    if first::is_there(&app.book) {
        return Ok(see_other("/"));
    }
    let page = work(&app, move |app| {
        let mut given = vec![
            ("by".to_owned(), person.name.unwrap_or_default()),
            ("zone".to_owned(), Zone::of_this_machine().name),
        ];
        let file = app
            .station_file
            .as_ref()
            .and_then(|file| read_text(file).ok());
        given.extend(file.map(|text| ("file".to_owned(), text)));
        page(app, &given, &[])
    })
    .await?;
    show(&page)
}

/// `POST /begin`: makes the book, or tells what is wrong beside each input.
pub(super) async fn begin(
    State(app): State<Arc<App>>,
    Posted(given): Posted<Given>,
) -> Result<Response, PageError> {
    let by = first::given(&given, "by").unwrap_or_default().to_owned();
    let done = work(&app, move |app| {
        first::begin(&app.book, &given).map_err(|troubles| Box::new(page(app, &given, &troubles)))
    })
    .await?;
    answer(done, &by)
}

/// `GET /station/describe`: the same questions for a book that has no station yet.
pub(super) async fn describe(
    State(app): State<Arc<App>>,
    person: Person,
) -> Result<Response, PageError> {
    let page = work(&app, move |app| {
        let given = [("by".to_owned(), person.name.unwrap_or_default())];
        page(app, &given, &[])
    })
    .await?;
    show(&page)
}

/// `POST /station/describe`: the first station file of this book.
pub(super) async fn described(
    State(app): State<Arc<App>>,
    person: Person,
    Posted(given): Posted<Given>,
) -> Result<Response, PageError> {
    let by = person
        .author(first::given(&given, "by"))
        .unwrap_or_default();
    let author = by.clone();
    let done = work(&app, move |app| {
        enter(app, &given, &author).map_err(|troubles| Box::new(page(app, &given, &troubles)))
    })
    .await?;
    answer(done, &by)
}

fn enter(app: &App, given: &Given, by: &str) -> Result<(), Vec<Trouble>> {
    let text = first::text(given)?;
    let revision = Revision {
        text: &text,
        from: None,
        why: "first description of the station",
        disk: app.station_file.as_deref(),
    };
    let who = Who {
        by: Some(by),
        ..Who::default()
    };
    save(&app.book, &revision, &who).map(|_| ())
}

fn answer(done: Result<(), Box<BeginPage>>, by: &str) -> Result<Response, PageError> {
    match done {
        Ok(()) => Ok(remember(see_other("/"), by)),
        Err(page) => {
            let mut shown = show(&*page)?;
            *shown.status_mut() = StatusCode::UNPROCESSABLE_ENTITY;
            Ok(shown)
        }
    }
}

fn page(app: &App, given: &Typed, troubles: &[Trouble]) -> BeginPage {
    let new = !first::is_there(&app.book);
    let field =
        |name, label: &str, example, needed| field(given, troubles, name, label, example, needed);
    let questions: Vec<Field> = QUESTIONS
        .iter()
        .map(|q| {
            let needed = q.when == When::Needed || q.field == "charging-rate";
            field(q.field, asked(q), q.example, needed)
        })
        .collect();
    let rule = field("rule", "Rule for requalifying cylinders", "", false);
    let standard = field("standard", "Standard for the air", "", false);
    let mut page = BeginPage {
        sheet: match new {
            true => Sheet::of(app, Place::Station, "Begin"),
            false => Sheet::of(app, Place::Station, "Describe the station"),
        },
        action: if new { "/begin" } else { "/station/describe" },
        book: new.then(|| app.book.display().to_string()),
        by: field("by", "Your name or initials", "MK", true),
        zone: field("zone", "Time zone of the station", "Europe/Dublin", false),
        zones: zones(),
        rules: choices(first::rules(), &rule.value),
        rule,
        standards: choices(first::standards(), &standard.value),
        standard,
        questions,
        file: field("file", "The whole file", "", false),
        general: Vec::new(),
    };
    page.general = general(&page, troubles);
    page
}

type Typed = [(String, String)];

/// A question as it reads beside all others: on a page nothing comes "then".
fn asked(question: &Question) -> &'static str {
    match question.field {
        "free-air-delivery" => "Or the free air delivered, from the plate or the manual?",
        "pmv-closes" => "Pressure maintaining valve: at which pressure does it close?",
        "water-volume" => "Water volume of that kind, as stamped?",
        "cylinder-pressure" => "Working (service) pressure stamped on that kind?",
        _ => question.ask,
    }
}

/// Troubles that no input shows.
fn general(page: &BeginPage, troubles: &[Trouble]) -> Vec<String> {
    let fields = [&page.by, &page.zone, &page.rule, &page.standard, &page.file];
    let shown: Vec<&str> = fields
        .into_iter()
        .chain(&page.questions)
        .map(|field| field.name)
        .collect();
    let other = |t: &&Trouble| t.field.is_none_or(|field| !shown.contains(&field));
    troubles.iter().filter(other).map(in_sentences).collect()
}

fn field(
    given: &Typed,
    troubles: &[Trouble],
    name: &'static str,
    label: &str,
    example: &'static str,
    needed: bool,
) -> Field {
    let value = given.iter().rev().find(|(other, _)| other == name);
    let wrong: Vec<String> = troubles
        .iter()
        .filter(|trouble| trouble.field == Some(name))
        .map(in_sentences)
        .collect();
    Field {
        name,
        label: label.to_owned(),
        example,
        value: value.map(|(_, text)| text.clone()).unwrap_or_default(),
        needed,
        error: (!wrong.is_empty()).then(|| wrong.join(" ")),
    }
}

/// Things to choose, one of them chosen.
fn choices(all: Vec<Known>, chosen: &str) -> Vec<Choice> {
    let choice = |known: Known| Choice {
        chosen: known.name == chosen,
        value: known.name,
        label: known.called,
        source: known.source,
    };
    all.into_iter().map(choice).collect()
}
