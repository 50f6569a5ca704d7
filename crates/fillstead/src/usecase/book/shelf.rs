//! The register as people look at it: each cylinder's state in a few words, its intervals, what is
//! set aside, and why filling is locked.
//!
//! Not here: what the rule says ([`insight::cylinder`]), one cylinder ([`super::cylinder`]).

use std::path::Path;

use book::Book;
use book::answer::{locks, quarantine};
use insight::cylinder::When;
use insight::upkeep::{self, DueItem, Item, State as Urgency};
use station::Date;

use super::cylinder::{self, RegisterRow};
use super::due::{self, DuePage};
use super::{desk, gate};
use crate::draw::intervals::{self, Days, Interval, State};
use crate::draw::{Drawing, Table};
use crate::usecase::Trouble;
use crate::usecase::clock::Zone;

/// The register, what is due, what is set aside, what is locked.
pub struct Shelf {
    /// Every cylinder on the register, by name.
    pub rows: Vec<Row>,
    /// The years over the strips.
    pub head: Drawing,
    /// The intervals as rows of text.
    pub table: Table,
    /// The day it holds for.
    pub today: String,
    /// What is due.
    pub due: DuePage,
    /// Why nothing is filled just now.
    pub locks: Vec<Lock>,
    /// What is set aside.
    pub aside: Vec<Aside>,
    /// What to think of.
    pub remarks: Vec<String>,
}

/// One cylinder.
pub struct Row {
    /// What it is called.
    pub id: String,
    /// Its size as typed.
    pub size: String,
    /// What it may hold, as stamped.
    pub rated: String,
    /// Whose it is.
    pub owner: String,
    /// How it stands.
    pub state: State,
    /// The same in words.
    pub words: String,
    /// Why, where it is not simply in date.
    pub why: String,
    /// The minute of its last fill, and what it says; both empty where there is none.
    pub last_fill: (String, String),
    /// Its intervals.
    pub strip: Drawing,
}

/// Why nothing is filled.
pub struct Lock {
    /// What is wrong.
    pub what: String,
    /// What to do.
    pub way: String,
    /// The entry that locks.
    pub entry: u64,
}

/// What one suspicion sets aside.
pub struct Aside {
    /// The entry that raised it.
    pub entry: u64,
    /// The cylinders, by name.
    pub cylinders: Vec<String>,
}

impl Shelf {
    /// How many stand so.
    pub fn count(&self, state: State) -> usize {
        self.rows.iter().filter(|row| row.state == state).count()
    }
}

/// The register as it stands on a day.
pub fn shelf(path: &Path, typed: Option<&str>) -> Result<Shelf, Trouble> {
    let book = desk::read(path)?;
    let zone = desk::zone(&book)?;
    let register = cylinder::all_of(&book, &zone, typed)?;
    let due = due::due_of(&book, &zone, typed)?;
    let today = Date::parse(&register.today).map_or(0.0, day_number);
    let here: Vec<&RegisterRow> = register.cylinders.iter().filter(|row| !row.left).collect();
    let intervals: Vec<Interval> = here
        .iter()
        .map(|row| interval(row, &due.items, today))
        .collect();
    // What hangs on the line is no matter of dates.
    let drawn: Vec<Interval> = intervals
        .iter()
        .map(|row| match row.words == OTHER_LINE {
            true => Interval {
                state: State::InDate,
                ..row.clone()
            },
            false => row.clone(),
        })
        .collect();
    let days = Days {
        today,
        named: years(&intervals, today),
    };
    let (head, strips) = intervals::strips(&drawn, &days);
    let rows = here.iter().zip(&intervals).zip(strips);
    let mut remarks = register.remarks.clone();
    remarks.extend(
        due.remarks
            .iter()
            .filter(|r| !register.remarks.contains(r))
            .cloned(),
    );
    let (locks, aside) = suspicions(&book, &zone)?;
    Ok(Shelf {
        rows: rows
            .map(|((row, interval), strip)| told(row, interval, strip))
            .collect(),
        head,
        table: intervals::table(&intervals, date_of),
        today: register.today.clone(),
        due,
        locks,
        aside,
        remarks,
    })
}

fn told(row: &RegisterRow, interval: &Interval, strip: Drawing) -> Row {
    let why: Vec<&str> = row.gate.refusals.iter().map(|r| r.what.as_str()).collect();
    Row {
        id: row.gate.cylinder.clone(),
        size: row.size.clone().unwrap_or_default(),
        rated: row
            .gate
            .to
            .as_ref()
            .map(|to| to.stamped.clone())
            .unwrap_or_default(),
        owner: row.owner.clone().unwrap_or_default(),
        state: interval.state,
        words: interval.words.clone(),
        why: why.join("; "),
        last_fill: row.last_fill.clone().unwrap_or_default(),
        strip,
    }
}

fn interval(row: &RegisterRow, due: &[DueItem], today: f64) -> Interval {
    let check = |name: &str| row.gate.checks.iter().find(|check| check.check == name);
    let day = |when: Option<When>| when.map(|when| day_number(when.last_day()));
    let test = check("test");
    let (state, words) = state(row, due, today);
    Interval {
        id: row.gate.cylinder.clone(),
        from: test.and_then(|check| day(check.last)),
        visual: check("visual").and_then(|check| day(check.due)),
        due: test.and_then(|check| day(check.due)),
        state,
        words,
    }
}

/// Refusals by which a cylinder cannot be judged, and those that are about the line it hangs on.
const UNKNOWN: [&str; 6] = [
    "unknown",
    "rating-unknown",
    "no-rule",
    "date-unknown",
    "unread",
    "stamp-implausible",
];
const OF_THE_LINE: [&str; 3] = ["above-rating", "mixed-ratings", "unprotected"];

/// Of a cylinder that is in date and may not hang on the line as it is.
const OTHER_LINE: &str = "Not on this line";

fn state(row: &RegisterRow, due: &[DueItem], today: f64) -> (State, String) {
    let ids: Vec<&str> = row.gate.refusals.iter().map(|refusal| refusal.id).collect();
    let has = |id: &str| ids.contains(&id);
    if !row.set_aside_by.is_empty() {
        return (State::Over, "Set aside, do not fill".into());
    }
    if has("condemned") {
        return (State::Over, "Condemned".into());
    }
    if has("overdue") {
        return (State::Over, "Out, do not fill".into());
    }
    if ids.iter().any(|id| UNKNOWN.contains(id)) {
        return (State::Unknown, "Cannot tell".into());
    }
    if ids.iter().any(|id| !OF_THE_LINE.contains(id)) {
        return (State::Over, "Do not fill".into());
    }
    if !ids.is_empty() {
        return (State::Soon, OTHER_LINE.into());
    }
    match soon(&row.gate.cylinder, due) {
        Some(day) => (State::Soon, in_weeks(day - today)),
        None => (State::InDate, "In date".into()),
    }
}

/// The day an examination of this cylinder is due, where that is soon.
fn soon(id: &str, due: &[DueItem]) -> Option<f64> {
    let of = |item: &&DueItem| {
        let urgent = matches!(item.state, Urgency::Soon | Urgency::Due | Urgency::Over);
        item.item == Item::Cylinder && item.which.as_deref() == Some(id) && urgent
    };
    let days = due.iter().filter(of).filter_map(|item| item.due.as_ref());
    days.map(|due| due.likely_day_number as f64)
        .reduce(f64::min)
}

fn in_weeks(days: f64) -> String {
    match days {
        d if d < 0.0 => "Due".to_owned(),
        d if d < 14.0 => format!("Due in {d:.0} days"),
        d => format!("Due in {:.0} weeks", (d / 7.0).floor()),
    }
}

/// Why filling is locked, and what is set aside.
fn suspicions(book: &Book, zone: &Zone) -> Result<(Vec<Lock>, Vec<Aside>), Trouble> {
    let begins = |text: &str| zone.begins(text);
    let locks = locks::in_book(book, None, &begins)?;
    let lock = |lock: &locks::Lock| {
        let told = gate::locked(lock, zone);
        Lock {
            what: told.what,
            way: told.way_forward,
            entry: lock.reason.mark().seq,
        }
    };
    let all = quarantine::in_book(book, None, &begins)?;
    let holding = all.suspicions.iter().filter(|s| !s.held.is_empty());
    let aside = holding.map(|s| Aside {
        entry: s.reason.mark().seq,
        cylinders: s.held.iter().map(|held| held.cylinder.clone()).collect(),
    });
    Ok((locks.standing().map(lock).collect(), aside.collect()))
}

/// Each new year from the first day on the scale to the last, as many as there is room for.
fn years(rows: &[Interval], today: f64) -> Vec<(f64, String)> {
    let days = rows.iter().flat_map(|row| [row.from, row.due]).flatten();
    let (first, last) = days.fold((today, today), |(a, b), day| (a.min(day), b.max(day)));
    let year = |day: f64| upkeep::date_of(day.floor() as i64).map(Date::year);
    let (Some(first), Some(last)) = (year(first), year(last)) else {
        return Vec::new();
    };
    let step = usize::from(last.saturating_sub(first) / 5 + 1);
    let named = |year: u16| Some((day_number(Date::new(year, 1, 1)?), year.to_string()));
    (first + 1..=last).step_by(step).filter_map(named).collect()
}

/// Days from 1970-01-01 to this one.
pub fn day_number(date: Date) -> f64 {
    upkeep::day_number(date) as f64
}

/// The day of such a number: `2026-05-20`.
fn date_of(day: f64) -> String {
    let date = upkeep::date_of(day.floor() as i64);
    date.map_or_else(
        || "a day beyond the calendar".to_owned(),
        |date| date.to_string(),
    )
}
