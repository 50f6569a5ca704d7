//! From what was asked to what is to be explained: data, the start of the run, how it may have gone.
//!
//! Not here: what explains it ([`super::weigh`]).

use super::before::{before, litres};
use super::course::Plan;
use super::request::{Reading, Request};
use super::signs::{Meaning, Note};
use super::space::{Datum, Start, Starts, Told, heard, own_error};
use crate::forecast::request::{CylinderStart, ForecastError, Request as RunRequest};
use quantity::GaugePressure;
use station::{Reads, Station};

/// Readings of one gauge that still tell something each: beyond, they share what the model is off.
const MOST_READINGS: f64 = 20.0;
/// Readings this soon after the start show the pressures before it, s.
const AT_START_S: f64 = 5.0;
/// A cylinder to be filled holds less than this before, bar: a start reckoned back is only a start.
const MOST_BEFORE_BAR: f64 = 180.0;
/// A run is followed a little past its last reading, s.
const PAST_S: f64 = 60.0;
/// A gauge that falls by this much shows that the machine was stopped, bar.
const FALLEN_BAR: f64 = 40.0;
/// It was stopped so soon after the last high reading, s.
const SOON_S: f64 = 20.0;

/// The gauge readings and what was heard of the PMV, as data to explain.
pub(super) fn data(station: &Station, request: &Request, notes: &[Note]) -> Vec<Datum> {
    let mut data = Vec::new();
    for reading in &request.readings {
        if let (Some(shown), Some(t_s)) = (&reading.shown, reading.t_s) {
            data.push(Datum {
                line: reading.line,
                t_s,
                t_sd_s: reading.t_sd_s,
                what: Told::Gauge(shown.reads),
                value: shown.value.as_bar(),
                sd: own_error(station, shown.reads),
                crowd: 1.0,
            });
        }
    }
    crowded(&mut data);
    // the first time only: later openings follow from it
    let opened = notes
        .iter()
        .find(|n| n.meaning.contains(&Meaning::PmvOpened));
    if let Some(note) = opened.filter(|_| station.pmv.is_some())
        && let Some(t_s) = note.t_s
    {
        let t_sd_s = request.readings[note.reading].t_sd_s;
        data.push(heard(note.line, t_s, t_sd_s));
    }
    data
}

/// A gauge read more often than [`MOST_READINGS`] tells no more than that many readings.
fn crowded(data: &mut [Datum]) {
    let count = |what: Told| data.iter().filter(|d| d.what == what).count() as f64;
    let crowd = |d: &Datum| (count(d.what) / MOST_READINGS).max(1.0).sqrt();
    let crowds: Vec<f64> = data.iter().map(crowd).collect();
    for (datum, crowd) in data.iter_mut().zip(crowds) {
        datum.crowd = crowd;
    }
}

/// The run as a forecast would be asked for it, and how well its start is known.
pub(super) fn asked(station: &Station, request: &Request, data: &[Datum]) -> (RunRequest, Starts) {
    let mut cylinders = request.cylinders.clone();
    if cylinders.is_empty() {
        let one = station.cylinders.first().map(|c| c.id.clone());
        let id = one.or_else(|| station.cylinder_kinds.first().map(|k| k.id.clone()));
        cylinders.extend(id.map(|id| CylinderStart { id, start: None }));
    }
    let litres: Option<f64> = cylinders.iter().map(|c| litres(station, &c.id)).sum();
    let before = before(station, data, litres);
    let at_start = data
        .iter()
        .find(|d| d.what == Told::Gauge(Reads::Tower) && d.t_s <= AT_START_S);
    let reckoned = at_start.map(|d| d.value.max(0.0)).or(before.tower);
    let (tower, tower_start) = match (request.tower, reckoned, station.now.tower) {
        (Some(tower), _, _) => (Some(tower), Start::Read),
        (None, Some(bar), _) => (Some(GaugePressure::bar(bar)), Start::Reckoned),
        (None, None, Some(_)) => (None, Start::Filed),
        (None, None, None) => (None, Start::Unknown),
    };
    let filed = |id: &str| station.now.cylinders.iter().any(|(known, _)| known == id);
    let cylinder_start = if cylinders.iter().all(|c| c.start.is_some()) {
        Start::Read
    } else if let Some(bar) = before.cylinders {
        for cylinder in &mut cylinders {
            cylinder.start = cylinder
                .start
                .or(Some(GaugePressure::bar(bar.min(MOST_BEFORE_BAR))));
        }
        Start::Reckoned
    } else if cylinders.iter().all(|c| filed(&c.id)) {
        Start::Filed
    } else {
        Start::Unknown
    };
    let asked = RunRequest {
        cylinders,
        intake_temperature: request.intake_temperature,
        tower,
        ..RunRequest::default()
    };
    let starts = Starts {
        tower: tower_start,
        cylinders: cylinder_start,
    };
    (asked, starts)
}

/// Readings are those of cylinders that hung on the hoses together.
///
/// **Errors** more cylinders than hoses.
pub(super) fn one_set(station: &Station, asked: &RunRequest) -> Result<(), ForecastError> {
    let (cylinders, hoses) = (asked.cylinders.len(), station.whip.count.max(1));
    if cylinders <= hoses {
        return Ok(());
    }
    Err(ForecastError::Unfit {
        what: format!("{cylinders} cylinders do not hang on {hoses} hose(s) at once"),
        remedy: "Name the cylinders of one set, and give the readings of that set".into(),
    })
}

/// What may have been done in the run: what was said; and where nothing was, stopped when full,
/// given up before, or left running.
pub(super) fn plans(data: &[Datum], notes: &[Note], readings: &[Reading]) -> Vec<Plan> {
    let when = |meaning: Meaning| {
        let said = notes.iter().find(|n| n.meaning.contains(&meaning));
        said.and_then(|n| n.t_s)
    };
    let last = readings.iter().filter_map(|r| r.t_s).fold(0.0, f64::max);
    let stages = data
        .iter()
        .any(|d| matches!(d.what, Told::Gauge(Reads::Stage(_))));
    let full = Plan {
        stopped_s: when(Meaning::Stopped),
        given_up_s: None,
        runs_on: notes.iter().any(|n| n.meaning.contains(&Meaning::RanOn)),
        bled_s: when(Meaning::Bled),
        until_s: last + PAST_S,
        stages,
    };
    if full.stopped_s.is_some() || full.runs_on {
        return vec![full];
    }
    let given_up = given_up(data).map(|s| Plan {
        given_up_s: Some(s),
        ..full.clone()
    });
    let runs_on = Plan {
        runs_on: true,
        ..full.clone()
    };
    let given_up = given_up.into_iter();
    let mut all: Vec<Plan> = given_up.collect();
    all.splice(0..0, [full, runs_on]);
    all
}

/// When the machine was stopped at the latest: soon after the last new height on any gauge before
/// one of them fell.
fn given_up(data: &[Datum]) -> Option<f64> {
    let pressures = |d: &&Datum| matches!(d.what, Told::Gauge(Reads::Tower | Reads::Line));
    let mut of: Vec<&Datum> = data.iter().filter(pressures).collect();
    of.sort_by(|a, b| a.t_s.total_cmp(&b.t_s));
    let (mut tower, mut line, mut last_s) = (0.0_f64, 0.0_f64, 0.0);
    for datum in of {
        let highest = match datum.what {
            Told::Gauge(Reads::Line) => &mut line,
            _ => &mut tower,
        };
        if datum.value > *highest {
            (*highest, last_s) = (datum.value, datum.t_s);
        } else if datum.value < *highest - FALLEN_BAR {
            return Some(last_s + SOON_S);
        }
    }
    None
}

/// What was taken for granted of the run's end.
pub(super) fn taken(plan: &Plan) -> Option<String> {
    if plan.stopped_s.is_some() {
        return None;
    }
    let of = if plan.runs_on {
        "the machine was left running past full"
    } else if plan.given_up_s.is_some() {
        "the machine was stopped before the cylinder was full"
    } else {
        "the machine was stopped when the cylinder was full, and the hose bled a minute later"
    };
    Some(format!(
        "{of}: it fits the readings best; write `stopped` with its time to say otherwise"
    ))
}
