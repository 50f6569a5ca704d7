//! One run as it may have been: from the start to the last reading, with what was done on the way.
//!
//! Not here: what is wrong in it ([`super::suspects`]), how a gauge and a person read it
//! ([`super::space`]).

use crate::assemble::{Assembly, Places, Prepared};
use crate::forecast::begin;
use physics::sim::{Action, Control, EventKind, Outcome, Sim, Snapshot, Watch};

/// Relative tolerance of a step: far below what a gauge shows.
const TOLERANCE: f64 = 1e-3;
/// The hose is bled this long after the machine has stopped where nobody said when, s.
pub(super) const BLEED_AFTER_S: f64 = 60.0;
/// A held relief valve stands this near its lifting pressure, bar.
const POPPING_BAR: f64 = 1.0;
/// A held relief valve is fully open this far above its lifting pressure, Pa.
const HELD_PA: f64 = 3e5;
/// Runs are kept as this many moments at most, and not closer than this, s.
const MOMENTS: f64 = 600.0;
const CLOSEST_S: f64 = 2.0;

/// What was done, as far as it is known.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Plan {
    /// When the machine was stopped; none: when the cylinders were full.
    pub stopped_s: Option<f64>,
    /// It was stopped by then, full or not: the readings fall afterwards.
    pub given_up_s: Option<f64>,
    /// Nobody stopped it.
    pub runs_on: bool,
    /// When the hose was bled.
    pub bled_s: Option<f64>,
    /// How long the run is followed, s.
    pub until_s: f64,
    /// Whether interstage gauges were read.
    pub stages: bool,
}

/// A run, moment by moment. Gauge pressures, bar.
#[derive(Debug, Clone)]
pub(super) struct Trace {
    every_s: f64,
    tower: Vec<f64>,
    line: Vec<f64>,
    stages: Vec<Vec<f64>>,
    /// When the relief valve first lifted, s.
    pub relief_s: Option<f64>,
    /// Where it lifts and reseats, as a pair of gauge pressures: between them the tower goes up and
    /// down while it pops.
    pops_bar: Option<(f64, f64)>,
    /// When the machine stopped, s.
    pub stopped_s: Option<f64>,
}

/// What is read of a trace.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Series {
    Tower,
    Line,
    /// Counted from 1.
    Stage(usize),
}

impl Trace {
    /// Mean and standard deviation of a series about a moment that is known to `sd_s` (Gaussian
    /// weights over seven moments).
    pub fn about(&self, series: Series, t_s: f64, sd_s: f64) -> Option<(f64, f64)> {
        /// Distances in standard deviations, and weights in proportion to exp(−u²/2).
        const NODES: [(f64, f64); 7] = [
            (-2.1, 0.110_25),
            (-1.4, 0.375_31),
            (-0.7, 0.782_70),
            (0.0, 1.0),
            (0.7, 0.782_70),
            (1.4, 0.375_31),
            (2.1, 0.110_25),
        ];
        let values = self.series(series)?;
        let pops = self.pops_bar.filter(|_| series == Series::Tower);
        let (mut sum, mut first, mut second) = (0.0, 0.0, 0.0);
        for (u, weight) in NODES {
            let held = self.value(values, t_s + u * sd_s);
            let (value, spread) = match pops {
                Some((lifts, reseats)) if held > lifts - POPPING_BAR => {
                    // evenly between the two: its middle, and its range over √12
                    (
                        held - 0.5 * (lifts - reseats),
                        (lifts - reseats) / 12f64.sqrt(),
                    )
                }
                _ => (held, 0.0),
            };
            sum += weight;
            first += weight * value;
            second += weight * (value * value + spread * spread);
        }
        let mean = first / sum;
        Some((mean, (second / sum - mean * mean).max(0.0).sqrt()))
    }

    /// A series at a moment, between the moments kept; at its ends beyond them.
    pub fn at(&self, series: Series, t_s: f64) -> Option<f64> {
        Some(self.value(self.series(series)?, t_s))
    }

    fn series(&self, series: Series) -> Option<&[f64]> {
        let values = match series {
            Series::Tower => &self.tower,
            Series::Line => &self.line,
            Series::Stage(n) => self.stages.get(n.checked_sub(1)?)?,
        };
        (!values.is_empty()).then_some(values)
    }

    fn value(&self, values: &[f64], t_s: f64) -> f64 {
        let place = (t_s / self.every_s).clamp(0.0, (values.len() - 1) as f64);
        let i = (place.floor() as usize).min(values.len().saturating_sub(2));
        let share = place - i as f64;
        let next = values.get(i + 1).unwrap_or(&values[i]);
        values[i] + share * (next - values[i])
    }
}

/// A relief valve that pops is run as one that holds its lifting pressure: nobody reads a gauge at
/// a known moment of its up and down, and [`Trace::about`] puts that back as a spread. The line
/// keeps the lifting pressure behind the check either way.
pub(super) fn hold(assembly: &mut Assembly) {
    let valve = assembly
        .places
        .relief
        .and_then(|i| assembly.plant.valves.get_mut(i));
    if let Some(valve) = valve.filter(|v| v.action == Action::Snap) {
        valve.action = Action::Proportional;
        valve.fully_open_pa = valve.opens_pa + HELD_PA;
    }
}

/// Runs the plan on this plant.
pub(super) fn run(prepared: &Prepared, assembly: &Assembly, plan: &Plan) -> Option<Trace> {
    let every_s = (plan.until_s / MOMENTS).max(CLOSEST_S);
    let sim = Sim::new(&assembly.plant, &prepared.gas, &assembly.starts).ok()?;
    let mut sim = sim.with_tolerance(TOLERANCE).sampled_every(every_s);
    begin(&mut sim, assembly.places.fills.iter().copied());
    let stopped_s = fill(prepared, assembly, plan, &mut sim);
    if let Some(stopped) = stopped_s {
        rest(assembly, plan, &mut sim, stopped);
    }
    let relief = assembly.places.relief;
    let lifted = |kind: EventKind| match kind {
        EventKind::ValveOpened(i) | EventKind::ValveHolding(i) => Some(i) == relief,
        _ => false,
    };
    let relief_s = sim.events().iter().find(|e| lifted(e.kind));
    let relief_s = relief_s.map(|e| e.snapshot.t_s);
    let mut trace = kept(prepared, &assembly.places, sim.samples(), every_s);
    trace.stages = interstage(prepared, assembly, sim.samples(), plan);
    (trace.relief_s, trace.stopped_s) = (relief_s, stopped_s);
    trace.pops_bar = relief
        .and_then(|i| assembly.plant.valves.get(i))
        .and_then(|valve| {
            let pair = (
                prepared.gauge_bar(valve.opens_pa),
                prepared.gauge_bar(valve.closes_pa),
            );
            let pops = valve.action == Action::Proportional
                && (valve.fully_open_pa - valve.opens_pa - HELD_PA).abs() < 1.0;
            pops.then_some(pair)
        });
    Some(trace)
}

/// Runs until the machine is stopped, and says when; none where it runs to the end.
fn fill(prepared: &Prepared, assembly: &Assembly, plan: &Plan, sim: &mut Sim) -> Option<f64> {
    let told = plan.stopped_s.or(plan.given_up_s);
    let limit = told.unwrap_or(plan.until_s).min(plan.until_s);
    let full = |i: usize| Watch {
        vessel: assembly.places.cylinders[i],
        threshold_pa: prepared.absolute(prepared.cylinders[i].stop),
        rising: true,
    };
    let stops_when_full = plan.stopped_s.is_none() && !plan.runs_on;
    let watches: Vec<Watch> = if stops_when_full {
        (0..assembly.places.cylinders.len()).map(full).collect()
    } else {
        Vec::new()
    };
    match sim.advance(limit, &watches) {
        Outcome::Reached if told.is_none() => return None,
        Outcome::Stopped(_) => return None,
        Outcome::Reached | Outcome::Watched(_) => {}
    }
    sim.control(Control::Compressor(false));
    for &valve in &assembly.places.fills {
        sim.control(Control::Hand {
            valve,
            opening: 0.0,
        });
    }
    Some(sim.t_s())
}

/// After the stop: the hose is bled and stays open, as it does once it is undone.
fn rest(assembly: &Assembly, plan: &Plan, sim: &mut Sim, stopped_s: f64) {
    let valve = assembly.places.bleed;
    let bled_s = plan.bled_s.unwrap_or(stopped_s + BLEED_AFTER_S);
    for (until_s, opening) in [(bled_s, 1.0), (plan.until_s, 1.0)] {
        let until_s = until_s.clamp(sim.t_s(), plan.until_s.max(sim.t_s()));
        if let Outcome::Stopped(_) = sim.advance(until_s, &[]) {
            return;
        }
        sim.control(Control::Hand { valve, opening });
    }
}

fn kept(prepared: &Prepared, places: &Places, samples: &[Snapshot], every_s: f64) -> Trace {
    let of = |vessel: usize| -> Vec<f64> {
        let reading = |s: &Snapshot| prepared.gauge_bar(s.vessels[vessel].p_pa);
        samples.iter().map(reading).collect()
    };
    let tower = of(places.tower);
    Trace {
        every_s,
        line: of(places.line),
        tower,
        stages: Vec::new(),
        pops_bar: None,
        relief_s: None,
        stopped_s: None,
    }
}

/// Interstage pressures while the machine runs; nothing after the stop (they bleed down through
/// the machine in a way nobody describes).
fn interstage(
    prepared: &Prepared,
    assembly: &Assembly,
    samples: &[Snapshot],
    plan: &Plan,
) -> Vec<Vec<f64>> {
    let Some(compressor) = assembly.plant.compressor.as_ref().filter(|_| plan.stages) else {
        return Vec::new();
    };
    let of = |s: &Snapshot| {
        let stages = compressor
            .delivery
            .interstage_pa(s.vessels[assembly.places.first].p_pa);
        stages.into_iter().map(|p| prepared.gauge_bar(p)).collect()
    };
    let moments: Vec<Vec<f64>> = samples.iter().map(of).collect();
    let count = moments.first().map_or(0, Vec::len);
    (0..count)
        .map(|n| {
            moments
                .iter()
                .map(|m| m.get(n).copied().unwrap_or(0.0))
                .collect()
        })
        .collect()
}
