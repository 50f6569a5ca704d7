//! Time of a whole diagnosis: every cause weighed, the next reading found.

use divan::Bencher;
use insight::diagnose::diagnose;
use insight::diagnose::request::{Reading, Request, Shown};
use insight::forecast::forecast;
use insight::forecast::request::{CylinderStart, Request as RunRequest};
use quantity::{GaugePressure, TimeSpan};
use station::{Reads, Station};

fn main() {
    divan::main();
}

fn station() -> Option<Station> {
    station::read(include_str!("../../../stations/boathouse.toml")).station
}

/// So many readings of a run, tower and line in turn, evenly through the filling.
fn readings(station: &Station, count: usize) -> Request {
    let cylinders = vec![CylinderStart {
        id: "A1".into(),
        start: Some(GaugePressure::bar(50.0)),
    }];
    let tower = Some(GaugePressure::bar(20.0));
    let run = RunRequest {
        cylinders: cylinders.clone(),
        tower,
        members: 0,
        sample_every: TimeSpan::second(1.0),
        ..RunRequest::default()
    };
    let Ok(ran) = forecast(station, &run, &|_| {}) else {
        return Request::default();
    };
    let one = |i: usize| {
        let sample = &ran.samples[(i + 1) * 1290 / (count + 1)];
        let (reads, bar) = match i % 2 {
            0 => (Reads::Tower, sample.tower_bar),
            _ => (Reads::Line, sample.line_bar),
        };
        Reading {
            line: i + 2,
            t_s: Some(sample.t_s),
            t_sd_s: 4.0,
            shown: Some(Shown {
                reads,
                value: GaugePressure::bar(bar.round()),
                typed: String::new(),
            }),
            observed: String::new(),
        }
    };
    Request {
        readings: (0..count).map(one).collect(),
        cylinders,
        tower,
        intake_temperature: None,
    }
}

#[divan::bench(args = [6, 20, 500], sample_count = 10, sample_size = 1)]
fn all_causes(bencher: Bencher, count: usize) {
    let Some(station) = station() else {
        return;
    };
    let request = readings(&station, count);
    bencher.bench_local(|| diagnose(&station, &request, &|_| {}));
}
