//! The interface for programs: the answers of the command line as JSON, under `/api/v1/`.
//!
//! What there is stands in one table ([`operations::OPERATIONS`]); addresses, checks and the
//! description (`/api/v1/openapi.json`) are made from it, so that they cannot differ.

mod asked;
mod document;
mod failure;
mod operations;

use std::collections::BTreeMap;
use std::sync::Arc;

use axum::Router;
use axum::body::Bytes;
use axum::extract::{Path, Query, State};
use axum::http::header::CONTENT_TYPE;
use axum::http::{HeaderMap, StatusCode, Uri};
use axum::response::Response;
use axum::routing::{get, post};
use tokio::sync::Semaphore;

use super::App;
use super::page::work;
use super::person::Person;
use asked::Asked;
pub use failure::refusal;
use failure::{Failure, answered};
use operations::{OPERATIONS, Operation, Verb};

/// Where everything is.
const ROOT: &str = "/api/v1";

/// Answers are computed so many at once.
static COMPUTING: Semaphore = Semaphore::const_new(4);

/// Every address of the interface.
pub fn router() -> Router<Arc<App>> {
    let described = Router::new().route(
        &format!("{ROOT}/openapi.json"),
        get(|| async { answered(StatusCode::OK, &document::document()) }),
    );
    OPERATIONS.iter().fold(described, |router, operation| {
        let answer = move |app, person, path, uri, headers, body| async move {
            match run(operation, app, person, path, uri, headers, body).await {
                Ok(answer) => answer,
                Err(failure) => failure.answer(),
            }
        };
        let method = match operation.verb {
            Verb::Get => get(answer),
            Verb::Post => post(answer),
        };
        router.route(&format!("{ROOT}{}", operation.path), method)
    })
}

/// Asks one operation what a request asks.
async fn run(
    operation: &'static Operation,
    State(app): State<Arc<App>>,
    person: Person,
    Path(path): Path<BTreeMap<String, String>>,
    uri: Uri,
    headers: HeaderMap,
    body: Bytes,
) -> Result<Response, Failure> {
    let query = Query::<Vec<(String, String)>>::try_from_uri(&uri);
    let Query(query) = query.map_err(|_| {
        let what = "the part of the address after ? cannot be read";
        Failure::of(
            StatusCode::BAD_REQUEST,
            what,
            "write name=text, parted by &",
        )
    })?;
    if operation.verb == Verb::Post && !is_json(&headers) {
        let what = "what was sent is not marked as JSON";
        let remedy = "send a JSON object with the header Content-Type: application/json";
        return Err(Failure::of(
            StatusCode::UNSUPPORTED_MEDIA_TYPE,
            what,
            remedy,
        ));
    }
    let asked = Asked::new(operation, path, query, &body)?;
    let _turn = COMPUTING.acquire().await;
    let done = work(&app, move |app| (operation.run)(app, &person, &asked)).await;
    let (status, value) =
        done.map_err(|error| Failure::of(error.status, "the answer failed", &error.sentence))??;
    Ok(answered(status, &value))
}

fn is_json(headers: &HeaderMap) -> bool {
    let kind = headers
        .get(CONTENT_TYPE)
        .and_then(|kind| kind.to_str().ok());
    let kind = kind.and_then(|kind| kind.split(';').next());
    kind.is_some_and(|kind| kind.trim().eq_ignore_ascii_case("application/json"))
}
