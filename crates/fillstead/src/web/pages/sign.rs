//! Signing in and out, where the network can reach the server.
//!
//! A name is typed, not chosen from a list: a list would give the names to whoever is on the net.

use std::net::IpAddr;
use std::sync::Arc;

use askama::Template;
use axum::Router;
use axum::extract::{Extension, Form, Query, State};
use axum::http::header::{RETRY_AFTER, SET_COOKIE};
use axum::http::{HeaderMap, HeaderValue, StatusCode};
use axum::response::Response;
use axum::routing::{get, post};
use serde::Deserialize;
use tokio::sync::Semaphore;

use crate::usecase::people::sign::{self, Denied, LONGEST_S};
use crate::usecase::people::{Role, seconds};
use crate::web::App;
use crate::web::access::{SESSION, token};
use crate::web::page::{PageError, Place, Sheet, see_other, show, work};
use crate::web::person::Person;

/// Hashing a PIN takes memory: so many at once.
pub static HASHING: Semaphore = Semaphore::const_new(2);

/// Where a request came from.
#[derive(Clone, Copy, Debug)]
pub struct Peer(pub IpAddr);

/// Pages of signing in.
pub fn router() -> Router<Arc<App>> {
    Router::new()
        .route("/sign-in", get(ask).post(enter))
        .route("/sign-out", post(leave))
}

/// Who, and the PIN.
#[derive(Template)]
#[template(path = "web/sign_in.html")]
struct SignInPage {
    sheet: Sheet,
    name: String,
    next: String,
    wrong: String,
    person: Option<String>,
    role: String,
    /// They look after the others.
    keeper: bool,
    open: bool,
}

/// Where to go on.
#[derive(Deserialize)]
struct Next {
    #[serde(default)]
    next: String,
}

/// What was typed.
#[derive(Deserialize)]
struct Typed {
    #[serde(default)]
    name: String,
    #[serde(default)]
    pin: String,
    #[serde(default)]
    next: String,
}

/// `GET /sign-in`.
async fn ask(
    State(app): State<Arc<App>>,
    person: Person,
    Query(next): Query<Next>,
) -> Result<Response, PageError> {
    let mut page = page(&app, &next.next);
    if let (Some(name), Some(role)) = (person.name, person.role) {
        page.person = Some(name);
        page.keeper = role == Role::Keeper;
        page.role = format!("{}: {}", role.name(), role.may());
    }
    show(&page)
}

/// `POST /sign-in`.
async fn enter(
    State(app): State<Arc<App>>,
    peer: Option<Extension<Peer>>,
    Form(typed): Form<Typed>,
) -> Result<Response, PageError> {
    if app.loopback {
        return Ok(see_other("/"));
    }
    let Some(Extension(Peer(from))) = peer else {
        return Err(unknown_peer());
    };
    let _turn = HASHING.acquire().await;
    let next = typed.next.clone();
    let mut page = page(&app, &next);
    page.name = typed.name.clone();
    let done = work(&app, move |app| {
        sign::sign_in(&app.book, &typed.name, &typed.pin, from, seconds())
    })
    .await?;
    match done {
        Ok(token) => Ok(with_session(see_other(within(&next)), &token, LONGEST_S)),
        Err(Denied::Wrong) => {
            page.wrong =
                "Name and PIN do not go together. Nothing tells which of the two is wrong; \
                          a keeper can give you a new PIN."
                    .to_owned();
            refused(&page, StatusCode::UNAUTHORIZED, None)
        }
        Err(Denied::Wait(left)) => {
            page.wrong = too_many(left);
            refused(&page, StatusCode::TOO_MANY_REQUESTS, Some(left))
        }
        Err(Denied::Trouble(trouble)) => Err(trouble.into()),
    }
}

/// A request whose sender is not known.
pub fn unknown_peer() -> PageError {
    let sentence = "It is not known where the request came from. Load the page again.";
    PageError::new(StatusCode::BAD_REQUEST, "Not signed in", sentence)
}

/// Why there is a wait, and how long.
pub fn too_many(left: i64) -> String {
    format!(
        "There were too many wrong tries. Wait {}, then try again; tries before that are not looked \
         at. A new PIN ends the wait for a name: a keeper gives it on the page of the people, or \
         `fillstead people BOOK pin NAME` at the machine itself.",
        wait(left)
    )
}

/// `POST /sign-out`.
async fn leave(State(app): State<Arc<App>>, headers: HeaderMap) -> Result<Response, PageError> {
    if let Some(token) = token(&headers) {
        work(&app, move |app| sign::sign_out(&app.book, &token)).await??;
    }
    Ok(with_session(see_other("/sign-in"), "", 0))
}

fn page(app: &App, next: &str) -> SignInPage {
    SignInPage {
        sheet: Sheet::closed(app, Place::Elsewhere, "Sign in"),
        name: String::new(),
        next: within(next).to_owned(),
        wrong: String::new(),
        person: None,
        role: String::new(),
        keeper: false,
        open: app.loopback,
    }
}

fn refused(
    page: &SignInPage,
    status: StatusCode,
    left: Option<i64>,
) -> Result<Response, PageError> {
    let mut answer = show(page)?;
    *answer.status_mut() = status;
    if let Some(left) = left {
        answer
            .headers_mut()
            .insert(RETRY_AFTER, HeaderValue::from(left));
    }
    Ok(answer)
}

/// An address of this server to go on at; the first page where it is not one.
fn within(next: &str) -> &str {
    let plain = next.bytes().all(|b| b.is_ascii_graphic() && b != b'\\');
    match plain && next.starts_with('/') && !next.starts_with("//") {
        true => next,
        false => "/",
    }
}

/// The answer with the session in a cookie: kept from scripts and from other sites. On plain http
/// it cannot be marked for encrypted lines only.
pub fn with_session(mut answer: Response, token: &str, age: i64) -> Response {
    let cookie = format!("{SESSION}={token}; HttpOnly; SameSite=Strict; Path=/; Max-Age={age}");
    if let Ok(value) = cookie.parse() {
        answer.headers_mut().append(SET_COOKIE, value);
    }
    answer
}

/// `40 seconds`, `3 minutes`: never shorter than it is.
fn wait(left: i64) -> String {
    match left {
        1 => "1 second".to_owned(),
        ..90 => format!("{left} seconds"),
        _ => format!("{} minutes", (left + 59) / 60),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_way_on_stays_here() {
        for (next, on) in [
            ("/book?kind=fill", "/book?kind=fill"),
            ("", "/"),
            ("//evil.example/", "/"),
            ("/\\evil.example", "/"),
            ("https://evil.example", "/"),
            ("/book\r\nSet-Cookie: a=b", "/"),
            ("book", "/"),
        ] {
            assert_eq!(within(next), on, "{next:?}");
        }
    }

    #[test]
    fn a_wait_is_never_told_shorter_than_it_is() {
        assert_eq!(wait(1), "1 second");
        assert_eq!(wait(89), "89 seconds");
        assert_eq!(wait(121), "3 minutes");
        assert_eq!(wait(900), "15 minutes");
    }
}
