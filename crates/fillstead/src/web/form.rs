//! What forms send, looked at before any page reads it: text, all of it, and not too much.
//!
//! The reader of forms puts a sign of its own where bytes are no text; in a ledger that is never
//! changed they must not get that far.

use axum::body::{Body, to_bytes};
use axum::extract::Request;
use axum::http::StatusCode;
use axum::http::header::CONTENT_TYPE;
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};

use super::LARGEST_BODY;
use super::page::PageError;
use super::plain::decoded;

/// Fields of one form, at most.
const MOST_FIELDS: usize = 2000;

/// Lets a form through that is whole.
pub async fn check(request: Request, next: Next) -> Response {
    let kind = request.headers().get(CONTENT_TYPE);
    let form = kind.is_some_and(|kind| {
        kind.as_bytes()
            .starts_with(b"application/x-www-form-urlencoded")
    });
    if !form {
        return next.run(request).await;
    }
    let (head, body) = request.into_parts();
    let Ok(bytes) = to_bytes(body, LARGEST_BODY).await else {
        return StatusCode::PAYLOAD_TOO_LARGE.into_response();
    };
    let why = std::str::from_utf8(&bytes).map_or(Some(NO_TEXT), wrong);
    let Some(why) = why else {
        return next.run(Request::from_parts(head, Body::from(bytes))).await;
    };
    let sentence = format!(
        "Nothing was changed: what was sent is not whole, {why}. Go back and enter it anew."
    );
    PageError::new(
        StatusCode::BAD_REQUEST,
        "The form cannot be read",
        &sentence,
    )
    .into_response()
}

const NO_TEXT: &str = "it holds bytes that are no text";

/// What is wrong with a form.
fn wrong(form: &str) -> Option<&'static str> {
    if form.bytes().filter(|b| *b == b'&').count() >= MOST_FIELDS {
        return Some("it has too many fields");
    }
    let texts = form.split(['&', '=']).map(decoded);
    for text in texts {
        match text {
            None => return Some(NO_TEXT),
            Some(text) if !is_plain(&text) => return Some("it holds signs that nobody types"),
            Some(_) => {}
        }
    }
    None
}

/// Whether a text has no control signs but line breaks and tabs.
pub fn is_plain(text: &str) -> bool {
    !text
        .chars()
        .any(|c| c.is_control() && !['\n', '\r', '\t'].contains(&c))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_form_is_text() {
        for form in ["", "a=b&c=%C3%85sa+d", "remark=two%0D%0Alines%09and+a+tab"] {
            assert_eq!(wrong(form), None, "{form}");
        }
        for form in ["a=%ff", "a=%C3", "%zz=1", "a=%00", "a=b%1b[2J", "a=100%"] {
            assert!(wrong(form).is_some(), "{form}");
        }
        assert!(wrong(&"a=b&".repeat(MOST_FIELDS)).is_some());
    }
}
