//! One bench with its class: its clock, who is there, who did what, what is asked.

use std::collections::BTreeMap;

use book::Moment;
use insight::bench::question::{self, Question};
use insight::bench::{Act, Bench, Wrong, wrong};

use super::{Listed, told};
use crate::usecase::Trouble;

/// Whoever was not seen for this long has left, µs.
const LEFT_US: i64 = 30_000_000;
/// Nobody looking for longer than this stops the clock, µs: the bench waits for its class.
const WAITS_US: i64 = 120_000_000;
/// People of one class remembered.
const MOST_PEOPLE: usize = 60;

/// How fast bench time passes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Speed(u8);

impl Speed {
    /// Every speed there is.
    pub const ALL: [Speed; 3] = [Speed(1), Speed(10), Speed(60)];

    /// So many bench seconds in a second.
    pub fn times(self) -> u8 {
        self.0
    }

    /// The one of so many.
    pub fn of(times: &str) -> Option<Speed> {
        let all = Speed::ALL.into_iter();
        all.into_iter().find(|s| s.0.to_string() == times)
    }
}

/// What tells one look at a bench from the next.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Mark {
    t_s: u64,
    changes: u64,
    people: Vec<String>,
}

impl Mark {
    /// The moment of the bench alone, whoever is there.
    pub fn moment(&self) -> (u64, u64) {
        (self.t_s, self.changes)
    }
}

/// A bench and its class.
pub struct Room {
    /// What it is called.
    pub name: String,
    /// The bench.
    pub bench: Bench,
    /// How fast its time passes.
    pub speed: Speed,
    /// Whether it passes at all.
    pub running: bool,
    /// When somebody was last there.
    pub seen: Moment,
    /// Bench time is worked out up to here.
    until: Moment,
    people: BTreeMap<String, Moment>,
    /// How often somebody has changed something.
    pub changes: u64,
    /// What the class is asked, and what each has said.
    pub asked: Option<&'static Question>,
    answers: Vec<(String, usize)>,
}

impl Room {
    /// A bench at its start, held.
    pub fn new(name: String, bench: Bench, now: Moment) -> Room {
        Room {
            name,
            bench,
            speed: Speed(1),
            running: false,
            seen: now,
            until: now,
            people: BTreeMap::new(),
            changes: 0,
            asked: None,
            answers: Vec::new(),
        }
    }

    /// Lets bench time pass up to now, in whole bench seconds; what is left of one is owed.
    pub fn catch_up(&mut self, now: Moment) {
        let (from, times) = (self.until, i64::from(self.speed.0));
        let gone_us = now.0 - from.0;
        let waits = !(0..=WAITS_US).contains(&gone_us);
        if !self.running || waits || self.bench.over() {
            if self.running && gone_us > WAITS_US && !self.bench.over() {
                self.bench.waited();
                self.changes += 1;
            }
            self.until = now;
            return;
        }
        let seconds = gone_us * times / 1_000_000;
        self.until = Moment(from.0 + seconds * 1_000_000 / times);
        self.bench.advance(seconds.unsigned_abs());
    }

    /// Somebody is here.
    pub fn here(&mut self, who: Option<&str>, now: Moment) {
        self.seen = now;
        if let Some(who) = who
            && (self.people.contains_key(who) || self.people.len() < MOST_PEOPLE)
        {
            self.people.insert(who.to_owned(), now);
        }
    }

    /// Who is here now.
    pub fn people(&self, now: Moment) -> Vec<String> {
        let here = self
            .people
            .iter()
            .filter(|(_, seen)| now.0 - seen.0 < LEFT_US);
        here.map(|(name, _)| name.clone()).collect()
    }

    /// What tells one look from the next: with the same mark everything is as it was.
    pub fn mark(&self, now: Moment) -> Mark {
        Mark {
            t_s: self.bench.state().t_s,
            changes: self.changes,
            people: self.people(now),
        }
    }

    /// Time passes, or is held.
    pub fn run(&mut self, run: bool) {
        if self.running && !run {
            self.bench.held();
        }
        self.running = run;
    }

    /// Somebody does something; time runs from the first thing done, and in a drill nothing is done
    /// while it is held.
    ///
    /// **Errors** what cannot be done as things stand.
    pub fn act(&mut self, who: Option<&str>, act: Act) -> Result<(), Trouble> {
        self.bench.operate(who, act).map_err(told)?;
        self.running |= self.bench.begun_now() || self.bench.course().is_some();
        Ok(())
    }

    /// Back to the start, as it was set.
    ///
    /// **Errors** as at its making.
    pub fn back(&mut self) -> Result<(), Trouble> {
        self.replace(self.bench.again().map_err(told)?);
        Ok(())
    }

    /// Another bench in the same place: the class stays.
    pub fn replace(&mut self, bench: Bench) {
        self.bench = bench;
        (self.running, self.speed) = (false, Speed(1));
    }

    /// Puts a fault in, or takes all out.
    ///
    /// **Errors** a fault that is not in the catalogue or has no part here.
    pub fn fault(&mut self, key: &str, hidden: bool, lot: u64) -> Result<(), Trouble> {
        if self.bench.course().is_some_and(|course| !course.ended()) {
            return Err(Trouble::new(
                "a drill is going on, and it brings its own fault",
                "end the drill first: back to the start without it",
            ));
        }
        let wrong = match key {
            "random" => Wrong::drawn(lot, self.bench.original()),
            key => Wrong::named(key, self.bench.original()).map_err(told)?,
        };
        let hidden = hidden || key == "random";
        match wrong {
            Some(wrong) => self.bench.put_in(Some(wrong), hidden),
            None if hidden => self.bench.put_in(None, true).map(|()| self.bench.hide()),
            None => self.bench.put_in(None, false),
        }
        .map_err(told)
    }

    /// Asks the class; without a name nothing more.
    pub fn ask(&mut self, key: &str) {
        self.asked = question::named(key);
        self.answers.clear();
    }

    /// Somebody answers: the first answer counts.
    pub fn answer(&mut self, who: &str, option: usize) {
        let known = self.asked.is_some_and(|q| option < q.options.len());
        if known && self.said(who).is_none() && self.answers.len() < MOST_PEOPLE {
            self.answers.push((who.to_owned(), option));
        }
    }

    /// What somebody has answered.
    pub fn said(&self, who: &str) -> Option<usize> {
        let found = self.answers.iter().find(|(name, _)| name == who);
        found.map(|(_, option)| *option)
    }

    /// How many have chosen each option.
    pub fn counts(&self) -> Vec<usize> {
        let options = self.asked.map_or(0, |q| q.options.len());
        let count = |i| self.answers.iter().filter(|(_, o)| *o == i).count();
        (0..options).map(count).collect()
    }

    /// Faults that can be named or put in here.
    pub fn faults(&self) -> Vec<&'static wrong::Entry> {
        wrong::suited(self.bench.original()).collect()
    }

    pub(super) fn listed(&self, id: String, now: Moment) -> Listed {
        Listed {
            id,
            name: self.name.clone(),
            drill: self.bench.course().map(|c| c.drill.title.as_str()),
            t_s: self.bench.state().t_s,
            people: self.people(now),
            running: self.running && !self.bench.over(),
        }
    }
}
