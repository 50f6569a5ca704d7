//! `cargo xtask tidy` checks the repository's invariants; `cargo xtask bless`
//! records the snapshots again. Nothing here is part of the program.
#![allow(
    clippy::print_stdout,
    clippy::print_stderr,
    reason = "a command's answer goes to the terminal"
)]

mod bless;
mod failure;
mod rust;
mod tidy;
mod tree;

use std::path::PathBuf;
use std::process::ExitCode;

const USAGE: &str = "\
usage: cargo xtask <command>

  tidy    check the repository's invariants; one line for each failure
  bless   run the tests and record every snapshot as it now is";

fn main() -> ExitCode {
    match std::env::args().nth(1).as_deref() {
        Some("tidy") => tidy::run(&root()),
        Some("bless") => bless::run(&root()),
        _ => {
            eprintln!("{USAGE}");
            ExitCode::from(2)
        }
    }
}

/// The repository: one above this crate when cargo runs it, else here.
fn root() -> PathBuf {
    std::env::var_os("CARGO_MANIFEST_DIR")
        .and_then(|xtask| PathBuf::from(xtask).parent().map(PathBuf::from))
        .unwrap_or_else(|| PathBuf::from("."))
}
