//! Replays a case of the independent model: reads a case file, runs it in this
//! engine and prints events, samples and balances in that model's result form.
//!
//! `cargo run --release -p physics --example replay -- case.json`

#![allow(clippy::print_stdout, clippy::print_stderr)]

mod case;
mod operate;
mod report;

use std::process::ExitCode;

fn main() -> ExitCode {
    let Some(path) = std::env::args().nth(1) else {
        eprintln!("usage: replay CASE.json");
        return ExitCode::from(2);
    };
    match replay(&path) {
        Ok(text) => {
            println!("{text}");
            ExitCode::SUCCESS
        }
        Err(error) => {
            eprintln!("{path}: {error}");
            ExitCode::from(2)
        }
    }
}

fn replay(path: &str) -> Result<String, String> {
    let text = std::fs::read_to_string(path).map_err(|e| e.to_string())?;
    let json: serde_json::Value = serde_json::from_str(&text).map_err(|e| e.to_string())?;
    let case = case::Case::read(&json)?;
    let result = operate::run(&case)?;
    serde_json::to_string_pretty(&report::json(&case, &result)).map_err(|e| e.to_string())
}
