//! `fillstead vent`: pages, closed forms, and what cannot be asked.

use crate::common::{self, folder_with, run, run_in, shape, station};
use insta::assert_snapshot;
use serde_json::Value;

fn json(arguments: &[&str]) -> Value {
    common::json("vent", arguments)
}

fn close(got: &Value, want: f64, share: f64, what: &str) {
    let got = got.as_f64().unwrap();
    assert!(
        (got / want - 1.0).abs() < share,
        "{what}: {got}, wanted {want}"
    );
}

#[test]
fn pages() {
    assert_snapshot!("vent_help", run(&["vent", "--help"]).shown());
    let ran = run(&["vent", "boathouse.toml"]);
    assert_eq!((ran.exit, ran.err.as_str()), (Some(0), ""));
    assert_snapshot!("boathouse", shape(&ran.out));
}

/// What to mind stands before any figure, and no page says that anything is safe.
#[test]
fn cautions_come_first_and_lines_fit() {
    for station in ["boathouse.toml", "engine-house.toml", "smallest.toml"] {
        let out = run(&["vent", station]).out;
        let place = |text: &str| out.find(text).unwrap_or_else(|| panic!("{text}: {out}"));
        assert!(place("Where the hand is") < place("to zero"), "{out}");
        // the name of a source may have the word
        let said = out.replace("Health & Safety", "");
        assert!(!said.to_lowercase().contains("safe"), "{said}");
        for line in out.lines() {
            assert!(
                line.chars().count() <= 96 && !line.ends_with(' '),
                "{station}: {line:?}"
            );
        }
    }
}

/// Units of a US station are US units where people read them.
#[test]
fn us_units() {
    let out = run(&["vent", "engine-house.toml"]).out;
    for us in ["4500 psi", "cu in", "lbf", "°F", " ft"] {
        assert!(out.contains(us), "{us}: {out}");
    }
}

/// A choked jet of k = 1.4 pushes with A·(1.268·p − pa) (NACA Report 1135, 1953); a 5 mm hose at
/// 200 bar on the gauge, the air around at 1.01325 bar.
#[test]
fn thrust_of_a_hose() {
    let thrust =
        json(&["boathouse.toml", "--line", "200 bar", "--hose-bore", "5 mm"])["thrust"].clone();
    let area_m2 = std::f64::consts::FRAC_PI_4 * 0.005 * 0.005;
    let want = area_m2 * (1.268 * 201.01325e5 - 1.01325e5);
    close(&thrust["newton"], want, 1e-3, "thrust");
}

/// 2.5·Pt·V·(1 − (101000/Pt)^0.286), J (ASME PCC-2-2008, appendix II): 12 L at 232 bar gauge.
#[test]
fn stored_energy_of_a_cylinder() {
    let answer = json(&["boathouse.toml"]);
    let all = answer["stored"].as_array().unwrap();
    let steel = all.iter().find(|s| s["what"] == "steel 12").unwrap();
    let pt = 233.01325e5_f64;
    let want = 2.5 * pt * 0.012 * (1.0 - (101_000.0 / pt).powf(0.286));
    close(&steel["pcc2_kj"], want / 1e3, 2e-3, "12 L");
    assert_eq!(steel["highly_hazardous"], true);
}

/// A choked ideal gas at constant temperature falls as exp(−t·C·A·0.6847·√(R·T)/V) (k = 1.4;
/// NACA Report 1135): a 12 L cylinder through 1.5 mm from 232 to 1 bar on the gauge, where the
/// jet is choked to the end (2.013 bar is above 1.893 times the air around). R = 287.05 J/(kg·K).
#[test]
fn the_ideal_time_of_a_cylinder() {
    let answer = json(&[
        "boathouse.toml",
        "--temperature",
        "20 °C",
        "--valve-bore",
        "1.5 mm",
    ]);
    let all = answer["ways"].as_array().unwrap();
    let fall = &all.iter().find(|w| w["what"] == "steel 12").unwrap()["to_1_bar"];
    // The ends of the range say which discharge coefficient stands between them.
    let coefficient = 0.9 * fall["low_s"].as_f64().unwrap() / fall["s"].as_f64().unwrap();
    let area_m2 = coefficient * std::f64::consts::FRAC_PI_4 * 0.0015 * 0.0015;
    let rate = area_m2 * 0.6847 * (287.05_f64 * 293.15).sqrt() / 0.012;
    let want = (233.01325_f64 / 2.01325).ln() / rate;
    close(&fall["ideal_s"], want, 5e-3, "to 1 bar");
}

#[test]
fn json_has_the_fields_of_the_contract() {
    let answer = json(&["boathouse.toml"]);
    for field in [
        "station",
        "invented",
        "ways",
        "thrust",
        "stored",
        "sources",
        "gauges",
        "not_known",
        "cautions",
        "assumed",
        "station_assumed",
        "station_problems",
    ] {
        assert!(answer.get(field).is_some(), "{field}: {answer:#}");
    }
    let first = &answer["ways"][0];
    assert_eq!(first["what"], "whip");
    assert_eq!(first["stays"][0]["space"], "tower");
    assert!(first["stays"][0]["release"].is_string(), "{first:#}");
}

#[test]
fn what_cannot_be_asked() {
    let mistakes: [&[&str]; 8] = [
        &["vent"],
        &["vent", "nosuch.toml"],
        &["vent", "boathouse.toml", "--tower", "120"],
        &["vent", "boathouse.toml", "--tower", "400 bar"],
        &["vent", "boathouse.toml", "--line", "900 bar"],
        &["vent", "boathouse.toml", "--hose-bore", "5 bar"],
        &["vent", "boathouse.toml", "--valve-bore", "0 mm"],
        &["vent", "boathouse.toml", "--towr", "120 bar"],
    ];
    let said = |arguments: &[&str]| {
        let ran = run(arguments);
        assert_eq!(ran.exit, Some(2), "{arguments:?}");
        format!("$ fillstead {}\n{}\n", arguments.join(" "), ran.shown())
    };
    assert_snapshot!(mistakes.map(said).concat());
}

/// A file with errors gives no times, and its problems in JSON too.
#[test]
fn a_file_with_errors() {
    let spoilt = station("smallest.toml").replace("\"225 bar\"", "\"225\"");
    let folder = folder_with("vent-errors", &[("shed.toml", spoilt.as_bytes())]);
    let ran = run_in(&folder, &["vent", "shed.toml", "--json"]);
    assert_eq!(ran.exit, Some(2));
    let error: Value = serde_json::from_str(&ran.out).unwrap();
    assert_eq!(error["error"]["problems"][0]["id"], "unit-missing");
}
