//! A replay as JSON, in the result form of the independent model.

use super::case::{Case, FIRST_CYLINDER, LINE, TOWER};
use super::operate::Replay;
use physics::sim::Snapshot;
use serde_json::{Map, Value, json};

/// The whole result.
pub fn json(case: &Case, replay: &Replay) -> Value {
    let mut bleed_open = false;
    let mut counts = Map::new();
    let mut events = Vec::new();
    for (word, snapshot) in &replay.events {
        let word = if *word == "bleed" {
            bleed_open = !bleed_open;
            if bleed_open {
                "bleed_open"
            } else {
                "bleed_close"
            }
        } else {
            word
        };
        let mut event = readings(case, snapshot);
        event["kind"] = word.into();
        events.push(event);
        let count = counts.get(word).and_then(Value::as_u64).unwrap_or(0);
        if word != "stop_after_burst" {
            counts.insert(word.to_owned(), (count + 1).into());
        }
    }
    let bar = |p: &f64| (p - case.plant.atmosphere_pa) / 1e5;
    let b = &replay.balance;
    let vented: f64 = b.mass_out_kg.iter().sum();
    json!({
        "case": case.name,
        "method": "RODAS",
        "rtol": case.tolerance,
        "events": events,
        "event_counts": counts,
        "samples": replay.samples.iter().map(|s| readings(case, s)).collect::<Vec<_>>(),
        "final": readings(case, &replay.last),
        "balance": {
            "mass_residual_kg": b.mass_residual_kg,
            "mass_residual_rel": b.mass_residual,
            "energy_residual_J": b.energy_residual_j,
            "energy_residual_rel": b.energy_residual,
            "mass_delivered_kg": b.mass_in_kg,
            "mass_vented_kg": vented,
            "mass_relieved_kg": b.mass_out_kg[1],
            "heat_from_ambient_J": b.heat_j,
        },
        "cylinder_settled_barg_at_T_amb": replay.settled_pa.iter().map(bar).collect::<Vec<_>>(),
        "cylinder_mass_kg":
            replay.last.vessels[FIRST_CYLINDER..].iter().map(|v| v.mass_kg).collect::<Vec<_>>(),
        "stopped_because": replay.stopped_because,
        "stats": {
            "steps": replay.effort.steps,
            "rejected": replay.effort.rejected,
            "nfev": replay.effort.evaluations,
        },
    })
}

fn readings(case: &Case, s: &Snapshot) -> Value {
    let bar = |p: f64| (p - case.plant.atmosphere_pa) / 1e5;
    let c = |t: f64| t - 273.15;
    let cylinders = &s.vessels[FIRST_CYLINDER..];
    json!({
        "t_s": s.t_s,
        "tower_barg": bar(s.vessels[TOWER].p_pa),
        "tower_C": c(s.vessels[TOWER].t_k),
        "line_barg": bar(s.vessels[LINE].p_pa),
        "line_C": c(s.vessels[LINE].t_k),
        "cyl_barg": cylinders.iter().map(|v| bar(v.p_pa)).collect::<Vec<_>>(),
        "cyl_C": cylinders.iter().map(|v| c(v.t_k)).collect::<Vec<_>>(),
        "wall_C": cylinders.iter().map(|v| c(v.wall_k)).collect::<Vec<_>>(),
    })
}
