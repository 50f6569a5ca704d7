//! `fillstead cylinder`: the shipped cylinders, stamps, rules of one's own, and what is no answer.

use crate::common::{self, folder_with, run, run_in, station};
use insta::assert_snapshot;
use serde_json::Value;

fn said(arguments: &[&str]) -> String {
    common::said("cylinder", arguments)
}

/// The exit status and the answer.
fn json(arguments: &[&str]) -> (i32, Value) {
    let ran = run(&[&["cylinder"], arguments, &["--json"]].concat());
    assert_eq!(ran.err, "", "{arguments:?}");
    (ran.exit.unwrap(), serde_json::from_str(&ran.out).unwrap())
}

#[test]
fn pages() {
    let pages: [&[&str]; 7] = [
        &["--help"],
        &["--list-rules"],
        &[
            "boathouse.toml",
            "A1",
            "--rule",
            "uk",
            "--today",
            "2026-06-01",
        ],
        &[
            "boathouse.toml",
            "A3",
            "--rule",
            "uk",
            "--today",
            "2026-06-02",
        ],
        &[
            "engine-house.toml",
            "SPARE",
            "--rule",
            "us",
            "--use",
            "rescue",
            "--today",
            "2026-03-01",
        ],
        &["--stamp", "3AA2400+ 06^19+", "--today", "2026-03-01"],
        &[
            "--stamp",
            "PW 232 BAR PT 348 BAR 2024/06",
            "--rule",
            "uk",
            "--today",
            "2026-03-01",
        ],
    ];
    assert_snapshot!(pages.map(said).concat());
}

/// UK practice: hydraulic every 60 months, visual every 30. A3 was tested 2021-06-01 and looked
/// into 2024-02-20: in date to the day of the test's fifth year, and not one day longer.
#[test]
fn a_day_makes_the_difference() {
    let ask = |day| json(&["boathouse.toml", "A3", "--rule", "UK", "--today", day]);
    let (exit, last_day) = ask("2026-06-01");
    assert_eq!((exit, &last_day["may"]), (0, &Value::Bool(true)));
    assert_eq!(last_day["until"], "2026-06-01");
    assert_eq!(last_day["to"]["bar"], 232.0);
    let (exit, late) = ask("2026-06-02");
    assert_eq!((exit, &late["may"]), (1, &Value::Bool(false)));
    assert_eq!(late["refusals"][0]["id"], "overdue");
    assert_eq!(late["invented"], true);
    assert_eq!(late["station"], "Alder Ness boathouse");
}

/// A line that something of its own holds low enough is another matter.
#[test]
fn a_protected_line_is_believed() {
    let spare = [
        "engine-house.toml",
        "SPARE",
        "--rule",
        "us",
        "--use",
        "rescue",
        "--today",
        "2026-03-01",
    ];
    let (exit, answer) = json(&spare);
    assert_eq!(
        (exit, &answer["refusals"][0]["id"]),
        (1, &Value::from("unprotected"))
    );
    let (exit, answer) = json(&[&spare[..], &["--protected-at", "2300 psi"]].concat());
    assert_eq!((exit, &answer["may"]), (0, &Value::Bool(true)));
    let (exit, _) = json(&[&spare[..], &["--protected-at", "4000 psi"]].concat());
    assert_eq!(exit, 1);
}

/// 49 CFR 178.35(f): specification, service pressure in psi, then the date of the test; 180.209
/// Table 1: 3AA every five years. 2400 psi is 165.47 bar (NIST SP 811, B.8).
#[test]
fn a_us_stamp() {
    let stamp = "3AA2400+ 06^19+";
    let (exit, read) = json(&["--stamp", stamp, "--today", "2024-06-30"]);
    assert_eq!((exit, &read["fill"]), (0, &Value::Null));
    assert_eq!(read["stamp"]["specification"], "3AA");
    let bar = read["stamp"]["service"]["pressure"]["bar"].as_f64();
    assert!((bar.unwrap() - 165.47).abs() < 0.01, "{bar:?}");
    for (day, exit) in [("2024-06-30", 0), ("2024-07-01", 1)] {
        let asked = json(&["--stamp", stamp, "--rule", "us", "--today", day]);
        assert_eq!(asked.0, exit, "{day}: {:#}", asked.1);
        assert_eq!(asked.1["fill"]["checks"][0]["due"], "2024-06");
    }
}

#[test]
fn stamps_that_cannot_be() {
    for stamp in [
        "3AA2400 2031/06",
        "PW 2400 BAR 2019/06",
        "3AL3000 condemned",
        "hello",
    ] {
        let (exit, answer) = json(&["--stamp", stamp, "--today", "2026-03-01"]);
        assert_eq!(exit, 1, "{stamp}: {answer:#}");
    }
}

/// Without --today the clock's day counts: no cylinder's test is good for sixty years.
#[test]
fn the_clock_is_asked_where_no_day_is_given() {
    let (exit, answer) = json(&["--stamp", "3AA2400 06^59", "--rule", "us"]);
    assert_eq!(exit, 1);
    let today = answer["today"].as_str().unwrap();
    assert!(today > "2026-01-01" && today.len() == 10, "{today}");
}

#[test]
fn a_rule_of_ones_own() {
    let rules = "rule: club\ntitle: Our club\n\
                 every: test, 24 months | any | minutes of 2026-01-10 | own rule | minutes\n";
    let wrong = "rule: club\nevery: test, soon | any | a | b | c\nevry: x | any | a | b | c\n";
    let boathouse = station("boathouse.toml");
    let folder = folder_with(
        "cylinder-own",
        &[
            ("club.txt", rules.as_bytes()),
            ("wrong.txt", wrong.as_bytes()),
            ("empty.txt", b"# nothing\n"),
            ("shed.toml", boathouse.as_bytes()),
        ],
    );
    let ask = |more: &[&str]| {
        let words = ["cylinder", "shed.toml", "A1", "--today", "2026-06-01"];
        run_in(&folder, &[&words[..], more].concat())
    };
    // tested 2024-04-10: two years later is past
    let late = ask(&["--own-rule", "club.txt"]);
    assert_eq!(late.exit, Some(1), "{}", late.err);
    assert!(
        late.out.contains("every 24 months, due 2026-04-10"),
        "{}",
        late.out
    );
    let named = ask(&["--own-rule", "club.txt", "--rule", "uk"]);
    assert_eq!(named.exit, Some(0), "{}", named.err);
    let mistakes: [&[&str]; 4] = [
        &["--own-rule", "wrong.txt"],
        &["--own-rule", "empty.txt"],
        &["--own-rule", "nosuch.txt"],
        &["--own-rule", "club.txt", "--rule", "clbu"],
    ];
    let shown = mistakes.map(|more| {
        let ran = ask(more);
        assert_eq!(ran.exit, Some(2), "{more:?}");
        format!("$ {}\n{}\n", more.join(" "), ran.shown())
    });
    assert_snapshot!(shown.concat());
}

#[test]
fn what_cannot_be_asked() {
    let mistakes: [&[&str]; 13] = [
        &[],
        &["boathouse.toml"],
        &["boathouse.toml", "A1"],
        &["boathouse.toml", "A1", "--rule", "ukk"],
        &["boathouse.toml", "A1", "--rule", "moon"],
        &["boathouse.toml", "A11", "--rule", "uk"],
        &["smallest.toml", "A1", "--rule", "uk"],
        &["nosuch.toml", "A1", "--rule", "uk"],
        &["boathouse.toml", "A1", "--rule", "uk", "--use", "divng"],
        &[
            "boathouse.toml",
            "A1",
            "--rule",
            "uk",
            "--today",
            "1.6.2026",
        ],
        &[
            "boathouse.toml",
            "A1",
            "--rule",
            "uk",
            "--protected-at",
            "232",
        ],
        &["--stamp", " "],
        &["boathouse.toml", "A1", "--stamp", "3AA2400"],
    ];
    let shown = mistakes.map(|arguments| {
        let ran = run(&[&["cylinder"], arguments].concat());
        assert_eq!(ran.exit, Some(2), "{arguments:?}: {}", ran.out);
        said(arguments)
    });
    assert_snapshot!(shown.concat());
}
