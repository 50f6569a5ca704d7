//! When an action of a drill is due.

use super::super::{Bench, Happening};
use station::Reads;

/// From when an action is due.
#[derive(Debug, Clone, PartialEq)]
pub enum When {
    /// From the start.
    Start,
    /// From this time on, s.
    At(u64),
    /// Once that act has been done.
    After(String),
    /// Once this has happened.
    Happened(Happening),
    /// Once a gauge has reached this.
    Rises(Place, Level),
    /// Once it has fallen to this, after the step before was done.
    Falls(Place, Level),
}

/// What is read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Place {
    /// The tower, as it is and not as its gauge shows it.
    Tower,
    /// The first hose.
    Hose,
    /// The first cylinder.
    Cylinder,
}

/// A pressure named by the station, and so many bar from it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Level {
    /// From what.
    pub from: From,
    /// How far, bar.
    pub bar: f64,
}

/// What a pressure is counted from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum From {
    /// Zero on the gauge.
    Zero,
    /// Where the PMV opens by the file; zero where there is none.
    Pmv,
    /// Where filling of the first cylinder stops.
    Stop,
    /// Where the relief valve lifts by the file; working pressure where there is none.
    Relief,
}

impl When {
    /// Whether it has come; acts done are looked up by `done`.
    pub(super) fn come(&self, bench: &Bench, done: &dyn Fn(&str) -> bool) -> bool {
        match self {
            When::Start => true,
            When::At(t_s) => bench.t_s >= *t_s,
            When::After(act) => done(act),
            When::Happened(what) => bench.happened.iter().any(|(_, h)| h == what),
            When::Rises(place, level) => place.bar(bench) >= level.bar(bench),
            When::Falls(place, level) => place.bar(bench) <= level.bar(bench),
        }
    }
}

impl Place {
    fn bar(self, bench: &Bench) -> f64 {
        let now = bench.sim.snapshot();
        match self {
            Place::Tower => bench.reading(Reads::Tower) - bench.offset(true),
            Place::Hose => {
                let hose = bench.places.hoses.first();
                hose.map_or(0.0, |hose| bench.bar(&now, hose.vessel))
            }
            Place::Cylinder => {
                let cylinder = bench.places.cylinders.first();
                cylinder.map_or(0.0, |vessel| bench.bar(&now, *vessel))
            }
        }
    }
}

impl Level {
    fn bar(self, bench: &Bench) -> f64 {
        let station = bench.station();
        let working = station.compressor.working_pressure.as_bar();
        let from = match self.from {
            From::Zero => 0.0,
            From::Pmv => station.pmv.as_ref().map_or(0.0, |pmv| pmv.opens.as_bar()),
            From::Stop => bench.cylinders.first().map_or(working, |(_, stop)| *stop),
            From::Relief => station
                .relief
                .as_ref()
                .map_or(working, |r| r.lifts.as_bar()),
        };
        from + self.bar
    }
}
