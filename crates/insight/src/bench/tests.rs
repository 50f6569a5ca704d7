//! The bench against the simulation and the forecast it is made of, and every drill done and not done.

mod drills;
mod same;

use super::*;
use std::sync::{Arc, LazyLock};

static BOATHOUSE: LazyLock<Arc<station::Station>> = LazyLock::new(|| {
    let text = include_str!("../../../../stations/boathouse.toml");
    Arc::new(station::read(text).station.unwrap())
});

pub(super) fn boathouse() -> &'static Arc<station::Station> {
    &BOATHOUSE
}

pub(super) fn setting() -> Setting {
    Setting::of(boathouse()).unwrap()
}

pub(super) fn bench(begin: Begin, wrong: &[&str]) -> Bench {
    let named = wrong.iter().map(|key| Wrong::named(key, boathouse()));
    let wrong = named.map(|w| w.unwrap().unwrap()).collect();
    Bench::new(boathouse(), setting(), begin, wrong).unwrap()
}

#[track_caller]
pub(super) fn act(bench: &mut Bench, key: &str) {
    let act = Act::named(key, 0).unwrap();
    bench.operate(Some("A"), act).unwrap();
}
