//! Who reads a page. Their units are chosen by `?units=us` or `?units=metric` on any
//! page, remembered in the browser; else the station's own.
//!
//! A form says in `units` which units its page showed: a number alone was typed in those, whatever
//! was chosen in another window since. No page sees `units` itself: it is taken out on the way in.
//! Not here: what follows from the choice ([`crate::usecase::units`]).

use axum::body::{Body, to_bytes};
use axum::extract::Request;
use axum::http::header::{CONTENT_TYPE, SET_COOKIE};
use axum::http::{HeaderMap, HeaderValue, Method, StatusCode, Uri};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use quantity::UnitSystem;

use super::plain::cookie;
use super::{App, LARGEST_BODY};
use crate::usecase::book::desk;
use crate::usecase::people::sign::SignedIn;
use crate::usecase::units;

/// The name in addresses, in forms and of the cookie.
const UNITS: &str = "units";

/// Both systems: the word in addresses, and what a reader knows them by.
pub const SYSTEMS: [(UnitSystem, &str, &str); 2] = [
    (UnitSystem::Metric, "metric", "bar, °C"),
    (UnitSystem::Us, "us", "psi, °F"),
];

/// Who reads the page that is being made.
#[derive(Clone, Debug, Default)]
pub struct Reader {
    /// The units chosen now or before; none: the station's own.
    pub chosen: Option<UnitSystem>,
    /// Who is signed in.
    pub person: Option<String>,
    /// The address of the page without its units, where it can be asked for again.
    pub here: Option<Uri>,
}

tokio::task_local! {
    static READER: Reader;
}

impl Reader {
    /// Who reads the page that is being made; none outside of one.
    pub fn now() -> Option<Reader> {
        READER.try_with(Clone::clone).ok()
    }

    /// Does a job on this thread for this reader.
    pub fn does<T>(self, app: &App, job: impl FnOnce(&App) -> T) -> T {
        let own = || {
            let book = desk::read(&app.book).ok()?;
            units::of_station(&book).ok()?
        };
        let reads = self.chosen.or_else(own);
        READER.sync_scope(self, || units::reading_in(reads, || job(app)))
    }
}

/// Finds out who reads, answers them, and remembers what they chose just now.
pub async fn check(request: Request, next: Next) -> Response {
    let (mut parts, body) = request.into_parts();
    let typed = is_form(&parts.headers);
    let (asked, uri) = without(parts.uri.query().unwrap_or_default());
    if asked.is_some()
        && let Ok(uri) = addressed(&parts.uri, &uri)
    {
        parts.uri = uri;
    }
    let (typed, body) = match typed {
        true => match form(body).await {
            Ok(found) => found,
            Err(status) => return status.into_response(),
        },
        false => (None, body),
    };
    let known = cookie(&parts.headers, UNITS).and_then(system);
    let reader = Reader {
        chosen: asked.or(typed).or(known),
        person: parts
            .extensions
            .get::<SignedIn>()
            .map(|somebody| somebody.name.clone()),
        here: (parts.method == Method::GET).then(|| parts.uri.clone()),
    };
    let request = Request::from_parts(parts, body);
    let mut answer = READER.scope(reader, next.run(request)).await;
    if let Some(asked) = asked {
        let cookie = format!(
            "{UNITS}={}; Path=/; Max-Age=31536000; SameSite=Strict",
            word(asked)
        );
        if let Ok(value) = HeaderValue::from_str(&cookie) {
            answer.headers_mut().append(SET_COOKIE, value);
        }
    }
    answer
}

fn is_form(headers: &HeaderMap) -> bool {
    headers.get(CONTENT_TYPE).is_some_and(|kind| {
        kind.as_bytes()
            .starts_with(b"application/x-www-form-urlencoded")
    })
}

/// The units a form was typed in, and the form without them.
async fn form(body: Body) -> Result<(Option<UnitSystem>, Body), StatusCode> {
    let bytes = to_bytes(body, LARGEST_BODY).await;
    let bytes = bytes.map_err(|_| StatusCode::PAYLOAD_TOO_LARGE)?;
    let Ok(text) = std::str::from_utf8(&bytes) else {
        return Ok((None, Body::from(bytes)));
    };
    Ok(match without(text) {
        (None, _) => (None, Body::from(bytes)),
        (typed, rest) => (typed, Body::from(rest)),
    })
}

/// The units among these pairs, the first that are known, and the pairs without any.
fn without(pairs: &str) -> (Option<UnitSystem>, String) {
    let value = |pair: &str| Some(pair.strip_prefix(UNITS)?.strip_prefix('=')?.to_owned());
    let found = pairs.split('&').filter_map(value);
    let found = found.filter_map(|value| system(&value)).next();
    let rest: Vec<&str> = pairs.split('&').filter(|p| value(p).is_none()).collect();
    (found, rest.join("&"))
}

fn addressed(uri: &Uri, query: &str) -> Result<Uri, axum::http::uri::InvalidUri> {
    match query {
        "" => uri.path().parse(),
        query => format!("{}?{query}", uri.path()).parse(),
    }
}

/// The word of a system in addresses.
pub fn word(units: UnitSystem) -> &'static str {
    let found = SYSTEMS.iter().find(|(system, ..)| *system == units);
    found.map_or("", |(_, word, _)| word)
}

fn system(word: &str) -> Option<UnitSystem> {
    let found = SYSTEMS.iter().find(|(_, known, _)| *known == word);
    found.map(|(system, ..)| *system)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn units_are_taken_out_and_nothing_else_is() {
        let us = Some(UnitSystem::Us);
        assert_eq!(without("units=us"), (us, String::new()));
        assert_eq!(without("a=1&units=us&b=%26"), (us, "a=1&b=%26".to_owned()));
        assert_eq!(without("units=furlongs&units=us&a="), (us, "a=".to_owned()));
        assert_eq!(without("unitsx=us&a=1"), (None, "unitsx=us&a=1".to_owned()));
        assert_eq!(without(""), (None, String::new()));
    }
}
