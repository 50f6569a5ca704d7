//! `GET /plan`: what a run would do if it were started now, and its run card.
//!
//! The question stands in the address, so that it can be shared and a reload is harmless.
//! Not here: what is answered ([`crate::usecase::plan`]), how its figures are said ([`view`]).

mod form;
mod result;
#[cfg(test)]
mod tests;
mod view;
mod wet;

use std::sync::Arc;

use askama::Template;
use axum::Router;
use axum::extract::{Query, State};
use axum::http::HeaderMap;
use axum::http::header::HOST;
use axum::response::{Html, IntoResponse, Response};
use axum::routing::get;

use crate::print::html;
use crate::usecase::Trouble;
use crate::usecase::book::desk;
use crate::usecase::book::form::Given;
use crate::usecase::book::sheet::Room;
use crate::usecase::plan::{plan, sheet};
use crate::web::App;
use crate::web::page::{PageError, Place, Sheet, show, work};
use crate::web::person::Person;

use view::View;

/// Pages of the plan.
pub fn router() -> Router<Arc<App>> {
    Router::new()
        .route("/plan", get(planned))
        .route("/plan/card", get(card))
}

/// The plan.
#[derive(Template)]
#[template(path = "web/plan.html")]
struct PlanPage {
    sheet: Sheet,
    by: String,
    view: View,
}

/// `GET /plan`: the question with its answer.
async fn planned(
    State(app): State<Arc<App>>,
    person: Person,
    Query(given): Query<Given>,
) -> Result<Response, PageError> {
    let answer = work(&app, move |app| {
        let plan = plan(&app.book, &given)?;
        Ok::<_, Trouble>((Sheet::of(app, Place::Plan, "Plan"), View::of(&plan)))
    });
    let (sheet, view) = answer.await?.map_err(no_plan)?;
    show(&PlanPage {
        sheet,
        by: person.name.unwrap_or_default(),
        view,
    })
}

/// `GET /plan/card`: the same question's run card, for paper.
async fn card(
    State(app): State<Arc<App>>,
    headers: HeaderMap,
    Query(given): Query<Given>,
) -> Result<Response, PageError> {
    let back = headers_free_address(&given);
    let host = headers.get(HOST).and_then(|h| h.to_str().ok());
    let served = host
        .filter(|_| !app.loopback)
        .map(|host| format!("http://{host}"));
    let page = work(&app, move |app| {
        let book = desk::read(&app.book)?;
        let room = Room::of(&book, None, None)?;
        html(&sheet::of_book(
            &app.book,
            &room,
            &given,
            served.as_deref(),
        )?)
    });
    let page = page
        .await?
        .map_err(|trouble| PageError::from(trouble).way(&back, "Plan"))?;
    // The sheet brings its own style and font, and still no script.
    let own_style = "default-src 'none'; style-src 'unsafe-inline'; font-src data:; img-src data:";
    Ok(([("content-security-policy", own_style)], Html(page)).into_response())
}

/// Where the plan of this card is.
fn headers_free_address(given: &Given) -> String {
    let query = crate::usecase::plan::Query::of(given, quantity::UnitSystem::Metric);
    format!("/plan?{}", query.address())
}

fn no_plan(trouble: Trouble) -> PageError {
    PageError::from(trouble).way("/book/add/station", "Enter the station file")
}
