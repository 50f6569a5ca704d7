//! Time of a forecast on the demonstration station: one run, and the whole
//! answer with its ensemble. Work done is checked in `tests/effort.rs`.

#![allow(clippy::unwrap_used, reason = "a bench that cannot begin stops")]

use divan::{Bencher, black_box};
use insight::forecast::request::Request;
use insight::forecast::{forecast, run_once};
use station::Station;

const BOATHOUSE: &str = include_str!("../../../stations/boathouse.toml");

fn main() {
    divan::main();
}

fn boathouse() -> Station {
    station::read(BOATHOUSE).station.unwrap()
}

/// Table, films, sized compressor and a single run to the last bleed.
#[divan::bench]
fn prepare_and_one_run(bencher: Bencher) {
    let (station, request) = (boathouse(), Request::default());
    bencher.bench(|| run_once(black_box(&station), &request).unwrap());
}

/// The whole answer. With 0 members: all but the ensemble.
#[divan::bench(args = [0, 200], sample_count = 20)]
fn members(bencher: Bencher, members: usize) {
    let station = boathouse();
    let request = Request {
        members,
        ..Request::default()
    };
    bencher.bench(|| forecast(black_box(&station), &request, &|_| {}).unwrap());
}

/// The station file itself: text to model.
#[divan::bench]
fn read_station_file() -> Option<Station> {
    station::read(black_box(BOATHOUSE)).station
}
