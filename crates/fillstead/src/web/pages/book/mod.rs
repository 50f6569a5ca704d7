//! The book: cylinders, the log of fills, what is due, what is locked and set aside; ways to
//! everything else that is kept.

mod asked;
mod cylinder;
mod entry;
mod import;
mod keep;
mod print;
#[cfg(test)]
mod tests;

pub use print::printed;

use std::sync::Arc;

use askama::Template;
use axum::Router;
use axum::extract::{Query, State};
use axum::response::Response;
use axum::routing::get;
use insight::upkeep::{DueItem, Item, State as Urgency};

use crate::draw::intervals::State as Standing;
use crate::usecase::Trouble;
use crate::usecase::book::form::Given;
use crate::usecase::book::log::{self, Log, log};
use crate::usecase::book::shelf::{Lock, Shelf, shelf};
use crate::web::App;
use crate::web::address;
use crate::web::page::{PageError, Place, Sheet, in_sentences, sentence, show, work};
use crate::web::said::{Piece, pieces};
use crate::web::typed::Typed;

pub use asked::Plotted;
pub use cylinder::Against;

/// Pages of the book.
pub fn router() -> Router<Arc<App>> {
    Router::new()
        .route("/book", get(book))
        .merge(cylinder::router())
        .merge(entry::router())
        .merge(asked::router())
        .merge(keep::router())
        .merge(import::router())
        .merge(print::router())
}

/// The book.
#[derive(Template)]
#[template(path = "web/book/main.html")]
struct BookPage {
    sheet: Sheet,
    shelf: Arc<Shelf>,
    locks: Vec<Locked>,
    due: Vec<DueRow>,
    later: Vec<DueRow>,
    log: Log,
    filter: Filter,
    wrong: Vec<String>,
    groups: Vec<super::enter::Group>,
}

/// Why nothing is filled.
struct Locked {
    what: String,
    way: Vec<Piece>,
    entry: u64,
}

fn locked(lock: &Lock) -> Locked {
    Locked {
        what: sentence(&lock.what),
        way: pieces(&sentence(&lock.way)),
        entry: lock.entry,
    }
}

/// What is due, as a line.
pub struct DueRow {
    /// Its mark.
    pub mark: &'static str,
    /// What it is.
    pub name: String,
    /// When, in a few words.
    pub when: String,
    /// Why, in a sentence.
    pub why: String,
    /// Where the interval is written.
    pub source: String,
    /// Where to enter that it is done, and the words for that.
    pub mend: (String, &'static str),
}

/// What was chosen in the log, as typed, and the ways to its neighbours.
struct Filter {
    day: String,
    to: String,
    person: String,
    cylinder: String,
    kind: String,
    kinds: Vec<(&'static str, &'static str)>,
    newer: Option<String>,
    older: Option<String>,
    csv: String,
}

/// `GET /book`.
async fn book(
    State(app): State<Arc<App>>,
    Query(given): Query<Given>,
) -> Result<Response, PageError> {
    let typed = Typed(given);
    let page = work(&app, move |app| gathered(app, &typed)).await??;
    show(&page)
}

fn gathered(app: &App, typed: &Typed) -> Result<BookPage, Trouble> {
    let asked = log::Asked {
        day: typed.own("day"),
        to: typed.own("to"),
        person: typed.own("person"),
        cylinder: typed.own("cylinder"),
        kind: typed.own("kind"),
        page: typed
            .text("page")
            .and_then(|text| text.parse().ok())
            .unwrap_or(0),
    };
    // What is typed wrong must not take the whole page away.
    let (log, wrong) = match log(&app.book, &asked) {
        Ok(log) => (log, Vec::new()),
        Err(trouble) => {
            let text = in_sentences(&trouble);
            (log(&app.book, &log::Asked::default())?, vec![text])
        }
    };
    let shelf = app.shelf.get(&app.book, "", || shelf(&app.book, None))?;
    let (due, later): (Vec<&DueItem>, Vec<&DueItem>) = shelf
        .due
        .items
        .iter()
        .partition(|item| item.state < Urgency::InTime);
    Ok(BookPage {
        sheet: Sheet::of(app, Place::Book, "Book"),
        due: due.into_iter().map(due_row).collect(),
        later: later.into_iter().map(due_row).collect(),
        locks: shelf.locks.iter().map(locked).collect(),
        filter: filter(typed, &log),
        shelf,
        log,
        wrong,
        groups: super::enter::groups(),
    })
}

fn filter(typed: &Typed, log: &Log) -> Filter {
    let (day, to) = (typed.shown("day"), typed.shown("to"));
    let (person, cylinder) = (typed.shown("person"), typed.shown("cylinder"));
    let kind = typed.shown("kind");
    let page = |page: usize| {
        let number = page.to_string();
        let given = [
            ("day", day.as_str()),
            ("to", &to),
            ("person", &person),
            ("cylinder", &cylinder),
            ("kind", &kind),
            ("page", &number),
        ];
        address::with("/book", &given) + "#log"
    };
    let mut kinds = vec![("fills", "Fills"), ("everything", "Everything")];
    kinds.extend(
        crate::usecase::book::form::FORMS
            .iter()
            .map(|form| (form.name, form.name)),
    );
    Filter {
        newer: log.page.checked_sub(1).map(page),
        older: log.older.then(|| page(log.page + 1)),
        csv: address::with(
            "/book/export",
            &[("what", "fills"), ("from", &day), ("to", &to)],
        ),
        kinds,
        day,
        to,
        person,
        cylinder,
        kind,
    }
}

/// A due thing as a line.
pub fn due_row(item: &DueItem) -> DueRow {
    let likely = item.due.as_ref().map(|due| due.likely.clone());
    let (mark, when) = match item.state {
        Urgency::Over => ("m-danger", format!("over{}", since(likely.as_deref()))),
        Urgency::Due => ("m-danger", "now".to_owned()),
        Urgency::NeverRecorded => ("m-note", "never recorded".to_owned()),
        Urgency::Soon => ("m-abnormal", likely.unwrap_or_else(|| "soon".to_owned())),
        Urgency::InTime => ("m-normal", likely.unwrap_or_else(|| "in time".to_owned())),
        Urgency::NoInterval => ("m-note", "no interval".to_owned()),
    };
    DueRow {
        mark,
        name: item.name.clone(),
        when,
        why: item.sentence.clone(),
        source: item.source.clone().unwrap_or_default(),
        mend: mend(item),
    }
}

fn since(day: Option<&str>) -> String {
    day.map(|day| format!(" since {day}")).unwrap_or_default()
}

/// Where somebody writes down that it is done.
fn mend(item: &DueItem) -> (String, &'static str) {
    let which = item.which.as_deref().unwrap_or_default();
    let part = item.item.called().replace(' ', "_");
    let part = match item.item {
        Item::Pmv => "pmv",
        Item::Relief => "relief",
        Item::Gauge => "gauge",
        Item::Hose => "hose",
        _ => part.as_str(),
    };
    let form = |name: &str, words| {
        (
            address::with(
                &format!("/book/add/{name}"),
                &[("part", part), ("which", which)],
            ),
            words,
        )
    };
    match item.item {
        Item::Cylinder => (
            address::with("/book/add/inspection", &[("cylinder", which)]),
            "Enter the inspection",
        ),
        Item::AirSample => ("/air".to_owned(), "Enter a test"),
        _ if item.state == Urgency::NoInterval => form("interval", "Enter its interval"),
        Item::Pmv | Item::Relief | Item::Gauge | Item::Tower => form("tested", "Enter the test"),
        _ => form("replaced", "Enter the change"),
    }
}

/// The mark of a state.
pub fn mark(state: &Standing) -> &'static str {
    match state {
        Standing::InDate => "m-normal",
        Standing::Soon => "m-abnormal",
        Standing::Over => "m-danger",
        Standing::Unknown => "m-note",
    }
}
