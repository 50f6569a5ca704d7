//! JSON: its fields are a contract, and errors are JSON too.

use crate::common::{folder_with, run, run_in, station};
use serde_json::Value;

fn json(arguments: &[&str]) -> Value {
    let ran = run(arguments);
    assert_eq!(ran.err, "", "{arguments:?}");
    serde_json::from_str(&ran.out).unwrap()
}

/// That the value has all these fields, and that none is null.
fn has(value: &Value, fields: &[&str]) {
    for field in fields {
        assert!(
            value.get(field).is_some_and(|v| !v.is_null()),
            "{field} of {value:#}"
        );
    }
}

#[test]
fn a_forecast_has_the_fields_of_the_contract() {
    let forecast = json(&["forecast", "boathouse.toml", "--json", "--members", "20"]);
    has(
        &forecast,
        &[
            "station",
            "events",
            "samples",
            "cylinders",
            "balance",
            "stopped_because",
        ],
    );
    has(
        &forecast,
        &[
            "members",
            "assumed",
            "without_pmv",
            "station_assumed",
            "station_problems",
        ],
    );
    assert_eq!(forecast["invented"], true);
    for event in forecast["events"].as_array().unwrap() {
        has(event, &["t_s", "kind", "tower_bar", "line_bar", "share"]);
    }
    for sample in forecast["samples"].as_array().unwrap() {
        has(
            sample,
            &[
                "t_s",
                "tower_bar",
                "tower_c",
                "line_bar",
                "stages_bar",
                "running",
                "tower",
            ],
        );
        has(
            &sample["cylinders"][0],
            &["id", "bar", "gas_c", "wall_c", "band"],
        );
    }
    let cylinder = &forecast["cylinders"][0];
    has(
        cylinder,
        &[
            "id",
            "stop_bar",
            "settled_bar_15c",
            "settled_bar_21c",
            "gas_c_max",
            "air_kg",
        ],
    );
    has(&forecast["balance"], &["mass", "energy", "delivered_kg"]);
    let water = &forecast["water"];
    has(
        water,
        &[
            "intake_g",
            "condensed_g",
            "separator_g",
            "sump_ml",
            "to_purifier_g",
        ],
    );
    has(water, &["to_cylinder_g", "drain_interval_min"]);
    assert!(forecast.get("water_missing").is_none());
    has(
        &forecast["purifier"],
        &["held_g", "remaining_h", "outlet_frost_point_c", "rooms"],
    );
    has(
        &forecast["purifier"]["rooms"][0],
        &["air_c", "hours", "relative_to_20c"],
    );
    assert_eq!(
        forecast["without_pmv"]["to_purifier_g"]
            .as_array()
            .map(Vec::len),
        Some(2)
    );
    has(
        &forecast["purifier"]["remaining_h"],
        &["low", "mid", "high"],
    );
    let kinds: Vec<&str> = forecast["events"]
        .as_array()
        .unwrap()
        .iter()
        .filter_map(|e| e["kind"].as_str())
        .collect();
    for kind in [
        "compressor_started",
        "pmv_opened",
        "full",
        "compressor_stopped",
        "pmv_closed",
    ] {
        assert!(kinds.contains(&kind), "{kind}: {kinds:?}");
    }
}

/// ISO 2533:1975, table 1: at 15 °C and 101.325 kPa air weighs 1.225 kg/m³. Free air is given at
/// that state, so the two ways of saying how much air is in the cylinder must agree.
#[test]
fn free_litres_weigh_what_the_standard_atmosphere_says() {
    for station in ["boathouse.toml", "engine-house.toml", "smallest.toml"] {
        let forecast = json(&["forecast", station, "--json", "--members", "1"]);
        let cylinder = &forecast["cylinders"][0];
        let figure = |field: &str| cylinder[field].as_f64().unwrap();
        let density = figure("air_kg") / figure("free_litres") * 1e3;
        assert!(
            (density / 1.225 - 1.0).abs() < 1e-3,
            "{station}: {density} kg/m³, standard 1.225"
        );
    }
}

#[test]
fn errors_are_json_on_the_same_way_out() {
    for (arguments, kind, exit) in [
        (&["forecast", "nosuch.toml", "--json"][..], "error", 2),
        (
            &["forecast", "boathouse.toml", "--json", "--towr"],
            "error",
            2,
        ),
        (
            &["forecast", "boathouse.toml", "--json", "--tower", "7"],
            "error",
            2,
        ),
        (
            &[
                "forecast",
                "boathouse.toml",
                "--json",
                "--stop-at",
                "300 bar",
            ],
            "refused",
            1,
        ),
        (&["station", "check", "nosuch.toml", "--json"], "error", 2),
        (&["station", "new", "--json"], "error", 2),
        (&["convert", "25 bar", "--json"], "error", 2),
    ] {
        assert_eq!(run(arguments).exit, Some(exit), "{arguments:?}");
        let error = &json(arguments)["error"];
        has(error, &["what", "remedy"]);
        assert_eq!(
            (&error["kind"], &error["exit"]),
            (&Value::from(kind), &Value::from(exit))
        );
    }
}

#[test]
fn problems_of_a_file_are_data() {
    let spoilt = station("boathouse.toml").replace("humidity = \"75 %\"", "humidity = \"75\"");
    let folder = folder_with("json-problems", &[("shed.toml", spoilt.as_bytes())]);
    let ask = |arguments: &[&str]| -> (Option<i32>, Value) {
        let ran = run_in(&folder, arguments);
        (ran.exit, serde_json::from_str(&ran.out).unwrap())
    };
    let (exit, check) = ask(&["station", "check", "shed.toml", "--json"]);
    assert_eq!((exit, &check["errors"]), (Some(2), &Value::from(1)));
    let problem = &check["problems"][0];
    has(problem, &["id", "severity", "what", "remedy"]);
    let place = &problem["places"][0];
    assert_eq!(
        (&place["line"], &place["under"]),
        (&Value::from(18), &Value::from("75"))
    );
    let (exit, forecast) = ask(&["forecast", "shed.toml", "--json"]);
    assert_eq!(
        (exit, &forecast["error"]["problems"]),
        (Some(2), &check["problems"])
    );
}
