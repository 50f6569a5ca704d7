//! The support-call sheet: the machine, its hours, its readings, its runs, its parts.
//!
//! Start at [`sheet`]. Not here: what is wrong (a technician says), what drifts (given as text).

mod figures;

use std::collections::BTreeMap;

use book::answer::runs::{self, Run};
use book::answer::station::station_text;
use book::answer::{Told, hours, locks, parts};
use book::body::{Part, Reading};
use book::{Body, Event, Kind, Moment, Wanted};

use super::{Room, cartridge, doubts, hours as in_hours, minutes, quarantine, text};
use crate::print::Shown;
use crate::print::support::{CheckPart, Fact, Latest, PartLine, RunLine, SupportSheet};
use crate::usecase::Trouble;

/// What others know, in their words.
#[derive(Clone, Debug, Default)]
pub struct Beside {
    /// What drains should have given.
    pub drains_expected: Option<String>,
    /// What drifts.
    pub drift: Vec<String>,
    /// What a check found.
    pub check: Option<CheckPart>,
}

/// So many of the last runs are shown.
const RUNS: usize = 4;
/// So many gauges and things read.
const READINGS: usize = 10;
/// Runs are looked for so far back, days.
const BACK: i64 = 400;

/// The sheet.
pub fn sheet(room: &Room<'_>, beside: Beside) -> Result<SupportSheet, Trouble> {
    let now = room.now();
    let begins = |text: &str| room.begins(text);
    let hours = hours::in_book(room.book, now)?;
    let parts = parts::in_book(room.book, room.at)?;
    let locks = locks::in_book(room.book, room.at, &begins)?;
    let back = Moment(now.0 - BACK * 86_400_000_000);
    let runs = runs::in_book(room.book, Some(back), now)?;
    let revised = station_text(room.book, room.at)?.revised;
    Ok(SupportSheet {
        head: room.head()?,
        day: room.today()?.to_string(),
        meter: hours.meter().map(in_hours),
        recorded: cartridge::since(hours.total()),
        machine: room
            .station
            .as_ref()
            .map(figures::machine)
            .unwrap_or_default(),
        revision: revised.map(|told| {
            let day = room.zone.day_text(told.happened);
            format!(
                "From the station file in force since {day}, entry {}.",
                told.seq
            )
        }),
        readings: readings(room)?,
        settings: settings(room, &parts),
        runs: last(&runs.runs)
            .iter()
            .map(|run| run_line(room, run))
            .collect(),
        drains_expected: beside.drains_expected,
        parts: part_lines(room, &parts, &hours),
        locks: locks
            .standing()
            .map(|lock| quarantine::locked(room, lock))
            .collect(),
        drift: beside.drift,
        check: beside.check,
        doubts: hours
            .doubts
            .iter()
            .rev()
            .take(3)
            .map(doubts::sentence)
            .collect(),
        gauges: figures::gauges(room.station.as_ref()),
    })
}

fn last(runs: &[Run]) -> &[Run] {
    runs.get(runs.len().saturating_sub(RUNS)..)
        .unwrap_or_default()
}

/// The latest reading of each thing read, the newest first.
fn readings(room: &Room<'_>) -> Result<Vec<Latest>, Trouble> {
    let events = room.book.events(&Wanted {
        kinds: &[Kind::Reading],
        until: room.at.map(|at| Moment(at.0 + 1)),
        ..Wanted::default()
    })?;
    let mut latest: BTreeMap<String, (&Event, &Reading)> = BTreeMap::new();
    for event in &events {
        if let Ok(Body::Reading(reading)) = &event.body {
            latest.insert(reading.of.to_lowercase(), (event, reading));
        }
    }
    let mut latest: Vec<(&Event, &Reading)> = latest.into_values().collect();
    latest.sort_by_key(|(event, _)| std::cmp::Reverse((event.happened, event.seq)));
    let line = |(event, reading): &(&Event, &Reading)| Latest {
        of: reading.of.clone(),
        value: reading.value.as_ref().map(Shown::of_amount),
        observed: text(reading.observed.as_ref()),
        age: age(room.now().seconds_since(event.happened)),
        no: event.seq,
    };
    Ok(latest.iter().take(READINGS).map(line).collect())
}

/// How long ago.
fn age(seconds: f64) -> String {
    match seconds {
        s if s < 60.0 => "now".to_owned(),
        s if s < 5400.0 => format!("{:.0} min", s / 60.0),
        s if s < 129_600.0 => format!("{:.0} h", s / 3600.0),
        s => format!("{:.0} days", s / 86_400.0),
    }
}

/// The last settings and passed tests of the valves.
fn settings(room: &Room<'_>, parts: &parts::Parts) -> Vec<Fact> {
    let mut facts = Vec::new();
    for part in [Part::Pmv, Part::Relief, Part::BurstDisc, Part::Gauge] {
        let Some(record) = parts.part(part) else {
            continue;
        };
        if let Some(set) = &record.set
            && let Some(after) = &set.body.after
        {
            facts.push(Fact {
                name: format!("{part}, set"),
                figure: Shown::of(after),
                note: noted(room, set, &set.body.set_by),
            });
        }
        if let Some(passed) = &record.passed {
            let figure = passed.body.measured.as_ref().map(Shown::of_amount);
            facts.push(Fact {
                name: format!("{part}, test passed"),
                figure: figure.unwrap_or_else(|| Shown::plain("no figure")),
                note: noted(
                    room,
                    passed,
                    passed.body.by.as_ref().unwrap_or(&passed.author),
                ),
            });
        }
    }
    facts
}

fn noted<T>(room: &Room<'_>, told: &Told<T>, by: &str) -> String {
    format!(
        "{}, by {by}, entry {}",
        room.zone.day_text(told.happened),
        told.seq
    )
}

fn run_line(room: &Room<'_>, run: &Run) -> RunLine {
    let fills = &run.entered.fills;
    let reached = fills.iter().filter_map(|fill| fill.body.to.as_ref());
    let highest = reached.max_by(|a, b| a.value().as_bar().total_cmp(&b.value().as_bar()));
    let drains = &run.entered.drains;
    let volumes = drains.iter().filter_map(|drain| drain.body.volume.as_ref());
    let volumes: Vec<f64> = volumes.map(|v| 1000.0 * v.value().as_litre()).collect();
    let stopped = run.stopped.as_ref();
    RunLine {
        start: room.zone.minute(run.started.happened),
        lasted: match (run.open, run.minutes) {
            (true, _) => "goes on".to_owned(),
            (false, Some(m)) => minutes(m),
            (false, None) => "never stopped".to_owned(),
        },
        fills: fills.len(),
        highest: highest.map(Shown::of),
        tower: stopped.and_then(|s| s.body.tower.as_ref()).map(Shown::of),
        drained: match (drains.len(), volumes.len()) {
            (0, _) => "no drain entered".to_owned(),
            (all, 0) => format!("{all} times, not measured"),
            (all, _) => format!("{:.0} mL in {all}", volumes.iter().sum::<f64>()),
        },
        why: text(stopped.and_then(|s| s.body.why.as_ref())),
    }
}

/// Every part that was ever replaced or tested.
fn part_lines(room: &Room<'_>, parts: &parts::Parts, hours: &hours::Hours) -> Vec<PartLine> {
    let line = |record: &parts::PartRecord| {
        let replaced = record.replaced.as_ref();
        let tested = record.tested.as_ref();
        let last = [
            replaced.map(|r| format!("replaced {}", room.zone.day_text(r.happened))),
            tested.map(|t| {
                let word = if t.body.passed {
                    "passed"
                } else {
                    "NOT passed"
                };
                format!("tested {}, {word}", room.zone.day_text(t.happened))
            }),
        ];
        let last = super::joined(last, "; ");
        (!last.is_empty()).then(|| PartLine {
            part: record.part.to_string(),
            last,
            since: replaced
                .map(|r| in_hours(hours.since(r.happened).hours()))
                .unwrap_or_default(),
        })
    };
    parts.parts.iter().filter_map(line).collect()
}
