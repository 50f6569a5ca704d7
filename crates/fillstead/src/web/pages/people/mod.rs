//! Who may use the book over the network: looked after by a keeper, or by whoever is at the machine.
//!
//! Every change goes through [`crate::usecase::people`], as the command's does, and is a note in the
//! book. A PIN that was typed is never shown again. Not here: one's own PIN (`pin`), signing in
//! ([`super::sign`]).

mod pin;
#[cfg(test)]
mod tests;

use std::sync::Arc;

use askama::Template;
use axum::Router;
use axum::extract::{Form as Posted, Query, State};
use axum::http::StatusCode;
use axum::response::Response;
use axum::routing::{get, post};

use super::sign::HASHING;
use crate::usecase::Trouble;
use crate::usecase::book::add::Added;
use crate::usecase::book::form::Given;
use crate::usecase::people::{self, Role};
use crate::web::App;
use crate::web::address::one;
use crate::web::page::{PageError, Place, Sheet, in_sentences, see_other, show, work};
use crate::web::person::{Person, remember};
use crate::web::typed::Typed;

/// Pages of the people.
pub fn router() -> Router<Arc<App>> {
    Router::new()
        .route("/people", get(all))
        .route("/people/add", post(add))
        .route("/people/one", get(somebody))
        .route("/people/role", post(role))
        .route("/people/pin", post(new_pin))
        .route("/people/remove", post(remove))
        .merge(pin::router())
}

/// Somebody in a list.
struct Row {
    name: String,
    href: String,
    role: &'static str,
    may: &'static str,
}

/// A role to choose.
struct Choice {
    name: &'static str,
    may: &'static str,
    chosen: bool,
}

/// What every page here has.
struct Common {
    /// Only this machine reaches the server.
    machine: bool,
    by: String,
    /// The name is that of a session.
    signed: bool,
    roles: Vec<Choice>,
    wrong: Vec<Trouble>,
}

impl Common {
    /// What is wrong with one of these fields, in sentences.
    fn error(&self, name: &str) -> Option<String> {
        let of = |trouble: &&Trouble| trouble.field == Some(name);
        let all: Vec<String> = self.wrong.iter().filter(of).map(in_sentences).collect();
        (!all.is_empty()).then(|| all.join(" "))
    }

    /// What is wrong with none of these fields.
    fn besides(&self, fields: &[&str]) -> Vec<String> {
        let of = |trouble: &&Trouble| trouble.field.is_none_or(|field| !fields.contains(&field));
        self.wrong.iter().filter(of).map(in_sentences).collect()
    }
}

/// Everybody, and the form that lets somebody in.
#[derive(Template)]
#[template(path = "web/people/all.html")]
struct PeoplePage {
    sheet: Sheet,
    common: Common,
    people: Vec<Row>,
    name: String,
    /// The entry that the last change made.
    done: Option<u64>,
}

/// One person.
#[derive(Template)]
#[template(path = "web/people/one.html")]
struct PersonPage {
    sheet: Sheet,
    common: Common,
    name: String,
    role: Role,
    /// Whoever is signed in here: they give themselves a PIN elsewhere.
    own: bool,
}

fn common(app: &App, person: &Person, typed: &Typed, wrong: Vec<Trouble>) -> Common {
    let chosen = typed.text("role").unwrap_or(Role::default().name());
    let choice = |role: Role| Choice {
        name: role.name(),
        may: role.may(),
        chosen: role.name() == chosen,
    };
    Common {
        machine: app.loopback,
        by: person.author(typed.text("by")).unwrap_or_default(),
        signed: person.is_signed_in(),
        roles: Role::ALL.map(choice).into(),
        wrong,
    }
}

fn page(
    app: &App,
    person: &Person,
    typed: &Typed,
    wrong: Vec<Trouble>,
) -> Result<PeoplePage, Trouble> {
    let row = |entry: &people::Entry| Row {
        name: entry.name.clone(),
        href: one("/people/one", "name", &entry.name),
        role: entry.role.name(),
        may: entry.role.may(),
    };
    Ok(PeoplePage {
        sheet: Sheet::of(app, Place::Book, "People"),
        people: people::list(&app.book)?.iter().map(row).collect(),
        name: typed.shown("name"),
        done: typed.text("entry").and_then(|entry| entry.parse().ok()),
        common: common(app, person, typed, wrong),
    })
}

/// `GET /people`.
async fn all(
    State(app): State<Arc<App>>,
    person: Person,
    Query(given): Query<Given>,
) -> Result<Response, PageError> {
    let given: Given = given.into_iter().filter(|(n, _)| n == "entry").collect();
    let page = work(&app, move |app| {
        page(app, &person, &Typed(given), Vec::new())
    });
    show(&page.await??)
}

/// `POST /people/add`.
async fn add(
    State(app): State<Arc<App>>,
    person: Person,
    Posted(given): Posted<Given>,
) -> Result<Response, PageError> {
    let typed = Typed(given);
    let by = person.author(typed.text("by"));
    let _turn = HASHING.acquire().await;
    let done = work(&app, move |app| {
        let added = added(app, &typed, person.author(typed.text("by")).as_deref());
        added.map_err(|wrong| page(app, &person, &typed, wrong).map(Box::new))
    })
    .await?;
    match done {
        Ok(added) => Ok(changed(&added, by)),
        Err(page) => refused(show(&*page?)?),
    }
}

fn added(app: &App, typed: &Typed, by: Option<&str>) -> Result<Added, Vec<Trouble>> {
    let (pin, role) = (same_twice(typed), Role::named(&typed.shown("role")));
    let (pin, role) = match (pin, role) {
        (Ok(pin), Ok(role)) => (pin, role),
        (pin, role) => return Err([pin.err(), role.err()].into_iter().flatten().collect()),
    };
    people::add(&app.book, &typed.shown("name"), role, pin, by)
}

/// The PIN as typed, twice the same. Spaces around it are its own.
fn same_twice(typed: &Typed) -> Result<&str, Trouble> {
    people::twice(raw(typed, "pin"), raw(typed, "again"))
}

/// What was typed, with the spaces around it.
fn raw<'t>(typed: &'t Typed, name: &str) -> &'t str {
    let found = typed.0.iter().find(|(other, _)| other == name);
    found.map_or("", |(_, text)| text)
}

/// Goes on to everybody, with the entry that was made.
fn changed(added: &Added, by: Option<String>) -> Response {
    let answer = see_other(&one("/people", "entry", &added.seq.to_string()));
    match by {
        Some(name) => remember(answer, &name),
        None => answer,
    }
}

fn refused(mut answer: Response) -> Result<Response, PageError> {
    *answer.status_mut() = StatusCode::UNPROCESSABLE_ENTITY;
    Ok(answer)
}

/// `GET /people/one?name=`.
async fn somebody(
    State(app): State<Arc<App>>,
    person: Person,
    Query(given): Query<Given>,
) -> Result<Response, PageError> {
    let page = work(&app, move |app| {
        one_page(app, &person, &Typed(given), Vec::new())
    });
    show(&page.await??)
}

fn one_page(
    app: &App,
    person: &Person,
    typed: &Typed,
    wrong: Vec<Trouble>,
) -> Result<PersonPage, PageError> {
    let name = typed.shown("name");
    let people = people::list(&app.book)?;
    let entry = people.into_iter().find(|entry| entry.name == name);
    let entry = entry.ok_or_else(|| {
        let sentence = "Nobody of that name uses this book over the network: perhaps they were \
                        taken out meanwhile. The list shows who does.";
        PageError::new(
            StatusCode::NOT_FOUND,
            "There is nobody of that name",
            sentence,
        )
        .way("/people", "People")
    })?;
    let own = person.is_signed_in() && person.name.as_deref() == Some(&entry.name);
    let mut common = common(app, person, typed, wrong);
    for choice in &mut common.roles {
        choice.chosen = choice.name == entry.role.name();
    }
    Ok(PersonPage {
        sheet: Sheet::of(app, Place::Book, &entry.name),
        common,
        name: entry.name,
        role: entry.role,
        own,
    })
}

/// Changes something about one person, and says so or what is wrong.
async fn change(
    app: Arc<App>,
    person: Person,
    typed: Typed,
    how: impl FnOnce(&App, &Typed, Option<&str>) -> Result<Added, Vec<Trouble>> + Send + 'static,
) -> Result<Response, PageError> {
    let by = person.author(typed.text("by"));
    let author = by.clone();
    let done = work(&app, move |app| {
        let added = how(app, &typed, author.as_deref());
        added.map_err(|wrong| one_page(app, &person, &typed, wrong).map(Box::new))
    })
    .await?;
    match done {
        Ok(added) => Ok(changed(&added, by)),
        Err(page) => refused(show(&*page?)?),
    }
}

/// `POST /people/role`: another role for `name`.
async fn role(
    State(app): State<Arc<App>>,
    person: Person,
    Posted(given): Posted<Given>,
) -> Result<Response, PageError> {
    change(app, person, Typed(given), |app, typed, by| {
        let role = Role::named(&typed.shown("role")).map_err(|trouble| vec![trouble])?;
        people::change_role(&app.book, &typed.shown("name"), role, by)
    })
    .await
}

/// `POST /people/pin`: a new PIN for `name`; ends their sessions.
async fn new_pin(
    State(app): State<Arc<App>>,
    person: Person,
    Posted(given): Posted<Given>,
) -> Result<Response, PageError> {
    let _turn = HASHING.acquire().await;
    change(app, person, Typed(given), |app, typed, by| {
        let pin = same_twice(typed).map_err(|trouble| vec![trouble])?;
        people::new_pin(&app.book, &typed.shown("name"), pin, by)
    })
    .await
}

/// `POST /people/remove`: takes `name` out; ends their sessions.
async fn remove(
    State(app): State<Arc<App>>,
    person: Person,
    Posted(given): Posted<Given>,
) -> Result<Response, PageError> {
    change(app, person, Typed(given), |app, typed, by| {
        people::remove(&app.book, &typed.shown("name"), by)
    })
    .await
}
