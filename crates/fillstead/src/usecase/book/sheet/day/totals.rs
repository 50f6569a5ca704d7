//! Sums of a day sheet, and what on it is to be looked at.

use std::collections::BTreeMap;
use std::collections::btree_map::Entry;

use book::Event;
use book::answer::Told;
use book::answer::day::{Day, WentBack};
use book::answer::register;
use book::answer::runs::Run;
use book::body::Fill;

use super::super::{doubts, free_air, minutes};
use super::Page;
use crate::print::day::{FreeAir, Totals};
use crate::usecase::Trouble;
use crate::usecase::book::add::behind_text;
use crate::words::entry_numbers;

impl Page<'_> {
    pub(super) fn totals(&self) -> Result<Totals, Trouble> {
        Ok(Totals {
            ran: self.ran(),
            drained: self.drained(),
            free_air: self.free_air()?,
        })
    }

    /// How long the machine ran between the day's first moment and its last (or now), by the clock.
    fn ran(&self) -> String {
        let end = self.day.until.min(self.room.now());
        let inside = |run: &Run| {
            let begun = run.started.happened;
            let stop = match (&run.stopped, run.open) {
                (Some(stopped), _) => Some(stopped.happened),
                (None, true) => Some(end),
                (None, false) => None,
            };
            let (from, to) = (begun.max(self.day.from), stop?.min(self.day.until));
            Some(to.seconds_since(from).max(0.0) / 60.0)
        };
        let told: Vec<f64> = self.day.runs.runs.iter().filter_map(inside).collect();
        match (told.is_empty(), self.day.runs.runs.is_empty()) {
            (true, true) => "0 min".to_owned(),
            (true, false) => "not known".to_owned(),
            (false, _) => minutes(told.iter().sum()),
        }
    }

    fn drained(&self) -> String {
        let drains = self.sheet.drains.len();
        let measured = drains - self.unmeasured;
        match (drains, measured) {
            (0, _) => "nothing".to_owned(),
            (_, 0) => format!("{drains} times, not measured"),
            _ if self.unmeasured > 0 => format!(
                "{:.0} mL ({} not measured)",
                1000.0 * self.drained_l,
                self.unmeasured
            ),
            _ => format!("{:.0} mL", 1000.0 * self.drained_l),
        }
    }

    fn free_air(&self) -> Result<Option<FreeAir>, Trouble> {
        let fills = fills(&self.day.events);
        let begins = |text: &str| self.room.begins(text);
        let mut registered = BTreeMap::new();
        for fill in &fills {
            if let Entry::Vacant(place) = registered.entry(fill.body.cylinder.as_str()) {
                let record = register::in_book(self.room.book, place.key(), None, &begins)?;
                place.insert(record.registered.map(|told| told.body));
            }
        }
        let of = |fill: &Told<Fill>| {
            registered
                .get(fill.body.cylinder.as_str())
                .and_then(Option::as_ref)
        };
        Ok(free_air::of(fills.iter().map(|fill| (fill, of(fill)))))
    }
}

/// The fills among these events.
fn fills(events: &[Event]) -> Vec<Told<Fill>> {
    let asked = book::answer::fills::Asked::default();
    book::answer::fills::of(events, &asked).fills
}

/// What to look at: doubts about runs, the clock, late entries, what cannot be read.
pub(super) fn to_look_at(day: &Day) -> Vec<String> {
    let mut told: Vec<String> = day.runs.doubts.iter().map(doubts::sentence).collect();
    let back = |w: &WentBack| {
        format!(
            "Entry {} was written while the clock stood {} behind the entry before: set the clock.",
            w.seq,
            behind_text(w.by_s)
        )
    };
    told.extend(day.clock_went_back.iter().map(back));
    if !day.about_other_days.is_empty() {
        told.push(format!(
            "Written this day about another day: {}.",
            entry_numbers(&day.about_other_days)
        ));
    }
    let mut unread = [day.unread.clone(), day.runs.unread.clone()].concat();
    unread.sort_unstable();
    unread.dedup();
    if !unread.is_empty() {
        told.push(format!(
            "This program cannot read {}: use the one that wrote them, or a later one. Sums may be wrong.",
            entry_numbers(&unread)
        ));
    }
    told
}
