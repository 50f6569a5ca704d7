//! Stepping a plant through time: modes switched, samples kept.
//!
//! Start at [`Sim::new`] and [`Sim::advance`]. Not here: the equations
//! ([`super::rates`]), the method that solves them ([`super::rosenbrock`]),
//! finding the moment of an event ([`super::locate`]), totals ([`super::totals`]).

use super::change::begin;
use super::event::{Control, Event, EventKind, Snapshot, StopReason, Watch};
use super::layout::Layout;
use super::modes::{Guard, Modes, Trigger};
use super::plant::{Plant, PlantError};
use super::rates::Equations;
use super::rosenbrock::{Effort, Stalled, Stepper};
use super::stream::Local;
use crate::gas::Gas;
use std::borrow::Cow;

/// Switches at one moment after which the valves are said to find no rest.
const MOST_SWITCHES: u32 = 50;
/// Steps after which a run is given up.
const MOST_STEPS: u64 = 2_000_000;
/// Share of itself by which the fastest state may move in the first step after a switch.
const FIRST_MOVE: f64 = 0.003;
/// A guard has fired once it is past its threshold by more than this, Pa.
pub(super) const FIRED_PA: f64 = 1e-4;
/// Longest step while a valve holds, s: it may take hold or let go at any moment.
const LONGEST_HOLDING_S: f64 = 2.0;
/// Longest step while the compressor runs or a hand valve is open, s: no event may hide inside.
const LONGEST_ACTIVE_S: f64 = 60.0;

/// The initial state of one vessel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Start {
    /// Absolute pressure, Pa.
    pub p_pa: f64,
    /// Temperature of gas and wall, K.
    pub t_k: f64,
}

/// Why [`Sim::advance`] came back.
#[derive(Debug, Clone, PartialEq)]
pub enum Outcome {
    /// The moment asked for was reached.
    Reached,
    /// A watched pressure was reached: index into the watches.
    Watched(usize),
    /// The run cannot go on.
    Stopped(StopReason),
}

/// A running plant.
#[derive(Debug, Clone)]
pub struct Sim<'p> {
    pub(super) plant: Cow<'p, Plant>,
    pub(super) layout: Layout,
    pub(super) modes: Modes,
    pub(super) stepper: Stepper,
    pub(super) relative_tolerance: f64,
    pub(super) t_s: f64,
    pub(super) y: Vec<f64>,
    pub(super) initial: (f64, f64),
    pub(super) events: Vec<Event>,
    samples: Vec<Snapshot>,
    sample_every_s: f64,
    next_sample_s: f64,
    pub(super) guards: Vec<Guard>,
    locals: Vec<Local>,
    inside: Vec<f64>,
    needs_restart: bool,
    /// Something changed, or a guard may have been armed: look again before stepping.
    unsettled: bool,
    /// A watch that has fired (and when) stays quiet until something else happens.
    quiet: Option<(Watch, f64)>,
}

impl<'p> Sim<'p> {
    /// A plant at rest: compressor off, hand valves shut, each vessel at its start.
    ///
    /// `gas` is the equation the plant's table was made from; it gives the
    /// initial states.
    pub fn new(plant: &'p Plant, gas: &Gas, starts: &[Start]) -> Result<Sim<'p>, PlantError> {
        Sim::of(Cow::Borrowed(plant), gas, starts)
    }

    /// The same, keeping the plant: for a run that outlives whoever began it.
    pub fn owning(plant: Plant, gas: &Gas, starts: &[Start]) -> Result<Sim<'static>, PlantError> {
        Sim::of(Cow::Owned(plant), gas, starts)
    }

    fn of(plant: Cow<'p, Plant>, gas: &Gas, starts: &[Start]) -> Result<Sim<'p>, PlantError> {
        plant.check()?;
        let layout = Layout::of(&plant);
        let mut y = vec![0.0; layout.len()];
        for vessel in 0..plant.vessels.len() {
            let start = starts.get(vessel).copied().unwrap_or(Start {
                p_pa: 0.0,
                t_k: 0.0,
            });
            begin(&plant, gas, &layout, vessel, start, &mut y)?;
        }
        let modes = Modes::at_rest(&plant);
        Ok(Sim::at(plant, layout, modes, (0.0, y)))
    }

    /// A plant in this state at this moment: what crosses its boundary is counted from here.
    pub(super) fn at(
        plant: Cow<'p, Plant>,
        layout: Layout,
        modes: Modes,
        (t_s, y): (f64, Vec<f64>),
    ) -> Sim<'p> {
        let mut sim = Sim {
            modes,
            stepper: Stepper::new((layout.states, layout.totals.count)),
            layout,
            relative_tolerance: 3e-5,
            t_s,
            inside: y.clone(),
            y,
            initial: (0.0, 0.0),
            events: Vec::new(),
            samples: Vec::new(),
            sample_every_s: f64::INFINITY,
            next_sample_s: f64::INFINITY,
            guards: Vec::new(),
            locals: vec![Local::default(); plant.vessels.len()],
            plant,
            needs_restart: true,
            unsettled: true,
            quiet: None,
        };
        sim.initial = sim.contents();
        sim
    }

    /// Sets the relative tolerance of a step (3e-5 unless set).
    #[must_use]
    pub fn with_tolerance(mut self, relative: f64) -> Sim<'p> {
        self.relative_tolerance = relative;
        self
    }

    /// Keeps a snapshot every so many seconds, beginning now.
    #[must_use]
    pub fn sampled_every(mut self, seconds: f64) -> Sim<'p> {
        self.sample_every_s = seconds;
        self.next_sample_s = self.t_s;
        self
    }

    /// Time since the start, s.
    pub fn t_s(&self) -> f64 {
        self.t_s
    }

    /// The plant being run.
    pub fn plant(&self) -> &Plant {
        &self.plant
    }

    /// Whether the compressor runs.
    pub fn running(&self) -> bool {
        self.modes.running
    }

    /// What has happened so far.
    pub fn events(&self) -> &[Event] {
        &self.events
    }

    /// What has happened since this was last asked: a run without end keeps nothing by itself.
    pub fn take_events(&mut self) -> Vec<Event> {
        std::mem::take(&mut self.events)
    }

    /// The snapshots kept so far.
    pub fn samples(&self) -> &[Snapshot] {
        &self.samples
    }

    /// Work done so far.
    pub fn effort(&self) -> Effort {
        self.stepper.effort
    }

    /// Changes a control and records it. An unknown hand valve is ignored.
    pub fn control(&mut self, control: Control) {
        let kind = match control {
            Control::Compressor(on) if on == self.modes.running => return,
            Control::Compressor(on) => {
                self.modes.running = on;
                if on {
                    EventKind::CompressorStarted
                } else {
                    EventKind::CompressorStopped
                }
            }
            Control::Hand { valve, opening } => {
                let Some(hand) = self.modes.hands.get_mut(valve) else {
                    return;
                };
                *hand = opening.clamp(0.0, 1.0);
                EventKind::HandMoved(valve)
            }
        };
        self.log(kind);
    }

    /// Runs until `until_s`, or until one of the watched pressures is reached.
    pub fn advance(&mut self, until_s: f64, watches: &[Watch]) -> Outcome {
        self.unsettled = true;
        loop {
            if self.unsettled
                && let Some(outcome) = self.settle(watches)
            {
                return outcome;
            }
            self.unsettled = false;
            if self.t_s >= until_s {
                self.keep_samples(self.t_s, 0.0);
                return Outcome::Reached;
            }
            if self.stepper.effort.steps > MOST_STEPS {
                return Outcome::Stopped(StopReason::TooMuchWork {
                    effort: self.stepper.effort,
                });
            }
            let end = until_s.min(self.modes.next_arming(self.t_s));
            match self.step(end) {
                Ok(Some(Trigger::Watch(i))) => {
                    self.quiet = watches.get(i).map(|watch| (*watch, self.t_s));
                    return Outcome::Watched(i);
                }
                Ok(Some(trigger)) => self.switch(trigger),
                Ok(None) => {}
                Err(stalled) => return Outcome::Stopped(self.explain(stalled)),
            }
        }
    }

    /// Switches everything that is due now; comes back with an outcome where a
    /// watch has already fired or the valves find no rest.
    fn settle(&mut self, watches: &[Watch]) -> Option<Outcome> {
        for _ in 0..MOST_SWITCHES {
            self.arm(watches);
            let fired = |g: &&Guard| g.excess(self.read_vessel(g.vessel, &self.y).p_pa) > FIRED_PA;
            let due = self.guards.iter().find(fired)?.what;
            match due {
                Trigger::Watch(i) => {
                    self.quiet = watches.get(i).map(|watch| (*watch, self.t_s));
                    return Some(Outcome::Watched(i));
                }
                trigger => self.switch(trigger),
            }
        }
        Some(Outcome::Stopped(StopReason::Unsettled { t_s: self.t_s }))
    }

    fn arm(&mut self, watches: &[Watch]) {
        let mut guards = std::mem::take(&mut self.guards);
        guards.clear();
        self.modes.guards(&self.plant, self.t_s, &mut guards);
        for (i, watch) in watches.iter().enumerate() {
            if self.quiet != Some((*watch, self.t_s)) {
                let Watch {
                    vessel,
                    threshold_pa,
                    rising,
                } = *watch;
                guards.push(Guard {
                    vessel,
                    threshold_pa,
                    rising,
                    what: Trigger::Watch(i),
                });
            }
        }
        guards.retain(|g| g.vessel < self.plant.vessels.len());
        self.guards = guards;
    }

    /// One step towards `end_s`, cut short at the first guard that fires in it.
    fn step(&mut self, end_s: f64) -> Result<Option<Trigger>, Stalled> {
        let longest = (end_s - self.t_s).min(self.longest_step());
        let mut equations = Equations {
            plant: &self.plant,
            layout: &self.layout,
            modes: &self.modes,
            relative_tolerance: self.relative_tolerance,
            vessels: &mut self.locals,
        };
        if self.needs_restart {
            let tolerances = FIRST_MOVE / self.relative_tolerance;
            if !self.stepper.restart(&mut equations, &self.y, tolerances) {
                return Err(Stalled::NoRates);
            }
            self.needs_restart = false;
        }
        let h = self.stepper.step(&mut equations, &mut self.y, longest)?;
        let fired = self.first_fired(h);
        let theta = fired.map_or(1.0, |(theta, _)| theta);
        let from = self.t_s;
        let whole = if h >= end_s - from { end_s } else { from + h };
        let to = if fired.is_some() {
            from + theta * h
        } else {
            whole
        };
        self.keep_samples(to, h);
        if fired.is_some() {
            let mut inside = std::mem::take(&mut self.inside);
            self.stepper.dense(&self.y, theta, &mut inside);
            std::mem::swap(&mut self.y, &mut inside);
            self.inside = inside;
        }
        self.t_s = to;
        self.unsettled = to >= end_s;
        Ok(fired.map(|(_, trigger)| trigger))
    }

    fn longest_step(&self) -> f64 {
        if self.modes.holding() {
            return LONGEST_HOLDING_S;
        }
        let open = self.modes.hands.iter().any(|h| *h > 0.0);
        if self.modes.running || open {
            LONGEST_ACTIVE_S
        } else {
            f64::INFINITY
        }
    }

    fn switch(&mut self, trigger: Trigger) {
        let kind = match trigger {
            Trigger::Opens(i) => {
                if self.modes.open(&self.plant, i, self.t_s) {
                    self.log(EventKind::ValveOpened(i));
                    EventKind::ValveHolding(i)
                } else {
                    EventKind::ValveOpened(i)
                }
            }
            Trigger::Closes(i) => {
                self.modes.shut(i);
                EventKind::ValveClosed(i)
            }
            Trigger::Bursts(i) => {
                self.modes.burst[i] = true;
                EventKind::DiscBurst(i)
            }
            Trigger::Watch(_) => return,
        };
        self.log(kind);
    }

    fn log(&mut self, kind: EventKind) {
        self.needs_restart = true;
        self.unsettled = true;
        let snapshot = self.snapshot();
        self.events.push(Event { kind, snapshot });
    }

    /// Keeps the samples due up to `to_s`, inside the last step of length `h`.
    fn keep_samples(&mut self, to_s: f64, h: f64) {
        while self.next_sample_s <= to_s {
            let at = self.next_sample_s;
            let theta = if h > 0.0 {
                ((at - self.t_s) / h).clamp(0.0, 1.0)
            } else {
                1.0
            };
            let snapshot = if h > 0.0 {
                let mut inside = std::mem::take(&mut self.inside);
                self.stepper.dense(&self.y, theta, &mut inside);
                let snapshot = self.read(at, &inside);
                self.inside = inside;
                snapshot
            } else {
                self.read(at, &self.y)
            };
            self.samples.push(snapshot);
            self.next_sample_s += self.sample_every_s;
        }
    }
}
