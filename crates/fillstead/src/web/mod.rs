//! The pages: requests in, use cases called, HTML out. Works without script, better with a little.
//!
//! Start at [`router`]. One file for each page in `pages`; a page is a typed struct with its
//! template in `templates/web`, and nothing is computed in a template. Every page goes through
//! [`crate::usecase`], as the command line does.
//! Not here: what is answered, what is printed on paper ([`crate::print`]), drawings
//! ([`crate::draw`]).

mod access;
mod address;
mod api;
mod assets;
mod form;
mod guard;
mod inputs;
mod listen;
mod page;
mod pages;
mod person;
mod plain;
mod reader;
mod said;
mod scratch;
mod serve;
#[cfg(test)]
pub mod tests;
mod typed;

use std::path::PathBuf;
use std::sync::Arc;

use axum::Router;
use axum::extract::DefaultBodyLimit;
use axum::middleware;

use crate::usecase::Trouble;
use crate::usecase::audit;
use crate::usecase::bench::Benches;
use crate::usecase::book::drift::{DriftPage, drift};
use crate::usecase::book::due::{DuePage, due};
use crate::usecase::book::shelf::Shelf;
use crate::usecase::diagnose::from_run::Offered;
use crate::usecase::memo::Memo;
use crate::usecase::station_front::Front;
use crate::usecase::station_front::outlook::Outlook;

pub use serve::serve;

use crate::usecase::run::Courses;
use crate::usecase::run::start::Offer;

/// No request has a larger body: a spreadsheet of cylinders is the largest thing sent.
const LARGEST_BODY: usize = 4 << 20;

/// What every request needs.
pub struct App {
    /// The book.
    pub book: PathBuf,
    /// Whether only this machine can reach it.
    pub loopback: bool,
    /// Throw-away demonstration data.
    pub demonstration: bool,
    /// The station file on the disk that follows what is saved.
    pub station_file: Option<PathBuf>,
    /// What takes long to work out of the station.
    pub outlook: Memo<Outlook>,
    /// How its settings drift.
    pub drift: Memo<DriftPage>,
    /// What an audit of it finds.
    pub audit: Memo<audit::Answer>,
    /// What is due.
    pub due: Memo<DuePage>,
    /// What was expected of the runs looked at.
    pub courses: Courses,
    /// The station at a glance.
    pub front: Memo<Front>,
    /// The register and what is due.
    pub shelf: Memo<Shelf>,
    /// The teaching benches.
    pub benches: Benches,
    /// Their drawings as last made.
    pub drawn: pages::bench::Kept,
    /// What a run can be started with.
    pub offer: Memo<Option<Offer>>,
    /// The runs that can be checked.
    pub checkable: Memo<Vec<Offered>>,
}

impl App {
    /// What the pages of this book need, where only this machine can reach them.
    pub fn of(book: PathBuf) -> App {
        App {
            book,
            loopback: true,
            demonstration: false,
            station_file: None,
            outlook: Memo::of_day(),
            drift: Memo::of_day(),
            audit: Memo::of_day(),
            due: Memo::of_minute(),
            courses: Courses::default(),
            front: Memo::of_minute(),
            shelf: Memo::of_minute(),
            offer: Memo::of_minute(),
            checkable: Memo::of_minute(),
            benches: Benches::default(),
            drawn: pages::bench::Kept::default(),
        }
    }
}

impl App {
    /// How the settings drift, until a day or today.
    pub fn drift(&self, today: Option<&str>) -> Result<Arc<DriftPage>, Trouble> {
        let make = || drift(&self.book, today);
        self.drift.get(&self.book, today.unwrap_or_default(), make)
    }

    /// What is due on a day, or today.
    pub fn due(&self, today: Option<&str>) -> Result<Arc<DuePage>, Trouble> {
        let make = || due(&self.book, today);
        self.due.get(&self.book, today.unwrap_or_default(), make)
    }
}

/// Every page.
fn routes() -> Router<Arc<App>> {
    Router::new()
        .merge(pages::router())
        .merge(api::router())
        .merge(assets::router())
}

/// Every page, with what guards them.
pub fn router(app: Arc<App>) -> Router {
    Router::new()
        .merge(routes())
        .fallback(page::not_found)
        .layer(DefaultBodyLimit::max(LARGEST_BODY))
        .layer(middleware::from_fn(form::check))
        .layer(middleware::from_fn_with_state(app.clone(), access::check))
        .layer(middleware::from_fn_with_state(app.clone(), guard::check))
        .with_state(app)
}
