//! `fillstead station new`, away from a terminal.

use crate::common::{folder, run_in};
use insta::assert_snapshot;
use std::fs;

const SHED: [&str; 18] = [
    "station",
    "new",
    "shed.toml",
    "--name",
    "Lean-to \"north\"",
    "--working-pressure",
    "232 bar",
    "--charging-rate",
    "100 L/min",
    "--relief-lifts",
    "255 bar",
    "--cylinder",
    "steel 12",
    "--water-volume",
    "12 L",
    "--cylinder-pressure",
    "232 bar",
    "--stages=3",
];

#[test]
fn a_file_is_written_and_is_good() {
    let folder = folder("new-written");
    assert_snapshot!(run_in(&folder, &SHED).shown());
    let text = fs::read_to_string(folder.join("shed.toml")).unwrap();
    for line in [
        "name = \"Lean-to \\\"north\\\"\"",
        "stage_count = 3",
        "lifts = \"255 bar\"",
    ] {
        assert!(text.lines().any(|l| l == line), "{line}: {text}");
    }
    let check = run_in(&folder, &["station", "check", "shed.toml"]);
    assert_eq!(check.exit, Some(0), "{}", check.out);
    let forecast = run_in(&folder, &["forecast", "shed.toml", "--members", "2"]);
    assert_eq!(forecast.exit, Some(0), "{}", forecast.err);
}

#[test]
fn a_file_that_is_there_is_left_alone() {
    let folder = folder("new-taken");
    fs::write(folder.join("shed.toml"), "mine").unwrap();
    assert_snapshot!(run_in(&folder, &SHED).shown());
    assert_eq!(
        fs::read_to_string(folder.join("shed.toml")).unwrap(),
        "mine"
    );
}

#[test]
fn without_a_file_the_text_is_printed() {
    let folder = folder("new-printed");
    let arguments: Vec<&str> = SHED.into_iter().filter(|a| *a != "shed.toml").collect();
    let ran = run_in(&folder, &arguments);
    assert_eq!((ran.exit, ran.err.as_str()), (Some(0), ""));
    assert!(
        ran.out.contains("\nworking_pressure = \"232 bar\"\n"),
        "{}",
        ran.out
    );
    assert_eq!(fs::read_dir(&folder).unwrap().count(), 0);
}

#[test]
fn what_is_missing_is_named() {
    let folder = folder("new-missing");
    let new =
        |more: &[&str]| run_in(&folder, &[&["station", "new", "a.toml"], more].concat()).shown();
    assert_snapshot!(
        new(&[]) + &new(&["--cylinder", "ten", "--name", "x", "--pmv-opens", "90 bar"])
    );
    assert_eq!(fs::read_dir(&folder).unwrap().count(), 0);
}

/// All contradictions are told at once, and nothing is written.
#[test]
fn answers_that_contradict_each_other() {
    let folder = folder("new-contradiction");
    let arguments = SHED.map(|a| if a == "255 bar" { "220 bar" } else { a });
    let more = ["--pmv-opens", "240 bar", "--pmv-closes", "250 bar"];
    assert_snapshot!(run_in(&folder, &[&arguments[..], &more].concat()).shown());
    assert_eq!(fs::read_dir(&folder).unwrap().count(), 0);
}

/// US units follow from a working pressure in psi.
#[test]
fn units_follow_the_working_pressure() {
    let folder = folder("new-us");
    let given = [
        "--name",
        "x",
        "--working-pressure",
        "4500 psi",
        "--free-air-delivery",
        "14 cfm",
    ];
    let ran = run_in(&folder, &[&["station", "new"], &given[..]].concat());
    assert!(ran.out.contains("\nunits = \"us\"\n"), "{}", ran.out);
    let metric = run_in(
        &folder,
        &[&["station", "new", "--units", "metric"], &given[..]].concat(),
    );
    assert!(
        metric.out.contains("\nunits = \"metric\"\n"),
        "{}",
        metric.out
    );
}
