//! The readings and doings of a run in the book, as lines of a check.
//!
//! Not here: what they mean ([`insight::diagnose`]).

use std::path::Path;

use book::answer::Told;
use book::answer::runs::{self, Run};
use book::body::Reading;
use book::{Amount, Moment};
use insight::diagnose::request::{Row, gauge_called};
use station::Station;

use super::Asked;
use crate::usecase::Trouble;
use crate::usecase::book::desk;
use crate::usecase::clock::{self, Zone};
use crate::usecase::run::log::{EMPTY_BAR, NOT_FILLED, PMV_OPENS, WHIP};

/// So many of the latest runs can be chosen.
const OFFERED: usize = 12;

/// A run that can be looked at.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Offered {
    /// Entry of its start.
    pub seq: u64,
    /// When it began.
    pub began: String,
    /// The same, and how much of it is written down.
    pub called: String,
}

/// A run as lines.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct OfRun {
    /// Entry of its start.
    pub seq: u64,
    /// When it began.
    pub began: String,
    /// What was read and done.
    pub rows: Vec<Row>,
    /// Cylinders, tower and air.
    pub asked: Asked,
}

/// The latest runs that have readings, newest first.
pub fn offered(path: &Path) -> Result<Vec<Offered>, Trouble> {
    let book = desk::read(path)?;
    let zone = desk::zone(&book)?;
    let runs = runs::in_book(&book, None, clock::now())?;
    let some = |run: &&Run| !run.entered.readings.is_empty() || run.open;
    let latest = runs.runs.iter().rev().filter(some).take(OFFERED);
    Ok(latest.map(|run| offer(run, &zone)).collect())
}

fn offer(run: &Run, zone: &Zone) -> Offered {
    let count = run.entered.readings.len();
    let readings = match count {
        1 => "1 reading".to_owned(),
        n => format!("{n} readings"),
    };
    let open = if run.open { ", going on" } else { "" };
    let began = zone.minute(run.started.happened);
    Offered {
        seq: run.started.seq,
        called: format!("{began}, {readings}{open}"),
        began,
    }
}

/// The run that began with this entry; the latest without a number.
pub fn of_run(path: &Path, station: &Station, seq: Option<u64>) -> Result<OfRun, Trouble> {
    let book = desk::read(path)?;
    let zone = desk::zone(&book)?;
    let runs = runs::in_book(&book, None, clock::now())?;
    let wanted = |run: &&Run| seq.is_none_or(|seq| run.started.seq == seq);
    let run = runs.runs.iter().rev().find(wanted).ok_or_else(|| {
        let what = match seq {
            Some(seq) => format!("entry {seq} is not the start of a run"),
            None => "no run is in the book".to_owned(),
        };
        Trouble::new(
            what,
            "choose one of the runs offered, or enter the readings",
        )
        .about("run")
    })?;
    let mut asked = asked(run);
    let set = asked.cylinders.len().min(station.whip.count.max(1));
    let more = asked.cylinders.split_off(set);
    let until = if more.is_empty() {
        None
    } else {
        set_full(run, &asked.cylinders)
    };
    Ok(OfRun {
        seq: run.started.seq,
        began: zone.minute(run.started.happened),
        rows: rows(station, run, until),
        asked,
    })
}

/// When the last cylinder of the first set was full: then the machine was stopped for the next
/// set, and what follows belongs to that. None where nothing is written of it yet.
fn set_full(run: &Run, set: &[String]) -> Option<Moment> {
    let of = |id: &str| {
        let named = |wish: &String| wish.split('@').next() == Some(id);
        set.iter().any(named)
    };
    let fills = run.entered.fills.iter();
    let full = fills.filter(|told| of(&told.body.cylinder));
    full.map(|told| told.happened).max()
}

/// What is known of the run beside its readings.
fn asked(run: &Run) -> Asked {
    let started = &run.started.body;
    let wish = |id: &str, from: Option<&str>| match from {
        Some(from) => format!("{id}@{from}"),
        None => id.to_owned(),
    };
    let mut cylinders: Vec<String> = started
        .planned
        .iter()
        .map(|p| wish(&p.cylinder, p.from.as_ref().map(|m| m.typed())))
        .collect();
    if cylinders.is_empty() {
        let filled = run.entered.fills.iter().map(|told| &told.body);
        let filled = filled.filter(|fill| fill.from_bank.is_none());
        cylinders.extend(filled.map(|f| wish(&f.cylinder, f.from.as_ref().map(|m| m.typed()))));
    }
    Asked {
        cylinders,
        tower: started.tower.as_ref().map(|m| m.typed().to_owned()),
        intake_temperature: started
            .intake_temperature
            .as_ref()
            .map(|m| m.typed().to_owned()),
    }
}

/// Everything with its time, in the order of time; to the end of the first set where there are
/// more.
fn rows(station: &Station, run: &Run, until: Option<Moment>) -> Vec<Row> {
    let start = run.started.happened;
    let mut all: Vec<(Moment, Row)> = Vec::new();
    for told in &run.entered.readings {
        all.extend(reading(station, told, start).map(|row| (told.happened, row)));
    }
    for told in &run.entered.drains {
        let drained = match &told.body.volume {
            Some(volume) => format!("drained {}", volume.typed()),
            None => "drained".to_owned(),
        };
        all.push((told.happened, noticed(told.happened, start, drained)));
    }
    if let Some(stopped) = &run.stopped {
        let why = stopped.body.why.as_deref().map(|why| format!(": {why}"));
        let stop = format!("machine stopped{}", why.unwrap_or_default());
        all.push((stopped.happened, noticed(stopped.happened, start, stop)));
    }
    if let Some(until) = until {
        all.retain(|(at, _)| *at <= until);
        let stop = "machine stopped: the first set is full".to_owned();
        all.push((until, noticed(until, start, stop)));
    }
    all.sort_by_key(|(at, _)| *at);
    let numbered = all.into_iter().enumerate();
    numbered
        .map(|(i, (_, row))| Row { line: i + 1, ..row })
        .collect()
}

/// A reading of a gauge, or what was noticed; none of what is neither.
fn reading(station: &Station, told: &Told<Reading>, start: Moment) -> Option<Row> {
    let body = &told.body;
    let of = body.of.trim();
    let pressure = body
        .value
        .as_ref()
        .filter(|value| value.pressure().is_some());
    let observed = body.observed.clone().unwrap_or_default();
    let named = |name: &str| of.eq_ignore_ascii_case(name);
    if named(NOT_FILLED) {
        return None;
    }
    // The whip at nothing says that it was bled, not what a cylinder holds.
    let empty = |value: &Amount| value.pressure().is_none_or(|p| p.as_bar() <= EMPTY_BAR);
    if named(WHIP) && body.value.as_ref().is_none_or(empty) {
        return Some(noticed(told.happened, start, "bled the whip".to_owned()));
    }
    let (gauge, observed) = match named(PMV_OPENS) {
        true => ("tower", joined("air at the fill valve", &observed)),
        false => (of, observed),
    };
    let shown = pressure.filter(|_| gauge_called(station, gauge).is_some());
    match shown {
        Some(value) => Some(Row {
            gauge: gauge.to_owned(),
            reading: value.to_string(),
            ..noticed(told.happened, start, observed)
        }),
        None if observed.is_empty() => None,
        None => Some(noticed(told.happened, start, observed)),
    }
}

fn joined(first: &str, then: &str) -> String {
    match then.is_empty() {
        true => first.to_owned(),
        false => format!("{first}; {then}"),
    }
}

fn noticed(at: Moment, start: Moment, observed: String) -> Row {
    Row {
        time: minute(at.seconds_since(start)),
        observed,
        ..Row::default()
    }
}

/// Minutes and seconds since the start.
fn minute(seconds: f64) -> String {
    let whole = seconds.round().max(0.0) as u64;
    format!("{}:{:02}", whole / 60, whole % 60)
}
