//! One run from start to stop, bleed and rest, as an operator would do it.
//!
//! Not here: what the numbers mean to a reader (see [`super::summary`]).

use super::begin;
use super::job::Job;
use super::request::{ForecastError, Until};
use super::run::{Run, RunEvent};
use crate::assemble::{Assembly, Prepared, Variation};
use physics::sim::{Control, EventKind, Outcome, Sim, Snapshot, Watch};
use quantity::Quantity as _;

/// Relative tolerance of a step in the run as specified, and in members.
const SPECIFIED_TOLERANCE: f64 = 3e-5;
const MEMBER_TOLERANCE: f64 = 1e-4;
/// The whip is bled this long after the machine has stopped, s.
const BLEED_AFTER_S: f64 = 60.0;
/// The bleed stays open at least this long, s, and until the line is empty.
const BLEED_FOR_S: f64 = 60.0;
/// Gauge pressure at which the line counts as empty, Pa.
const EMPTY_PA: f64 = 0.05e5;
/// A bleed that has not emptied the line after this long is shut, s.
const LONGEST_BLEED_S: f64 = 1800.0;
/// The run is followed this long after the last bleed, s.
const REST_S: f64 = 300.0;
/// A cylinder counts as cooled when its gas is this near its surroundings, K.
const COOLED_K: f64 = 1.0;
/// Cooling is looked at this often, s, and at most so many times.
const COOLING_LOOK_S: f64 = 120.0;
const COOLING_LOOKS: u32 = 360;
/// A group that is not full after this many times its expected time is given up.
const PATIENCE: f64 = 3.0;
/// Once the relief valve has lifted, nobody waits longer than this for a cylinder, s.
const AFTER_RELIEF_S: f64 = 300.0;

/// Runs the job for one member.
pub(super) fn run(prepared: &Prepared, job: &Job, v: &Variation) -> Result<Run, ForecastError> {
    operate(prepared, job, v, SPECIFIED_TOLERANCE, false)
}

/// Runs the job for one member of an ensemble: less exactly than the run as
/// specified, and still to a small part of what sets members apart.
pub(super) fn run_member(
    prepared: &Prepared,
    job: &Job,
    v: &Variation,
) -> Result<Run, ForecastError> {
    operate(prepared, job, v, MEMBER_TOLERANCE, false)
}

/// Runs the job as specified, followed until the cylinders have cooled.
pub(super) fn run_and_cool(prepared: &Prepared, job: &Job) -> Result<Run, ForecastError> {
    operate(prepared, job, &Variation::NONE, SPECIFIED_TOLERANCE, true)
}

fn operate(
    prepared: &Prepared,
    job: &Job,
    v: &Variation,
    tolerance: f64,
    cooling: bool,
) -> Result<Run, ForecastError> {
    let assembly = prepared.assembly(v)?;
    let sim = Sim::new(&assembly.plant, &prepared.gas, &assembly.starts)?;
    let mut operator = Operator {
        prepared,
        job,
        assembly: &assembly,
        sim: sim
            .with_tolerance(tolerance)
            .sampled_every(job.sample_every_s),
        full: vec![None; job.cylinders.len()],
        shut: vec![None; job.cylinders.len()],
        bleeds: Vec::new(),
        running: Vec::new(),
    };
    let worked = operator.work();
    let mut run = operator.finish(worked);
    if cooling && let Some(snapshot) = operator.cool() {
        run.events.push(RunEvent {
            kind: "cooled",
            cylinder: None,
            snapshot,
        });
        (run.balance, run.effort) = (operator.sim.balance(), operator.sim.effort());
    }
    Ok(run)
}

struct Operator<'a, 'p> {
    prepared: &'a Prepared<'a>,
    job: &'a Job,
    assembly: &'a Assembly,
    sim: Sim<'p>,
    full: Vec<Option<Snapshot>>,
    shut: Vec<Option<Snapshot>>,
    bleeds: Vec<(f64, bool)>,
    running: Vec<(f64, f64)>,
}

impl Operator<'_, '_> {
    /// Fills group after group; says why it ended, or why it could not be run to its end.
    fn work(&mut self) -> Result<String, String> {
        let groups = self.job.groups.clone();
        let mut why = String::from("every cylinder is full");
        for (index, group) in groups.iter().enumerate() {
            let fills = group.iter().map(|i| self.assembly.places.fills[*i]);
            begin(&mut self.sim, fills);
            let started = self.sim.t_s();
            let end = self.fill(group);
            self.running.push((started, self.sim.t_s()));
            self.sim.control(Control::Compressor(false));
            self.shut_fills(group);
            match end {
                End::Full => {}
                End::TimeUp => why = "the time asked for is over".into(),
                End::GivenUp => {
                    why = format!(
                        "not full after {:.0} min: given up",
                        (self.sim.t_s() - started) / 60.0
                    );
                }
                End::Stopped(reason) => return Err(reason),
            }
            let last = index + 1 == groups.len() || !matches!(end, End::Full);
            if let Some(reason) = self.bleed(last) {
                return Err(reason);
            }
            if last {
                break;
            }
        }
        Ok(why)
    }

    /// Runs until every cylinder of the group is full, or the time is over.
    fn fill(&mut self, group: &[usize]) -> End {
        let started = self.sim.t_s();
        let mut limit = match self.job.until {
            Until::Full => started + self.patience(group),
            Until::For(time) => time.as_second(),
        };
        let mut waiting: Vec<usize> = group.to_vec();
        let mut relieving = false;
        loop {
            let mut watches: Vec<Watch> = waiting.iter().map(|i| self.watch(*i)).collect();
            watches.extend(self.relief_watch().filter(|_| !relieving));
            match self.sim.advance(limit, &watches) {
                Outcome::Reached => {
                    return match self.job.until {
                        Until::Full => End::GivenUp,
                        Until::For(_) => End::TimeUp,
                    };
                }
                Outcome::Stopped(reason) => return End::Stopped(reason.to_string()),
                Outcome::Watched(which) if which >= waiting.len() => {
                    relieving = true;
                    if self.job.until == Until::Full {
                        limit = limit.min(self.sim.t_s() + AFTER_RELIEF_S);
                    }
                }
                Outcome::Watched(which) => {
                    let cylinder = waiting.remove(which);
                    self.full[cylinder] = Some(self.sim.snapshot());
                    if waiting.is_empty() && self.job.until == Until::Full {
                        return End::Full;
                    }
                    if self.job.until == Until::Full {
                        self.shut_fills(&[cylinder]);
                    }
                }
            }
        }
    }

    /// Fires when the final relief valve is about to lift.
    fn relief_watch(&self) -> Option<Watch> {
        let valve = &self.assembly.plant.valves[self.assembly.places.relief?];
        Some(Watch {
            vessel: valve.senses,
            threshold_pa: valve.opens_pa - 1.0,
            rising: true,
        })
    }

    fn watch(&self, cylinder: usize) -> Watch {
        let threshold_pa = self.prepared.absolute(self.job.cylinders[cylinder].stop);
        Watch {
            vessel: self.assembly.places.cylinders[cylinder],
            threshold_pa,
            rising: true,
        }
    }

    /// How long to wait for a group, s: from its water volume, the pressure still
    /// wanted and the flow at mid pressure, with room for slow machines.
    fn patience(&self, group: &[usize]) -> f64 {
        let wanted: f64 = group
            .iter()
            .map(|i| {
                let spec = &self.job.cylinders[*i];
                spec.water.si() * (spec.stop.as_bar() - spec.start.as_bar()) * 1.3
            })
            .sum();
        let tower = &self.assembly.plant.vessels[self.assembly.places.first];
        let middle = self.prepared.atmosphere_pa + 100e5;
        let delivered = self
            .assembly
            .plant
            .compressor
            .as_ref()
            .and_then(|c| c.delivery.at(middle));
        let flow = delivered.map_or(0.0, |d| d.mass).max(1e-4);
        PATIENCE * (wanted + tower.volume_m3 * 300.0) / flow + 600.0
    }

    fn shut_fills(&mut self, group: &[usize]) {
        for &i in group {
            if self.shut[i].is_none() {
                self.shut[i] = Some(self.sim.snapshot());
                let valve = self.assembly.places.fills[i];
                self.sim.control(Control::Hand {
                    valve,
                    opening: 0.0,
                });
            }
        }
    }

    /// Bleeds the whip and waits: for the next group, or to the end of the run.
    fn bleed(&mut self, last: bool) -> Option<String> {
        let stopped = self.sim.t_s();
        let valve = self.assembly.places.bleed;
        if let Some(reason) = self.rest_until(stopped + BLEED_AFTER_S) {
            return Some(reason);
        }
        self.move_bleed(valve, true);
        if let Some(reason) = self.rest_until(stopped + BLEED_AFTER_S + BLEED_FOR_S) {
            return Some(reason);
        }
        // the hose is undone at zero on the gauge, not by the clock
        let empty = Watch {
            vessel: self.assembly.places.line,
            threshold_pa: self.prepared.atmosphere_pa + EMPTY_PA,
            rising: false,
        };
        let line = &self.sim.snapshot().vessels[self.assembly.places.line];
        if line.p_pa > empty.threshold_pa {
            let until = stopped + LONGEST_BLEED_S;
            if let Outcome::Stopped(reason) = self.sim.advance(until, &[empty]) {
                return Some(reason.to_string());
            }
        }
        self.move_bleed(valve, false);
        let bled = self.sim.t_s();
        let resume = if last {
            bled + REST_S
        } else {
            bled.max(stopped + self.job.change_over_s)
        };
        self.rest_until(resume)
    }

    fn move_bleed(&mut self, valve: usize, open: bool) {
        let opening = if open { 1.0 } else { 0.0 };
        self.sim.control(Control::Hand { valve, opening });
        self.bleeds.push((self.sim.t_s(), open));
    }

    /// Lets time pass with nothing moved; says why it could not.
    fn rest_until(&mut self, until_s: f64) -> Option<String> {
        match self.sim.advance(until_s, &[]) {
            Outcome::Stopped(reason) => Some(reason.to_string()),
            Outcome::Reached | Outcome::Watched(_) => None,
        }
    }

    /// Follows the resting station until every cylinder's gas is within
    /// [`COOLED_K`] of its surroundings; nothing where that takes too long.
    fn cool(&mut self) -> Option<Snapshot> {
        let from = self.sim.t_s();
        for i in 1..=COOLING_LOOKS {
            let until = from + COOLING_LOOK_S * f64::from(i);
            if let Outcome::Stopped(_) = self.sim.advance(until, &[]) {
                return None;
            }
            let now = self.sim.snapshot();
            let warm = |vessel: &usize| {
                let around = self.assembly.plant.vessels[*vessel].surroundings_k;
                (now.vessels[*vessel].t_k - around).abs() > COOLED_K
            };
            if !self.assembly.places.cylinders.iter().any(warm) {
                return Some(now);
            }
        }
        None
    }

    fn finish(&mut self, worked: Result<String, String>) -> Run {
        let last = self.sim.snapshot();
        let mut events = Vec::new();
        for event in self.sim.events() {
            if let Some(kind) = self.word(event.kind, event.snapshot.t_s) {
                events.push(RunEvent {
                    kind,
                    cylinder: None,
                    snapshot: event.snapshot.clone(),
                });
            }
        }
        for (i, full) in self.full.iter().enumerate() {
            if let Some(snapshot) = full {
                let before = |e: &RunEvent| e.snapshot.t_s < snapshot.t_s;
                let at = events.partition_point(before);
                let event = RunEvent {
                    kind: "full",
                    cylinder: Some(i),
                    snapshot: snapshot.clone(),
                };
                events.insert(at, event);
            }
        }
        let shut = self
            .shut
            .iter_mut()
            .map(|s| s.take().unwrap_or_else(|| last.clone()))
            .collect();
        let places = self.assembly.places.clone();
        let vessel = |i: &usize| self.assembly.plant.vessels[*i].volume_m3;
        Run {
            events,
            samples: self.sim.samples().to_vec(),
            full: self.full.clone(),
            shut,
            last,
            balance: self.sim.balance(),
            link_names: self
                .assembly
                .plant
                .links
                .iter()
                .map(|l| l.name.clone())
                .collect(),
            whole: worked.is_ok(),
            stopped_because: worked.unwrap_or_else(|why| why),
            effort: self.sim.effort(),
            volumes_m3: places.cylinders.iter().map(vessel).collect(),
            running: self.running.clone(),
            places,
        }
    }

    /// The contract's word for an event of the simulation.
    fn word(&self, kind: EventKind, t_s: f64) -> Option<&'static str> {
        let places = &self.assembly.places;
        Some(match kind {
            EventKind::CompressorStarted => "compressor_started",
            EventKind::CompressorStopped => "compressor_stopped",
            EventKind::ValveOpened(i) if places.pmv == Some(i) => "pmv_opened",
            EventKind::ValveClosed(i) if places.pmv == Some(i) => "pmv_closed",
            EventKind::ValveHolding(i) if places.pmv == Some(i) => "pmv_holding",
            EventKind::ValveOpened(_) => "relief_lifted",
            EventKind::ValveClosed(_) => "relief_reseated",
            EventKind::ValveHolding(_) => "relief_holding",
            EventKind::DiscBurst(_) => "disc_burst",
            EventKind::HandMoved(i) if i == places.bleed => {
                let opened = self
                    .bleeds
                    .iter()
                    .any(|(t, open)| *open && (t - t_s).abs() < 1e-9);
                if opened {
                    "bleed_opened"
                } else {
                    "bleed_closed"
                }
            }
            EventKind::HandMoved(_) => return None,
        })
    }
}

enum End {
    Full,
    TimeUp,
    GivenUp,
    Stopped(String),
}
