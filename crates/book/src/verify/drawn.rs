//! Whether the drawn tables are what a fresh drawing would give, without drawing it.
//!
//! Events are compared row by row beside the entries; those that differ are kept until all
//! corrections are known. Whom they are about is compared by a sum over all rows that does not ask
//! for their order, with keys that change with each check.

use std::collections::{BTreeMap, HashSet};
use std::hash::{BuildHasher, RandomState};

use rusqlite::{Connection, Row, Rows, Statement};

use crate::body::{Body, Correction};
use crate::entry::Entry;
use crate::query::Subject;

/// Keys of the sum.
#[derive(Clone, Default)]
pub(crate) struct Keys(RandomState, RandomState);

/// A sum over rows of `about`, and how many they are.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Sum(u128, i64);

impl Keys {
    /// One row.
    pub fn row(&self, subject: &str, name: &str, happened: i64, seq: u64) -> Sum {
        let row = (subject, name, happened, seq);
        let (high, low) = (self.0.hash_one(row), self.1.hash_one(row));
        Sum((u128::from(high) << 64) | u128::from(low), 1)
    }

    fn rows(&self, subjects: &[Subject], happened: i64, seq: u64) -> Sum {
        subjects.iter().fold(Sum::default(), |sum, subject| {
            let (kind, name) = subject.key();
            sum.plus(self.row(kind, name, happened, seq))
        })
    }
}

impl Sum {
    /// With more rows.
    pub fn plus(self, other: Sum) -> Sum {
        Sum(self.0.wrapping_add(other.0), self.1 + other.1)
    }

    fn minus(self, other: Sum) -> Sum {
        Sum(self.0.wrapping_sub(other.0), self.1 - other.1)
    }
}

#[derive(Clone, Debug, PartialEq)]
struct EventRow {
    seq: u64,
    carrier: u64,
    happened: i64,
    kind: String,
    withdrawn: bool,
}

impl EventRow {
    fn of(row: &Row<'_>) -> rusqlite::Result<EventRow> {
        Ok(EventRow {
            seq: row.get(0)?,
            carrier: row.get(1)?,
            happened: row.get(2)?,
            kind: row.get(3)?,
            withdrawn: row.get(4)?,
        })
    }
}

/// The events there are, one by one.
pub(crate) struct Events<'s> {
    rows: Option<Rows<'s>>,
    ahead: Option<EventRow>,
    failed: Option<String>,
}

impl<'s> Events<'s> {
    pub fn statement(conn: &Connection) -> rusqlite::Result<Statement<'_>> {
        conn.prepare(
            "SELECT seq, carrier, happened, kind, withdrawn FROM event
             WHERE seq BETWEEN ?1 AND ?2 ORDER BY seq",
        )
    }

    pub fn none() -> Events<'s> {
        Events {
            rows: None,
            ahead: None,
            failed: None,
        }
    }

    pub fn of(statement: &'s mut Statement<'_>, from: u64, to: u64) -> Events<'s> {
        let mut events = Events::none();
        match statement.query([from, to]) {
            Ok(rows) => events.rows = Some(rows),
            Err(error) => events.failed = Some(error.to_string()),
        }
        events.step();
        events
    }

    fn step(&mut self) {
        self.ahead = None;
        let Some(rows) = &mut self.rows else { return };
        let row = rows
            .next()
            .and_then(|row| row.map(EventRow::of).transpose());
        match row {
            Ok(row) => self.ahead = row,
            Err(error) => self.failed = Some(error.to_string()),
        }
        if self.ahead.is_none() {
            self.rows = None;
        }
    }

    /// The row of this number, and how many come before it that should not be there.
    fn at(&mut self, seq: u64) -> (Option<EventRow>, u64) {
        let mut strange = 0;
        while self.ahead.as_ref().is_some_and(|row| row.seq < seq) {
            strange += 1;
            self.step();
        }
        if self.ahead.as_ref().is_none_or(|row| row.seq != seq) {
            return (None, strange);
        }
        let row = self.ahead.take();
        self.step();
        (row, strange)
    }
}

/// An event that is not what its own entry alone draws.
struct Differing {
    found: Option<EventRow>,
    own: EventRow,
    subjects: Vec<Subject>,
}

struct Corrected {
    by: u64,
    of: u64,
    withdrawn: bool,
    happened: Option<i64>,
    subjects: Vec<Subject>,
}

/// What entries draw, beside what is there.
#[derive(Default)]
pub(crate) struct Sketch {
    /// Why the events could not be read.
    pub failed: Option<String>,
    about: Sum,
    strange: u64,
    differing: BTreeMap<u64, Differing>,
    corrections: Vec<Corrected>,
}

impl Sketch {
    /// Draws one entry; its body where it reads.
    pub fn add(
        &mut self,
        keys: &Keys,
        events: &mut Events<'_>,
        entry: &Entry,
        body: Option<&Body>,
    ) {
        let (found, strange) = events.at(entry.seq);
        self.strange += strange;
        if let Some(Body::Correction(correction)) = body {
            self.strange += u64::from(found.is_some());
            self.corrections.push(corrected(entry.seq, correction));
            return;
        }
        let subjects = body.map(subjects).unwrap_or_default();
        let own = EventRow {
            seq: entry.seq,
            carrier: entry.seq,
            happened: entry.happened.0,
            kind: entry.kind.clone(),
            withdrawn: false,
        };
        self.about = self.about.plus(keys.rows(&subjects, own.happened, own.seq));
        if found.as_ref() != Some(&own) {
            let differing = Differing {
                found,
                own,
                subjects,
            };
            self.differing.insert(entry.seq, differing);
        }
    }

    /// Takes note of events behind the last entry.
    pub fn rest(&mut self, events: &mut Events<'_>) {
        while events.ahead.is_some() {
            self.strange += 1;
            events.step();
        }
        self.failed = self.failed.take().or(events.failed.take());
    }

    /// Takes in what a later stretch draws.
    pub fn extend(&mut self, later: Sketch) {
        self.failed = self.failed.take().or(later.failed);
        self.about = self.about.plus(later.about);
        self.strange += later.strange;
        self.differing.extend(later.differing);
        self.corrections.extend(later.corrections);
    }

    /// How many events are not what a fresh drawing gives, and the sum over whom they are about.
    pub fn judged(mut self, keys: &Keys) -> (u64, Sum) {
        let corrections: HashSet<u64> = self.corrections.iter().map(|c| c.by).collect();
        let mut wrong = self.strange;
        let mut last: BTreeMap<u64, (EventRow, Vec<Subject>)> = BTreeMap::new();
        for correction in self.corrections {
            let Some(event) = self.differing.get(&correction.of) else {
                // Not corrected where it should be; a correction of nothing changes nothing.
                let of = correction.of;
                let real = of > 0 && of < correction.by && !corrections.contains(&of);
                wrong += u64::from(real);
                continue;
            };
            if correction.of > correction.by {
                continue;
            }
            let (row, subjects) = last
                .entry(correction.of)
                .or_insert_with(|| (event.own.clone(), event.subjects.clone()));
            row.carrier = correction.by;
            row.withdrawn = correction.withdrawn;
            row.happened = correction.happened.unwrap_or(row.happened);
            *subjects = match correction.withdrawn {
                true => event.subjects.clone(),
                false => correction.subjects,
            };
        }
        for (seq, event) in std::mem::take(&mut self.differing) {
            let (row, subjects) = match last.remove(&seq) {
                Some(corrected) => corrected,
                None => (event.own.clone(), event.subjects.clone()),
            };
            wrong += u64::from(event.found.as_ref() != Some(&row));
            let own = keys.rows(&event.subjects, event.own.happened, seq);
            let today = keys.rows(&subjects, row.happened, seq);
            self.about = self.about.minus(own).plus(today);
        }
        (wrong, self.about)
    }
}

fn corrected(by: u64, correction: &Correction) -> Corrected {
    let becomes = correction.becomes.as_ref();
    let body = becomes.and_then(|becomes| becomes.entry.unpack().ok());
    Corrected {
        by,
        of: correction.of,
        withdrawn: becomes.is_none(),
        happened: becomes.and_then(|becomes| becomes.happened),
        subjects: body.as_ref().map(subjects).unwrap_or_default(),
    }
}

/// Each once.
fn subjects(body: &Body) -> Vec<Subject> {
    let mut subjects = body.subjects();
    subjects.sort_unstable();
    subjects.dedup();
    subjects
}
