//! The pages, one file each.

mod book;
mod entry;
mod run;

use std::sync::Arc;

use axum::Router;

use super::App;

/// Every page.
pub fn router() -> Router<Arc<App>> {
    Router::new()
        .merge(book::router())
        .merge(entry::router())
        .merge(run::router())
}
