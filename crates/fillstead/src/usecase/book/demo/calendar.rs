//! The year: which days the machine runs, in which air, and which cylinders are brought.
//!
//! Not here: what the machine makes of it ([`super::machine`]), what goes wrong ([`super::trouble`]).

use jiff::ToSpan as _;
use jiff::civil::{Date, Weekday};

use super::air::{self, Air};
use super::chance::Chance;
use super::people::{CYLINDERS, Cylinder, RUSTY, UNSEEN, UNTESTED, full_bar, rated_bar};

/// Length of the story, days.
pub const DAYS: i32 = 365;
/// Whips of the station.
const WHIPS: usize = 2;

/// A cylinder brought to be filled.
#[derive(Clone, Debug, PartialEq)]
pub struct Brought {
    /// Which.
    pub cylinder: &'static Cylinder,
    /// By whom.
    pub person: &'static str,
    /// What is in it, bar.
    pub from_bar: f64,
    /// What is wanted on the gauge, bar.
    pub shown_bar: f64,
}

impl Cylinder {
    fn alone(&self) -> bool {
        rated_bar(self.kind) != 232.0
    }
}

impl PartialEq for Cylinder {
    fn eq(&self, other: &Cylinder) -> bool {
        self.id == other.id
    }
}

/// An evening or a day at the machine.
#[derive(Clone, Debug)]
pub struct Session {
    /// Its day.
    pub date: Date,
    /// Days from the first day of the story.
    pub day: i32,
    /// Seconds from midnight to the start, on the wall clock.
    pub starts_s: i32,
    /// Who runs the machine.
    pub operator: &'static str,
    /// The air.
    pub air: Air,
    /// Time to change cylinders, s.
    pub change_s: f64,
    /// What is brought, in the order it is filled.
    pub brought: Vec<Brought>,
}

/// The days of a story.
#[derive(Clone, Debug)]
pub struct Year {
    /// The first day.
    pub first: Date,
    /// Every session, in order.
    pub sessions: Vec<Session>,
    /// The session about which the air is warm and wet, and a change of cartridge is missed.
    pub wet: usize,
}

/// Days about which the warm wet spell may lie, month and day: the first that leaves the story room
/// before and after.
const SPELLS: [(i8, i8); 7] = [(7, 20), (8, 5), (7, 1), (8, 20), (6, 15), (9, 8), (5, 22)];
/// Days of the story in which it may lie, and how far it reaches.
const ROOM: std::ops::Range<i32> = 45..290;
const SPELL_REACH: i32 = 38;

impl Year {
    /// The year that ends the day before `until`.
    pub fn before(until: Date, seed: u64) -> Year {
        let first = until.saturating_sub(DAYS.days());
        let spell = spell(first);
        let mut chance = Chance::new(seed, 1);
        let dates = (0..DAYS).map(|day| (day, first.saturating_add(day.days())));
        let mut sessions: Vec<Session> = dates
            .filter_map(|(day, date)| session(day, date, spell, &mut chance))
            .collect();
        let count = sessions.len();
        let wet = sessions.partition_point(|s| s.day < spell);
        let mut chance = Chance::new(seed, 2);
        for (i, session) in sessions.iter_mut().enumerate() {
            session.brought = brought(i as f64 / count as f64, session.day, &mut chance);
        }
        Year {
            first,
            sessions,
            wet,
        }
    }

    /// The session at this share of the year's sessions.
    pub fn at(&self, share: f64) -> usize {
        let last = self.sessions.len().saturating_sub(1);
        ((share * last as f64).round() as usize).min(last)
    }
}

fn spell(first: Date) -> i32 {
    let day_of = |&(month, day): &(i8, i8)| {
        let this = Date::new(first.year(), month, day).ok()?;
        let next = Date::new(first.year() + 1, month, day).ok()?;
        let date = if this >= first { this } else { next };
        Some(days_between(first, date))
    };
    let mut days = SPELLS.iter().filter_map(day_of);
    days.find(|day| ROOM.contains(day)).unwrap_or(ROOM.start)
}

/// Days from one day to another.
pub fn days_between(from: Date, to: Date) -> i32 {
    from.until(to).map_or(0, |span| span.get_days())
}

/// How likely the machine runs on such a day: evenings and weekends in season, few days in winter,
/// none while it is parked.
fn likely(date: Date) -> f64 {
    let parked = (date.month() == 12 && date.day() > 20)
        || date.month() == 1
        || (date.month() == 2 && date.day() < 13);
    let season = (4..=10).contains(&date.month());
    let summer = (5..=9).contains(&date.month());
    match (date.weekday(), season) {
        _ if parked => 0.0,
        (Weekday::Thursday, true) => 0.97,
        (Weekday::Saturday, true) => 0.95,
        (Weekday::Sunday, true) => 0.75,
        (Weekday::Tuesday, true) if summer => 0.85,
        (Weekday::Saturday, false) => 0.9,
        (Weekday::Thursday, false) => 0.6,
        _ => 0.0,
    }
}

fn session(day: i32, date: Date, spell: i32, chance: &mut Chance) -> Option<Session> {
    let air = air::of(date, (day - spell).abs() <= SPELL_REACH, chance);
    let operator = super::people::OPERATORS[chance.whole(0, 3)];
    let starts = match date.weekday() {
        Weekday::Saturday | Weekday::Sunday => chance.between(9.2, 10.5),
        _ => chance.between(18.4, 19.2),
    };
    let change_s = chance.between(150.0, 260.0).round();
    // the first day of the story and the last have their session, so that it begins and ends
    chance.happens(likely(date)).then_some(Session {
        date,
        day,
        starts_s: (starts * 60.0).round() as i32 * 60,
        operator,
        air,
        change_s,
        brought: Vec::new(),
    })
}

/// Shares of the year's sessions after which cylinders are out of use, and from which again.
pub const RUSTY_FROM: f64 = 0.36;
/// Out of its test.
pub const UNTESTED_FROM: f64 = 0.50;
/// Tested again.
pub const UNTESTED_UNTIL: f64 = 0.60;
/// Out of its inspection.
pub const UNSEEN_FROM: f64 = 0.64;

fn in_use(cylinder: &Cylinder, share: f64) -> bool {
    match cylinder.id {
        RUSTY => share < RUSTY_FROM - 0.01,
        UNTESTED => !(UNTESTED_FROM - 0.03..UNTESTED_UNTIL + 0.02).contains(&share),
        UNSEEN => share < UNSEEN_FROM - 0.03,
        _ => true,
    }
}

fn brought(share: f64, day: i32, chance: &mut Chance) -> Vec<Brought> {
    let wanted = chance.whole(4, 7);
    let mut left: Vec<&'static Cylinder> = CYLINDERS.iter().filter(|c| in_use(c, share)).collect();
    let mut brought = Vec::new();
    while brought.len() < wanted && !left.is_empty() {
        let at = chance.whole(0, left.len() - 1);
        if !chance.happens(left[at].comes) {
            continue;
        }
        let cylinder = left.remove(at);
        brought.push(Brought {
            cylinder,
            person: whose(cylinder, chance),
            from_bar: chance.between(25.0, 105.0).round(),
            // the first fills of a season are taken slowly: all the same pressure
            shown_bar: full_bar(cylinder.kind)
                - 2.0 * chance.whole(0, 1 + (day as usize % 2)) as f64,
        });
    }
    arranged(brought)
}

fn whose(cylinder: &Cylinder, chance: &mut Chance) -> &'static str {
    let members = super::people::MEMBERS;
    let owner = members.iter().find(|name| **name == cylinder.owner);
    owner
        .copied()
        .unwrap_or(members[chance.whole(0, members.len() - 1)])
}

/// In the order in which they can share lines: one rating after the other, one other at most.
pub fn arranged(brought: Vec<Brought>) -> Vec<Brought> {
    let (others, mut usual): (Vec<Brought>, Vec<Brought>) =
        brought.into_iter().partition(|b| b.cylinder.alone());
    if usual.len() % WHIPS == 0 {
        usual.extend(others.into_iter().take(1));
    }
    usual
}

/// The sets that hang on the whips together.
pub fn sets(brought: &[Brought]) -> impl Iterator<Item = &[Brought]> {
    brought.chunks(WHIPS)
}
