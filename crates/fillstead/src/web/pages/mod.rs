//! The pages, one file or folder each.

mod air;
pub mod bench;
mod book;
mod check;
mod enter;
mod people;
mod plan;
mod run;
pub mod sign;
mod station;

use std::sync::Arc;

use axum::Router;
use axum::middleware::from_fn;

use super::{App, reader};

/// Every page.
pub fn router() -> Router<Arc<App>> {
    Router::new()
        .merge(book::router())
        .merge(enter::router())
        .merge(air::router())
        .merge(station::router())
        .merge(plan::router())
        .merge(run::router())
        .merge(check::router())
        .merge(sign::router())
        .merge(bench::router())
        .merge(people::router())
        .layer(from_fn(reader::check))
}
