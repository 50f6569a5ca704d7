//! `fillstead diagnose`: readings made by a forecast with a fault, lists of odd form, and what cannot
//! be used.

use std::collections::BTreeSet;
use std::fmt::Write as _;

use crate::common::{Ran, folder, folder_with, run, run_in, station};
use insta::assert_snapshot;
use serde_json::Value;

/// What the gauges of the boathouse show in the first minutes with this fault, read to the bar.
fn readings(faults: &[&str]) -> String {
    let mut arguments = vec!["forecast", "boathouse.toml", "--csv", "--every", "10 s"];
    arguments.extend(["--tower", "0 bar", "--cylinder", "A1@50 bar"]);
    arguments.extend(["--members", "1", "--until", "14 min"]);
    for fault in faults {
        arguments.extend(["--fault", fault]);
    }
    let ran = run(&arguments);
    assert_eq!(ran.exit, Some(0), "{}", ran.err);
    let mut lines = ran.out.lines();
    let head: Vec<&str> = lines.next().unwrap().split(',').collect();
    let place = |name: &str| head.iter().position(|column| *column == name).unwrap();
    let (t, tower, line) = (place("t_s"), place("tower_bar"), place("line_bar"));
    let read_at: BTreeSet<u32> = [30, 60, 90, 100, 110, 120, 180, 240, 360, 480, 600, 720].into();
    let mut text = "time,gauge,reading,observed\n".to_owned();
    let mut done = BTreeSet::new();
    for row in lines {
        let cells: Vec<f64> = row.split(',').map(|c| c.parse().unwrap_or(0.0)).collect();
        let at = cells[t] as u32;
        if read_at.contains(&at) && done.insert(at) {
            let time = format!("{}:{:02}", at / 60, at % 60);
            writeln!(text, "{time},tower,{:.0} bar,", cells[tower]).unwrap();
            if at.is_multiple_of(240) {
                writeln!(text, "{time},panel,{:.0} bar,", cells[line]).unwrap();
            }
        }
    }
    text
}

fn diagnosed(name: &str, readings: &str, more: &[&str]) -> Ran {
    let boathouse = station("boathouse.toml");
    let files = [
        ("boathouse.toml", boathouse.as_bytes()),
        ("readings.csv", readings.as_bytes()),
    ];
    let arguments = [&["diagnose", "boathouse.toml", "readings.csv"], more].concat();
    run_in(&folder_with(name, &files), &arguments)
}

const START: [&str; 4] = ["--tower", "0 bar", "--cylinder", "A1@50 bar"];

fn json(name: &str, readings: &str) -> (Value, Option<i32>) {
    let more = [&START[..], &["--json"]].concat();
    let ran = diagnosed(name, readings, &more);
    (ran.json(), ran.exit)
}

#[test]
fn help() {
    assert_snapshot!("diagnose_help", run(&["diagnose", "--help"]).shown());
}

/// The fault that was put in is named, and its size found: the station opens its PMV at 100 bar.
#[test]
fn a_valve_that_opens_low_is_found() {
    let (found, exit) = json("diagnose_low", &readings(&["pmv-low=15 bar"]));
    assert_eq!(exit, Some(1));
    assert_eq!(found["causes"][0]["id"], "pmv_opens_early");
    assert!(found["causes"][0]["probability"].as_f64().unwrap() > 0.5);
    let settings = found["settings"].as_array().unwrap();
    let opens = settings.iter().find(|s| s["name"] == "pmv_opens").unwrap();
    let bar = opens["found_bar"].as_f64().unwrap();
    assert!((bar - 85.0).abs() < 5.0, "{opens}");
    assert_eq!(opens["verdict"], "below");
    assert!(found["station_assumed"].is_array());
}

#[test]
fn a_sound_machine_is_not_accused() {
    let (found, exit) = json("diagnose_sound", &readings(&[]));
    assert_eq!(exit, Some(0), "{}", found["headline"]);
    assert_eq!(found["standing"], "sound");
}

/// Two readings cannot decide, and gibberish fits nothing: both are said, with exit status 1.
#[test]
fn what_cannot_be_told_is_said() {
    let few = "time,gauge,reading\n0:30,tower,25 bar\n";
    let ran = diagnosed("diagnose_few", few, &START);
    assert!(matches!(ran.exit, Some(0 | 1)), "{}", ran.err);
    let odd = "time,gauge,reading\n1:00,tower,240 bar\n2:00,tower,3 bar\n3:00,tower,220 bar\n\
               4:00,tower,9 bar\n5:00,tower,200 bar\n";
    let (found, exit) = json("diagnose_odd", odd);
    assert_eq!(exit, Some(1));
    assert_eq!(found["standing"], "does_not_fit", "{}", found["headline"]);
    let page = diagnosed("diagnose_odd", odd, &START).out;
    assert!(page.contains("none of it fits") && !page.contains("Likely causes"));
    assert!(page.contains("Do not go on filling."), "{page}");
}

#[test]
fn the_page_fits_a_terminal_and_promises_nothing() {
    let text = readings(&["pmv-low=15 bar"]);
    let out = diagnosed("diagnose_page", &text, &START).out;
    for part in [
        "Likely causes",
        "Found against specified",
        "What to do",
        "Caution.",
        "Readings against the model, bar",
        "Demonstration data",
        "Assumed",
    ] {
        assert!(out.contains(part), "{part}: {out}");
    }
    for line in out.lines() {
        assert!(
            line.chars().count() <= 96 && !line.ends_with(' '),
            "{line:?}"
        );
    }
    assert!(!out.to_lowercase().contains("safe"), "{out}");
}

/// The unit of the station: the fire station reads psi.
#[test]
fn us_units() {
    let engine = station("engine-house.toml");
    let list = "time;gauge;reading (psi);observed\n1:00;tower;1400;\n2:00;tower;1450;\n";
    let files = [("e.toml", engine.as_bytes()), ("r.csv", list.as_bytes())];
    let ran = run_in(
        &folder_with("diagnose_us", &files),
        &["diagnose", "e.toml", "r.csv"],
    );
    assert!(matches!(ran.exit, Some(0 | 1)), "{}", ran.err);
    assert!(
        ran.out.contains("Readings against the model, psi"),
        "{}",
        ran.out
    );
    assert!(ran.out.contains("1400"), "{}", ran.out);
    assert!(ran.out.contains("cu ft/min"), "{}", ran.out);
}

#[test]
fn explained() {
    let ran = run(&["diagnose", "--explain"]);
    assert_eq!((ran.exit, ran.err.as_str()), (Some(0), ""));
    for part in [
        "How a diagnosis is computed",
        "Sources",
        "EN 837-1",
        "cannot tell",
    ] {
        assert!(ran.out.contains(part), "{part}");
    }
    assert!(ran.out.lines().all(|line| line.chars().count() <= 96));
}

#[test]
fn what_cannot_be_used() {
    let mut shown = String::new();
    let lists = [
        "dear all\n",
        "time,gauge\n1:00,tower\n",
        "time,gauge,reading\nsoon,tower,96 bar\n2:00,boiler,96 bar\n2:00,tower,96\n2:00,,9 bar\n",
        "time,gauge,reading,who\n1:00,tower,96 bar,MK,more\n",
    ];
    for list in lists {
        let ran = diagnosed("diagnose_wrong", list, &[]);
        assert_eq!(ran.exit, Some(2), "{}", ran.out);
        shown += &format!("{list}{}\n", ran.shown());
    }
    let fine = "time,gauge,reading\n1:00,tower,96 bar\n";
    for more in [
        &["--cylinder", "Nobody"][..],
        &["--tower", "400 bar"],
        &["--intake-temperature", "300 °C"],
    ] {
        let ran = diagnosed("diagnose_wrong", fine, more);
        assert_eq!(ran.exit, Some(2), "{}", ran.out);
        shown += &format!("{}\n{}\n", more.join(" "), ran.shown());
    }
    let nothing = folder("diagnose_nothing");
    for arguments in [
        &["diagnose", "-", "-"][..],
        &["diagnose", "no.toml", "no.csv"],
        &["diagnose"],
    ] {
        let ran = run_in(&nothing, arguments);
        assert_eq!(ran.exit, Some(2), "{}", ran.out);
        shown += &format!("{}\n{}\n", arguments.join(" "), ran.shown());
    }
    assert_snapshot!("diagnose_unusable", shown);
}

#[test]
fn wrong_lists_are_told_to_programs_too() {
    let ran = diagnosed(
        "diagnose_json",
        "time,gauge,reading\nsoon,tower,96 bar\n2:00,tower,96\n",
        &["--json"],
    );
    assert_eq!(ran.exit, Some(2));
    let told = ran.json();
    assert_eq!(told["error"]["kind"], "error");
    assert!(
        told["error"]["what"]
            .as_str()
            .unwrap()
            .starts_with("line 2, time: ")
    );
    assert_eq!(told["error"]["more"].as_array().unwrap().len(), 1);
}
