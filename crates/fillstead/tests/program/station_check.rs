//! `fillstead station check`.

use crate::common::{folder_with, program, run, run_in, station};
use insta::assert_snapshot;
use std::process::Stdio;

#[test]
fn a_good_file() {
    assert_snapshot!(run(&["station", "check", "boathouse.toml"]).shown());
}

#[test]
fn the_least_a_file_can_say() {
    assert_snapshot!(run(&["station", "check", "smallest.toml"]).shown());
}

#[test]
fn errors_and_a_warning() {
    let spoilt = station("boathouse.toml")
        .replace("humidity = \"75 %\"", "humidity = \"75\"")
        .replace("lifts = \"255 bar\"", "lift = \"255 bar\"")
        .replace("\"350 bar\"", "\"280 bar\"");
    let folder = folder_with("check-errors", &[("shed.toml", spoilt.as_bytes())]);
    assert_snapshot!(run_in(&folder, &["station", "check", "shed.toml"]).shown());
}

#[test]
fn a_warning_alone() {
    let spoilt = station("boathouse.toml").replace("\"350 bar\"", "\"280 bar\"");
    let folder = folder_with("check-warning", &[("shed.toml", spoilt.as_bytes())]);
    let ran = run_in(&folder, &["station", "check", "shed.toml"]);
    assert!(
        ran.out.starts_with("warning[disc-above-tower]"),
        "{}",
        ran.out
    );
    assert!(
        ran.out.ends_with("\nshed.toml: 1 warning.\n"),
        "{}",
        ran.out
    );
    assert_eq!(ran.exit, Some(1));
}

#[test]
fn an_empty_file_and_a_torn_one() {
    let files: [(&str, &[u8]); 2] = [
        ("empty.toml", b"\n\n"),
        ("torn.toml", b"[station\nname = \"x"),
    ];
    let folder = folder_with("check-torn", &files);
    for (name, _) in files {
        assert_snapshot!(name, run_in(&folder, &["station", "check", name]).shown());
    }
}

/// A name in the file cannot take over the terminal that shows it.
#[test]
fn escapes_in_a_file_stay_visible() {
    let spoilt = "[station]\nname = \"\\u001b[31mred\"\n\"\\u001b]0;x\" = 1\n";
    let folder = folder_with("check-escapes", &[("shed.toml", spoilt.as_bytes())]);
    let ran = run_in(&folder, &["station", "check", "shed.toml"]);
    assert!(!ran.out.contains('\u{1b}'), "{:?}", ran.out);
    assert_eq!(ran.exit, Some(2));
}

#[test]
fn from_the_standard_input() {
    use std::io::Write;
    let mut command = program(&crate::common::stations(), &["station", "check", "-"]);
    let mut child = command
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    child
        .stdin
        .take()
        .unwrap()
        .write_all(station("boathouse.toml").as_bytes())
        .unwrap();
    let output = child.wait_with_output().unwrap();
    assert_eq!(output.status.code(), Some(0));
    assert!(
        String::from_utf8(output.stdout)
            .unwrap()
            .ends_with("standard input: no problems.\n")
    );
}

/// A pager that is closed early is no failure.
#[test]
fn a_reader_who_goes_away() {
    let mut command = program(
        &crate::common::stations(),
        &["station", "check", "smallest.toml"],
    );
    let mut child = command
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    let output = child.wait_with_output().unwrap();
    assert_eq!(output.status.code(), Some(0));
    assert_eq!(String::from_utf8(output.stderr).unwrap(), "");
}
