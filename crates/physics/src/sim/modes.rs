//! The discrete part of a run: what is on, open, burst; and when valves switch.
//!
//! A snap valve that would open and shut faster than anyone can see is treated
//! as holding: it stands where its spring balances the pressure between
//! `closes` and `opens`. That bounds the number of switches in any time.

use super::plant::{Action, AutoValve, Plant};

/// Opening a third time within this span counts as cycling too fast to see, s.
const HOLDING_WINDOW_S: f64 = 1.0;
/// A valve that holds does so for at least this long, s.
const HOLDING_DWELL_S: f64 = 1.0;
/// Share of the way from `closes` to `opens` below which a holding valve has closed.
const HELD_SHUT: f64 = 0.01;
/// A holding valve moves over at least this pressure, Pa: less than a step resolves
/// would make work without end and nothing to see.
const LEAST_TRAVEL_PA: f64 = 1e3;

/// Where a valve stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Stand {
    /// Not yet lifted, or closed again.
    Shut,
    /// Lifted. A snap valve is fully open, a proportional one as far as its lift says.
    Lifted,
    /// A snap valve balancing between `closes` and `opens` since this moment.
    Holding {
        /// When it began, s.
        since: f64,
    },
}

/// All discrete states of a plant.
#[derive(Debug, Clone)]
pub(super) struct Modes {
    pub running: bool,
    /// Opening of each hand valve, 0..1.
    pub hands: Vec<f64>,
    pub stands: Vec<Stand>,
    pub burst: Vec<bool>,
    /// The last two openings of each valve, s.
    openings: Vec<[f64; 2]>,
}

/// The pressure of one vessel crossing a threshold.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Guard {
    pub vessel: usize,
    pub threshold_pa: f64,
    /// Fires on rising (else on falling) through the threshold.
    pub rising: bool,
    pub what: Trigger,
}

/// What a guard sets off.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Trigger {
    Opens(usize),
    Closes(usize),
    Bursts(usize),
    /// One of the caller's watches.
    Watch(usize),
}

impl Guard {
    /// Positive once the guard has fired, Pa.
    pub fn excess(&self, p_pa: f64) -> f64 {
        if self.rising {
            p_pa - self.threshold_pa
        } else {
            self.threshold_pa - p_pa
        }
    }
}

impl Modes {
    pub fn at_rest(plant: &Plant) -> Modes {
        Modes {
            running: false,
            hands: vec![0.0; plant.hand_valves.len()],
            stands: vec![Stand::Shut; plant.valves.len()],
            burst: vec![false; plant.discs.len()],
            openings: vec![[f64::NEG_INFINITY; 2]; plant.valves.len()],
        }
    }

    /// The guards armed at time `t_s` (watches are added by the engine).
    pub fn guards(&self, plant: &Plant, t_s: f64, out: &mut Vec<Guard>) {
        for (i, (valve, stand)) in plant.valves.iter().zip(&self.stands).enumerate() {
            if matches!(valve.action, Action::StuckOpen | Action::StuckShut) {
                continue;
            }
            let (threshold_pa, rising, what) = match stand {
                Stand::Shut => (valve.opens_pa, true, Trigger::Opens(i)),
                Stand::Lifted => (valve.closes_pa, false, Trigger::Closes(i)),
                Stand::Holding { since } if t_s < since + HOLDING_DWELL_S => continue,
                Stand::Holding { .. } => (held_shut_pa(valve), false, Trigger::Closes(i)),
            };
            out.push(Guard {
                vessel: valve.senses,
                threshold_pa,
                rising,
                what,
            });
        }
        for (i, disc) in plant.discs.iter().enumerate() {
            if !self.burst[i] {
                let what = Trigger::Bursts(i);
                out.push(Guard {
                    vessel: disc.senses,
                    threshold_pa: disc.bursts_pa,
                    rising: true,
                    what,
                });
            }
        }
    }

    /// Whether any valve holds.
    pub fn holding(&self) -> bool {
        self.stands
            .iter()
            .any(|stand| matches!(stand, Stand::Holding { .. }))
    }

    /// The next moment after `t_s` at which a further guard is armed, s.
    pub fn next_arming(&self, t_s: f64) -> f64 {
        let ends = self.stands.iter().filter_map(|stand| match stand {
            Stand::Holding { since } => Some(since + HOLDING_DWELL_S).filter(|end| *end > t_s),
            _ => None,
        });
        ends.fold(f64::INFINITY, f64::min)
    }

    /// Opens a valve; true where it begins to hold instead of snapping.
    pub fn open(&mut self, plant: &Plant, valve: usize, t_s: f64) -> bool {
        let [before, last] = self.openings[valve];
        let cycling = plant.valves[valve].action == Action::Snap && t_s - before < HOLDING_WINDOW_S;
        self.openings[valve] = [last, t_s];
        self.stands[valve] = if cycling {
            Stand::Holding { since: t_s }
        } else {
            Stand::Lifted
        };
        cycling
    }

    /// Shuts a valve.
    pub fn shut(&mut self, valve: usize) {
        self.stands[valve] = Stand::Shut;
    }

    /// Opening (0..1) of a valve that has no lift of its own, and its slope with
    /// the sensed pressure, 1/Pa.
    pub fn opening(&self, index: usize, valve: &AutoValve, p_pa: f64) -> (f64, f64) {
        match (valve.action, self.stands[index]) {
            (Action::StuckOpen, _) | (Action::Snap, Stand::Lifted) => (1.0, 0.0),
            (Action::Snap, Stand::Holding { .. }) => ramp(
                p_pa,
                valve.closes_pa,
                valve.closes_pa + held_travel_pa(valve),
            ),
            _ => (0.0, 0.0),
        }
    }
}

fn held_shut_pa(valve: &AutoValve) -> f64 {
    valve.closes_pa + HELD_SHUT * held_travel_pa(valve)
}

fn held_travel_pa(valve: &AutoValve) -> f64 {
    (valve.opens_pa - valve.closes_pa).max(LEAST_TRAVEL_PA)
}

/// 0 below `from`, 1 above `to`, straight in between; with its slope.
pub(super) fn ramp(x: f64, from: f64, to: f64) -> (f64, f64) {
    let share = (x - from) / (to - from);
    if share <= 0.0 {
        (0.0, 0.0)
    } else if share >= 1.0 {
        (1.0, 0.0)
    } else {
        (share, 1.0 / (to - from))
    }
}
