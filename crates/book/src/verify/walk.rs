//! One walk through a stretch of entries: numbers, hashes, bodies, times, and what they draw.
//!
//! Where the table cannot be read on from some place, entries are looked up one by one until it can.

use std::collections::BTreeMap;
use std::sync::mpsc::Sender;

use rusqlite::{Connection, Row, Statement};

use super::drawn::{Events, Keys, Sketch};
use super::report::{BadEntries, BadEntry};
use crate::append::{COLUMNS, entry_of};
use crate::body::BodyError;
use crate::entry::{Entry, Moment};
use crate::hash::Hash;

/// Progress is told so often.
const STEP: u64 = 10_000;
/// Behind a damaged place so many numbers are tried one by one.
const TRIES: u64 = 200_000;

/// Which entries, and what is looked for on the way.
#[derive(Clone, Copy)]
pub(super) struct Stretch {
    /// The first number.
    pub from: u64,
    /// The last number; no entry behind it is read.
    pub to: u64,
    /// The highest number there may be.
    pub end: u64,
    /// The number whose hash was noted elsewhere.
    pub sealed: Option<u64>,
}

/// What was found.
#[derive(Default)]
pub(super) struct Walk {
    /// Entries read.
    pub read: u64,
    /// Those that do not hold.
    pub bad: BadEntries,
    /// The first entry read.
    pub first: Option<Entry>,
    /// The last entry read.
    pub last: Option<Entry>,
    /// The highest number read.
    pub highest: u64,
    /// The last entry before the first bad one.
    pub good: Option<(u64, Hash)>,
    /// Hash of the entry whose number was asked for.
    pub sealed: Option<Hash>,
    /// Entries whose clock stood behind the one before, and by how many microseconds.
    pub back: Vec<(u64, i64)>,
    /// Kinds and versions this program does not know, and how many.
    pub unknown: BTreeMap<(String, u32), u64>,
    /// Why the table could not be read on, the first time.
    pub failed: Option<String>,
    /// What the entries draw.
    pub sketch: Sketch,
    next: u64,
    untold: u64,
}

/// Walks through a stretch.
pub(super) fn walk(
    conn: &Connection,
    stretch: Stretch,
    keys: Option<&Keys>,
    told: &Sender<u64>,
) -> Walk {
    let mut walk = Walk {
        next: stretch.from,
        ..Walk::default()
    };
    let mut statement = keys.map(|_| Events::statement(conn));
    let mut events = Events::none();
    match &mut statement {
        Some(Ok(statement)) => events = Events::of(statement, stretch.from, stretch.to),
        Some(Err(error)) => walk.sketch.failed = Some(error.to_string()),
        None => {}
    }
    let mut drawn = keys.map(|keys| (keys, &mut events));
    if let Err(error) = walk.along(conn, stretch, &mut drawn, told) {
        walk.failed.get_or_insert(error.to_string());
    }
    if let Some((_, events)) = drawn {
        walk.sketch.rest(events);
    }
    if stretch.to < stretch.end && walk.next <= stretch.to {
        let missing = BadEntry::unread(walk.next, "it is missing");
        walk.bad.add(missing);
    }
    let _ = told.send(walk.untold);
    walk
}

impl Walk {
    fn along(
        &mut self,
        conn: &Connection,
        stretch: Stretch,
        drawn: &mut Option<(&Keys, &mut Events<'_>)>,
        told: &Sender<u64>,
    ) -> rusqlite::Result<()> {
        let scan = format!("SELECT {COLUMNS} FROM entry WHERE seq BETWEEN ?1 AND ?2 ORDER BY seq");
        let mut scan = conn.prepare(&scan)?;
        let mut point = conn.prepare(&format!("SELECT {COLUMNS} FROM entry WHERE seq = ?1"))?;
        loop {
            let from = self.next;
            let error = match self.scan(&mut scan, stretch, from, drawn, told) {
                Ok(()) => return Ok(()),
                Err(error) => error.to_string(),
            };
            self.failed.get_or_insert_with(|| error.clone());
            if !self.over_a_gap(&mut point, stretch, &error, drawn, told)? {
                return Ok(());
            }
        }
    }

    fn scan(
        &mut self,
        scan: &mut Statement<'_>,
        stretch: Stretch,
        from: u64,
        drawn: &mut Option<(&Keys, &mut Events<'_>)>,
        told: &Sender<u64>,
    ) -> rusqlite::Result<()> {
        let mut rows = scan.query([from, stretch.to])?;
        while let Some(row) = rows.next()? {
            self.row(row, stretch, drawn, told);
        }
        Ok(())
    }

    /// Looks for the next entry that reads; false where there is none.
    fn over_a_gap(
        &mut self,
        point: &mut Statement<'_>,
        stretch: Stretch,
        error: &str,
        drawn: &mut Option<(&Keys, &mut Events<'_>)>,
        told: &Sender<u64>,
    ) -> rusqlite::Result<bool> {
        let first = self.next;
        let last = stretch.to.min(stretch.end).min(first.saturating_add(TRIES));
        for seq in first..=last {
            let mut rows = point.query([seq])?;
            match rows.next() {
                Ok(Some(row)) => {
                    self.row(row, stretch, drawn, told);
                    return Ok(true);
                }
                Ok(None) => self.bad.add(BadEntry::unread(seq, "it is missing")),
                Err(_) => {
                    let why = format!("it cannot be read ({error})");
                    self.bad.add(BadEntry::unread(seq, why));
                }
            }
            self.next = seq + 1;
        }
        if first > last && self.bad.count == 0 {
            let why = format!("it cannot be read ({error})");
            self.bad.add(BadEntry::unread(first, why));
        }
        Ok(false)
    }

    fn row(
        &mut self,
        row: &Row<'_>,
        stretch: Stretch,
        drawn: &mut Option<(&Keys, &mut Events<'_>)>,
        told: &Sender<u64>,
    ) {
        match entry_of(row) {
            Ok(entry) => self.entry(entry, stretch, drawn),
            Err(error) => {
                // Where fields do not read, neither does the number: it is the next one.
                self.bad.add(BadEntry {
                    seq: self.next,
                    kind: row.get(5).ok(),
                    recorded: row.get(1).ok().map(Moment),
                    author: row.get(4).ok(),
                    why: format!("it does not read: {error}"),
                });
                self.next = self.next.saturating_add(1);
                self.last = None;
            }
        }
        self.untold += 1;
        if self.untold >= STEP {
            let _ = told.send(self.untold);
            self.untold = 0;
        }
    }

    fn entry(
        &mut self,
        entry: Entry,
        stretch: Stretch,
        drawn: &mut Option<(&Keys, &mut Events<'_>)>,
    ) {
        self.read += 1;
        self.highest = self.highest.max(entry.seq);
        let body = entry.body();
        if entry.computed_hash() == entry.hash {
            if entry.seq > self.next {
                self.bad.add(BadEntry::unread(self.next, "it is missing"));
            }
            if let Some(why) = self.fault(&entry, body.as_ref().err()) {
                self.bad.add(BadEntry::of(&entry, why));
            }
            self.next = entry.seq.saturating_add(1);
        } else {
            self.bad.add(altered(&entry, self.next));
            self.next = self.next.saturating_add(1);
        }
        if self.bad.count == 0 {
            self.good = Some((entry.seq, entry.hash));
        }
        if let Err(BodyError::Unknown { kind, version }) = &body {
            *self.unknown.entry((kind.clone(), *version)).or_default() += 1;
        }
        if stretch.sealed == Some(entry.seq) {
            self.sealed = Some(entry.hash);
        }
        if let Some((keys, events)) = drawn {
            self.sketch.add(keys, events, &entry, body.as_ref().ok());
        }
        self.first.get_or_insert_with(|| entry.clone());
        self.last = Some(entry);
    }

    /// What is wrong with an entry whose hash holds, on its own and against the one before.
    fn fault(&mut self, entry: &Entry, body: Option<&BodyError>) -> Option<String> {
        if entry.seq == 1 && entry.prev != Hash::NONE {
            return Some("it is not the first: another was before it".into());
        }
        if let Some(before) = &self.last {
            let behind = before.recorded.0.saturating_sub(entry.recorded.0);
            if behind > 0 {
                self.back.push((entry.seq, behind));
            }
            if let Some(why) = misfit(before, entry) {
                return Some(why);
            }
        }
        match body {
            Some(BodyError::Unknown { .. }) | None => None,
            Some(damaged) => Some(damaged.to_string()),
        }
    }
}

/// An entry whose hash does not hold, by the number it must have: its own may be what was altered.
fn altered(entry: &Entry, number: u64) -> BadEntry {
    let why = "it is not what was written: its hash does not hold";
    match entry.seq == number {
        true => BadEntry::of(entry, why),
        false => BadEntry {
            seq: number,
            ..BadEntry::of(
                entry,
                format!("{why}, and it bears the number {}", entry.seq),
            )
        },
    }
}

/// Why an entry does not follow another.
pub(super) fn misfit(before: &Entry, entry: &Entry) -> Option<String> {
    if entry.prev == before.hash {
        return None;
    }
    Some(match entry.seq == before.seq + 1 {
        true => format!("it does not follow {before}: another stood there"),
        false => format!("it does not follow {before}, which stands before it now"),
    })
}
