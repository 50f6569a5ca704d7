//! What every request must pass, and what every answer carries.
//!
//! Nothing is changed by a request that comes from another site: browsers say where a request
//! comes from, and programs that do not must send JSON, which a foreign page cannot. A server that
//! only this machine reaches answers to this machine's own names alone, so that no other name can
//! be bent to it.

use std::sync::Arc;

use axum::extract::{Request, State};
use axum::http::header::{
    CONTENT_SECURITY_POLICY, CONTENT_TYPE, HOST, HeaderName, HeaderValue, ORIGIN,
};
use axum::http::{HeaderMap, Method, StatusCode};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};

use super::App;
use super::page::PageError;

/// Everything comes from here and nothing is run from elsewhere.
const CONTENT_SECURITY: &str = "default-src 'none'; style-src 'self'; script-src 'self'; \
    img-src 'self' data:; font-src 'self'; connect-src 'self'; form-action 'self'; base-uri 'none'; \
    frame-ancestors 'none'";

/// Refuses what does not come from a page of ours, and marks every answer.
pub async fn check(State(app): State<Arc<App>>, request: Request, next: Next) -> Response {
    let answer = match refused(&app, request.method(), request.headers()) {
        Some(error) => error.into_response(),
        None => next.run(request).await,
    };
    marked(answer)
}

/// Why a request is not answered.
fn refused(app: &App, method: &Method, headers: &HeaderMap) -> Option<PageError> {
    let host = text(headers, &HOST)?;
    if app.loopback && !is_this_machine(host) {
        return Some(PageError::new(
            StatusCode::MISDIRECTED_REQUEST,
            "This server answers to this machine only",
            "It was asked under another name. Open it under the address it printed when it started.",
        ));
    }
    let reads = [Method::GET, Method::HEAD].contains(method);
    if reads || is_of_ours(headers, host) {
        return None;
    }
    Some(PageError::new(
        StatusCode::FORBIDDEN,
        "Nothing was changed",
        "The request came from another page than Fillstead's. Go back and enter it here.",
    ))
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
    ] {
        headers.insert(
            HeaderName::from_static(name),
            HeaderValue::from_static(value),
        );
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

    fn headers(of: &[(&'static str, &'static str)]) -> HeaderMap {
        let pair = |(name, value): &(&'static str, &'static str)| {
            (
                HeaderName::from_static(name),
                HeaderValue::from_static(value),
            )
        };
        of.iter().map(pair).collect()
    }

    fn app(loopback: bool) -> App {
        App {
            book: "x.book".into(),
            loopback,
            demonstration: false,
        }
    }

    #[test]
    fn another_site_changes_nothing() {
        let post = |of| refused(&app(true), &Method::POST, &headers(of)).is_some();
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
        let get = |host| refused(&app(true), &Method::GET, &headers(&[("host", host)]));
        assert!(get("localhost:8080").is_none() && get("127.0.0.1").is_none());
        assert!(get("[::1]:8080").is_none());
        let error = get("evil.example:8080").unwrap();
        assert_eq!(error.status, StatusCode::MISDIRECTED_REQUEST);
        let lan = headers(&[("host", "boathouse.local:8080")]);
        assert!(refused(&app(false), &Method::GET, &lan).is_none());
    }
}
