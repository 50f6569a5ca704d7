//! The book: its latest entries.

use std::sync::Arc;

use askama::Template;
use axum::Router;
use axum::extract::State;
use axum::response::Response;
use axum::routing::get;

use crate::usecase::book::list::{Asked, List, list};
use crate::web::App;
use crate::web::page::{PageError, Place, Sheet, show, work};

/// Pages of the book.
pub fn router() -> Router<Arc<App>> {
    Router::new().route("/book", get(entries))
}

/// The latest entries.
#[derive(Template)]
#[template(path = "web/book.html")]
struct BookPage {
    sheet: Sheet,
    list: List,
}

/// `GET /book`: the latest entries.
async fn entries(State(app): State<Arc<App>>) -> Result<Response, PageError> {
    let (sheet, list) = work(&app, |app| {
        let sheet = Sheet::of(app, Place::Book, "Book");
        list(&app.book, &Asked::default()).map(|list| (sheet, list))
    })
    .await??;
    show(&BookPage { sheet, list })
}
