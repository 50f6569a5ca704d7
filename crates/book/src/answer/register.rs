//! The register: what the records say of a cylinder. Whether it may be filled is not decided here.

use std::collections::BTreeMap;

use crate::answer::samples::{DayBegins, parts};
use crate::answer::{Mark, Seen, Told, just_after, picked, quarantine, read};
use crate::body::{
    Check, CylinderCondemned, CylinderInspected, CylinderLeft, CylinderRegistered, Fill,
    FillRefused, Kind,
};
use crate::book::Book;
use crate::entry::Moment;
use crate::error::BookError;
use crate::query::{Event, Subject, Wanted};

/// What a record is drawn from, besides the last fill and refusal.
pub const KINDS: [Kind; 4] = [
    Kind::CylinderRegistered,
    Kind::CylinderInspected,
    Kind::CylinderCondemned,
    Kind::CylinderLeft,
];

/// A cylinder as it stands in the book.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Record {
    /// Its name here.
    pub cylinder: String,
    /// The last registration; none: it was filled or examined, but never registered.
    pub registered: Option<Told<CylinderRegistered>>,
    /// Examinations entered since that registration, by their day; all without one. Where a day
    /// does not read, by the order entered.
    pub inspections: Vec<Told<CylinderInspected>>,
    /// Failed examinations with no later pass of the same kind, from before that registration too:
    /// each stands against filling.
    pub failed: Vec<Told<CylinderInspected>>,
    /// Condemned: for good, whatever was entered since. A mistake is withdrawn by a correction.
    pub condemned: Option<Told<CylinderCondemned>>,
    /// Gone, and not registered again since.
    pub left: Option<Told<CylinderLeft>>,
    /// The last fill.
    pub last_fill: Option<Told<Fill>>,
    /// The last refusal.
    pub last_refusal: Option<Told<FillRefused>>,
    /// Entries that set its content aside and still do. Filled in from a book only; the fold over
    /// events leaves it empty.
    pub held: Vec<u64>,
    /// Entries about it that could not be read, and all of kinds unknown to this program.
    pub unread: Vec<u64>,
}

impl Record {
    /// Examinations of a kind that passed, since the last registration, by their day.
    pub fn passed(&self, check: Check) -> impl Iterator<Item = &Told<CylinderInspected>> {
        let passed = move |i: &&Told<CylinderInspected>| i.body.check == check && i.body.passed;
        self.inspections.iter().filter(passed)
    }

    /// The last one that passed.
    pub fn last_passed(&self, check: Check) -> Option<&Told<CylinderInspected>> {
        self.passed(check).last()
    }

    /// The days of those that passed, as stamped or certified.
    pub fn days(&self, check: Check) -> Vec<&str> {
        self.passed(check).map(|i| i.body.on.as_str()).collect()
    }
}

/// The record of one cylinder by these events at a moment; passes over other cylinders.
pub fn of(cylinder: &str, events: &[Event], at: Option<Moment>) -> Record {
    let mut all = all_of(events, at);
    let place = all.iter().position(|record| record.cylinder == cylinder);
    match place {
        Some(place) => all.swap_remove(place),
        None => Record {
            cylinder: cylinder.to_owned(),
            unread: Seen::of(events, at).unread,
            ..Record::default()
        },
    }
}

/// The records of all cylinders in these events at a moment, by name.
pub fn all_of(events: &[Event], at: Option<Moment>) -> Vec<Record> {
    let seen = Seen::of(events, at);
    let mut all: BTreeMap<String, Record> = BTreeMap::new();
    let mut inspections: BTreeMap<String, Vec<Told<CylinderInspected>>> = BTreeMap::new();
    for told in picked!(seen, CylinderRegistered) {
        let record = of_name(&mut all, &told.body.cylinder);
        record.registered = Some(told);
    }
    for told in picked!(seen, CylinderInspected) {
        of_name(&mut all, &told.body.cylinder);
        let own = inspections.entry(told.body.cylinder.clone()).or_default();
        own.push(told);
    }
    for told in picked!(seen, CylinderCondemned) {
        let record = of_name(&mut all, &told.body.cylinder);
        record.condemned.get_or_insert(told);
    }
    for told in picked!(seen, CylinderLeft) {
        let record = of_name(&mut all, &told.body.cylinder);
        record.left = Some(told);
    }
    for told in picked!(seen, Fill) {
        let record = of_name(&mut all, &told.body.cylinder);
        record.last_fill = Some(told);
    }
    for told in picked!(seen, FillRefused) {
        let record = of_name(&mut all, &told.body.cylinder);
        record.last_refusal = Some(told);
    }
    for (name, record) in &mut all {
        settle(record, inspections.remove(name).unwrap_or_default());
        record.unread.clone_from(&seen.unread);
    }
    all.into_values().collect()
}

/// The record of one cylinder at a moment; without one, by everything in the book.
///
/// # Errors
/// The file cannot be read.
pub fn in_book(
    book: &Book,
    cylinder: &str,
    at: Option<Moment>,
    day_begins: DayBegins<'_>,
) -> Result<Record, BookError> {
    let mut events = book.of_unknown_kinds()?;
    let subject = Subject::Cylinder(cylinder.to_owned());
    events.extend(book.events(&Wanted {
        kinds: &KINDS,
        about: Some(&subject),
        until: just_after(at),
        ..Wanted::default()
    })?);
    events.extend(last(book, Kind::Fill, &subject, at)?);
    events.extend(last(book, Kind::FillRefused, &subject, at)?);
    let mut record = of(cylinder, &events, at);
    record.held = quarantine::of_cylinder(book, cylinder, at, day_begins)?;
    Ok(record)
}

/// The records of all cylinders there ever were at a moment, by name; without one, by everything in
/// the book.
///
/// # Errors
/// The file cannot be read.
pub fn all_in_book(
    book: &Book,
    at: Option<Moment>,
    day_begins: DayBegins<'_>,
) -> Result<Vec<Record>, BookError> {
    let kinds = [&KINDS[..], &[Kind::FillRefused]].concat();
    let mut events = read(book, &kinds, None, at)?;
    for name in book.names(&Subject::Cylinder(String::new()))? {
        events.extend(last(book, Kind::Fill, &Subject::Cylinder(name), at)?);
    }
    let mut all = all_of(&events, at);
    let held = quarantine::in_book(book, at, day_begins)?;
    for record in &mut all {
        record.held = held.holds(&record.cylinder);
    }
    Ok(all)
}

/// The last of a kind about a cylinder.
fn last(
    book: &Book,
    kind: Kind,
    subject: &Subject,
    at: Option<Moment>,
) -> Result<Vec<Event>, BookError> {
    book.events(&Wanted {
        kinds: &[kind],
        about: Some(subject),
        until: just_after(at),
        latest: Some(1),
        ..Wanted::default()
    })
}

fn of_name<'a>(all: &'a mut BTreeMap<String, Record>, name: &str) -> &'a mut Record {
    all.entry(name.to_owned()).or_insert_with(|| Record {
        cylinder: name.to_owned(),
        ..Record::default()
    })
}

/// What of its examinations counts, and whether it is gone.
fn settle(record: &mut Record, mut inspections: Vec<Told<CylinderInspected>>) {
    let registered = record.registered.as_ref().map(Told::mark);
    // Entered after it, or dated after it: what is entered late often bears an early date.
    let since =
        |mark: Mark| registered.is_none_or(|since| mark.seq > since.seq || mark.at > since.at);
    record.left = record.left.take().filter(|left| since(left.mark()));
    let stands = |failed: &&Told<CylinderInspected>| {
        !failed.body.passed && !inspections.iter().any(|later| makes_good(later, failed))
    };
    record.failed = inspections.iter().filter(stands).cloned().collect();
    inspections.retain(|i| since(i.mark()));
    // A day that does not read keeps the place it was entered at.
    if inspections.iter().all(|i| parts(&i.body.on).is_some()) {
        inspections.sort_by_key(|i| (parts(&i.body.on), i.mark()));
    }
    record.inspections = inspections;
}

/// Whether an examination passed the same check later: entered later, and on no earlier day.
fn makes_good(later: &Told<CylinderInspected>, failed: &Told<CylinderInspected>) -> bool {
    let same = later.body.passed && later.body.check == failed.body.check;
    let days = parts(&later.body.on).zip(parts(&failed.body.on));
    same && later.mark() > failed.mark() && days.is_none_or(|(later, failed)| later >= failed)
}
