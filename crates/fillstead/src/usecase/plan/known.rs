//! What the book knows of this moment: the last readings, as a plan begins with them.

use book::answer::runs::{self, Entered, Run};
use book::{Book, Moment};

use crate::usecase::Trouble;
use crate::usecase::clock::Zone;

/// Something read and written down.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Noted {
    /// As typed.
    pub typed: String,
    /// When, to the minute.
    pub when: String,
    /// Its entry.
    pub seq: u64,
}

/// The last of each, where there is one.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Known {
    /// The tower gauge.
    pub tower: Option<Noted>,
    /// Air at the intake.
    pub intake_temperature: Option<Noted>,
    /// Its relative humidity.
    pub humidity: Option<Noted>,
}

/// Looks for them in the runs on record.
pub fn known(book: &Book, zone: &Zone, now: Moment) -> Result<Known, Trouble> {
    let runs = runs::in_book(book, None, now)?;
    let noted = |(moment, seq, typed): (Moment, u64, String)| Noted {
        typed,
        when: zone.minute(moment),
        seq,
    };
    let mut towers: Vec<_> = runs.runs.iter().flat_map(towers).collect();
    towers.extend(read_off(&runs.outside));
    let started = runs.runs.iter().rev().map(|run| &run.started);
    let air = started.clone().find_map(|told| {
        let typed = told.body.intake_temperature.as_ref()?.typed().to_owned();
        Some((told.happened, told.seq, typed))
    });
    let humidity = started.clone().find_map(|told| {
        let typed = told.body.humidity.as_ref()?.typed().to_owned();
        Some((told.happened, told.seq, typed))
    });
    Ok(Known {
        tower: towers.into_iter().max_by_key(|t| (t.0, t.1)).map(noted),
        intake_temperature: air.map(noted),
        humidity: humidity.map(noted),
    })
}

/// What the tower gauge showed in a run: at the start, on the way, at rest.
fn towers(run: &Run) -> Vec<(Moment, u64, String)> {
    let mut found = Vec::new();
    let started = &run.started;
    if let Some(tower) = &started.body.tower {
        found.push((started.happened, started.seq, tower.typed().to_owned()));
    }
    found.extend(read_off(&run.entered));
    if let Some(stopped) = &run.stopped
        && let Some(tower) = &stopped.body.tower
    {
        found.push((stopped.happened, stopped.seq, tower.typed().to_owned()));
    }
    found
}

fn read_off(entered: &Entered) -> Vec<(Moment, u64, String)> {
    let tower = |told: &&book::answer::Told<book::body::Reading>| {
        told.body.of.trim().eq_ignore_ascii_case("tower")
    };
    let readings = entered.readings.iter().filter(tower);
    let figures = readings.filter_map(|told| {
        let amount = told.body.value.as_ref()?;
        amount.pressure()?;
        Some((told.happened, told.seq, amount.to_string()))
    });
    figures.collect()
}
