//! What every request must pass, and what every answer carries.
//!
//! Nothing is changed by a request that comes from another site: browsers say where a request
//! comes from, and programs that do not must send JSON, which a foreign page cannot. A server that
//! only this machine reaches answers to this machine's own names alone, so that no other name can
//! be bent to it.

use std::sync::Arc;

use axum::extract::{Request, State};
use axum::http::header::{
    ALLOW, CONTENT_SECURITY_POLICY, CONTENT_TYPE, HOST, HeaderName, HeaderValue, ORIGIN,
};
use axum::http::uri::Authority;
use axum::http::{HeaderMap, Method, StatusCode};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};

use super::App;
use super::api::refusal;
use super::page::{PageError, Told};

/// Everything comes from here and nothing is run from elsewhere.
const CONTENT_SECURITY: &str = "default-src 'none'; style-src 'self'; script-src 'self'; \
    img-src 'self' data:; font-src 'self'; connect-src 'self'; form-action 'self'; base-uri 'none'; \
    frame-ancestors 'none'";

/// Refuses what does not come from a page of ours, and marks every answer.
pub async fn check(State(app): State<Arc<App>>, request: Request, next: Next) -> Response {
    let program = request.uri().path().starts_with("/api/");
    let answer = match refused(&app, &request) {
        Some(error) => error.into_response(),
        None => next.run(request).await,
    };
    marked(helpful(answer, program))
}

/// Why a request is not answered.
fn refused(app: &App, request: &Request) -> Option<PageError> {
    let headers = request.headers();
    let Some(host) = host(headers, request.uri().authority()) else {
        return Some(PageError::new(
            StatusCode::BAD_REQUEST,
            "The request is not clear",
            "It names its server twice, or with letters that no name has. Open the address that \
             Fillstead printed when it started.",
        ));
    };
    if app.loopback && !host.is_empty() && !is_this_machine(host) {
        return Some(PageError::new(
            StatusCode::MISDIRECTED_REQUEST,
            "This server answers to this machine only",
            "It was asked under another name. Open it under the address it printed when it started.",
        ));
    }
    let reads = [Method::GET, Method::HEAD].contains(request.method());
    if reads || is_of_ours(headers, host) {
        return None;
    }
    Some(PageError::new(
        StatusCode::FORBIDDEN,
        "Nothing was changed",
        "The request came from another page than Fillstead's. Go back and enter it here.",
    ))
}

/// The name a server is asked under, empty where none is given; nothing where that is not clear.
fn host<'h>(headers: &'h HeaderMap, whole: Option<&'h Authority>) -> Option<&'h str> {
    let mut named = headers.get_all(HOST).iter();
    let host = named.next().map_or(Some(""), |host| host.to_str().ok())?;
    match (named.next(), whole) {
        (Some(_), _) => None,
        (None, Some(whole)) if host.is_empty() => Some(whole.as_str()),
        (None, Some(whole)) => (whole.as_str() == host).then_some(host),
        (None, None) => Some(host),
    }
}

/// Whether a request that changes something comes from our own page, or from a program that says so
/// in a way no foreign page can.
fn is_of_ours(headers: &HeaderMap, host: &str) -> bool {
    if let Some(site) = text(headers, &HeaderName::from_static("sec-fetch-site")) {
        return ["same-origin", "none"].contains(&site);
    }
    if let Some(origin) = text(headers, &ORIGIN) {
        return origin
            .split_once("://")
            .is_some_and(|(_, from)| from == host);
    }
    text(headers, &CONTENT_TYPE).is_some_and(|kind| kind.starts_with("application/json"))
}

/// Names of this machine itself, with or without a port.
fn is_this_machine(host: &str) -> bool {
    let name = match host.rsplit_once(':') {
        Some((name, port)) if port.bytes().all(|b| b.is_ascii_digit()) => name,
        _ => host,
    };
    ["localhost", "127.0.0.1", "[::1]"].contains(&name)
}

fn text<'h>(headers: &'h HeaderMap, name: &HeaderName) -> Option<&'h str> {
    headers.get(name)?.to_str().ok()
}

/// An answer that only says no, as a page with a way on; for programs as theirs.
fn helpful(answer: Response, program: bool) -> Response {
    let (status, kind) = (answer.status(), answer.headers().get(CONTENT_TYPE));
    let is = |wanted: &str| kind.is_some_and(|kind| kind.as_bytes().starts_with(wanted.as_bytes()));
    let refused = status.is_client_error() || status.is_server_error();
    if !refused || is("application/json") || (!program && is("text/html")) {
        return answer;
    }
    let error = bare(status);
    let mut told = if program {
        let said = answer.extensions().get::<Told>().map(|told| told.0.clone());
        refusal(status, &said.unwrap_or(error.sentence))
    } else {
        error.into_response()
    };
    if let Some(allowed) = answer.headers().get(ALLOW) {
        told.headers_mut().insert(ALLOW, allowed.clone());
    }
    told
}

/// The page of an error that is nothing but its number.
fn bare(status: StatusCode) -> PageError {
    let (title, sentence) = match status {
        StatusCode::METHOD_NOT_ALLOWED => (
            "Not in this way",
            "This address is not asked in this way: some are only read, some only sent to. Go back \
             and use the page itself.",
        ),
        StatusCode::PAYLOAD_TOO_LARGE => (
            "That is too large",
            "Nothing larger than 4 MiB is taken. Nothing was changed. Send less at once.",
        ),
        StatusCode::REQUEST_TIMEOUT => (
            "That took too long",
            "The request did not arrive whole, or its answer took too long. Look whether it was \
             done, then try again.",
        ),
        StatusCode::UNSUPPORTED_MEDIA_TYPE => (
            "Not in this form",
            "What was sent is not in the form this address takes. Nothing was changed. Go back and \
             use the page itself; programs send JSON to /api/v1.",
        ),
        _ if status.is_server_error() => (
            "The page failed",
            "Something went wrong that should not. Try again; if it happens again, tell what you did.",
        ),
        _ => (
            "The request cannot be read",
            "Its address or what was sent with it is not whole, or not text. Nothing was changed. Go \
             back and enter it anew.",
        ),
    };
    PageError::new(status, title, sentence)
}

/// The same answer with what keeps a browser careful.
fn marked(mut answer: Response) -> Response {
    let headers = answer.headers_mut();
    // A printed sheet brings a policy of its own, as strict.
    headers
        .entry(CONTENT_SECURITY_POLICY)
        .or_insert(HeaderValue::from_static(CONTENT_SECURITY));
    for (name, value) in [
        ("x-content-type-options", "nosniff"),
        ("referrer-policy", "same-origin"),
        ("cross-origin-opener-policy", "same-origin"),
        ("cross-origin-resource-policy", "same-origin"),
        ("x-frame-options", "DENY"),
    ] {
        // A sheet for print brings its own policy: its style stands in it, and it has no script.
        headers
            .entry(HeaderName::from_static(name))
            .or_insert(HeaderValue::from_static(value));
    }
    let unmarked = HeaderName::from_static("cache-control");
    // Pages speak of this moment: none is kept.
    headers
        .entry(unmarked)
        .or_insert(HeaderValue::from_static("no-store"));
    answer
}

#[cfg(test)]
mod tests {
    use super::*;

    fn request(method: Method, of: &[(&str, &str)]) -> Request {
        let start = Request::builder().method(method).uri("/");
        let with = of
            .iter()
            .fold(start, |r, (name, value)| r.header(*name, *value));
        with.body(axum::body::Body::empty()).unwrap()
    }

    fn app(loopback: bool) -> App {
        App {
            loopback,
            ..App::of("x.book".into())
        }
    }

    #[test]
    fn another_site_changes_nothing() {
        let post = |of| refused(&app(true), &request(Method::POST, of)).is_some();
        assert!(!post(&[
            ("host", "localhost:8080"),
            ("sec-fetch-site", "same-origin")
        ]));
        assert!(post(&[
            ("host", "localhost:8080"),
            ("sec-fetch-site", "cross-site")
        ]));
        assert!(post(&[
            ("host", "localhost:8080"),
            ("sec-fetch-site", "same-site")
        ]));
        assert!(!post(&[
            ("host", "localhost:8080"),
            ("origin", "http://localhost:8080")
        ]));
        assert!(post(&[
            ("host", "localhost:8080"),
            ("origin", "http://localhost:9090")
        ]));
        assert!(post(&[("host", "localhost:8080"), ("origin", "null")]));
        assert!(post(&[("host", "localhost:8080")]));
        assert!(!post(&[
            ("host", "localhost:8080"),
            ("content-type", "application/json")
        ]));
    }

    #[test]
    fn another_name_for_this_machine_is_not_answered() {
        let get = |host| refused(&app(true), &request(Method::GET, &[("host", host)]));
        assert!(get("localhost:8080").is_none() && get("127.0.0.1").is_none());
        assert!(get("[::1]:8080").is_none());
        let error = get("evil.example:8080").unwrap();
        assert_eq!(error.status, StatusCode::MISDIRECTED_REQUEST);
        let lan = request(Method::GET, &[("host", "boathouse.local:8080")]);
        assert!(refused(&app(false), &lan).is_none());
        let twice = request(
            Method::GET,
            &[("host", "localhost"), ("host", "evil.example")],
        );
        assert_eq!(
            refused(&app(true), &twice).unwrap().status,
            StatusCode::BAD_REQUEST
        );
    }
}
