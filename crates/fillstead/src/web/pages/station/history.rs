//! Who changed the station file, when, why, and what.

use std::sync::Arc;

use askama::Template;
use axum::extract::{Query, State};
use axum::response::Response;

use super::on_disk;
use crate::usecase::Trouble;
use crate::usecase::station_edit::history::{Revised, history};
use crate::web::App;
use crate::web::page::{PageError, Place, Sheet, show, work};

/// Every revision.
#[derive(Template)]
#[template(path = "web/station/history.html")]
struct HistoryPage {
    sheet: Sheet,
    revisions: Vec<Revised>,
    /// The entry just written.
    saved: Option<u64>,
    /// What became of the file on the disk.
    disk: Option<String>,
}

/// `GET /station/history`: every revision, the latest first.
pub(super) async fn revisions(
    State(app): State<Arc<App>>,
    Query(asked): Query<Vec<(String, String)>>,
) -> Result<Response, PageError> {
    let text = |wanted: &str| {
        let found = asked.iter().find(|(name, _)| name == wanted);
        found.map(|(_, text)| text.clone())
    };
    let saved = text("saved").and_then(|text| text.parse().ok());
    let written = text("disk").is_some_and(|text| text == "written");
    let page = work(&app, move |app| {
        let revisions = history(&app.book)?;
        let newest = revisions.first().map(|revision| revision.seq);
        let saved = saved.filter(|saved| Some(*saved) == newest);
        let followed = app
            .station_file
            .as_ref()
            .filter(|_| written && saved.is_some());
        let disk = on_disk(app)
            .or(followed.map(|file| format!("The file {} is written too.", file.display())));
        Ok::<_, Trouble>(HistoryPage {
            sheet: Sheet::of(app, Place::Station, "Changes of the station"),
            revisions,
            saved,
            disk,
        })
    })
    .await??;
    show(&page)
}
