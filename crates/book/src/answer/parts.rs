//! Parts and prices: last replaced, tested and set, the interval and the price in force. What is
//! due is not decided here: that needs hours, air and the calendar.

use crate::answer::{Seen, Told, picked, read};
use crate::body::{
    AirTest, IntervalSet, Kind, Part, PartReplaced, PartTested, PriceSet, Priced, ValveSet,
};
use crate::book::Book;
use crate::entry::Moment;
use crate::error::BookError;
use crate::query::Event;

/// What parts and prices are drawn from.
pub const KINDS: [Kind; 6] = [
    Kind::PartReplaced,
    Kind::PartTested,
    Kind::ValveSet,
    Kind::IntervalSet,
    Kind::AirTest,
    Kind::PriceSet,
];

/// One of several of a part, such as the second hose.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Each {
    /// Which; none where it was not said.
    pub which: Option<String>,
    /// Last replaced.
    pub replaced: Option<Told<PartReplaced>>,
    /// Last tested, passed or not.
    pub tested: Option<Told<PartTested>>,
    /// Last tested and passed.
    pub passed: Option<Told<PartTested>>,
}

/// What the records say of one part.
#[derive(Clone, Debug, PartialEq)]
pub struct PartRecord {
    /// The part.
    pub part: Part,
    /// Last replaced, whichever of several.
    pub replaced: Option<Told<PartReplaced>>,
    /// Last tested, passed or not, whichever of several.
    pub tested: Option<Told<PartTested>>,
    /// Last tested and passed, whichever of several.
    pub passed: Option<Told<PartTested>>,
    /// The same for each of several, by name; empty where nothing was ever entered.
    pub each: Vec<Each>,
    /// Last set, for valves.
    pub set: Option<Told<ValveSet>>,
    /// The interval in force; none where there is none, or it was taken away.
    pub interval: Option<Told<IntervalSet>>,
    /// The last test of the air, for [`Part::AirSample`].
    pub air_test: Option<Told<AirTest>>,
}

/// All parts and prices.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Parts {
    /// One for each [`Part::ALL`], in that order.
    pub parts: Vec<PartRecord>,
    /// The price in force of whatever has one, in the order of [`Priced::ALL`].
    pub prices: Vec<Told<PriceSet>>,
    /// Entries that could not be read.
    pub unread: Vec<u64>,
}

impl Parts {
    /// The record of a part.
    pub fn part(&self, part: Part) -> Option<&PartRecord> {
        self.parts.iter().find(|record| record.part == part)
    }

    /// The price of something.
    pub fn price(&self, of: Priced) -> Option<&Told<PriceSet>> {
        self.prices.iter().find(|told| told.body.of == of)
    }
}

/// Parts and prices by these events at a moment. Needs [`KINDS`]; passes over others.
pub fn of(events: &[Event], at: Option<Moment>) -> Parts {
    let seen = Seen::of(events, at);
    let replaced = picked!(seen, PartReplaced);
    let tested = picked!(seen, PartTested);
    let set = picked!(seen, ValveSet);
    let intervals = picked!(seen, IntervalSet);
    let air_tests = picked!(seen, AirTest);
    let prices = picked!(seen, PriceSet);
    let part = |&part: &Part| {
        let each = each(part, &replaced, &tested);
        PartRecord {
            part,
            replaced: last(each.iter().filter_map(|each| each.replaced.clone())),
            tested: last(each.iter().filter_map(|each| each.tested.clone())),
            passed: last(each.iter().filter_map(|each| each.passed.clone())),
            each,
            set: latest(&set, |set| set.valve.part() == part),
            interval: latest(&intervals, |set| set.part == part).filter(|set| !is_none(&set.body)),
            air_test: latest(&air_tests, |_| part == Part::AirSample),
        }
    };
    let price = |of: &Priced| latest(&prices, |price| price.of == *of);
    Parts {
        parts: Part::ALL.iter().map(part).collect(),
        prices: Priced::ALL.iter().filter_map(price).collect(),
        unread: seen.unread,
    }
}

/// Parts and prices of a book at a moment; without one, by everything in it.
///
/// # Errors
/// The file cannot be read.
pub fn in_book(book: &Book, at: Option<Moment>) -> Result<Parts, BookError> {
    Ok(of(&read(book, &KINDS, None, at)?, at))
}

/// An interval with nothing given takes the interval away.
fn is_none(interval: &IntervalSet) -> bool {
    interval.hours.is_none() && interval.months.is_none() && interval.free_air.is_none()
}

/// The last in the order of time that fits.
fn latest<T: Clone>(told: &[Told<T>], fits: impl Fn(&T) -> bool) -> Option<Told<T>> {
    told.iter().rev().find(|told| fits(&told.body)).cloned()
}

fn last<T>(told: impl Iterator<Item = Told<T>>) -> Option<Told<T>> {
    told.max_by_key(Told::mark)
}

fn each(part: Part, replaced: &[Told<PartReplaced>], tested: &[Told<PartTested>]) -> Vec<Each> {
    let of_replaced = replaced.iter().filter(|r| r.body.part == part);
    let of_tested = tested.iter().filter(|t| t.body.part == part);
    let mut which: Vec<Option<String>> = of_replaced.map(|r| r.body.which.clone()).collect();
    which.extend(of_tested.map(|t| t.body.which.clone()));
    which.sort_unstable();
    which.dedup();
    let each = |which: Option<String>| Each {
        replaced: latest(replaced, |r| r.part == part && r.which == which),
        tested: latest(tested, |t| t.part == part && t.which == which),
        passed: latest(tested, |t| t.part == part && t.which == which && t.passed),
        which,
    };
    which.into_iter().map(each).collect()
}
