//! What follows from the records alone: hours, runs, register, fills, locks, quarantine, traces.
//!
//! Each question has a file of its own with two functions: `of`, a pure fold over events, and
//! `in_book`, which reads the events it needs and folds them. Folds do not mind the order of the
//! events, leave out withdrawn ones, and tell in `unread` the numbers of those they could not read:
//! where there are any, the answer may be wrong, and its reader must be told.
//! Moments are UTC; "at" a moment counts what happened up to and including it, by what is known
//! today. None counts all there is, entries dated ahead of the clock too: a question of safety
//! is asked that way.
//! Not here: the clock, time zones, physics, what is allowed (rules of examination, of air).

pub mod day;
pub mod fills;
pub mod hours;
pub mod locks;
mod pairs;
pub mod parts;
pub mod quarantine;
pub mod register;
pub mod runs;
mod samples;
pub mod station;
pub mod trace;

use crate::body::{Body, Kind};
use crate::book::Book;
use crate::entry::Moment;
use crate::error::BookError;
use crate::query::{Event, Wanted};

pub use pairs::Doubt;
pub use samples::{DayBegins, Sample, earliest};

/// What an entry says today, with its number, time and author.
#[derive(Clone, Debug, PartialEq)]
pub struct Told<T> {
    /// Number of the entry.
    pub seq: u64,
    /// Number of the entry whose body counts: the same, or its last correction.
    pub carrier: u64,
    /// When it happened.
    pub happened: Moment,
    /// When it was first written down.
    pub recorded: Moment,
    /// Who told it first.
    pub author: String,
    /// What it says.
    pub body: T,
}

impl<T> Told<T> {
    pub(crate) fn new(event: &Event, body: T) -> Told<T> {
        Told {
            seq: event.seq,
            carrier: event.carrier,
            happened: event.happened,
            recorded: event.recorded,
            author: event.author.clone(),
            body,
        }
    }

    /// Number and time alone.
    pub fn mark(&self) -> Mark {
        Mark {
            seq: self.seq,
            at: self.happened,
        }
    }
}

/// An entry and when it happened.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Mark {
    /// When.
    pub at: Moment,
    /// Number of the entry.
    pub seq: u64,
}

/// The events that count and can be read, in the order of time.
pub(crate) struct Seen<'a> {
    pub(crate) events: Vec<(&'a Event, &'a Body)>,
    pub(crate) unread: Vec<u64>,
}

impl<'a> Seen<'a> {
    pub(crate) fn of(events: &'a [Event], at: Option<Moment>) -> Seen<'a> {
        let counts = |e: &&Event| !e.withdrawn && at.is_none_or(|at| e.happened <= at);
        let mut all: Vec<&Event> = events.iter().filter(counts).collect();
        all.sort_by_key(|e| (e.happened, e.seq));
        all.dedup_by_key(|e| e.seq);
        let mut seen = Seen {
            events: Vec::with_capacity(all.len()),
            unread: Vec::new(),
        };
        for event in all {
            match &event.body {
                Ok(body) => seen.events.push((event, body)),
                Err(_) => seen.unread.push(event.seq),
            }
        }
        seen
    }

    /// Those of one kind.
    pub(crate) fn pick<T: Clone + 'a>(
        &self,
        of: impl Fn(&'a Body) -> Option<&'a T>,
    ) -> Vec<Told<T>> {
        let told = |(event, body): &(&'a Event, &'a Body)| {
            of(body).map(|body| Told::new(event, body.clone()))
        };
        self.events.iter().filter_map(told).collect()
    }
}

/// `picked!(seen, Fill)`: what a [`Seen`] holds of one kind.
macro_rules! picked {
    ($seen:expr, $kind:ident) => {
        $seen.pick(|body| match body {
            $crate::body::Body::$kind(body) => Some(body),
            _ => None,
        })
    };
}
pub(crate) use picked;

/// Events of these kinds up to a moment, and of kinds this program does not know: those an answer
/// must not pass over in silence.
pub(crate) fn read(
    book: &Book,
    kinds: &[Kind],
    from: Option<Moment>,
    at: Option<Moment>,
) -> Result<Vec<Event>, BookError> {
    let mut events = book.events(&Wanted {
        kinds,
        from,
        until: just_after(at),
        ..Wanted::default()
    })?;
    events.extend(book.of_unknown_kinds()?);
    Ok(events)
}

/// The end of a period that still holds this moment.
pub(crate) fn just_after(at: Option<Moment>) -> Option<Moment> {
    at.map(|at| Moment(at.0.saturating_add(1)))
}

/// Hours from one moment to another.
pub(crate) fn hours_between(from: Moment, to: Moment) -> f64 {
    to.seconds_since(from) / 3600.0
}

/// So many hours later.
pub(crate) fn hours_after(at: Moment, hours: i64) -> Moment {
    Moment(at.0.saturating_add(hours.saturating_mul(3_600_000_000)))
}
