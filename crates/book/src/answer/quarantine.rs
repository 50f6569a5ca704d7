//! Which cylinders hold air under suspicion, why, and which were released.
//!
//! A symptom or a failed air test sets aside every cylinder filled since the last test that passed
//! before it, up to when filling was free again; the cylinder it names; and whatever was filled
//! since from a bank that is itself set aside. Only `released` frees: not another fill, not a clean
//! test. A sample clears nothing filled on or after its day, and a test entered after the failure
//! moves no limit.

use std::collections::BTreeMap;

use crate::answer::locks::{self, Locks, Reason};
use crate::answer::samples::{DayBegins, Sample};
use crate::answer::{Mark, Seen, Told, fills, just_after, picked};
use crate::body::{Fill, Kind, Outcome, Released};
use crate::book::Book;
use crate::entry::Moment;
use crate::error::BookError;
use crate::query::{Event, Subject, Wanted};

/// A fill under suspicion.
#[derive(Clone, Debug, PartialEq)]
pub struct HeldFill {
    /// Its entry.
    pub mark: Mark,
    /// For whom.
    pub person: Option<String>,
    /// Set aside because it came from this bank, which was set aside.
    pub through: Option<String>,
}

/// A cylinder set aside.
#[derive(Clone, Debug, PartialEq)]
pub struct Held {
    /// Which.
    pub cylinder: String,
    /// Its suspicious fills; empty for a cylinder that was only named.
    pub fills: Vec<HeldFill>,
    /// Named by the symptom, or the one the failed sample was taken from.
    pub named: bool,
}

/// A cylinder that was set aside and released.
#[derive(Clone, Debug, PartialEq)]
pub struct Freed {
    /// What was set aside.
    pub held: Held,
    /// The release.
    pub by: Mark,
    /// Why.
    pub why: String,
}

/// One suspicion and what it sets aside.
#[derive(Clone, Debug, PartialEq)]
pub struct Suspicion {
    /// What raised it.
    pub reason: Reason,
    /// The last air test that passed before it; none: everything since the book began.
    pub after_test: Option<u64>,
    /// From when on fills are suspicious.
    pub from: Option<Moment>,
    /// Until when; none: filling is still locked.
    pub until: Option<Moment>,
    /// Set aside, by name.
    pub held: Vec<Held>,
    /// Released, in the order of time.
    pub freed: Vec<Freed>,
}

/// All suspicions of a book.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Quarantine {
    /// In the order of time.
    pub suspicions: Vec<Suspicion>,
    /// Entries that could not be read.
    pub unread: Vec<u64>,
}

impl Quarantine {
    /// Numbers of the entries that set this cylinder aside and still do.
    pub fn holds(&self, cylinder: &str) -> Vec<u64> {
        let name = |held: &Held| held.cylinder.as_str().cmp(cylinder);
        let holds = |s: &&Suspicion| s.held.binary_search_by(name).is_ok();
        let held = self.suspicions.iter().filter(holds);
        held.map(|s| s.reason.mark().seq).collect()
    }

    /// Names of all cylinders set aside, sorted.
    pub fn cylinders(&self) -> Vec<&str> {
        let held = self.suspicions.iter().flat_map(|s| &s.held);
        let mut names: Vec<&str> = held.map(|held| held.cylinder.as_str()).collect();
        names.sort_unstable();
        names.dedup();
        names
    }
}

/// Quarantine by these events at a moment. Needs [`locks::KINDS`] and fills; passes over others.
pub fn of(events: &[Event], at: Option<Moment>, day_begins: DayBegins<'_>) -> Quarantine {
    let locks = locks::of(events, at, day_begins);
    let seen = Seen::of(events, at);
    let fills = picked!(seen, Fill);
    let releases = picked!(seen, Released);
    let suspicions = locks.locks.iter().map(|lock| {
        let test = limit(&lock.reason, &locks);
        let mut walk = Walk {
            from: test.and_then(|test| test.made),
            until: lock.lifted,
            held: BTreeMap::new(),
            freed: Vec::new(),
        };
        walk.through(&lock.reason, &fills, &releases);
        Suspicion {
            reason: lock.reason.clone(),
            after_test: test.map(|test| test.seq),
            from: walk.from,
            until: walk.until,
            held: walk.held.into_values().collect(),
            freed: walk.freed,
        }
    });
    Quarantine {
        suspicions: suspicions.collect(),
        unread: seen.unread,
    }
}

/// Quarantine of a book at a moment; without one, by everything in it.
///
/// # Errors
/// The file cannot be read.
pub fn in_book(
    book: &Book,
    at: Option<Moment>,
    day_begins: DayBegins<'_>,
) -> Result<Quarantine, BookError> {
    let mut events = locks::events(book, at)?;
    let locks = locks::of(&events, at, day_begins);
    if locks.locks.is_empty() {
        return Ok(Quarantine {
            unread: locks.unread,
            ..Quarantine::default()
        });
    }
    events.extend(book.events(&Wanted {
        kinds: &[Kind::Fill],
        from: reach(&locks),
        until: just_after(at),
        ..Wanted::default()
    })?);
    Ok(of(&events, at, day_begins))
}

/// Numbers of the entries that set one cylinder aside: reads no other cylinder's fills but those of
/// banks it was filled from.
///
/// # Errors
/// The file cannot be read.
pub fn of_cylinder(
    book: &Book,
    cylinder: &str,
    at: Option<Moment>,
    day_begins: DayBegins<'_>,
) -> Result<Vec<u64>, BookError> {
    let mut events = locks::events(book, at)?;
    let locks = locks::of(&events, at, day_begins);
    if locks.locks.is_empty() {
        return Ok(Vec::new());
    }
    let subject = Subject::Cylinder(cylinder.to_owned());
    events.extend(fills::with_banks(book, subject, reach(&locks), at)?);
    Ok(of(&events, at, day_begins).holds(cylinder))
}

/// The earliest limit of all: no fill before it is suspected. None: all may be.
fn reach(locks: &Locks) -> Option<Moment> {
    let limits = locks
        .locks
        .iter()
        .map(|lock| limit(&lock.reason, locks)?.made);
    limits.min().flatten()
}

/// The last test that passed whose air was made before what is suspected, and that was entered
/// before the suspicion arose.
fn limit<'a>(reason: &Reason, locks: &'a Locks) -> Option<&'a Sample> {
    let Mark { at, seq } = reason.mark();
    let suspected = match reason {
        Reason::Symptom(_) => at,
        Reason::FailedTest(failed) => failed.made.unwrap_or(failed.taken).min(failed.taken),
    };
    let before = |s: &&Sample| {
        s.outcome == Outcome::Passes
            && s.seq < seq
            && s.entered < at
            && s.made.is_some_and(|made| made < suspected)
    };
    locks.samples.iter().filter(before).max_by_key(|s| s.made)
}

enum Step<'a> {
    Fill(&'a Told<Fill>),
    Release(&'a Told<Released>),
}

/// What is set aside while the records are gone through.
struct Walk {
    from: Option<Moment>,
    until: Option<Moment>,
    held: BTreeMap<String, Held>,
    freed: Vec<Freed>,
}

impl Walk {
    /// Goes through fills and releases in the order of time.
    fn through(&mut self, reason: &Reason, fills: &[Told<Fill>], releases: &[Told<Released>]) {
        let raised = reason.mark();
        let own = releases.iter().filter(|r| r.body.of == raised.seq);
        let mut steps: Vec<(Mark, Step<'_>)> = own.map(|r| (r.mark(), Step::Release(r))).collect();
        steps.extend(fills.iter().map(|f| (f.mark(), Step::Fill(f))));
        steps.sort_by_key(|(mark, _)| *mark);
        let mut named = reason.cylinder();
        for (mark, step) in steps {
            if mark >= raised
                && let Some(name) = named.take()
            {
                self.hold(name).named = true;
            }
            match step {
                Step::Fill(fill) => self.fill(fill),
                Step::Release(release) => self.release(release),
            }
        }
        if let Some(name) = named {
            self.hold(name).named = true;
        }
    }

    fn fill(&mut self, fill: &Told<Fill>) {
        let from = self.from.is_none_or(|from| fill.happened >= from);
        let inside = from && self.until.is_none_or(|until| fill.happened <= until);
        let bank = fill.body.from_bank.as_ref();
        let through = bank.filter(|bank| self.held.contains_key(*bank));
        if !inside && through.is_none() {
            return;
        }
        let held = HeldFill {
            mark: fill.mark(),
            person: fill.body.person.clone(),
            through: through.filter(|_| !inside).cloned(),
        };
        self.hold(&fill.body.cylinder).fills.push(held);
    }

    fn hold(&mut self, name: &str) -> &mut Held {
        self.held.entry(name.to_owned()).or_insert_with(|| Held {
            cylinder: name.to_owned(),
            fills: Vec::new(),
            named: false,
        })
    }

    fn release(&mut self, release: &Told<Released>) {
        let names = &release.body.cylinders;
        let all = std::mem::take(&mut self.held);
        let (freed, held) = all
            .into_iter()
            .partition(|(name, _)| names.is_empty() || names.contains(name));
        self.held = held;
        let freed: BTreeMap<String, Held> = freed;
        self.freed.extend(freed.into_values().map(|held| Freed {
            held,
            by: release.mark(),
            why: release.body.why.clone(),
        }));
    }
}
