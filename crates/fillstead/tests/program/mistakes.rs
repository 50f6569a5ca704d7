//! Every way to ask for what cannot be had: the message, the remedy, the exit status.

use crate::common::{folder_with, program, run, run_in, station};
use insta::assert_snapshot;

/// The command, what it said, and the exit status.
fn said(arguments: &[&str]) -> String {
    let ran = run(arguments);
    format!("$ fillstead {}\n{}\n", arguments.join(" "), ran.shown())
}

#[test]
fn commands_and_options() {
    let mistakes: [&[&str]; 13] = [
        &[],
        &["foo"],
        &["statoin"],
        &["station"],
        &["station", "check"],
        &["forecast"],
        &["forecast", "boathouse.toml", "--towr", "5 bar"],
        &["forecast", "boathouse.toml", "extra"],
        &["forecast", "boathouse.toml", "--tower"],
        &["forecast", "boathouse.toml", "--water-bath=yes"],
        &["forecast", "boathouse.toml", "--members", "many"],
        &[
            "forecast",
            "boathouse.toml",
            "--members",
            "5",
            "--members",
            "6",
        ],
        &["forecast", "boathouse.toml", "--csv", "--list-faults"],
    ];
    assert_snapshot!(mistakes.map(said).concat());
}

#[test]
fn figures() {
    let mistakes: [&[&str]; 17] = [
        &["--cylinder", "A1@50"],
        &["--cylinder", "@50 bar"],
        &["--tower", "70"],
        &["--tower", "70 L"],
        &["--tower", "500 bar"],
        &["--humidity", "0.75"],
        &["--intake-temperature", "-60 °C"],
        &["--until", "soon"],
        &["--every", "0 s"],
        &["--drain", "sometimes"],
        &["--compare-pmv", "500 bar"],
        &["--compare-pmv", "60,,100"],
        &["--compare-pmv", "1,500 psi"],
        &["--members", "0"],
        &["--fault", "pmv-stuk-open"],
        &["--fault", "tower-leak"],
        &["--fault", "stage-valve-leak=5:20%"],
    ];
    assert_snapshot!(
        mistakes
            .map(|m| said(&[&["forecast", "boathouse.toml"], m].concat()))
            .concat()
    );
}

#[test]
fn cylinders() {
    let mistakes: [&[&str]; 4] = [
        &["--cylinder", "A9"],
        &["--cylinder", "steal 12"],
        &["--cylinder", "A1@240 bar"],
        &["--stop-at", "300 bar"],
    ];
    assert_snapshot!(
        mistakes
            .map(|m| said(&[&["forecast", "boathouse.toml"], m].concat()))
            .concat()
    );
}

#[test]
fn two_ratings_on_one_line_are_refused() {
    let arguments = [
        "forecast",
        "engine-house.toml",
        "--cylinder",
        "E2-01",
        "--cylinder",
        "SPARE",
    ];
    assert_snapshot!(said(&arguments));
}

/// Exhaust kills: an engine-driven unit indoors is refused before anything is computed.
#[test]
fn an_engine_indoors_is_refused() {
    let indoors = station("boathouse.toml")
        .replace("\"electric\"", "\"petrol\"")
        .replace("\"outdoors\"", "\"indoors\"");
    let folder = folder_with("mistakes-indoors", &[("shed.toml", indoors.as_bytes())]);
    let ran = run_in(&folder, &["forecast", "shed.toml"]);
    assert!(ran.err.starts_with("refused: "), "{}", ran.err);
    assert_eq!((ran.exit, ran.out.as_str()), (Some(1), ""));
}

#[test]
fn files() {
    let utf16: Vec<u8> = "\u{feff}[station]"
        .encode_utf16()
        .flat_map(u16::to_le_bytes)
        .collect();
    let files: [(&str, &[u8]); 4] = [
        ("binary.toml", b"\x7fELF\x02\x01\x00\xff"),
        ("latin.toml", b"[intake]\ntemperature = \"20 \xb0C\"\n"),
        ("utf16.toml", &utf16),
        ("huge.toml", &[b'#'; (1 << 20) + 1]),
    ];
    let folder = folder_with("mistakes-files", &files);
    let ask = |name: &str| run_in(&folder, &["forecast", name]).shown();
    let names = [
        "nosuch.toml",
        ".",
        "binary.toml",
        "latin.toml",
        "utf16.toml",
        "huge.toml",
    ];
    assert_snapshot!(names.map(ask).concat());
}

/// A file with errors: every problem with its place, then what to do.
#[test]
fn a_file_with_errors() {
    let spoilt = station("boathouse.toml")
        .replace("\"12 K\"", "\"12\"")
        .replace("[vent]", "[vents]");
    let folder = folder_with("mistakes-errors", &[("shed.toml", spoilt.as_bytes())]);
    let ran = run_in(&folder, &["forecast", "shed.toml"]);
    assert_snapshot!(ran.shown());
    assert_eq!((ran.exit, ran.out.as_str()), (Some(2), ""));
}

#[cfg(unix)]
#[test]
fn an_argument_that_is_no_text() {
    use std::ffi::OsStr;
    use std::os::unix::ffi::OsStrExt;
    let mut command = program(
        &crate::common::stations(),
        &["forecast", "boathouse.toml", "--tower"],
    );
    let output = command.arg(OsStr::from_bytes(b"70 \xff")).output().unwrap();
    assert_eq!(output.status.code(), Some(2));
    assert!(
        String::from_utf8(output.stderr)
            .unwrap()
            .starts_with("error: ")
    );
}
