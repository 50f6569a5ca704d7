//! Who may ask what, where the network can reach the server: a table, and the check against it.
//!
//! The first row that fits an address decides. What is in no row is read by whoever is signed in,
//! and changed by nobody: a new page that changes something needs its row. On this machine alone
//! everything is allowed, as it is to whoever holds the file.

use std::sync::Arc;

use axum::extract::{Request, State};
use axum::http::{HeaderMap, Method, StatusCode};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};

use super::App;
use super::page::{PageError, see_other, work};
use super::plain::{cookie, decoded};
use crate::usecase::people::sign::{self, SignedIn};
use crate::usecase::people::{Role, seconds};

/// The cookie of a session.
pub const SESSION: &str = "fillstead_session";

/// Whether a request reads or changes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Deed {
    /// GET and HEAD.
    Read,
    /// Everything else.
    Change,
}

/// What a request needs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Need {
    /// Nothing.
    Nothing,
    /// Somebody signed in who may as much as this role.
    Role(Role),
}

/// A row: what is done where, and what it needs.
pub struct Rule(pub Deed, pub &'static str, pub Need);

use Deed::{Change, Read};
const ANYBODY: Need = Need::Nothing;
const ONLOOKER: Need = Need::Role(Role::Onlooker);
const OPERATOR: Need = Need::Role(Role::Operator);
const KEEPER: Need = Need::Role(Role::Keeper);

/// The table. `{name}` fits one part of an address, `{*rest}` all that follow.
#[rustfmt::skip]
pub static RULES: &[Rule] = &[
    // Without signing in: the way in, and what makes it look right.
    Rule(Read,   "/sign-in",                      ANYBODY),
    Rule(Change, "/sign-in",                      ANYBODY),
    Rule(Read,   "/assets/{file}",                ANYBODY),
    Rule(Read,   "/favicon.svg",                  ANYBODY),
    Rule(Read,   "/api/v1/openapi.json",          ANYBODY),
    Rule(Change, "/sign-out",                     ONLOOKER),
    // Entries that change how everything after them is judged.
    Rule(Change, "/book/add/interval",            KEEPER),
    Rule(Change, "/book/add/price",               KEEPER),
    Rule(Change, "/book/add/release",             KEEPER),
    Rule(Change, "/book/add/rules",               KEEPER),
    Rule(Change, "/book/add/station",             KEEPER),
    Rule(Change, "/api/v1/book/add/interval",     KEEPER),
    Rule(Change, "/api/v1/book/add/price",        KEEPER),
    Rule(Change, "/api/v1/book/add/release",      KEEPER),
    Rule(Change, "/api/v1/book/add/rules",        KEEPER),
    // Every other entry.
    Rule(Change, "/book/add/{form}",              OPERATOR),
    Rule(Change, "/api/v1/book/add/{form}",       OPERATOR),
    Rule(Change, "/api/v1/book/fill",             OPERATOR),
    // One's own; of others only a keeper, see `Person::may_correct`.
    Rule(Change, "/api/v1/book/correct",          OPERATOR),
    // The run: every tap is an entry.
    Rule(Change, "/run/start",                    OPERATOR),
    Rule(Change, "/run/act",                      OPERATOR),
    Rule(Change, "/run/volume",                   OPERATOR),
    Rule(Change, "/run/settled",                  OPERATOR),
    Rule(Change, "/run/correct",                  OPERATOR),
    Rule(Change, "/run/who",                      OPERATOR),
    Rule(Change, "/book/entry/{seq}/correct",     OPERATOR),
    Rule(Change, "/air/keep",                     OPERATOR),
    // The bench: an onlooker watches and answers, an operator works it, a keeper teaches.
    Rule(Change, "/bench",                        OPERATOR),
    Rule(Change, "/bench/{id}/act",               OPERATOR),
    Rule(Change, "/bench/{id}/time",              OPERATOR),
    Rule(Change, "/bench/{id}/set",               OPERATOR),
    Rule(Change, "/bench/{id}/drill",             OPERATOR),
    Rule(Change, "/bench/{id}/fault",             KEEPER),
    Rule(Change, "/bench/{id}/reveal",            KEEPER),
    Rule(Change, "/bench/{id}/ask",               KEEPER),
    Rule(Change, "/bench/{id}/close",             KEEPER),
    Rule(Change, "/bench/{id}/answer",            ONLOOKER),
    Rule(Change, "/bench/{id}/who",               ONLOOKER),
    // What the station is, and lists that come in.
    Rule(Change, "/begin",                        KEEPER),
    Rule(Change, "/station/describe",             KEEPER),
    Rule(Change, "/station/edit/{table}",         KEEPER),
    Rule(Change, "/station/text",                 KEEPER),
    Rule(Change, "/book/import",                  KEEPER),
    Rule(Change, "/book/verify",                  ONLOOKER),
    // People; one's own PIN.
    Rule(Read,   "/people",                       KEEPER),
    Rule(Read,   "/people/one",                   KEEPER),
    Rule(Change, "/people/add",                   KEEPER),
    Rule(Change, "/people/role",                  KEEPER),
    Rule(Change, "/people/pin",                   KEEPER),
    Rule(Change, "/people/remove",                KEEPER),
    Rule(Change, "/pin",                          ONLOOKER),
    // Questions that need a body.
    Rule(Change, "/air/results",                  ONLOOKER),
    Rule(Change, "/check",                        ONLOOKER),
    Rule(Change, "/check/upload",                 ONLOOKER),
    Rule(Change, "/check/text",                   ONLOOKER),
    Rule(Change, "/check/support",                ONLOOKER),
    Rule(Change, "/api/v1/diagnose",              ONLOOKER),
    Rule(Change, "/api/v1/air",                   ONLOOKER),
    Rule(Change, "/api/v1/convert",               ONLOOKER),
];

/// What a request needs; none where no row fits something that changes.
pub fn need(deed: Deed, path: &str) -> Option<Need> {
    let Some(parts) = parts(path) else {
        return (deed == Read).then_some(ONLOOKER);
    };
    let fits = |rule: &&Rule| rule.0 == deed && pattern_fits(rule.1, &parts);
    match (RULES.iter().find(fits), deed) {
        (Some(rule), _) => Some(rule.2),
        (None, Read) => Some(ONLOOKER),
        (None, Change) => None,
    }
}

/// The parts of an address as a page sees them: an address written in another way is the same.
fn parts(path: &str) -> Option<Vec<String>> {
    path.split('/').skip(1).map(decoded).collect()
}

fn pattern_fits(pattern: &str, parts: &[String]) -> bool {
    let mut parts = parts.iter();
    for wanted in pattern.split('/').skip(1) {
        match parts.next() {
            _ if wanted.starts_with("{*") => return true,
            Some(part) if wanted.starts_with('{') && !part.is_empty() => {}
            Some(part) if part == wanted => {}
            _ => return false,
        }
    }
    parts.next().is_none()
}

/// Lets a request through to its page, as whoever is signed in; or says what it needs.
pub async fn check(State(app): State<Arc<App>>, mut request: Request, next: Next) -> Response {
    if app.loopback {
        return next.run(request).await;
    }
    let deed = deed(request.method());
    let Some(need) = need(deed, request.uri().path()) else {
        return nobody().into_response();
    };
    let somebody = match token(request.headers()) {
        None => None,
        Some(token) => {
            let found = work(&app, move |app| {
                sign::signed_in(&app.book, &token, seconds())
            })
            .await;
            match found {
                Ok(Ok(found)) => found,
                Ok(Err(trouble)) => return PageError::from(trouble).into_response(),
                Err(error) => return error.into_response(),
            }
        }
    };
    if let Some(refusal) = refused(need, somebody.as_ref(), &request) {
        return refusal;
    }
    if let Some(somebody) = somebody {
        request.extensions_mut().insert(somebody);
    }
    next.run(request).await
}

/// Why somebody may not do what needs this.
fn refused(need: Need, somebody: Option<&SignedIn>, request: &Request) -> Option<Response> {
    match (need, somebody) {
        (Need::Nothing, _) => None,
        (Need::Role(role), Some(somebody)) if somebody.role >= role => None,
        (Need::Role(role), Some(somebody)) => Some(not_as(role, somebody).into_response()),
        (Need::Role(_), None) => Some(not_signed_in(request)),
    }
}

fn deed(method: &Method) -> Deed {
    match [Method::GET, Method::HEAD].contains(method) {
        true => Read,
        false => Change,
    }
}

/// The token of the session, as the browser sent it.
pub fn token(headers: &HeaderMap) -> Option<String> {
    cookie(headers, SESSION).map(str::to_owned)
}

/// A page leads to the sign-in and back; a program and a form are told.
fn not_signed_in(request: &Request) -> Response {
    let path = request.uri().path();
    if deed(request.method()) == Read && !path.starts_with("/api/") {
        let next = request
            .uri()
            .path_and_query()
            .map_or("/", |whole| whole.as_str());
        return see_other(&format!("/sign-in?next={}", super::plain::encoded(next)));
    }
    PageError::new(
        StatusCode::UNAUTHORIZED,
        "Sign in first",
        "Nothing was changed: nobody is signed in here, or the session has ended. Sign in, go back \
         and send it again.",
    )
    .way("/sign-in", "Sign in")
    .into_response()
}

fn not_as(role: Role, somebody: &SignedIn) -> PageError {
    let sentence = format!(
        "This needs a person who is {}; {} is {} here. Nothing was changed. Ask a keeper of the \
         book to do it, or to give you that role.",
        role.name(),
        somebody.name,
        somebody.role.name()
    );
    PageError::new(StatusCode::FORBIDDEN, "Not in your role", &sentence)
}

fn nobody() -> PageError {
    let sentence = "Nothing of this kind can be changed over the network. Do it at the machine that \
                    holds the book.";
    PageError::new(StatusCode::FORBIDDEN, "Not over the network", sentence)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_address_written_in_another_way_is_the_same() {
        for path in [
            "/book/add/price",
            "/book/add/pric%65",
            "/book/%61dd/%70rice",
        ] {
            assert_eq!(need(Change, path), Some(KEEPER), "{path}");
        }
        assert_eq!(need(Change, "/book/add/fill"), Some(OPERATOR));
        assert_eq!(need(Change, "/book/add/"), None);
        assert_eq!(need(Change, "/book/add/fill/x"), None);
        assert_eq!(need(Change, "/book/add/%ff"), None);
        assert_eq!(need(Change, "//book/add/fill"), None);
        assert_eq!(need(Read, "/"), Some(ONLOOKER));
        assert_eq!(need(Read, "/assets/fillstead.css"), Some(ANYBODY));
        assert_eq!(need(Read, "/assets/a/b"), Some(ONLOOKER));
    }
}
