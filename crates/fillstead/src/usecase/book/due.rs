//! What is due: parts by hours, months or litres, whichever comes first; the air sample; cylinders.

use std::path::Path;

use book::answer::parts::{Each, PartRecord};
use book::answer::{Told, locks, station::rules_in_force};
use book::body::{IntervalSet, Part};
use book::{Book, Moment};
use insight::cylinder::rule_named;
use insight::upkeep::{
    Done, DueItem, Interval, Item, Kept, State, Usage, air_sample, cylinder_checks,
    most_urgent_first, upkeep,
};
use serde::Serialize;
use station::{Date, Output, Station};

use super::calendar;
use super::cylinder::judged;
use super::desk;
use super::gate;
use super::list::{title, today};
use super::records::Records;
use crate::usecase::Trouble;
use crate::usecase::clock::{self, Zone};

/// Days over which recent use is counted.
const RECENT_DAYS: f64 = 90.0;

/// Everything that is due, or will be.
#[derive(Clone, Debug, Serialize)]
pub struct DuePage {
    /// The station.
    pub station: String,
    /// Demonstration data.
    pub invented: bool,
    /// The day it holds for.
    pub today: String,
    /// Why nothing is filled at all just now; empty where nothing stands against it.
    pub locked: Vec<String>,
    /// What is due, most urgent first.
    pub items: Vec<DueItem>,
    /// What to think of.
    pub remarks: Vec<String>,
}

impl DuePage {
    /// Whether something has to be done now.
    pub fn urgent(&self) -> bool {
        let now = |item: &DueItem| matches!(item.state, State::Over | State::Due);
        !self.locked.is_empty() || self.items.iter().any(now)
    }
}

/// What is due on a day.
pub fn due(path: &Path, typed: Option<&str>) -> Result<DuePage, Trouble> {
    let book = desk::read(path)?;
    let zone = desk::zone(&book)?;
    due_of(&book, &zone, typed)
}

/// The same of a book that is open.
pub fn due_of(book: &Book, zone: &Zone, typed: Option<&str>) -> Result<DuePage, Trouble> {
    let (station, invented) = title(book)?;
    let (today, mut remarks) = today(book, zone, typed)?;
    let begins = |text: &str| zone.begins(text);
    let mut items = Vec::new();
    match machine(book, zone, today) {
        Ok(rows) => items.extend(rows),
        Err(trouble) => remarks.push(format!("{}: {}", trouble.what, trouble.remedy)),
    }
    let locks = locks::in_book(book, None, &begins)?;
    let sampled = locks.samples.iter().filter_map(|s| zone.day(s.taken)).max();
    match rules_in_force(book, None)?.air_standard {
        Some(chosen) => {
            let row = air_sample(&chosen.name, insight::air::standards(), sampled, today);
            items.push(row.map_err(|m| Trouble::new(m.cause, m.remedy))?);
        }
        None => {
            remarks.push("no air standard is chosen: nothing tells when a sample is due".into())
        }
    }
    items.extend(cylinders(book, zone, today, &mut remarks)?);
    most_urgent_first(&mut items);
    Ok(DuePage {
        station,
        invented,
        today: today.to_string(),
        locked: locks
            .standing()
            .map(|lock| gate::locked(lock, zone).what)
            .collect(),
        items,
        remarks,
    })
}

/// The due dates as a calendar that ordinary programs take in.
pub fn calendar(path: &Path, page: &DuePage) -> Result<String, Trouble> {
    let book = desk::read(path)?;
    let first = book
        .entry(1)?
        .map(|entry| entry.hash.short())
        .unwrap_or_default();
    let dated = page.items.iter().filter_map(|item| {
        let due = item.due.as_ref()?;
        let on = Date::parse(&due.likely).or_else(|| Date::parse(&format!("{}-01", due.likely)))?;
        Some(calendar::Due {
            uid: format!("{first}/{}@fillstead", uid(item)),
            on,
            summary: format!("{} is due ({})", item.name, page.station),
            description: item.sentence.clone(),
            remind_days_before: vec![28, 7],
        })
    });
    let invented = if page.invented { " (invented)" } else { "" };
    let name = format!("Due at {}{invented}", page.station);
    calendar::text(&name, &dated.collect::<Vec<_>>(), clock::now())
}

/// The same for a thing each time, so that a calendar moves its event instead of doubling it.
fn uid(item: &DueItem) -> String {
    let plain = |c: char| {
        if c.is_alphanumeric() {
            c.to_ascii_lowercase()
        } else {
            '-'
        }
    };
    item.name.chars().map(plain).collect()
}

/// Examinations of every cylinder on the register.
fn cylinders(
    book: &Book,
    zone: &Zone,
    today: Date,
    remarks: &mut Vec<String>,
) -> Result<Vec<DueItem>, Trouble> {
    let rule = rules_in_force(book, None)?.cylinder_rule;
    let Some(rule) = rule.as_ref().and_then(|chosen| rule_named(&chosen.name)) else {
        remarks.push("no requalification rule is chosen: nothing can be told of cylinders".into());
        return Ok(Vec::new());
    };
    let judged = judged(book, zone, rule, today)?;
    Ok(judged
        .iter()
        .flat_map(|answer| cylinder_checks(answer, today))
        .collect())
}

/// Parts of the machine.
fn machine(book: &Book, zone: &Zone, today: Date) -> Result<Vec<DueItem>, Trouble> {
    let end = zone.day_limits(today).map_or(clock::now(), |(_, end)| end);
    let records = Records::of(book, zone, end)?;
    let usage = usage(&records, today, end);
    let mut kept = Vec::new();
    for item in Item::OF_STATION
        .into_iter()
        .filter(|item| *item != Item::AirSample)
    {
        let part = part(item).and_then(|part| records.parts.part(part));
        kept.extend(of_part(item, part, &records, zone));
    }
    Ok(upkeep(&kept, &usage, &records.station))
}

/// Litres of free air in an hour of running, by the station's own figure.
fn litres_an_hour(station: &Station) -> Option<f64> {
    match &station.compressor.output {
        Output::ChargingRate(rate) | Output::FreeAirDelivery(rate) => {
            Some(rate.as_litre_per_minute() * 60.0)
        }
        Output::Delivery(points) => points
            .first()
            .map(|point| point.free_air.as_litre_per_minute() * 60.0),
        Output::Stages(_) => None,
    }
}

fn usage(records: &Records, today: Date, end: Moment) -> Usage {
    let from = Moment(end.0 - (RECENT_DAYS * 86_400e6) as i64);
    let recent_h = records.hours.between(from, end).hours();
    let runs = records
        .runs
        .runs
        .iter()
        .filter(|run| run.started.happened >= from && run.started.happened < end);
    Usage {
        today,
        running_h: records.hours.meter(),
        recent_days: RECENT_DAYS,
        recent_h: Some(recent_h),
        recent_free_air_litres: litres_an_hour(&records.station).map(|l| l * recent_h),
        recent_runs: u32::try_from(runs.count()).ok(),
    }
}

/// The part of the ledger that an item is; none for what is no part.
fn part(item: Item) -> Option<Part> {
    Some(match item {
        Item::Cartridge => Part::Cartridge,
        Item::Oil => Part::Oil,
        Item::IntakeFilter => Part::IntakeFilter,
        Item::StageValves => Part::StageValves,
        Item::Belt => Part::Belt,
        Item::Pmv => Part::Pmv,
        Item::Relief => Part::Relief,
        Item::BurstDisc => Part::BurstDisc,
        Item::Hose => Part::Hose,
        Item::Gauge => Part::Gauge,
        Item::Tower => Part::Tower,
        Item::AirSample => Part::AirSample,
        Item::Cylinder => return None,
    })
}

/// A part, or each of several.
fn of_part(item: Item, part: Option<&PartRecord>, records: &Records, zone: &Zone) -> Vec<Kept> {
    let interval = part.and_then(|part| part.interval.as_ref()).map(interval);
    let one = |which: Option<String>, done: Option<(Done, Moment)>| {
        let since = done
            .as_ref()
            .map(|(_, at)| records.hours.since(*at).hours());
        Kept {
            item,
            which,
            since_running_h: since,
            since_free_air_litres: since
                .zip(litres_an_hour(&records.station))
                .map(|(h, l)| h * l),
            done: done.map(|(done, _)| done),
            interval: interval.clone(),
        }
    };
    let Some(part) = part else {
        return vec![one(None, None)];
    };
    match part.each.as_slice() {
        [] => vec![one(None, None)],
        each => each
            .iter()
            .map(|each| one(each.which.clone(), done(each, zone)))
            .collect(),
    }
}

/// What was done last: replaced, or tested and passed.
fn done(each: &Each, zone: &Zone) -> Option<(Done, Moment)> {
    let replaced = each.replaced.as_ref().map(|told| {
        let hours = told.body.hours.as_ref().map(|m| m.value().as_hour());
        (told.happened, hours, "replaced")
    });
    let tested = each
        .passed
        .as_ref()
        .map(|told| (told.happened, None, "tested"));
    let (at, running_h, what) = replaced
        .into_iter()
        .chain(tested)
        .max_by_key(|(at, ..)| *at)?;
    let done = Done {
        day: zone.day(at)?,
        running_h,
        what: what.to_owned(),
    };
    Some((done, at))
}

fn interval(told: &Told<IntervalSet>) -> Interval {
    let set = &told.body;
    Interval {
        running_h: set.hours.as_ref().map(|m| m.value().as_hour()),
        months: set.months,
        free_air_litres: set.free_air.as_ref().map(|m| m.value().as_litre()),
        source: set.source.clone(),
    }
}
