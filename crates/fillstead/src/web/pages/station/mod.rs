//! The station: the page everything begins with, and what is changed from there.
//!
//! Not here: what it shows ([`crate::usecase::station_front`]), how a file is edited
//! ([`crate::usecase::station_edit`]).

mod begin;
mod edit;
mod history;
#[cfg(test)]
mod tests;
mod text;

use std::sync::Arc;

use askama::Template;
use axum::Router;
use axum::extract::State;
use axum::response::Response;
use axum::routing::get;

use crate::draw::SYMBOLS;
use crate::usecase::station_edit::Told;
use crate::usecase::station_edit::disk::{OnDisk, compared};
use crate::usecase::station_edit::save::in_force;
use crate::usecase::station_front::outlook::{self, Outlook};
use crate::usecase::station_front::{Front, Whole, front};
use crate::usecase::{Trouble, first};
use crate::web::App;
use crate::web::page::{PageError, Place, Sheet, show, work};
use crate::web::person::Person;

/// Pages of the station.
pub fn router() -> Router<Arc<App>> {
    Router::new()
        .route("/", get(station))
        .route("/station/outlook", get(outlook))
        .route("/station/history", get(history::revisions))
        .route("/begin", get(begin::empty).post(begin::begin))
        .route(
            "/station/describe",
            get(begin::describe).post(begin::described),
        )
        .route("/station/edit", get(edit::overview))
        .route("/station/edit/{table}", get(edit::table).post(edit::enter))
        .route("/station/text", get(text::whole).post(text::enter))
}

/// Filters of the station's templates.
mod filters {
    use crate::web::page::sentence;

    /// A part of a sentence made whole, names of keys without their marks.
    #[askama::filter_fn]
    pub fn whole(text: impl ToString, _: &dyn askama::Values) -> askama::Result<String> {
        Ok(sentence(&text.to_string().replace('`', "")))
    }
}

/// The station.
#[derive(Template)]
#[template(path = "web/station/front.html")]
struct StationPage<'a> {
    sheet: Sheet,
    whole: &'a Whole,
    symbols: &'static str,
    outlook: Option<Arc<Outlook>>,
    disk: Option<String>,
}

/// A book without a station that can be used.
#[derive(Template)]
#[template(path = "web/station/nothing.html")]
struct NothingPage<'a> {
    sheet: Sheet,
    name: &'a str,
    broken: &'a [Told],
}

/// `GET /`: the station; where there is no book yet, how to begin one.
async fn station(State(app): State<Arc<App>>, person: Person) -> Result<Response, PageError> {
    if !first::is_there(&app.book) {
        return begin::empty(State(app), person).await;
    }
    let (sheet, found, outlook, disk) = work(&app, |app| {
        let sheet = Sheet::of(app, Place::Station, "Station");
        let found = app.front.get(&app.book, "", || front(&app.book));
        let outlook = app.outlook.ready(&app.book, "");
        found.map(|found| (sheet, found, outlook, on_disk(app)))
    })
    .await??;
    match &*found {
        Front::Nothing { name } => show(&NothingPage {
            sheet,
            name,
            broken: &[],
        }),
        Front::Broken { name, told } => show(&NothingPage {
            sheet,
            name,
            broken: told,
        }),
        Front::Whole(whole) => show(&StationPage {
            sheet,
            whole,
            symbols: SYMBOLS,
            outlook,
            disk,
        }),
    }
}

/// How the file on the disk differs from what the book has.
fn on_disk(app: &App) -> Option<String> {
    let file = app.station_file.as_ref()?;
    let text = in_force(&app.book).ok()?.text;
    let name = file.display();
    match compared(file, &text) {
        OnDisk::Same => None,
        OnDisk::Differs(_) => Some(format!(
            "The file {name} on the disk is not what the book has. What the book has counts; nothing \
             is written over the file while they differ."
        )),
        OnDisk::Unreadable(trouble) => Some(format!(
            "The file {name} does not follow what is saved here: {}.",
            trouble.what
        )),
    }
}

/// The text of the file on the disk, where it differs from what the book has.
fn other_on_disk(app: &App, text: &str) -> Option<String> {
    match compared(app.station_file.as_ref()?, text) {
        OnDisk::Differs(other) => Some(other),
        _ => None,
    }
}

/// What is coming, as a page of its own: a script puts its main part into the station's page.
#[derive(Template)]
#[template(path = "web/station/outlook.html")]
struct OutlookPage {
    sheet: Sheet,
    symbols: &'static str,
    outlook: Arc<Outlook>,
}

/// `GET /station/outlook`: drift of the settings and the cartridge, worked out where it is not known.
async fn outlook(State(app): State<Arc<App>>) -> Result<Response, PageError> {
    let (sheet, outlook) = work(&app, |app| {
        let make = || Ok(outlook::outlook(&app.book, &*app.drift(None)?));
        let outlook = app.outlook.get::<Trouble>(&app.book, "", make)?;
        Ok::<_, Trouble>((Sheet::of(app, Place::Station, "Outlook"), outlook))
    })
    .await??;
    show(&OutlookPage {
        sheet,
        symbols: SYMBOLS,
        outlook,
    })
}
