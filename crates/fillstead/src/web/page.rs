//! What every page has: the sheet around it, and the page of an error with a way on.

use std::sync::Arc;

use askama::Template;
use axum::extract::State;
use axum::http::{StatusCode, Uri, header};
use axum::response::{Html, IntoResponse, Response};
use quantity::{GaugePressure, UnitSystem};

use super::App;
use super::reader::{Reader, SYSTEMS, word};
use crate::usecase::Trouble;
use crate::usecase::book::desk;
use crate::usecase::book::list::title;
use crate::usecase::units;
pub use crate::words::sentence;

/// A place in the navigation.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Place {
    /// The station with its findings.
    Station,
    /// What a run will do.
    Plan,
    /// The run going on.
    Run,
    /// What is wrong.
    Check,
    /// The records.
    Book,
    /// The air.
    Air,
    /// The teaching station.
    Bench,
    /// None of them.
    Elsewhere,
}

/// The places, in the order of the work.
const PLACES: [(Place, &str, &str); 7] = [
    (Place::Station, "/", "Station"),
    (Place::Plan, "/plan", "Plan"),
    (Place::Run, "/run", "Run"),
    (Place::Check, "/check", "Check"),
    (Place::Book, "/book", "Book"),
    (Place::Air, "/air", "Air"),
    (Place::Bench, "/bench", "Bench"),
];

/// The sheet around a page.
pub struct Sheet {
    /// What the page is called.
    pub title: String,
    /// The station.
    pub station: String,
    /// Demonstration data.
    pub invented: bool,
    /// Who is signed in, and signs what is entered.
    pub person: Option<String>,
    /// Whether people sign in here: the network can reach the server.
    pub signed: bool,
    /// Whether only this machine reaches it: whoever is at it looks after the people.
    pub machine: bool,
    /// Where it stands in the navigation.
    place: Place,
    /// Version of the program, in the addresses of its files.
    pub version: &'static str,
    /// The units its figures are in; none where nothing tells.
    pub units: Option<UnitSystem>,
    /// The address of this page, where it can be asked for again.
    here: Option<Uri>,
}

/// Another system of units, or this one.
pub struct Switch {
    /// The same page in it.
    pub href: String,
    /// What it is known by.
    pub name: &'static str,
    /// Whether the page is in it.
    pub here: bool,
}

/// A step of the navigation.
pub struct Step {
    /// Where it leads.
    pub href: &'static str,
    /// What it is called.
    pub name: &'static str,
    /// Whether it is this page.
    pub here: bool,
}

impl Sheet {
    /// The sheet of a page of this book. A book that cannot be read gives a sheet without a name:
    /// the page itself says why.
    pub fn of(app: &App, place: Place, name: &str) -> Sheet {
        let found = desk::read(&app.book).and_then(|book| title(&book));
        let (station, invented) = found.unwrap_or_else(|_| (String::new(), app.demonstration));
        Sheet {
            station,
            invented,
            signed: !app.loopback,
            machine: app.loopback,
            ..Sheet::bare(place, name)
        }
    }

    /// The sheet of a page that anybody on the network may see: without the station's name.
    pub fn closed(app: &App, place: Place, name: &str) -> Sheet {
        Sheet {
            invented: app.demonstration,
            ..Sheet::bare(place, name)
        }
    }

    /// A sheet that knows its reader and no book.
    fn bare(place: Place, name: &str) -> Sheet {
        let reader = Reader::now().unwrap_or_default();
        Sheet {
            title: name.to_owned(),
            station: String::new(),
            invented: false,
            signed: false,
            machine: false,
            place,
            version: env!("CARGO_PKG_VERSION"),
            units: units::asked().or(reader.chosen),
            here: reader.here,
            person: reader.person,
        }
    }

    /// The units as a form tells them, so that a number alone is read as the page showed it.
    pub fn system(&self) -> &'static str {
        self.units.map_or("", word)
    }

    /// The unit of a pressure that is typed as a number alone; empty where none may be.
    pub fn pressure(&self) -> &'static str {
        let unit = |units: UnitSystem| units.preferred::<GaugePressure>().symbol;
        self.units.map_or("", unit)
    }

    /// Both systems of units, each with the way to it. What was sent is not sent again: from there
    /// the way leads to the page of its place.
    pub fn switches(&self) -> Vec<Switch> {
        let of_place = || PLACES.iter().find(|(place, ..)| *place == self.place);
        let place = || of_place().map_or("/", |(_, href, _)| *href);
        let (path, query) = match &self.here {
            Some(here) => (here.path(), here.query()),
            None => (place(), None),
        };
        let rest = query.map(|query| format!("&{query}")).unwrap_or_default();
        let switch = |(system, word, name): &(UnitSystem, &str, &'static str)| Switch {
            href: format!("{path}?units={word}{rest}"),
            name,
            here: self.units == Some(*system),
        };
        SYSTEMS.iter().map(switch).collect()
    }

    /// The navigation.
    pub fn steps(&self) -> Vec<Step> {
        let step = |(place, href, name): &(Place, &'static str, &'static str)| Step {
            href,
            name,
            here: *place == self.place,
        };
        PLACES.iter().map(step).collect()
    }
}

/// Why there is no page, and where to go on.
#[derive(Debug)]
pub struct PageError {
    /// HTTP's word for it.
    pub status: StatusCode,
    /// In a few words.
    pub title: String,
    /// What is wrong and what to do, in sentences.
    pub sentence: String,
    /// Ways on: address and words.
    pub ways: Vec<(String, String)>,
}

impl PageError {
    /// An error with its sentence and the way back to the station.
    pub fn new(status: StatusCode, title: &str, sentence: &str) -> PageError {
        PageError {
            status,
            title: title.to_owned(),
            sentence: sentence.to_owned(),
            ways: vec![("/".to_owned(), "Station".to_owned())],
        }
    }

    /// The same with another way on, first.
    pub fn way(mut self, href: &str, words: &str) -> PageError {
        self.ways.insert(0, (href.to_owned(), words.to_owned()));
        self
    }
}

/// Both sentences of a trouble: what is wrong, and what to do.
pub fn in_sentences(trouble: &Trouble) -> String {
    format!("{} {}", sentence(&trouble.what), sentence(&trouble.remedy))
}

impl From<Trouble> for PageError {
    fn from(trouble: Trouble) -> PageError {
        let text = in_sentences(&trouble);
        PageError::new(StatusCode::UNPROCESSABLE_ENTITY, "That did not work", &text)
    }
}

impl From<Vec<Trouble>> for PageError {
    fn from(troubles: Vec<Trouble>) -> PageError {
        let all: Vec<String> = troubles.iter().map(in_sentences).collect();
        PageError::new(
            StatusCode::UNPROCESSABLE_ENTITY,
            "That did not work",
            &all.join(" "),
        )
    }
}

/// The page of an error. It needs no book: what failed may be the book itself.
#[derive(Template)]
#[template(path = "web/error.html")]
struct ErrorPage<'a> {
    sheet: Sheet,
    error: &'a PageError,
}

impl IntoResponse for PageError {
    fn into_response(self) -> Response {
        let page = ErrorPage {
            sheet: Sheet::bare(Place::Elsewhere, &self.title),
            error: &self,
        };
        let text = page.render().unwrap_or_else(|_| self.sentence.clone());
        let mut answer = (self.status, Html(text)).into_response();
        // So that a program can be told in its own way.
        answer.extensions_mut().insert(Told(self.sentence));
        answer
    }
}

/// What an error page says, beside the page itself.
#[derive(Clone, Debug)]
pub struct Told(pub String);

/// A page that is there.
pub fn show(page: &impl Template) -> Result<Response, PageError> {
    let text = page.render().map_err(|error| {
        let sentence = format!("The page could not be drawn: {error}. Nothing was changed.");
        PageError::new(
            StatusCode::INTERNAL_SERVER_ERROR,
            "The page failed",
            &sentence,
        )
    })?;
    Ok(Html(text).into_response())
}

/// Goes on at another page, so that a reload does not send a form again.
pub fn see_other(to: &str) -> Response {
    (StatusCode::SEE_OTHER, [(header::LOCATION, to.to_owned())]).into_response()
}

/// Runs work that reads or writes files, away from the threads that answer requests, for whoever
/// reads the page.
pub async fn work<T: Send + 'static>(
    app: &Arc<App>,
    job: impl FnOnce(&App) -> T + Send + 'static,
) -> Result<T, PageError> {
    let (app, reader) = (app.clone(), Reader::now());
    let done = tokio::task::spawn_blocking(move || match reader {
        Some(reader) => reader.does(&app, job),
        None => job(&app),
    })
    .await;
    done.map_err(|_| {
        let sentence = "Something went wrong that should not. Nothing already in the book has \
                        changed. Try again; if it happens again, tell what you did.";
        PageError::new(
            StatusCode::INTERNAL_SERVER_ERROR,
            "The page failed",
            sentence,
        )
    })
}

/// No such page.
pub async fn not_found(State(_): State<Arc<App>>, uri: Uri) -> PageError {
    let path: String = uri.path().chars().take(60).collect();
    PageError::new(
        StatusCode::NOT_FOUND,
        "There is no such page",
        &format!("Nothing is kept under {path}. Check the address, or begin at the station."),
    )
}
