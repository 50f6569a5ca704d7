//! The pages, one file each.

mod book;
mod entry;
pub mod sign;

use std::sync::Arc;

use axum::Router;

use super::App;

/// Every page.
pub fn router() -> Router<Arc<App>> {
    Router::new()
        .merge(book::router())
        .merge(entry::router())
        .merge(sign::router())
}
