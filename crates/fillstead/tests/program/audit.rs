//! `fillstead audit`: ladder and findings, the pages of the rules, the drawing.

use std::fs;
use std::io::Write;
use std::process::Stdio;

use crate::common::{Ran, folder, folder_with, program, run, run_in, station, stations};
use insta::assert_snapshot;
use serde_json::Value;

/// The trade's usual relations (common practice, no source): PMV 800/500 psi, working 3000 psi,
/// relief valve 3300/3000 psi, disc 4000 psi. Invented but for these settings.
const TRADE: &str = r#"
[station]
name = "Four settings"
units = "us"
invented = true
[compressor]
working_pressure = "3000 psi"
charging_rate = "4 cfm"
[pmv]
opens = "800 psi"
closes = "500 psi"
[relief]
lifts = "3300 psi"
reseats = "3000 psi"
[burst_disc]
bursts = "4000 psi"
[[gauge]]
name = "tower"
reads = "tower"
span = "5000 psi"
[[cylinder_kind]]
id = "eighty"
free_air = "80 cu ft"
service_pressure = "3000 psi"
material = "aluminium"
"#;

/// An audit of this text, in a folder of its own.
fn audit(name: &str, text: &str, more: &[&str]) -> Ran {
    let folder = folder_with(name, &[("shed.toml", text.as_bytes())]);
    run_in(&folder, &[&["audit", "shed.toml"], more].concat())
}

/// The trade's station with one setting changed.
fn changed(from: &str, to: &str) -> String {
    assert_eq!(TRADE.matches(from).count(), 1, "{from}");
    TRADE.replace(from, to)
}

/// Figures of the ladder are those of the file, with its tolerances.
#[test]
fn the_boathouse() {
    assert_snapshot!(run(&["audit", "boathouse.toml"]).shown());
}

#[test]
fn help() {
    assert_snapshot!(run(&["audit", "--help"]).shown());
}

/// A cylinder stamped 2216 psi, tested at 3694 psi, on a line for 4500 psi: as the file says.
#[test]
fn the_engine_house() {
    let ran = run(&["audit", "engine-house.toml"]);
    assert_eq!((ran.exit, ran.err.as_str()), (Some(1), ""));
    let head = "\n\nStop: do not run the compressor until this is put right; ";
    assert!(ran.out.contains(head), "{}", ran.out);
    let claim = "\n  stop: old 30 minute is stamped 2216 psi; the machine runs to 4500 psi ";
    assert!(ran.out.contains(claim), "{}", ran.out);
    assert!(ran.out.contains(" 3694 psi"), "{}", ran.out);
    assert!(
        ran.out.contains("  2216  12  fill stop: old 30 minute\n"),
        "{}",
        ran.out
    );
    let place = |word| ran.out.find(word).unwrap();
    let graver = [
        "\n  stop: ",
        "\n  fix first: ",
        "\n  look into: ",
        "\n  note: ",
    ]
    .map(place);
    assert!(graver.is_sorted(), "{graver:?}");
}

/// The least a file can say: no answer is "all well" where nothing could be looked at.
#[test]
fn the_least_a_file_can_say() {
    let ran = run(&["audit", "smallest.toml"]);
    assert_eq!(ran.exit, Some(0));
    assert!(
        ran.out.contains("things could not be looked at."),
        "{}",
        ran.out
    );
    assert!(ran.out.contains("\n  hose-rating "), "{}", ran.out);
    let pointer = "figures not in the station file; `fillstead station check smallest.toml` lists";
    assert!(ran.out.contains(pointer), "{}", ran.out);
}

/// Common practice, no source: nothing graver than "look into". Bands by the usual tolerances of
/// ASME VIII-1: 3 % of 3300 psi is 99 psi (from memory), 5 % of 4000 psi is 200 psi (UG-127(a)(1),
/// as quoted in a handbook).
#[test]
fn the_trades_usual_relations_pass() {
    let ran = audit("audit-trade", TRADE, &[]);
    assert_eq!((ran.exit, ran.err.as_str()), (Some(0), ""), "{}", ran.out);
    assert!(
        ran.out
            .contains("\n\nNo reason found to stop, by what the file says")
    );
    for label in [
        "relief lifts, 3201 to 3399\n",
        "disc bursts, 3800 to 4200\n",
    ] {
        assert!(ran.out.contains(label), "{label} in {}", ran.out);
    }
    assert!(!ran.out.contains("\n  stop: ") && !ran.out.contains("\n  fix first: "));
}

/// 5 % below 3500 psi, at 3325 psi, the disc may burst; 3 % above 3300 psi, at 3399 psi, the relief
/// valve may not have lifted yet.
#[test]
fn a_disc_that_may_burst_before_the_valve_lifts() {
    let text = changed("\"4000 psi\"", "\"3500 psi\"");
    let ran = audit("audit-disc", &text, &[]);
    assert_eq!(ran.exit, Some(1), "{}", ran.out);
    let finding = ran
        .out
        .split("\n\n")
        .find(|part| part.contains(" fix first: "))
        .unwrap();
    assert_snapshot!(finding);
    let broken = audit("audit-disc-json", &text, &["--json"]).json();
    let one = &broken["findings"][0];
    assert_eq!(one["rule"], "disc-before-relief");
    assert_eq!(one["severity"], "fix_before_next_run");
    assert_eq!(one["parts"][0]["balloon"], 9);
    let overlap = &broken["ladder"]["overlaps"][0];
    let psi = |bar: &Value| bar.as_f64().unwrap() / 0.0689476; // NIST SP 811, B.8
    assert!((psi(&overlap["low_bar"]) - 3325.0).abs() < 0.1, "{overlap}");
    assert!(
        (psi(&overlap["high_bar"]) - 3399.0).abs() < 0.1,
        "{overlap}"
    );
}

#[test]
fn no_line_is_too_wide_and_nothing_is_called_safe() {
    let long = changed("\"Four settings\"", &format!("\"{}\"", "Shed ".repeat(40)));
    for ran in [
        run(&["audit", "boathouse.toml"]),
        run(&["audit", "engine-house.toml"]),
        run(&["audit", "smallest.toml"]),
        run(&["audit", "--list-rules"]),
        audit("audit-wide", &long, &[]),
    ] {
        assert_eq!(ran.err, "");
        let wide = ran
            .out
            .lines()
            .skip(1)
            .find(|line| line.chars().count() > 96);
        assert_eq!(wide, None);
        assert!(!ran.out.to_lowercase().contains(" safe"), "{}", ran.out);
    }
}

#[test]
fn the_fields_of_the_contract() {
    let answer = run(&["audit", "boathouse.toml", "--json"]).json();
    for field in [
        "station",
        "invented",
        "verdict",
        "findings",
        "ladder",
        "fine",
        "silent",
        "svg",
        "station_assumed",
        "station_problems",
    ] {
        assert!(answer.get(field).is_some(), "{field} of {answer:#}");
    }
    let relief = answer["ladder"]["rungs"].as_array().unwrap();
    let relief = relief
        .iter()
        .find(|rung| rung["kind"] == "relief_lifts")
        .unwrap();
    assert_eq!(
        (relief["bar"].as_f64(), &relief["part"]["balloon"]),
        (Some(255.0), &8.into())
    );
    for finding in answer["findings"].as_array().unwrap() {
        for field in [
            "rule", "severity", "claim", "why", "remedy", "parts", "evidence", "source",
        ] {
            assert!(!finding[field].is_null(), "{field} of {finding:#}");
        }
    }
}

/// A file with errors: the problems as the check shows them, then what to do.
#[test]
fn a_file_with_errors() {
    let text = changed("\"3300 psi\"", "\"2900 psi\"");
    let ran = audit("audit-errors", &text, &[]);
    assert_eq!((ran.exit, ran.out.as_str()), (Some(2), ""));
    let folder = folder_with("audit-errors-check", &[("shed.toml", text.as_bytes())]);
    let check = run_in(&folder, &["station", "check", "shed.toml"]).out;
    let (problem, _) = check.split_once("\n\n").unwrap();
    assert!(problem.contains("^^^^"), "{problem}");
    assert!(ran.err.starts_with(problem), "{}", ran.err);
    assert!(ran.err.contains("\nerror: shed.toml has "), "{}", ran.err);
    let ran = audit("audit-errors-json", &text, &["--json"]);
    assert_eq!(ran.json()["error"]["exit"], 2);
}

#[test]
fn every_rule_has_its_page() {
    let rules = run(&["audit", "--list-rules", "--json"]).json();
    let rules = rules.as_array().unwrap();
    assert!(rules.len() > 15, "{rules:?}");
    for rule in rules {
        let id = rule["rule"].as_str().unwrap();
        let ran = run(&["audit", "--explain", id]);
        let head = format!(
            "{id}: {}\n\nWhat it looks at\n  ",
            rule["title"].as_str().unwrap()
        );
        assert!(ran.out.starts_with(&head), "{}", ran.out);
        assert!(
            ran.out.contains("\nSource\n  ") && ran.out.contains("\nCertainty\n  "),
            "{id}"
        );
        assert!(!ran.out.contains('#') && ran.out.lines().all(|l| l.chars().count() <= 96));
        let page = run(&["audit", "--explain", id, "--json"]).json();
        assert_eq!(page["sections"].as_array().unwrap().len(), 5, "{id}");
    }
    assert_snapshot!(run(&["audit", "--explain", "disc-before-relief"]).shown());
}

#[test]
fn what_cannot_be_had() {
    let mistakes: [&[&str]; 8] = [
        &[],
        &["nosuch.toml"],
        &["--explain", "pmv-gpa"],
        &["boathouse.toml", "--explain", "noise"],
        &["--explain"],
        &["--list-rules", "--svg", "ladder.svg"],
        &["boathouse.toml", "--json", "--svg", "-"],
        &["boathouse.toml", "--svg", "nosuch/ladder.svg"],
    ];
    let said = |arguments: &[&str]| {
        let ran = run(&[&["audit"], arguments].concat());
        assert_eq!(ran.exit, Some(2), "{arguments:?}");
        let (said, list) = (ran.shown(), arguments.join(" "));
        format!("$ fillstead audit {list}\n{said}\n")
    };
    assert_snapshot!(mistakes.map(said).concat());
}

/// The drawing is written once, and never over anything.
#[test]
fn the_drawing() {
    let folder = folder("audit-svg");
    let file = stations().join("engine-house.toml");
    let arguments = ["audit", file.to_str().unwrap(), "--svg", "ladder.svg"];
    let ran = run_in(&folder, &arguments);
    assert_eq!(
        (ran.exit, ran.err.as_str()),
        (Some(1), ""),
        "the findings still count"
    );
    assert!(
        ran.out
            .contains("\nThe same as a drawing is in ladder.svg.\n"),
        "{}",
        ran.out
    );
    let drawing = fs::read_to_string(folder.join("ladder.svg")).unwrap();
    assert!(drawing.starts_with("<svg xmlns=\"http://www.w3.org/2000/svg\""));
    assert!(drawing.ends_with("</svg>\n") && drawing.contains("2216"));

    let printed = run_in(&folder, &["audit", file.to_str().unwrap(), "--svg", "-"]);
    assert_eq!(
        (printed.exit, printed.out.as_str()),
        (Some(1), drawing.as_str())
    );

    fs::write(folder.join("ladder.svg"), "mine").unwrap();
    let again = run_in(&folder, &arguments);
    assert_eq!((again.exit, again.out.as_str()), (Some(2), ""));
    assert_eq!(
        again.err,
        "error: --svg: ladder.svg is there already and is left as it is\n  \
         help: choose another name, or move the old file away first\n"
    );
    assert_eq!(
        fs::read_to_string(folder.join("ladder.svg")).unwrap(),
        "mine"
    );
}

#[test]
fn from_the_standard_input() {
    let mut child = program(&stations(), &["audit", "-"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let text = station("boathouse.toml");
    child
        .stdin
        .take()
        .unwrap()
        .write_all(text.as_bytes())
        .unwrap();
    let output = child.wait_with_output().unwrap();
    assert_eq!(output.status.code(), Some(0));
    let said = String::from_utf8(output.stdout).unwrap();
    assert!(
        said.contains("`fillstead station check -` lists them"),
        "{said}"
    );
}
