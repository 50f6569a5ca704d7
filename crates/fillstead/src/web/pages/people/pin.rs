//! A new PIN for whoever is signed in, who must know the one they have.
//!
//! Tries with a wrong one are counted as at the sign-in: a session left open tells nobody the PIN.

use std::sync::Arc;

use askama::Template;
use axum::Router;
use axum::extract::{Extension, Form as Posted, State};
use axum::http::StatusCode;
use axum::response::Response;
use axum::routing::get;

use super::raw;
use crate::usecase::book::form::Given;
use crate::usecase::people::sign::{Denied, LONGEST_S};
use crate::usecase::people::{self, Kept};
use crate::web::App;
use crate::web::page::{PageError, Place, Sheet, in_sentences, show, work};
use crate::web::pages::sign::{HASHING, Peer, too_many, unknown_peer, with_session};
use crate::web::person::Person;
use crate::web::typed::Typed;

/// One's own PIN.
pub fn router() -> Router<Arc<App>> {
    Router::new().route("/pin", get(ask).post(change))
}

/// The form.
#[derive(Template)]
#[template(path = "web/people/pin.html")]
struct PinPage {
    sheet: Sheet,
    /// Whoever is signed in; none on this machine alone.
    name: Option<String>,
    old_wrong: String,
    new_wrong: Option<String>,
    done: bool,
}

fn page(app: &App, name: Option<String>) -> PinPage {
    PinPage {
        sheet: Sheet::of(app, Place::Elsewhere, "Your PIN"),
        name,
        old_wrong: String::new(),
        new_wrong: None,
        done: false,
    }
}

/// `GET /pin`.
async fn ask(State(app): State<Arc<App>>, person: Person) -> Result<Response, PageError> {
    let name = person.name.filter(|_| person.role.is_some());
    show(&work(&app, move |app| page(app, name)).await?)
}

/// `POST /pin`: `old`, and the new one as `pin` and `again`.
async fn change(
    State(app): State<Arc<App>>,
    person: Person,
    peer: Option<Extension<Peer>>,
    Posted(given): Posted<Given>,
) -> Result<Response, PageError> {
    let Some(name) = person.name.filter(|_| person.role.is_some()) else {
        let sentence = "Only this machine reaches this server, and nobody signs in. Give a PIN on \
                        the page of the people.";
        let error = PageError::new(StatusCode::CONFLICT, "Nobody is signed in", sentence);
        return Err(error.way("/people", "People"));
    };
    let Some(Extension(Peer(from))) = peer else {
        return Err(unknown_peer());
    };
    let _turn = HASHING.acquire().await;
    let (page, done) = work(&app, move |app| {
        let typed = Typed(given);
        let new = people::twice(raw(&typed, "pin"), raw(&typed, "again"));
        let done = new.map_err(|trouble| Kept::Wrong(vec![trouble]));
        let done =
            done.and_then(|new| people::own_pin(&app.book, &name, (raw(&typed, "old"), new), from));
        (page(app, Some(name)), done)
    })
    .await?;
    told(page, done)
}

/// The page with what came of it.
fn told(mut page: PinPage, done: Result<String, Kept>) -> Result<Response, PageError> {
    let status = match done {
        Ok(token) => {
            page.done = true;
            return Ok(with_session(show(&page)?, &token, LONGEST_S));
        }
        Err(Kept::Denied(Denied::Trouble(trouble))) => return Err(trouble.into()),
        Err(Kept::Denied(Denied::Wrong)) => {
            page.old_wrong = "That is not the PIN you have. A keeper of the book can give you a \
                              new one."
                .to_owned();
            StatusCode::UNPROCESSABLE_ENTITY
        }
        Err(Kept::Denied(Denied::Wait(left))) => {
            page.old_wrong = too_many(left);
            StatusCode::TOO_MANY_REQUESTS
        }
        Err(Kept::Wrong(troubles)) => {
            let all: Vec<String> = troubles.iter().map(in_sentences).collect();
            page.new_wrong = Some(all.join(" "));
            StatusCode::UNPROCESSABLE_ENTITY
        }
    };
    let mut answer = show(&page)?;
    *answer.status_mut() = status;
    Ok(answer)
}
