//! The parts of a bench's page that change by themselves: drawn once for page and stream alike.

use askama::Template;

use super::drawn::Kept;
use super::view::View;
use super::{May, filters};
use crate::usecase::bench::Look;
use crate::web::page::PageError;
use axum::http::StatusCode;

/// A part, drawn.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Part {
    /// Its name in the page: `data-part`.
    pub name: &'static str,
    /// Its HTML.
    pub html: String,
}

/// Every part.
const NAMES: [&str; 12] = [
    "time", "said", "path", "hands", "gauges", "trace", "rows", "question", "wrong", "drill",
    "log", "people",
];

/// One part of the page.
#[derive(Template)]
#[template(path = "web/bench_part.html")]
struct PartPage<'a> {
    name: &'static str,
    view: &'a View,
    may: May,
}

/// The parts of this bench.
pub fn parts(look: &Look, kept: &Kept, may: May) -> Result<Vec<Part>, PageError> {
    let view = View::of(look, kept);
    let one = |name: &'static str| {
        let page = PartPage {
            name,
            view: &view,
            may,
        };
        let html = page.render().map_err(|error| {
            let sentence = format!("The page could not be drawn: {error}.");
            PageError::new(
                StatusCode::INTERNAL_SERVER_ERROR,
                "The page failed",
                &sentence,
            )
        })?;
        Ok(Part {
            name,
            html: html.trim().to_owned(),
        })
    };
    NAMES.into_iter().map(one).collect()
}
