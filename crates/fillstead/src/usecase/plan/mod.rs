//! A plan: what a run would do if it were started now, with what the book knows.
//!
//! Start at [`plan`]. Each cylinder is asked of the fill gate first: one that must not be filled is
//! named with the reason and counted nowhere. The same question of the same book has the same
//! answer, and the last answers are kept.
//! Not here: the run itself ([`insight::forecast`]), how it is shown.

pub mod card;
mod cylinders;
mod known;
pub mod query;
pub mod sheet;
mod steps;

use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, PoisonError};

use book::Book;
use book::answer::locks;
use book::answer::station::station_text;
use insight::cylinder::answer::Refusal;
use insight::forecast::answer::Forecast;
use insight::forecast::request::Request;
use insight::logged::CartridgeAnswer;
use quantity::UnitSystem;
use station::{Date, Station};

use super::book::form::Given;
use super::book::records::with_register;
use super::book::{desk, drift, gate, list};
use super::forecast::{Unanswered, forecast_station};
use super::wishes::Wishes;
use crate::usecase::clock::{self, Zone};
use crate::usecase::{Trouble, units};

pub use cylinders::{Choice, Row, Shelf};
pub use known::{Known, Noted};
pub use query::Query;

/// A plan and everything it was made from.
#[derive(Clone, Debug)]
pub struct Plan {
    /// The station in force, with its register.
    pub station: Station,
    /// The entry that holds its file.
    pub revision: u64,
    /// What was asked, defaults filled in.
    pub query: Query,
    /// The cylinders asked for.
    pub rows: Vec<Row>,
    /// What can be put into a plan.
    pub choices: Vec<Choice>,
    /// What the book knows of this moment.
    pub known: Known,
    /// What is wrong with what was typed, by field.
    pub troubles: Vec<Trouble>,
    /// What locks filling for everybody.
    pub locks: Vec<Refusal>,
    /// Why this run must not be made, where the engine says so.
    pub refused: Option<Trouble>,
    /// The forecast of what may be filled; none where nothing can be forecast.
    pub answer: Option<(Request, Forecast)>,
    /// The cartridge as the logged runs left it.
    pub cartridge: Option<CartridgeAnswer>,
    /// The day it holds for.
    pub today: Date,
    /// Remarks on that day.
    pub remarks: Vec<String>,
}

impl Plan {
    /// Cylinders left out because they must not be filled.
    pub fn left_out(&self) -> impl Iterator<Item = &Row> {
        self.rows.iter().filter(|row| !row.refusals().is_empty())
    }

    /// Whether a run may be started by it: nothing stands against it, and every cylinder is one.
    pub fn may_start(&self) -> bool {
        let single = |row: &Row| row.verdict.is_some() && row.counts();
        self.answer.is_some()
            && self.locks.is_empty()
            && self.query.faults.is_empty()
            && self.rows.iter().all(single)
    }
}

/// The last answers, newest last: a reload costs nothing.
static KEPT: Mutex<Vec<(Key, Arc<Plan>)>> = Mutex::new(Vec::new());
/// The cartridges of the last books.
static CARTRIDGES: Mutex<Vec<(Place, Option<CartridgeAnswer>)>> = Mutex::new(Vec::new());
/// So many are kept.
const KEPT_AT_MOST: usize = 12;

/// A book as far as it goes.
type Place = (PathBuf, u64, String);
/// A book, a day, units, a question.
type Key = (Place, Date, Option<UnitSystem>, Given);

/// The plan asked for by these fields of an address; without any, the one to begin with.
pub fn plan(path: &Path, given: &Given) -> Result<Arc<Plan>, Trouble> {
    let book = desk::read(path)?;
    let zone = desk::zone(&book)?;
    let (today, remarks) = list::today(&book, &zone, None)?;
    let place = place(path, &book)?;
    let key = (place.clone(), today, units::asked(), given.clone());
    if let Some(known) = found(&KEPT, &key) {
        return Ok(known);
    }
    let text = station_text(&book, None)?;
    let revised = text.revised.as_ref().ok_or_else(no_station)?;
    let station = station::read(&revised.body.file);
    let station = station.usable().cloned().ok_or_else(no_station)?;
    let station = with_register(units::seen(station), &book, &zone)?;
    let mut plan = Plan {
        revision: revised.seq,
        known: known::known(&book, &zone, clock::now())?,
        query: Query::of(given, station.units),
        station,
        rows: Vec::new(),
        choices: Vec::new(),
        troubles: Vec::new(),
        locks: standing(&book, &zone)?,
        refused: None,
        answer: None,
        cartridge: cartridge(path, &place),
        today,
        remarks,
    };
    plan.asked(&book, &zone, given)?;
    plan.answered();
    let plan = Arc::new(plan);
    keep(&KEPT, key, plan.clone());
    Ok(plan)
}

impl Plan {
    /// Fills in what was not asked, and asks the gate about each cylinder.
    fn asked(&mut self, book: &Book, zone: &Zone, given: &Given) -> Result<(), Trouble> {
        let shelf = Shelf {
            station: &self.station,
            book,
            zone,
        };
        if !given.iter().any(|(name, _)| name == "cylinder") {
            self.query.cylinders = shelf.first()?;
        }
        for (name, noted, text) in [
            ("tower", &self.known.tower, &mut self.query.tower),
            (
                "intake-temperature",
                &self.known.intake_temperature,
                &mut self.query.intake_temperature,
            ),
            ("humidity", &self.known.humidity, &mut self.query.humidity),
        ] {
            if let Some(noted) = noted
                && !given.iter().any(|(known, _)| known == name)
            {
                text.clone_from(&noted.typed);
            }
        }
        self.troubles = self.query.troubles(self.station.units);
        let to = self.query.wishes().request(self.station.units);
        let to = to.ok().and_then(|request| request.stop_at);
        self.rows = shelf.rows(&self.query, to)?;
        self.choices = shelf.choices();
        Ok(())
    }

    /// Forecasts what may be filled.
    fn answered(&mut self) {
        let counted: Vec<String> = self
            .rows
            .iter()
            .filter(|r| r.counts())
            .map(Row::wish)
            .collect();
        let typed_wrong = self.rows.iter().any(|row| row.trouble.is_some());
        if counted.is_empty() || typed_wrong || !self.troubles.is_empty() {
            return;
        }
        let ran = self.cartridge.as_ref().map(|c| c.running_h);
        let wishes = Wishes {
            cylinders: counted,
            cartridge_age: ran.map(|hours| format!("{hours} h")),
            ..self.query.wishes()
        };
        match forecast_station(&self.station, &wishes, &|_| {}) {
            Ok(answer) => self.answer = Some(answer),
            Err(Unanswered::Refused(trouble)) => self.refused = Some(trouble),
            Err(Unanswered::Trouble(trouble)) => self.troubled(query::named_as_here(trouble)),
            Err(Unanswered::Unusable(_)) => self.troubled(no_station()),
        }
    }

    /// Puts trouble to the cylinder it names, else among the rest.
    fn troubled(&mut self, trouble: Trouble) {
        let named = |row: &&mut Row| trouble.what.starts_with(&format!("{} ", row.id));
        match self.rows.iter_mut().find(named) {
            Some(row) => row.trouble = Some(trouble),
            None => self.troubles.push(trouble),
        }
    }
}

fn standing(book: &Book, zone: &Zone) -> Result<Vec<Refusal>, Trouble> {
    let begins = |text: &str| zone.begins(text);
    let locks = locks::in_book(book, None, &begins)?;
    Ok(locks
        .standing()
        .map(|lock| gate::locked(lock, zone))
        .collect())
}

/// The cartridge by the runs on record; none too where they cannot be followed: the forecast then
/// says what it assumes.
fn cartridge(path: &Path, place: &Place) -> Option<CartridgeAnswer> {
    if let Some(known) = found(&CARTRIDGES, place) {
        return known;
    }
    let answer = drift::cartridge_state(path)
        .ok()
        .and_then(|page| page.cartridge);
    keep(&CARTRIDGES, place.clone(), answer.clone());
    answer
}

fn place(path: &Path, book: &Book) -> Result<Place, Trouble> {
    let head = book.head()?;
    let (seq, hash) = head.map_or((0, String::new()), |(seq, hash)| (seq, hash.to_string()));
    Ok((path.to_owned(), seq, hash))
}

fn found<K: PartialEq, V: Clone>(kept: &Mutex<Vec<(K, V)>>, key: &K) -> Option<V> {
    let kept = kept.lock().unwrap_or_else(PoisonError::into_inner);
    kept.iter()
        .find(|(known, _)| known == key)
        .map(|(_, value)| value.clone())
}

fn keep<K: PartialEq, V>(kept: &Mutex<Vec<(K, V)>>, key: K, value: V) {
    let mut kept = kept.lock().unwrap_or_else(PoisonError::into_inner);
    kept.retain(|(known, _)| *known != key);
    if kept.len() >= KEPT_AT_MOST {
        kept.remove(0);
    }
    kept.push((key, value));
}

fn no_station() -> Trouble {
    Trouble::new(
        "the book has no station file that can be used, and a plan needs the machine",
        "enter it under Station, or with `book add BOOK station FILE`",
    )
}
