//! `/check`: what is wrong, how sure, and what to read next. Readings travel in the form itself;
//! nothing is written down here.
//!
//! Not here: what is worked out ([`crate::usecase::diagnose`]), how its figures are said
//! ([`found`]).

mod form;
mod found;
mod setting;
mod sheet;
#[cfg(test)]
mod tests;

use std::sync::Arc;

use askama::Template;
use axum::Router;
use axum::extract::{Form as Posted, Multipart, Query, State};
use axum::http::StatusCode;
use axum::http::header::{CONTENT_DISPOSITION, CONTENT_TYPE};
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};
use quantity::UnitSystem;
use tokio::sync::Semaphore;

use crate::usecase::book::form::Given;
use crate::usecase::book::transfer::letters::text_of;
use crate::usecase::diagnose::check::{Check, check};
use crate::usecase::diagnose::from_run::offered;
use crate::usecase::diagnose::sent::Sent;
use crate::usecase::diagnose::text;
use crate::usecase::{Trouble, units};
use crate::web::App;
use crate::web::page::{PageError, Place, Sheet, show, work};

use super::book::printed;
use form::Form;
use found::Found;

/// Pages of the check.
pub fn router() -> Router<Arc<App>> {
    Router::new()
        .route("/check", get(asked).post(sent))
        .route("/check/upload", post(uploaded))
        .route("/check/text", post(as_text))
        .route("/check/support", post(support))
}

/// Checks are worked out so many at once.
static COMPUTING: Semaphore = Semaphore::const_new(2);

/// The page.
#[derive(Template)]
#[template(path = "web/check/main.html")]
struct CheckPage {
    sheet: Sheet,
    form: Form,
    found: Option<Found>,
}

/// `GET /check`: the empty page; with `run`, that run of the book.
async fn asked(
    State(app): State<Arc<App>>,
    Query(mut given): Query<Given>,
) -> Result<Response, PageError> {
    if given.iter().any(|(name, _)| name == "run") {
        given.push(("do".to_owned(), "run".to_owned()));
    }
    answered(app, given).await
}

/// `POST /check`: what was sent, worked out.
async fn sent(
    State(app): State<Arc<App>>,
    Posted(given): Posted<Given>,
) -> Result<Response, PageError> {
    answered(app, given).await
}

async fn answered(app: Arc<App>, given: Given) -> Result<Response, PageError> {
    let _turn = COMPUTING.acquire().await;
    let page = work(&app, move |app| {
        let check = checked(app, &given)?;
        Ok::<_, Trouble>((page(app, &check), check.is_wrong()))
    });
    let (page, wrong) = page.await?.map_err(no_station)?;
    let mut answer = show(&page)?;
    if wrong {
        *answer.status_mut() = StatusCode::UNPROCESSABLE_ENTITY;
    }
    Ok(answer)
}

fn checked(app: &App, given: &Given) -> Result<Check, Trouble> {
    let runs = app.checkable.get(&app.book, "", || offered(&app.book))?;
    check(&app.book, read(given), runs)
}

/// What was sent; numbers alone are in the units the page showed.
fn read(given: &Given) -> Sent {
    Sent::of(given, units::asked().unwrap_or(UnitSystem::Metric))
}

fn page(app: &App, check: &Check) -> CheckPage {
    CheckPage {
        sheet: Sheet::of(app, Place::Check, "Check"),
        form: Form::of(check),
        found: Found::of(check),
    }
}

/// `POST /check/upload`: the lines of a file join what was sent with it.
async fn uploaded(
    State(app): State<Arc<App>>,
    mut parts: Multipart,
) -> Result<Response, PageError> {
    let mut given = Given::new();
    let mut list = String::new();
    while let Some(part) = parts.next_field().await.map_err(broken)? {
        let name = part.name().unwrap_or_default().to_owned();
        match name.as_str() {
            "file" => {
                let bytes = part.bytes().await.map_err(broken)?;
                list = text_of(&bytes).map_err(no_text)?.0;
            }
            _ if given.len() < 2000 => given.push((name, part.text().await.map_err(broken)?)),
            _ => {}
        }
    }
    given.push(("paste".to_owned(), list));
    given.push(("do".to_owned(), "paste".to_owned()));
    answered(app, given).await
}

/// `POST /check/text`: the readings as a file that another Check page takes.
async fn as_text(
    State(app): State<Arc<App>>,
    Posted(given): Posted<Given>,
) -> Result<Response, PageError> {
    let text = work(&app, move |_| text::written(&read(&given).rows)).await??;
    let headers = [
        (CONTENT_TYPE, "text/csv; charset=utf-8"),
        (CONTENT_DISPOSITION, "attachment; filename=\"readings.csv\""),
    ];
    Ok((headers, text).into_response())
}

/// `POST /check/support`: the support-call sheet with these readings, for paper.
async fn support(
    State(app): State<Arc<App>>,
    Posted(given): Posted<Given>,
) -> Result<Response, PageError> {
    let _turn = COMPUTING.acquire().await;
    let sheet = work(&app, move |app| {
        let check = checked(app, &given)?;
        sheet::sheet(app, &check)
    });
    let sheet = sheet.await?.map_err(no_station)?;
    Ok(printed(&sheet))
}

fn broken(what: impl std::fmt::Display) -> PageError {
    let text = format!("What was sent cannot be read ({what}). Send the file again.");
    PageError::new(StatusCode::UNPROCESSABLE_ENTITY, "That did not work", &text)
        .way("/check", "Check")
}

fn no_text(trouble: Trouble) -> PageError {
    PageError::from(trouble).way("/check", "Check")
}

fn no_station(trouble: Trouble) -> PageError {
    PageError::from(trouble).way("/book/add/station", "Enter the station file")
}
