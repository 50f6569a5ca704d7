//! Whole runs against an independent model of the same station.
//!
//! Each `data/independent-model/NAME.json` is a case, `NAME.result.json` what
//! that model makes of it: a Python program written from the physical
//! description alone (scipy's Radau method, CoolProp's air after Lemmon et al.
//! 2000). Here each case runs through this engine and is compared.
//!
//! Both use one equation for air, so that only the engines are compared: another
//! integrator, another property code, another way of finding events.

#![allow(clippy::unwrap_used, clippy::panic)]

#[path = "../examples/replay/case.rs"]
mod case;
#[path = "../examples/replay/operate.rs"]
mod operate;
#[path = "../examples/replay/report.rs"]
mod report;

use case::Case;
use serde_json::Value;
use std::path::PathBuf;

/// One case with both answers.
struct Pair {
    name: String,
    theirs: Value,
    ours: Value,
}

fn folder() -> PathBuf {
    [
        env!("CARGO_MANIFEST_DIR"),
        "tests",
        "data",
        "independent-model",
    ]
    .iter()
    .collect()
}

fn read(path: &std::path::Path) -> Value {
    let text = std::fs::read_to_string(path).unwrap();
    serde_json::from_str(&text).unwrap_or_else(|e| panic!("{}: {e}", path.display()))
}

fn replay(case: &Case) -> Value {
    report::json(case, &operate::run(case).unwrap())
}

fn pairs() -> Vec<Pair> {
    let names = std::fs::read_dir(folder()).unwrap().filter_map(|entry| {
        let name = entry.unwrap().file_name().into_string().unwrap();
        Some(name.strip_suffix(".result.json")?.to_owned())
    });
    let mut names: Vec<String> = names.collect();
    names.sort();
    names.into_iter().map(pair).collect()
}

fn pair(name: String) -> Pair {
    let theirs = read(&folder().join(format!("{name}.result.json")));
    let case = Case::read(&read(&folder().join(format!("{name}.json")))).unwrap();
    let ours = replay(&case);
    Pair { name, theirs, ours }
}

fn number(of: &Value, key: &str) -> f64 {
    of[key]
        .as_f64()
        .unwrap_or_else(|| panic!("no number `{key}` in {of}"))
}

fn list<'a>(of: &'a Value, key: &str) -> &'a [Value] {
    of[key]
        .as_array()
        .unwrap_or_else(|| panic!("no list `{key}`"))
}

fn times(result: &Value) -> Vec<f64> {
    list(result, "events")
        .iter()
        .map(|e| number(e, "t_s"))
        .collect()
}

/// Allowed difference of an event's time, s: a hundredth of a second, or 0.01 %.
fn time_allowance(t_s: f64) -> f64 {
    (1e-4 * t_s).max(0.01)
}

/// Every reading of a snapshot with its allowance, multiplied by `slack`.
fn compare(name: &str, at: &str, ours: &Value, theirs: &Value, slack: f64) {
    let (mut a, mut b) = (Vec::new(), Vec::new());
    for (readings, out) in [(ours, &mut a), (theirs, &mut b)] {
        for key in ["tower_barg", "line_barg", "tower_C", "line_C"] {
            out.push((key, number(readings, key)));
        }
        for key in ["cyl_barg", "cyl_C", "wall_C"] {
            out.extend(
                list(readings, key)
                    .iter()
                    .map(|v| (key, v.as_f64().unwrap())),
            );
        }
    }
    assert_eq!(a.len(), b.len(), "{name} {at}: number of readings");
    for ((key, here), (_, there)) in a.into_iter().zip(b) {
        let allowed = if key.ends_with("_C") {
            0.1
        } else {
            (5e-4 * there.abs()).max(0.03)
        };
        assert!(
            (here - there).abs() <= slack * allowed,
            "{name} {at}: {key} is {here}, the independent model says {there}"
        );
    }
}

#[test]
fn there_are_cases() {
    assert!(
        pairs().len() >= 10,
        "cases have gone missing from {}",
        folder().display()
    );
}

#[test]
fn events_come_in_the_same_order_at_the_same_times() {
    for Pair { name, theirs, ours } in pairs() {
        let kinds = |r: &Value| -> Vec<String> {
            let events = list(r, "events").iter();
            events
                .map(|e| e["kind"].as_str().unwrap().to_owned())
                .collect()
        };
        assert_eq!(
            kinds(&ours),
            kinds(&theirs),
            "{name}: events here (left) and there"
        );
        for (a, b) in list(&ours, "events").iter().zip(list(&theirs, "events")) {
            let (here, there) = (number(a, "t_s"), number(b, "t_s"));
            let kind = &b["kind"];
            assert!(
                (here - there).abs() <= time_allowance(there),
                "{name}: {kind} at {here} s, the independent model says {there} s"
            );
            compare(&name, &format!("at {kind} ({there} s)"), a, b, 3.0);
        }
    }
}

/// Samples, but for those within a fifth of a second of an event, where pressures
/// move by tens of bar a second.
#[test]
fn readings_agree_between_events() {
    for Pair { name, theirs, ours } in pairs() {
        let events = times(&theirs);
        let (here, there) = (list(&ours, "samples"), list(&theirs, "samples"));
        assert_eq!(here.len(), there.len(), "{name}: number of samples");
        for (a, b) in here.iter().zip(there) {
            let t = number(b, "t_s");
            assert!(
                (number(a, "t_s") - t).abs() < 1e-6,
                "{name}: sampled at {t} s"
            );
            if events.iter().all(|e| (e - t).abs() > 0.2) {
                compare(&name, &format!("at {t} s"), a, b, 1.0);
            }
        }
    }
}

#[test]
fn balances_close_and_agree() {
    for Pair { name, theirs, ours } in pairs() {
        let (here, there) = (&ours["balance"], &theirs["balance"]);
        for key in ["mass_residual_rel", "energy_residual_rel"] {
            let residual = number(here, key);
            assert!(residual.abs() < 1e-6, "{name}: {key} is {residual}");
        }
        for key in ["mass_delivered_kg", "mass_vented_kg", "mass_relieved_kg"] {
            let (a, b) = (number(here, key), number(there, key));
            assert!(
                (a - b).abs() <= 2e-4 * b.abs(),
                "{name}: {key} {a}, the independent model says {b}"
            );
        }
        let key = "cylinder_settled_barg_at_T_amb";
        for (a, b) in list(&ours, key).iter().zip(list(&theirs, key)) {
            let (a, b) = (a.as_f64().unwrap(), b.as_f64().unwrap());
            assert!(
                (a - b).abs() <= 2e-4 * b.abs(),
                "{name}: settles at {a} bar, the independent model says {b} bar"
            );
        }
    }
}

/// The looser tolerance a forecast uses tells the same story.
#[test]
fn the_usual_tolerance_finds_the_same_events() {
    for name in ["s1_normal_fill", "s9_pmv_small_gap"] {
        let theirs = read(&folder().join(format!("{name}.result.json")));
        let mut case = Case::read(&read(&folder().join(format!("{name}.json")))).unwrap();
        case.tolerance = 3e-5;
        let ours = replay(&case);
        assert_eq!(ours["event_counts"], theirs["event_counts"], "{name}");
        for (here, there) in times(&ours).into_iter().zip(times(&theirs)) {
            assert!(
                (here - there).abs() <= 10.0 * time_allowance(there),
                "{name}: an event at {here} s, the independent model says {there} s"
            );
        }
    }
}

/// One fill with eight hours of cooling takes few steps: work, not time, so that
/// it says the same on any machine.
#[test]
fn a_fill_with_cooling_takes_few_steps() {
    let mut case = Case::read(&read(&folder().join("s1_normal_fill.json"))).unwrap();
    case.tolerance = 1e-5;
    let stats = &replay(&case)["stats"];
    let (steps, rejected) = (number(stats, "steps"), number(stats, "rejected"));
    assert!(steps < 400.0 && rejected < 80.0, "{stats}");
}
