//! Everything of a period in order, for a day sheet, and the seal of the book at its end.
//!
//! What **happened** in the period is told by its date; what was **written** in it by the clock of
//! the machine. Every entry of the book is written in exactly one of periods that follow one
//! another.

use crate::answer::runs::{self, Runs};
use crate::body::{Body, Kind};
use crate::book::Book;
use crate::entry::{Entry, Moment};
use crate::error::BookError;
use crate::hash::Hash;
use crate::query::{Event, Wanted};

/// How many entries beyond the end of a period are looked at for one that was written in it all the
/// same, because the clock was put back.
const BEYOND: u64 = 1000;

/// An entry whose clock stood behind that of the entry before.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WentBack {
    /// The entry.
    pub seq: u64,
    /// By how much, s.
    pub by_s: f64,
}

/// A correction made in the period.
#[derive(Clone, Debug, PartialEq)]
pub struct Corrected {
    /// The correction as written.
    pub entry: Entry,
    /// The entry it is about.
    pub of: u64,
    /// Why.
    pub why: String,
    /// Whether it takes that entry back.
    pub withdraws: bool,
}

/// A period of the book.
#[derive(Clone, Debug, PartialEq)]
pub struct Day {
    /// Its first moment.
    pub from: Moment,
    /// The moment after its last.
    pub until: Moment,
    /// All that happened in it, in the order of time: as it counts today.
    pub events: Vec<Event>,
    /// Runs that touch it, each whole, with what was entered in them; the run that goes on lasts to
    /// the end of the period.
    pub runs: Runs,
    /// First and last entry written in it; none where nothing was.
    pub written: Option<(u64, u64)>,
    /// Entries written in it about another day, corrections left out.
    pub about_other_days: Vec<u64>,
    /// Corrections written in it, of whatever day.
    pub corrections: Vec<Corrected>,
    /// Entries written in it while the clock was put back.
    pub clock_went_back: Vec<WentBack>,
    /// Number and hash of the last entry written before the end; none where the book began later.
    pub seal: Option<(u64, Hash)>,
    /// Entries of the period that could not be read.
    pub unread: Vec<u64>,
}

/// Everything of a period: `from` its first moment, `until` the moment after its last.
///
/// # Errors
/// The file cannot be read.
pub fn in_book(book: &Book, from: Moment, until: Moment) -> Result<Day, BookError> {
    let events = book.events(&Wanted {
        from: Some(from),
        until: Some(until),
        ..Wanted::default()
    })?;
    let last = last_before(book, until)?;
    let before = last_before(book, from)?.map_or(0, |(seq, _)| seq);
    let last_seq = last.map_or(0, |(seq, _)| seq);
    let mut day = Day {
        from,
        until,
        runs: runs::in_book(book, Some(from), Moment(until.0.saturating_sub(1)))?,
        unread: unread(&events),
        events,
        written: (before < last_seq).then_some((before + 1, last_seq)),
        about_other_days: Vec::new(),
        corrections: Vec::new(),
        clock_went_back: Vec::new(),
        seal: last,
    };
    day.read_written(book)?;
    Ok(day)
}

fn unread(events: &[Event]) -> Vec<u64> {
    let unread = events.iter().filter(|event| event.body.is_err());
    unread.map(|event| event.seq).collect()
}

impl Day {
    fn read_written(&mut self, book: &Book) -> Result<(), BookError> {
        let Some((first, last)) = self.written else {
            return Ok(());
        };
        let mut before = match first {
            1 => None,
            _ => book.entry(first - 1)?.map(|entry| entry.recorded),
        };
        book.each_entry(first, |entry| {
            if entry.seq > last {
                return false;
            }
            let behind = before.map_or(0.0, |before| before.seconds_since(entry.recorded));
            before = Some(entry.recorded);
            if behind > 0.0 {
                self.clock_went_back.push(WentBack {
                    seq: entry.seq,
                    by_s: behind,
                });
            }
            self.take(entry);
            true
        })
    }

    fn take(&mut self, entry: Entry) {
        let inside = entry.happened >= self.from && entry.happened < self.until;
        if entry.kind != Kind::Correction.name() {
            if !inside {
                self.about_other_days.push(entry.seq);
            }
            return;
        }
        match entry.body() {
            Ok(Body::Correction(correction)) => self.corrections.push(Corrected {
                of: correction.of,
                why: correction.why,
                withdraws: correction.becomes.is_none(),
                entry,
            }),
            _ => self.unread.push(entry.seq),
        }
    }
}

/// Number and hash of the last entry written before a moment: the seal of the book then.
///
/// The clock is taken to go forward, as it does but for a few entries; where it was put back, up to
/// 1000 entries further on are looked at.
///
/// # Errors
/// The file cannot be read.
pub fn last_before(book: &Book, until: Moment) -> Result<Option<(u64, Hash)>, BookError> {
    let Some((head, _)) = book.head()? else {
        return Ok(None);
    };
    // Entries up to `low` were written before, the one after `high` was not.
    let (mut low, mut high) = (0, head);
    while low < high {
        let middle = high - (high - low) / 2;
        let before = book.entry(middle)?.is_some_and(|e| e.recorded < until);
        match before {
            true => low = middle,
            false => high = middle - 1,
        }
    }
    let mut last = match low {
        0 => None,
        _ => book.entry(low)?.map(|entry| (entry.seq, entry.hash)),
    };
    book.each_entry(low + 1, |entry| {
        if entry.recorded < until {
            last = Some((entry.seq, entry.hash));
        }
        entry.seq < low + BEYOND
    })?;
    Ok(last)
}
