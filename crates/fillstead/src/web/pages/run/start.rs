//! The form that starts a run, with what the gate says of every cylinder.

use std::sync::Arc;

use askama::Template;
use axum::extract::{Form as Posted, State};
use axum::http::{HeaderMap, StatusCode};
use axum::response::Response;
use insight::cylinder::answer::Refusal;

use super::tap::{for_script, of_another, wants_json};
use crate::usecase::Trouble;
use crate::usecase::book::form::Given;
use crate::usecase::clock;
use crate::usecase::run::act::Done;
use crate::usecase::run::start::{self, NotStarted, Offer, text};
use crate::web::App;
use crate::web::page::{PageError, Place, Sheet, in_sentences, see_other, show, work};
use crate::web::person::{Person, remember};

/// Rows for cylinders on the form.
const ROWS: usize = 4;

/// What is told where somebody else was first.
const MEANWHILE: &str =
    "Nothing was started: a run was started meanwhile. This is how it stands now.";

/// A row for a cylinder, as typed.
struct Row {
    number: usize,
    id: String,
    from: String,
    person: String,
}

/// What is wrong with what was typed.
#[derive(Default)]
pub struct Wrong {
    given: Given,
    troubles: Vec<Trouble>,
    refused: Vec<(String, Refusal)>,
}

/// The form.
#[derive(Template)]
#[template(path = "web/run_start.html")]
struct StartPage<'a> {
    sheet: Sheet,
    offer: &'a Offer,
    rows: Vec<Row>,
    wrong: Wrong,
    by: String,
    /// The server's clock, which the page carries on.
    now_us: i64,
}

impl StartPage<'_> {
    /// What was typed in a field.
    fn value(&self, name: &str) -> &str {
        text(&self.wrong.given, name).unwrap_or_default()
    }

    /// What is wrong with a field, in sentences.
    fn error(&self, name: &str) -> Option<String> {
        let of = |t: &&Trouble| t.field == Some(name);
        told(self.wrong.troubles.iter().filter(of))
    }

    /// What is wrong with no field of the form.
    fn besides(&self) -> Option<String> {
        const FIELDS: [&str; 8] = [
            "cylinder",
            "tower",
            "intake-temperature",
            "humidity",
            "drain-every",
            "to",
            "hours",
            "by",
        ];
        let of = |t: &&Trouble| t.field.is_none_or(|field| !FIELDS.contains(&field));
        told(self.wrong.troubles.iter().filter(of))
    }

    fn checked(&self, key: &str) -> bool {
        let given = &self.wrong.given;
        given
            .iter()
            .any(|(name, text)| name == "checked" && text == key)
    }
}

fn told<'t>(troubles: impl Iterator<Item = &'t Trouble>) -> Option<String> {
    let all: Vec<String> = troubles.map(in_sentences).collect();
    (!all.is_empty()).then(|| all.join(" "))
}

/// The form, empty or with what is wrong.
pub async fn form(
    app: &Arc<App>,
    sheet: Sheet,
    person: Person,
    wrong: Option<Wrong>,
) -> Result<Response, PageError> {
    let found = work(app, |app| {
        app.offer.get(&app.book, "", || start::offer(&app.book))
    })
    .await??;
    let offer = found.as_ref().as_ref().ok_or_else(|| {
        PageError::new(
            StatusCode::NOT_FOUND,
            "There is no station yet",
            "A run needs to know the machine. Enter its station file in the book, then come back.",
        )
        .way("/book", "Book")
    })?;
    let failed = wrong.is_some();
    let wrong = wrong.unwrap_or_default();
    let mut shown = show(&StartPage {
        rows: rows(&wrong.given),
        by: person.author(text(&wrong.given, "by")).unwrap_or_default(),
        sheet,
        offer,
        wrong,
        now_us: clock::now().0,
    })?;
    if failed {
        *shown.status_mut() = StatusCode::UNPROCESSABLE_ENTITY;
    }
    Ok(shown)
}

/// The rows as typed, from either way of naming cylinders, and empty ones after them.
fn rows(given: &Given) -> Vec<Row> {
    let all = |name: &str| -> Vec<String> {
        let of = given.iter().filter(|(n, _)| n == name);
        of.map(|(_, text)| text.clone()).collect()
    };
    let (ids, froms, persons) = (all("id"), all("from"), all("person"));
    let mut rows: Vec<(String, String, String)> = all("cylinder")
        .iter()
        .map(|text| {
            let (id, from) = text.rsplit_once('@').unwrap_or((text, ""));
            (id.to_owned(), from.to_owned(), String::new())
        })
        .collect();
    let at = |of: &[String], i: usize| of.get(i).cloned().unwrap_or_default();
    rows.extend(
        ids.iter()
            .enumerate()
            .map(|(i, id)| (id.clone(), at(&froms, i), at(&persons, i)))
            .filter(|(id, from, person)| ![id, from, person].iter().all(|cell| cell.is_empty())),
    );
    rows.resize(rows.len().max(ROWS), Default::default());
    let row = |(i, (id, from, person))| Row {
        number: i + 1,
        id,
        from,
        person,
    };
    rows.into_iter().enumerate().map(row).collect()
}

/// `POST /run/start`: starts a run, or says why not. Where one goes on already, shows that.
pub async fn start(
    State(app): State<Arc<App>>,
    person: Person,
    headers: HeaderMap,
    Posted(given): Posted<Given>,
) -> Result<Response, PageError> {
    if let Some(answer) = of_another(&person, &headers, &given) {
        return Ok(answer);
    }
    let by = person.author(text(&given, "by"));
    let (typed, who) = (given.clone(), by.clone());
    let (sheet, done) = work(&app, move |app| {
        let done = start::start(&app.book, &typed, who.as_deref());
        (Sheet::of(app, Place::Run, "Start a run"), done)
    })
    .await?;
    if wants_json(&headers) {
        let answer = for_script(&app, as_tap(done)).await?;
        return Ok(remember(answer, &by.unwrap_or_default()));
    }
    match done {
        Ok(_) => Ok(remember(see_other("/run"), &by.unwrap_or_default())),
        Err(NotStarted::Meanwhile) => {
            super::again(&app, person, MEANWHILE.to_owned(), StatusCode::CONFLICT).await
        }
        Err(NotStarted::Wrong(troubles, refused)) => {
            let wrong = Wrong {
                given,
                troubles: super::on_page(troubles),
                refused,
            };
            form(&app, sheet, person, Some(wrong)).await
        }
    }
}

/// What came of a start, as a tap's is told to a script.
fn as_tap(done: Result<u64, NotStarted>) -> Result<Done, Vec<Trouble>> {
    match done {
        Ok(seq) => Ok(Done::Written(vec![seq])),
        Err(NotStarted::Meanwhile) => Ok(Done::Moot(MEANWHILE.to_owned())),
        Err(NotStarted::Wrong(troubles, refused)) => {
            let refused = refused.into_iter().map(|(id, refusal)| {
                Trouble::new(format!("{id}: {}", refusal.what), refusal.way_forward)
            });
            Err(super::on_page(troubles)
                .into_iter()
                .chain(refused)
                .collect())
        }
    }
}
