//! Time of what is drawn from records: a cartridge's life of runs, and a rate.

#![allow(clippy::unwrap_used, reason = "a bench that cannot begin stops")]

use divan::{Bencher, black_box};
use insight::drift::measured_rate;
use insight::logged::{LoggedFill, LoggedRun, Today, cartridge};
use quantity::{GaugePressure, TimeSpan, Volume};
use station::Station;

const BOATHOUSE: &str = include_str!("../../../stations/boathouse.toml");

fn main() {
    divan::main();
}

fn boathouse() -> Station {
    station::read(BOATHOUSE).station.unwrap()
}

/// Two 12 L cylinders from 50 bar, some 45 minutes.
fn run(day: f64) -> LoggedRun {
    let fill = |id: &str| LoggedFill {
        id: id.into(),
        water_volume: Volume::litre(12.0),
        from: GaugePressure::bar(50.0),
        to: GaugePressure::bar(232.0),
        settled: None,
    };
    LoggedRun {
        name: format!("day {day}"),
        start_day: day,
        ran: Some(TimeSpan::minute(45.0)),
        intake_temperature: None,
        humidity: None,
        tower_start: Some(GaugePressure::bar(70.0)),
        fills: vec![fill("A1"), fill("A2")],
        drains: None,
        stood_days: None,
        stood_tower: None,
        fresh_cartridge: false,
    }
}

/// A cartridge through so many runs.
#[divan::bench(args = [1, 100])]
fn runs(bencher: Bencher, count: u32) {
    let station = boathouse();
    let runs: Vec<LoggedRun> = (0..count).map(|i| run(f64::from(i))).collect();
    let today = Today::default();
    bencher.bench(|| cartridge(black_box(&station), &runs, &today, &[]).unwrap());
}

/// One run's minutes as a charging rate.
#[divan::bench]
fn rate(bencher: Bencher) {
    let (station, run) = (boathouse(), run(0.0));
    bencher.bench(|| measured_rate(black_box(&station), &run).unwrap());
}
