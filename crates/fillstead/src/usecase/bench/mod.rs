//! Many benches at once: who is at which, their clocks, what a class is asked.
//!
//! Start at [`Benches`]. A bench lives in memory only, touches no book and is gone with the server.
//! Its time is worked out when somebody looks: a bench that nobody looks at costs nothing.
//! Not here: what a bench does ([`insight::bench`]).

mod look;
mod room;
mod set;
#[cfg(test)]
mod tests;

use std::collections::BTreeMap;
use std::path::Path;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use book::Moment;
use insight::bench::{Bench, Refused, drill};
use station::Station;

use crate::usecase::Trouble;
use crate::usecase::book::desk;
#[cfg(test)]
use crate::usecase::book::form::Given;
use crate::usecase::book::gate::station_in_force;
use crate::usecase::book::records::with_register;

pub use look::Look;
pub use room::{Mark, Room, Speed};
pub use set::{FIELDS, set, typed};

/// Benches at once.
const MOST: usize = 200;
/// A bench that nobody has looked at for this long is put away, µs: two hours.
const IDLE_US: i64 = 2 * 3600 * 1_000_000;
/// Letters of an address that nobody reads as another.
const LETTERS: &[u8; 24] = b"abcdefghjkmnpqrstuvwxyz2";

/// All benches of a server.
#[derive(Default)]
pub struct Benches {
    rooms: Mutex<BTreeMap<String, Arc<Mutex<Room>>>>,
}

/// A bench as the list shows it.
#[derive(Clone, Debug)]
pub struct Listed {
    /// Its place in addresses.
    pub id: String,
    /// What it is called.
    pub name: String,
    /// The drill, where one goes on.
    pub drill: Option<&'static str>,
    /// Bench seconds.
    pub t_s: u64,
    /// Who is there.
    pub people: Vec<String>,
    /// Whether its time passes.
    pub running: bool,
}

impl Benches {
    fn rooms(&self) -> MutexGuard<'_, BTreeMap<String, Arc<Mutex<Room>>>> {
        self.rooms.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Every bench, those that nobody wants any more put away.
    pub fn list(&self, now: Moment) -> Vec<Listed> {
        self.put_away(now);
        let all: Vec<(String, Arc<Mutex<Room>>)> = self
            .rooms()
            .iter()
            .map(|(id, room)| (id.clone(), room.clone()))
            .collect();
        let one = |(id, room): (String, Arc<Mutex<Room>>)| {
            let mut room = lock(&room);
            room.catch_up(now);
            room.listed(id, now)
        };
        all.into_iter().map(one).collect()
    }

    /// Sets up a bench; gives its place in addresses.
    ///
    /// **Errors** too many benches.
    pub fn open(&self, name: &str, bench: Bench, now: Moment) -> Result<String, Trouble> {
        self.put_away(now);
        let mut rooms = self.rooms();
        if rooms.len() >= MOST {
            return Err(Trouble::new(
                format!("{MOST} benches stand already, and there is no room for another"),
                "end one that nobody uses, or wait: idle ones go after two hours",
            ));
        }
        let mut id = letters()?;
        while rooms.contains_key(&id) {
            id = letters()?;
        }
        let name = match name.trim() {
            "" => format!("Bench {id}"),
            name => name.chars().take(40).collect(),
        };
        let room = Room::new(name, bench, now);
        rooms.insert(id.clone(), Arc::new(Mutex::new(room)));
        Ok(id)
    }

    /// Does something with a bench, its clock brought up to now. None: there is no such bench.
    pub fn with<T>(&self, id: &str, now: Moment, job: impl FnOnce(&mut Room) -> T) -> Option<T> {
        let room = self.rooms().get(id).cloned()?;
        let mut room = lock(&room);
        room.catch_up(now);
        Some(job(&mut room))
    }

    /// Ends a bench.
    pub fn close(&self, id: &str) -> bool {
        self.rooms().remove(id).is_some()
    }

    fn put_away(&self, now: Moment) {
        self.rooms()
            .retain(|_, room| now.0 - lock(room).seen.0 < IDLE_US);
    }
}

fn lock(room: &Mutex<Room>) -> MutexGuard<'_, Room> {
    room.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Four letters by chance.
fn letters() -> Result<String, Trouble> {
    let mut bytes = [0u8; 4];
    chance(&mut bytes)?;
    let letter = |b: &u8| char::from(LETTERS[usize::from(*b) % LETTERS.len()]);
    Ok(bytes.iter().map(letter).collect())
}

/// A number by chance: for drawing lots.
pub fn lot() -> Result<u64, Trouble> {
    let mut bytes = [0u8; 8];
    chance(&mut bytes)?;
    Ok(u64::from_le_bytes(bytes))
}

fn chance(bytes: &mut [u8]) -> Result<(), Trouble> {
    getrandom::fill(bytes).map_err(|error| {
        Trouble::new(
            format!("this machine gives no chance numbers: {error}"),
            "try again, or restart the machine",
        )
    })
}

/// The station of a book as a bench takes it: with every cylinder of the register.
///
/// **Errors** a book without a station.
pub fn station(path: &Path) -> Result<Arc<Station>, Trouble> {
    let book = desk::read(path)?;
    let zone = desk::zone(&book)?;
    let found = station_in_force(&book, None)?.ok_or_else(|| {
        Trouble::new(
            "the book has no station yet, and a bench is a station",
            "enter the station file first",
        )
    })?;
    Ok(Arc::new(with_register(found, &book, &zone)?))
}

/// A bench at the start of a drill.
///
/// **Errors** a drill that is not there, or whose parts this station lacks.
pub fn drilled(station: &Arc<Station>, key: &str) -> Result<Bench, Trouble> {
    let drill = drill::named(key).ok_or_else(|| {
        let what = format!("there is no drill called `{key}`");
        Trouble::new(what, "choose one from the list")
    })?;
    Bench::drill(station, drill).map_err(told)
}

/// What the bench refused.
pub fn told(refused: Refused) -> Trouble {
    Trouble::new(refused.what, refused.remedy)
}
