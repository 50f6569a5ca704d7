//! Running the program and showing what it said.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

use roxmltree::{Document, ParsingOptions};
use serde_json::Value;

/// What came of a run.
pub struct Ran {
    /// Standard output.
    pub out: String,
    /// Standard error.
    pub err: String,
    /// Exit status; none when it was killed.
    pub exit: Option<i32>,
}

impl Ran {
    /// What it said as JSON, with nothing beside it.
    pub fn json(&self) -> Value {
        assert_eq!(self.err, "", "{}", self.out);
        serde_json::from_str(&self.out).unwrap()
    }

    /// All of it, as a snapshot shows it.
    pub fn shown(&self) -> String {
        let err = match self.err.as_str() {
            "" => String::new(),
            err => format!("--- standard error ---\n{err}"),
        };
        format!(
            "{}{err}--- exit status {} ---\n",
            self.out,
            self.exit.unwrap_or(-1)
        )
    }
}

/// The program, not yet started, in this folder and away from any terminal.
pub fn program(folder: &Path, arguments: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_fillstead"));
    command
        .args(arguments)
        .current_dir(folder)
        .stdin(Stdio::null())
        .env_remove("NO_COLOR");
    command
}

/// Runs the program in this folder.
pub fn run_in(folder: &Path, arguments: &[&str]) -> Ran {
    ran(program(folder, arguments).output().unwrap())
}

/// Runs the program among the stations that come with it.
pub fn run(arguments: &[&str]) -> Ran {
    run_in(&stations(), arguments)
}

/// A page of this command among those stations, no line too wide and nothing called safe.
pub fn said(command: &str, arguments: &[&str]) -> String {
    let ran = run(&[&[command], arguments].concat());
    for line in ran.out.lines() {
        assert!(
            line.chars().count() <= 96 && !line.ends_with(' '),
            "{arguments:?}: {line:?}"
        );
    }
    assert!(!ran.out.to_lowercase().contains("safe"), "{}", ran.out);
    let arguments = arguments.join(" ");
    format!("$ fillstead {command} {arguments}\n{}\n", ran.shown())
}

/// What this command answers as JSON, where all went well.
pub fn json(command: &str, arguments: &[&str]) -> Value {
    let ran = run(&[&[command], arguments, &["--json"]].concat());
    assert_eq!((ran.exit, ran.err.as_str()), (Some(0), ""), "{arguments:?}");
    ran.json()
}

/// A sheet as the tree it is.
pub fn document(html: &str) -> Document<'_> {
    let options = ParsingOptions {
        allow_dtd: true,
        ..ParsingOptions::default()
    };
    Document::parse_with_options(html, options).unwrap()
}

fn ran(output: Output) -> Ran {
    let text = |bytes| String::from_utf8(bytes).unwrap();
    Ran {
        out: text(output.stdout),
        err: text(output.stderr),
        exit: output.status.code(),
    }
}

/// The folder of stations that come with the program.
pub fn stations() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../stations")
}

/// A station of these, as text.
pub fn station(name: &str) -> String {
    fs::read_to_string(stations().join(name)).unwrap()
}

/// An empty folder for this test alone.
pub fn folder(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    folder
}

/// A folder with these files in it.
pub fn folder_with(name: &str, files: &[(&str, &[u8])]) -> PathBuf {
    let folder = folder(name);
    for (file, bytes) in files {
        fs::write(folder.join(file), bytes).unwrap();
    }
    folder
}

/// The text with every number as # and single spaces, without the picture and the rows of
/// readings: its shape, whatever the figures are.
pub fn shape(text: &str) -> String {
    let of_figures = |line: &str| {
        let row = line.split_whitespace().take(2).collect::<Vec<_>>().concat();
        row.contains(':') && row.chars().all(|c| c.is_ascii_digit() || c == ':')
    };
    let kept = text
        .lines()
        .filter(|l| !l.contains(['│', '┤', '└']) && !of_figures(l));
    kept.map(|line| without_figures(line) + "\n").collect()
}

fn without_figures(line: &str) -> String {
    let mut shape = String::new();
    for c in line.chars() {
        let c = if c.is_ascii_digit() { '#' } else { c };
        let last = shape.chars().last();
        if !(matches!(c, '#' | ' ') && last == Some(c)) {
            shape.push(c);
        }
    }
    shape.replace("#.#", "#")
}
