//! Drawings written and printed: `forecast --svg` and `station draw`.

use std::fs;

use crate::common::{folder_with, run, run_in, station};
use insta::assert_snapshot;
use serde_json::Value;

fn is_alone(svg: &str) {
    assert!(
        svg.starts_with("<svg ") && svg.ends_with("</svg>\n"),
        "{svg}"
    );
    for part in ["role=\"img\"", "<title>", "<desc>", "<style>", "<symbol "] {
        assert!(svg.contains(part), "{part} in {svg}");
    }
    assert!(!svg.contains("NaN") && !svg.contains("<script"));
}

#[test]
fn help() {
    assert_snapshot!(run(&["station", "draw", "--help"]).shown());
}

/// Settings of the file stand in the drawing, and what is invented is marked so.
#[test]
fn the_air_path_is_printed() {
    let ran = run(&["station", "draw", "boathouse.toml"]);
    assert_eq!((ran.exit, ran.err.as_str()), (Some(0), ""));
    is_alone(&ran.out);
    for text in [
        "100 / 70",
        "255 / 235",
        "300 ± 5 %",
        "Invented demonstration data",
        "Alder Ness",
    ] {
        assert!(ran.out.contains(text), "{text} in {}", ran.out);
    }
    assert_eq!(
        run(&["station", "draw", "boathouse.toml", "--svg", "-"]).out,
        ran.out
    );
}

#[test]
fn the_air_path_is_written_once() {
    let folder = folder_with(
        "draw-path",
        &[("shed.toml", station("engine-house.toml").as_bytes())],
    );
    let ran = run_in(
        &folder,
        &["station", "draw", "shed.toml", "--svg", "path.svg"],
    );
    assert_snapshot!(ran.shown(), @r"
    The air path of Cold Creek Engine House No. 2 is in path.svg.
    --- exit status 0 ---
    ");
    let svg = fs::read_to_string(folder.join("path.svg")).unwrap();
    is_alone(&svg);
    let ran = run_in(
        &folder,
        &["station", "draw", "shed.toml", "--svg", "path.svg"],
    );
    assert_snapshot!(ran.shown(), @r"
    --- standard error ---
    error: --svg: path.svg is there already and is left as it is
      help: choose another name, or move the old file away first
    --- exit status 2 ---
    ");
    assert_eq!(fs::read_to_string(folder.join("path.svg")).unwrap(), svg);
}

/// The parts as data, in the order of the file.
#[test]
fn the_air_path_as_json() {
    let answer = run(&["station", "draw", "boathouse.toml", "--json"]).json();
    let parts = answer["parts"].as_array().unwrap();
    let relief = parts.iter().find(|p| p["balloon"] == 8).unwrap();
    assert_eq!(relief["setting"], "255 / 235");
    assert_eq!(
        (&answer["station"], &answer["svg"]),
        (&"Alder Ness boathouse".into(), &Value::Null)
    );
    let both = run(&["station", "draw", "boathouse.toml", "--json", "--svg", "-"]);
    assert_eq!(both.exit, Some(2), "{}", both.out);
}

#[test]
fn a_file_with_errors_is_not_drawn() {
    let text = station("boathouse.toml").replace("\"255 bar\"", "\"25 bar\"");
    let folder = folder_with("draw-errors", &[("shed.toml", text.as_bytes())]);
    let ran = run_in(
        &folder,
        &["station", "draw", "shed.toml", "--svg", "path.svg"],
    );
    assert_eq!(ran.exit, Some(2), "{}", ran.out);
    assert!(ran.err.contains("error: shed.toml has "), "{}", ran.err);
    assert!(!folder.join("path.svg").exists());
}

#[test]
fn the_trace_is_written_once() {
    let folder = folder_with(
        "draw-trace",
        &[("shed.toml", station("boathouse.toml").as_bytes())],
    );
    let ask = [
        "forecast",
        "shed.toml",
        "--members",
        "4",
        "--svg",
        "trace.svg",
    ];
    let ran = run_in(&folder, &ask);
    assert_eq!((ran.exit, ran.err.as_str()), (Some(0), ""));
    assert!(
        ran.out
            .contains("\nThe same as a drawing is in trace.svg.\n"),
        "{}",
        ran.out
    );
    let svg = fs::read_to_string(folder.join("trace.svg")).unwrap();
    is_alone(&svg);
    for text in [
        "settles, 15 °C",
        "PMV opens",
        "burst disc",
        "minutes from the start; bar gauge",
    ] {
        assert!(svg.contains(text), "{text} in {svg}");
    }
    let again = run_in(&folder, &ask);
    assert_eq!(again.exit, Some(2));
    assert!(
        again.err.contains("trace.svg is there already"),
        "{}",
        again.err
    );
    assert_eq!(fs::read_to_string(folder.join("trace.svg")).unwrap(), svg);
}

#[test]
fn the_trace_beside_json_or_printed() {
    let folder = folder_with(
        "draw-json",
        &[("shed.toml", station("engine-house.toml").as_bytes())],
    );
    let ask = |more: &[&str]| {
        run_in(
            &folder,
            &[&["forecast", "shed.toml", "--members", "2"], more].concat(),
        )
    };
    let answer = ask(&["--json", "--svg", "trace.svg"]).json();
    assert_eq!(answer["svg"], "trace.svg");
    let written = fs::read_to_string(folder.join("trace.svg")).unwrap();
    assert_eq!(ask(&["--svg", "-"]).out, written);
    assert!(written.contains("psi gauge") && written.contains("settles, 70 °F"));
    assert_eq!(ask(&["--json"]).json().get("svg"), None);
    assert_eq!(ask(&["--csv", "--svg", "x.svg"]).exit, Some(2));
}
