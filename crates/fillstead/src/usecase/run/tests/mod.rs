//! Histories worked by hand against the state function; taps against a real book.

mod stages;
mod taps;

use book::body::{Drained, Fill, Planned, Reading, RunStarted, RunStopped};
use book::{Amount, Body, Event, Measure, Moment};

use super::course::{Course, Expected, Point, Settles};
use super::log::{Log, WHIP};
use super::stage::{Setup, Standing, standing};

/// 2026-05-20 19:00 UTC.
const BEGAN_US: i64 = 1_779_303_600_000_000;

/// So many seconds after the start.
fn at(t_s: f64) -> Moment {
    Moment(BEGAN_US + (t_s * 1e6) as i64)
}

/// An event that happened then; entries are numbered as listed, from 10.
fn events(told: Vec<(f64, Body)>) -> Vec<Event> {
    let event = |(seq, (t_s, body)): (u64, (f64, Body))| Event {
        seq,
        carrier: seq,
        happened: at(t_s),
        recorded: at(t_s),
        zone: "UTC".into(),
        author: "MK".into(),
        kind: body.kind().name().into(),
        withdrawn: false,
        body: Ok(body),
    };
    (10..).zip(told).map(event).collect()
}

fn start(cylinders: &[&str]) -> Body {
    let planned = |id: &&str| Planned {
        cylinder: (*id).to_owned(),
        from: Measure::parse("50 bar").ok(),
        ..Planned::default()
    };
    RunStarted {
        planned: cylinders.iter().map(planned).collect(),
        ..RunStarted::default()
    }
    .into()
}

fn stop() -> Body {
    RunStopped::default().into()
}

fn drained() -> Body {
    Drained::default().into()
}

fn reading(of: &str, value: &str) -> Body {
    Reading {
        of: of.into(),
        value: Some(Amount::parse(value).unwrap()),
        observed: None,
    }
    .into()
}

fn bled() -> Body {
    reading(WHIP, "0 bar")
}

fn fill(cylinder: &str, settled: Option<&str>) -> Body {
    Fill {
        cylinder: cylinder.into(),
        to: Measure::parse("230 bar").ok(),
        settled: settled.map(|text| Measure::parse(text).unwrap()),
        ..Fill::default()
    }
    .into()
}

/// A run that rises by 0.15 bar/s from 50 to 230 bar in 1200 s; air after 60 s, when the tower has
/// risen from 70 to 100 bar.
fn course() -> Course {
    let within = |bar| Expected {
        bar,
        give_or_take: 6.0,
    };
    let point = |t_s: f64| Point {
        t_s,
        tower: within((70.0 + t_s * 0.5).min(100.0).max(50.0 + 0.15 * t_s)),
        fill: within(50.0 + 0.15 * t_s),
    };
    Course {
        points: (0..=120).map(|i| point(f64::from(i) * 10.0)).collect(),
        air_s: Some((60.0, 70.0)),
        stop_s: (1200.0, 1260.0),
        stop_bar: 230.0,
        rise_bar_s: 0.15,
        settles: vec![Settles {
            cylinder: "A1".into(),
            bar: 205.0,
            give_or_take: 2.0,
            at_c: 15.0,
        }],
        assumed: Vec::new(),
    }
}

const SETUP: Setup = Setup {
    drain_every_s: 600.0,
    relief_bar: Some(255.0),
};

/// Where a run of A1 stands after this, with as many cylinders waiting.
fn stands(told: Vec<(f64, Body)>, waiting: usize, now_s: f64) -> Standing {
    stands_by(&events(told), Some(&course()), waiting, now_s)
}

fn stands_by(events: &[Event], course: Option<&Course>, waiting: usize, now_s: f64) -> Standing {
    let log = Log::of(events, 10).unwrap();
    let planned = log.started.body.planned.clone();
    let here = planned.get(..1).unwrap_or_default();
    standing(&log, course, SETUP, (here, waiting), at(now_s))
}
