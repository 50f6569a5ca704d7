//! What the operator of a case does, and the events in that model's words.

use super::case::{BLEED, Case, FIRST_CYLINDER, TOWER};
use physics::sim::{Balance, Control, Event, EventKind, Outcome, Sim, Snapshot, Watch};

/// A finished replay.
pub struct Replay {
    /// Event word and readings, in order.
    pub events: Vec<(&'static str, Snapshot)>,
    pub samples: Vec<Snapshot>,
    pub last: Snapshot,
    pub balance: Balance,
    pub settled_pa: Vec<f64>,
    pub stopped_because: String,
    pub effort: physics::sim::rosenbrock::Effort,
}

#[derive(Clone, Copy, PartialEq)]
enum Act {
    Start,
    Stop,
    BleedOpen,
    BleedClose,
    Sample,
}

/// Runs the case to its end, or to why it ended early.
pub fn run(case: &Case) -> Result<Replay, String> {
    let sim = Sim::new(&case.plant, &case.gas, &case.starts).map_err(|e| e.to_string())?;
    let mut sim = sim.with_tolerance(case.tolerance);
    if case.sample_every_s > 0.0 {
        sim = sim.sampled_every(case.sample_every_s);
    }
    let mut notes = Notes::default();
    for hand in &case.connected {
        sim.control(Control::Hand {
            valve: *hand,
            opening: 1.0,
        });
    }
    let mut plan: Vec<(f64, Act)> = vec![(case.start_s, Act::Start)];
    plan.extend(case.stop_at_s.map(|t| (t, Act::Stop)));
    plan.extend(case.extra_samples_s.iter().map(|t| (*t, Act::Sample)));
    let stopped_because = loop {
        plan.sort_by(|a, b| a.0.total_cmp(&b.0));
        let next = plan
            .first()
            .map_or(f64::INFINITY, |act| act.0)
            .min(case.end_s);
        // what is due now comes before what the valves then do
        if next <= sim.t_s() && next < case.end_s {
            act(plan.remove(0).1, case, &mut sim, &mut plan, &mut notes);
            continue;
        }
        match sim.advance(next, &watches(case, &sim)) {
            Outcome::Reached if plan.first().is_none_or(|act| act.0 > case.end_s) => {
                break "the end of the case".to_owned();
            }
            Outcome::Reached => act(plan.remove(0).1, case, &mut sim, &mut plan, &mut notes),
            Outcome::Watched(0) if sim.running() && case.target_pa.is_some() => {
                notes.reached.push(("target_reached", sim.snapshot()));
                act(Act::Stop, case, &mut sim, &mut plan, &mut notes);
            }
            Outcome::Watched(_) if burst(&sim) => {
                notes.reached.push(("stop_after_burst", sim.snapshot()));
                break "the tower has emptied after the disc burst".to_owned();
            }
            // the tower merely passed that pressure: watch for the way back
            Outcome::Watched(_) => {}
            Outcome::Stopped(reason) => break reason.to_string(),
        }
    };
    Ok(finish(
        case,
        &sim,
        notes.extra,
        &notes.reached,
        stopped_because,
    ))
}

/// What the engine itself does not report.
#[derive(Default)]
struct Notes {
    extra: Vec<Snapshot>,
    reached: Vec<(&'static str, Snapshot)>,
}

fn act(what: Act, case: &Case, sim: &mut Sim, plan: &mut Vec<(f64, Act)>, notes: &mut Notes) {
    match what {
        Act::Sample => notes.extra.push(sim.snapshot()),
        // the other model reports a stop by the clock even when it has stopped before
        Act::Stop if !sim.running() => {
            notes.reached.push(("compressor_off", sim.snapshot()));
            perform(what, case, sim, plan);
        }
        _ => perform(what, case, sim, plan),
    }
}

fn perform(act: Act, case: &Case, sim: &mut Sim, plan: &mut Vec<(f64, Act)>) {
    match act {
        Act::Start => sim.control(Control::Compressor(true)),
        Act::Stop => {
            sim.control(Control::Compressor(false));
            if case.shut_on_stop {
                for hand in &case.connected {
                    sim.control(Control::Hand {
                        valve: *hand,
                        opening: 0.0,
                    });
                }
            }
            if let Some((after, lasts)) = case.bleed {
                plan.push((sim.t_s() + after, Act::BleedOpen));
                plan.push((sim.t_s() + after + lasts, Act::BleedClose));
            }
        }
        Act::BleedOpen => sim.control(Control::Hand {
            valve: BLEED,
            opening: 1.0,
        }),
        Act::BleedClose => sim.control(Control::Hand {
            valve: BLEED,
            opening: 0.0,
        }),
        Act::Sample => {}
    }
}

fn watches(case: &Case, sim: &Sim) -> Vec<Watch> {
    let mut watches = Vec::new();
    if let (Some(threshold_pa), true) = (case.target_pa, sim.running()) {
        watches.push(Watch {
            vessel: FIRST_CYLINDER,
            threshold_pa,
            rising: true,
        });
    }
    // a disc may burst in the middle of an advance: the pressure that ends the
    // case is therefore watched all the time, from whichever side it is
    let tower_pa = sim.snapshot().vessels[TOWER].p_pa;
    watches.push(Watch {
        vessel: TOWER,
        threshold_pa: case.stop_after_burst_pa,
        rising: tower_pa < case.stop_after_burst_pa && !burst(sim),
    });
    watches
}

fn burst(sim: &Sim) -> bool {
    let is_burst = |kind| matches!(kind, EventKind::DiscBurst(_));
    sim.events().iter().any(|e| is_burst(e.kind))
}

fn finish(
    case: &Case,
    sim: &Sim,
    extra: Vec<Snapshot>,
    reached: &[(&'static str, Snapshot)],
    stopped_because: String,
) -> Replay {
    let mut events: Vec<(&str, Snapshot)> = Vec::new();
    for event in sim.events() {
        events.extend(word(event).map(|word| (word, event.snapshot.clone())));
    }
    for (word, snapshot) in reached {
        let at = events.partition_point(|(_, s)| s.t_s < snapshot.t_s);
        events.insert(at, (*word, snapshot.clone()));
    }
    let mut samples = sim.samples().to_vec();
    samples.extend(extra);
    samples.sort_by(|a, b| a.t_s.total_cmp(&b.t_s));
    let last = sim.snapshot();
    let settled = |i: usize| {
        let rho = last.vessels[i].mass_kg / case.plant.vessels[i].volume_m3;
        case.gas
            .state_rho_t(rho, case.ambient_k)
            .map_or(f64::NAN, |s| s.p_pa)
    };
    let settled_pa = (FIRST_CYLINDER..last.vessels.len()).map(settled).collect();
    Replay {
        events,
        samples,
        balance: sim.balance(),
        settled_pa,
        stopped_because,
        effort: sim.effort(),
        last,
    }
}

/// The other model's word for an event; nothing where it does not report it.
fn word(event: &Event) -> Option<&'static str> {
    Some(match event.kind {
        EventKind::CompressorStarted => "compressor_on",
        EventKind::CompressorStopped => "compressor_off",
        EventKind::ValveOpened(0) => "pmv_open",
        EventKind::ValveClosed(0) => "pmv_close",
        EventKind::ValveOpened(_) => "relief_open",
        EventKind::ValveClosed(_) => "relief_reseat",
        EventKind::ValveHolding(_) => "valve_holding",
        EventKind::DiscBurst(_) => "burst",
        EventKind::HandMoved(BLEED) => "bleed",
        EventKind::HandMoved(_) => return None,
    })
}
