//! Running hours, and counts of fills.

use std::path::Path;

use book::answer::hours::Figure;
use book::answer::parts::PartRecord;
use book::answer::{fills, hours, parts, runs};
use serde::Serialize;

use super::desk;
use super::list::{period, title};
use super::words;
use crate::usecase::Trouble;
use crate::usecase::clock::{self, Zone};

/// Running hours and where they come from.
#[derive(Clone, Debug, Serialize)]
pub struct HoursPage {
    /// The station.
    pub station: String,
    /// Demonstration data.
    pub invented: bool,
    /// What the hour meter showed last; none where it was never written down.
    pub meter_h: Option<f64>,
    /// Hours run since the book began.
    pub in_book: Counted,
    /// The run going on: the entry that started it.
    pub running: Option<u64>,
    /// Since each part was replaced, or tested and passed.
    pub since: Vec<SincePart>,
    /// What does not fit together.
    pub doubts: Vec<String>,
    /// Entries that could not be read.
    pub unread: Vec<u64>,
}

/// Hours, by where they come from.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct Counted {
    /// All together.
    pub hours: f64,
    /// Of these by the hour meter.
    pub by_meter_h: f64,
    /// Of these by the times of start and stop.
    pub by_clock_h: f64,
}

impl From<Figure> for Counted {
    fn from(figure: Figure) -> Counted {
        Counted {
            hours: figure.hours(),
            by_meter_h: figure.by_meter_h,
            by_clock_h: figure.by_clock_h,
        }
    }
}

/// Hours since something was done to a part.
#[derive(Clone, Debug, Serialize)]
pub struct SincePart {
    /// The part.
    pub part: &'static str,
    /// What was done.
    pub done: String,
    /// The entry.
    pub entry: u64,
    /// The day.
    pub day: String,
    /// Hours run since.
    pub since: Counted,
}

/// Running hours of the station.
pub fn hours(path: &Path) -> Result<HoursPage, Trouble> {
    let book = desk::read(path)?;
    let zone = desk::zone(&book)?;
    let (station, invented) = title(&book)?;
    let hours = hours::in_book(&book, clock::now())?;
    let parts = parts::in_book(&book, None)?;
    let since = parts
        .parts
        .iter()
        .flat_map(|part| since(part, &hours, &zone))
        .collect();
    Ok(HoursPage {
        station,
        invented,
        meter_h: hours.meter(),
        in_book: hours.total().into(),
        running: hours.running_since.map(|mark| mark.seq),
        since,
        doubts: hours.doubts.iter().map(words::doubt).collect(),
        unread: hours.unread,
    })
}

fn since(part: &PartRecord, hours: &hours::Hours, zone: &Zone) -> Vec<SincePart> {
    let replaced = part.replaced.as_ref().map(|told| {
        let line = words::of_body(&told.body.clone().into());
        (told.mark(), format!("replaced: {line}"))
    });
    let passed = part.passed.as_ref().map(|told| {
        let line = words::of_body(&told.body.clone().into());
        (told.mark(), format!("tested: {line}"))
    });
    [replaced, passed]
        .into_iter()
        .flatten()
        .map(|(mark, done)| SincePart {
            part: part.part.called(),
            done,
            entry: mark.seq,
            day: zone.day_text(mark.at),
            since: hours.since(mark.at).into(),
        })
        .collect()
}

/// Which fills, as typed.
#[derive(Clone, Copy, Debug, Default)]
pub struct Asked<'a> {
    /// From this day on.
    pub from: Option<&'a str>,
    /// To the end of this day.
    pub to: Option<&'a str>,
    /// For this person.
    pub person: Option<&'a str>,
    /// Of this cylinder.
    pub cylinder: Option<&'a str>,
}

/// How many fills and refusals.
#[derive(Clone, Debug, Serialize)]
pub struct Count {
    /// Who or what; none where nobody was entered.
    pub name: Option<String>,
    /// Fills.
    pub fills: usize,
    /// Refusals.
    pub refusals: usize,
}

/// Fills and refusals, counted.
#[derive(Clone, Debug, Serialize)]
pub struct FillsPage {
    /// The station.
    pub station: String,
    /// Demonstration data.
    pub invented: bool,
    /// Number of fills.
    pub fills: usize,
    /// Number of refusals.
    pub refusals: usize,
    /// Fills for which somebody answered.
    pub overridden: usize,
    /// By person, most first.
    pub by_person: Vec<Count>,
    /// By cylinder, most first.
    pub by_cylinder: Vec<Count>,
    /// Runs in that time, and their minutes.
    pub runs: usize,
    /// Minutes they took, where known.
    pub minutes: f64,
    /// Entries that could not be read.
    pub unread: Vec<u64>,
}

/// Fills by person and cylinder.
pub fn fills(path: &Path, asked: &Asked<'_>) -> Result<FillsPage, Trouble> {
    let book = desk::read(path)?;
    let zone = desk::zone(&book)?;
    let (station, invented) = title(&book)?;
    let (from, until) = period(asked.from, asked.to, &zone)?;
    let found = fills::in_book(
        &book,
        &fills::Asked {
            from,
            until,
            person: asked.person,
            cylinder: asked.cylinder,
        },
    )?;
    let now = until.unwrap_or_else(clock::now);
    let runs = runs::in_book(&book, from, now)?.runs;
    let count = |count: &fills::Count| Count {
        name: count.name.clone(),
        fills: count.fills,
        refusals: count.refusals,
    };
    Ok(FillsPage {
        station,
        invented,
        fills: found.fills.len(),
        refusals: found.refusals.len(),
        overridden: found.overridden,
        by_person: found.by_person.iter().map(count).collect(),
        by_cylinder: found.by_cylinder.iter().map(count).collect(),
        runs: runs.len(),
        minutes: runs
            .iter()
            .filter_map(|run| run.meter_minutes.or(run.minutes))
            .fold(0.0, |a, b| a + b),
        unread: found.unread,
    })
}
