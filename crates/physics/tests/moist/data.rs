//! Shared by the tests: the gas, units, reading a table.

use physics::gas::{Composition, Gas};
use physics::moist::{Moist, Phase};

pub const BAR: f64 = 1e5;
pub const ATM: f64 = 101_325.0;

pub fn air() -> Moist {
    Moist::new(&Gas::new(Composition::dry_air())).unwrap()
}

pub fn kelvin(t_c: f64) -> f64 {
    t_c + 273.15
}

/// Bar on the gauge to Pa absolute.
pub fn gauge(bar: f64) -> f64 {
    bar * BAR + ATM
}

pub fn phase(name: &str) -> Phase {
    match name {
        "liquid" => Phase::Liquid,
        "ice" => Phase::Ice,
        other => panic!("no phase {other}"),
    }
}

/// Rows after the `#` lines and the line of names, which must read `names`.
pub fn rows(text: &'static str, names: &str) -> Vec<Vec<&'static str>> {
    let mut lines = text.lines().filter(|line| !line.starts_with('#'));
    assert_eq!(lines.next(), Some(names));
    let rows: Vec<Vec<_>> = lines.map(|line| line.split(',').collect()).collect();
    assert!(rows.len() > 200, "table has lost its rows: {}", rows.len());
    rows
}

/// Fails unless `got` is within `limit` (relative) of `want`.
#[track_caller]
pub fn close(what: &str, got: f64, want: f64, limit: f64) {
    let off = (got / want - 1.0).abs();
    assert!(
        off <= limit,
        "{what}: {got}, expected {want}, off by {off:.2e}"
    );
}
