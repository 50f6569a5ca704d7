//! `fillstead air`: the sample that comes along, limits that are printed, and files that are none.

use crate::common::{self, folder_with, run, run_in, station};
use insta::assert_snapshot;
use serde_json::Value;

const DAY: [&str; 2] = ["--today", "2026-05-20"];

fn said(arguments: &[&str]) -> String {
    common::said("air", arguments)
}

/// These results by this standard on the day: exit status and answer.
fn judged(name: &str, results: &str, more: &[&str]) -> (i32, Value) {
    let text = format!("[sample]\ndate = \"2026-05-04\"\n[results]\n{results}");
    let folder = folder_with(name, &[("results.toml", text.as_bytes())]);
    let arguments = [&["air", "results.toml", "--json"], more, &DAY].concat();
    let ran = run_in(&folder, &arguments);
    assert_eq!(ran.err, "", "{results}");
    (ran.exit.unwrap(), serde_json::from_str(&ran.out).unwrap())
}

fn outcome(answer: &Value, what: &str) -> String {
    let rows = answer["verdict"]["quantities"].as_array().unwrap();
    let row = rows.iter().find(|row| row["what"] == what).unwrap();
    row["outcome"].as_str().unwrap().to_owned()
}

#[test]
fn pages() {
    let pages: [&[&str]; 4] = [
        &["--help"],
        &["--list-standards"],
        &[
            "air-results.toml",
            "--standard",
            "nfpa 1989",
            DAY[0],
            DAY[1],
        ],
        &["air-results.toml", "--standard", "EN 12021", DAY[0], DAY[1]],
    ];
    assert_snapshot!(pages.map(said).concat());
}

#[test]
fn a_sample_that_fails_late() {
    let text = station("air-results.toml")
        .replace("\"< 1 ppm\"", "\"8 ppm\"")
        .replace("oil = ", "# oil = ");
    let folder = folder_with("air-fails", &[("results.toml", text.as_bytes())]);
    let arguments = ["air", "results.toml", "--standard", "EN 12021"];
    let ran = run_in(
        &folder,
        &[&arguments[..], &["--today", "2026-09-20"]].concat(),
    );
    assert_eq!(ran.exit, Some(1));
    assert_snapshot!(ran.shown());
    for line in ran.out.lines() {
        assert!(line.chars().count() <= 96, "{line:?}");
    }
}

/// EN 12021:2014 allows 5 ppm of CO (pages of several makers and associations agree), and a
/// 1989 Grade D 10 ppm (29 CFR 1910.134(d)(1)(ii)(C)).
#[test]
fn carbon_monoxide_by_two_standards() {
    for (ppm, by_en, by_osha) in [
        ("4 ppm", "passes", "passes"),
        ("8 ppm", "fails", "passes"),
        ("12 ppm", "fails", "fails"),
        ("5 ppm ± 1 ppm", "cannot_tell", "passes"),
    ] {
        let results = format!("co = \"{ppm}\"\n");
        for (standard, wanted) in [("EN 12021", by_en), ("29 CFR 1910.134", by_osha)] {
            let (exit, answer) = judged("air-co", &results, &["--standard", standard]);
            assert_eq!(
                outcome(&answer, "carbon_monoxide"),
                wanted,
                "{ppm}, {standard}"
            );
            // what nobody measured cannot be told: never a pass
            assert_eq!(exit, 1, "{ppm}, {standard}");
        }
    }
}

/// A sample that keeps every limit but is long past its day still says so.
#[test]
fn an_old_sample_is_overdue() {
    let day = ["--today", "2027-05-20"];
    let arguments = [
        "air",
        "air-results.toml",
        "--standard",
        "NFPA 1989",
        "--json",
    ];
    let ran = run(&[&arguments[..], &day].concat());
    let answer: Value = serde_json::from_str(&ran.out).unwrap();
    assert_eq!(answer["verdict"]["due"]["state"], "overdue");
    assert_eq!(answer["sample"]["invented"], true);
}

#[test]
fn a_standard_of_ones_own() {
    let club = "standard,Club\nedition,2026\nquantity,at_most,unit\nco,2,ppm\n";
    let files: [(&str, &[u8]); 2] = [
        ("club.csv", club.as_bytes()),
        ("results.toml", b"[results]\nco = \"1 ppm\"\n"),
    ];
    let folder = folder_with("air-own", &files);
    let ran = run_in(&folder, &["air", "results.toml", "--own", "club.csv"]);
    assert_eq!(ran.exit, Some(0), "{}", ran.err);
    assert!(
        ran.out
            .starts_with("This sample keeps every limit of Club (2026): no reason found to stop."),
        "{}",
        ran.out
    );
}

#[test]
fn what_cannot_be_judged() {
    let files: [(&str, &[u8]); 4] = [
        ("results.toml", b"[results]\nco = \"1 ppm\"\n"),
        (
            "wrong.toml",
            b"[sample]\ndate = \"2026-02-30\"\n[results]\noxigen = \"20.9 %\"\nco = 8\n",
        ),
        ("broken.toml", b"[results]\nco = 8 ppm\n"),
        (
            "wrong.csv",
            b"standard,Club\nedition,1\nquantity,at_most,unit\nco,2,bar\n",
        ),
    ];
    let folder = folder_with("air-mistakes", &files);
    let mistakes: [&[&str]; 10] = [
        &[],
        &["results.toml"],
        &["results.toml", "--standard", "EN 12012"],
        &["results.toml", "--standard", "cga"],
        &["results.toml", "--own", "wrong.csv"],
        &["results.toml", "--own", "nosuch.csv"],
        &["nosuch.toml", "--standard", "EN 12021"],
        &["wrong.toml", "--standard", "EN 12021"],
        &["broken.toml", "--standard", "EN 12021"],
        &["results.toml", "--standard", "EN 12021", "--today", "soon"],
    ];
    let shown = mistakes.map(|arguments| {
        let ran = run_in(&folder, &[&["air"], arguments].concat());
        assert_eq!((ran.exit, ran.out.as_str()), (Some(2), ""), "{arguments:?}");
        format!("$ fillstead air {}\n{}\n", arguments.join(" "), ran.shown())
    });
    assert_snapshot!(shown.concat());
    let ran = run_in(
        &folder,
        &["air", "wrong.toml", "--standard", "EN 12021", "--json"],
    );
    let error: Value = serde_json::from_str(&ran.out).unwrap();
    assert_eq!(error["error"]["exit"], 2);
    assert_eq!(error["error"]["more"].as_array().map(Vec::len), Some(2));
}
