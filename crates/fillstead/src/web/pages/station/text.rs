//! The station file as a whole text.

use std::sync::Arc;

use askama::Template;
use axum::extract::{Form as Posted, Query, State};
use axum::response::Response;

use super::edit::{Sent, Signing, answer, saved};
use super::other_on_disk;
use crate::usecase::Trouble;
use crate::usecase::station_edit::save::in_force;
use crate::usecase::station_edit::{Edited, Told, Typed, from_page, told};
use crate::web::App;
use crate::web::page::{PageError, Place, Sheet, show, work};
use crate::web::person::Person;

/// The text with everything told of it.
#[derive(Template)]
#[template(path = "web/station/text.html")]
struct TextPage {
    sheet: Sheet,
    text: String,
    rows: usize,
    told: Vec<Told>,
    signing: Signing,
    /// The file on the disk differs, and may be taken.
    other: bool,
    /// The file on the disk is what is shown.
    from_disk: bool,
}

/// `GET /station/text`: the text in force; with `?from=disk` that of the file on the disk.
pub(super) async fn whole(
    State(app): State<Arc<App>>,
    person: Person,
    Query(asked): Query<Typed>,
) -> Result<Response, PageError> {
    let wanted = asked
        .iter()
        .any(|(name, value)| name == "from" && value == "disk");
    let page = work(&app, move |app| {
        let now = in_force(&app.book)?;
        let other = other_on_disk(app, &now.text);
        let taken = other.clone().filter(|_| wanted);
        let signing = Signing {
            by: person.name.unwrap_or_default(),
            from: now.entry,
            ..Signing::default()
        };
        let from_disk = taken.is_some();
        let mut page = page(app, taken.unwrap_or(now.text), signing);
        page.other = other.is_some() && !from_disk;
        page.from_disk = from_disk;
        Ok::<_, Trouble>(page)
    })
    .await??;
    show(&page)
}

/// `POST /station/text`: what the change comes to, or the text in force.
pub(super) async fn enter(
    State(app): State<Arc<App>>,
    person: Person,
    Posted(given): Posted<Typed>,
) -> Result<Response, PageError> {
    let sent = Sent::of(given, &person);
    let by = sent.by.clone().unwrap_or_default();
    let done = work(&app, move |app| {
        let now = in_force(&app.book)?;
        let typed = sent.typed.iter().find(|(name, _)| name == "text");
        let typed = typed.map(|(_, text)| text.as_str()).unwrap_or_default();
        let edited = Edited::by_text(&now.text, &from_page(typed, &now.text));
        let troubles = match saved(&sent, app, &edited) {
            Ok(Some(saved)) => return Ok(Ok(saved)),
            Ok(None) => Vec::new(),
            Err(troubles) => troubles,
        };
        let bad = edited.wrong() || !troubles.is_empty();
        let signing = sent.signing(&edited, &now, troubles);
        Ok::<_, Trouble>(Err((page(app, edited.after, signing), bad)))
    })
    .await??;
    answer(done, &by)
}

fn page(app: &App, text: String, signing: Signing) -> TextPage {
    TextPage {
        sheet: Sheet::of(app, Place::Station, "The station file"),
        rows: text.lines().count().clamp(12, 60),
        told: told(&text),
        text,
        signing,
        other: false,
        from_disk: false,
    }
}
