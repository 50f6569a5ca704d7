//! The same cases for this engine and for the independent model: events and
//! time of each run as one line of JSON, for `benches/against_python.py`.
//!
//! `cargo bench -p physics --bench side_by_side -- 1e-4 case.json ...`
//! Not here: the comparison itself. Without arguments nothing is run.

#![allow(
    clippy::print_stdout,
    reason = "its output is read by the comparing script"
)]

#[path = "../examples/replay/case.rs"]
mod case;
#[path = "../examples/replay/operate.rs"]
mod operate;
#[path = "../examples/replay/report.rs"]
mod report;

use case::Case;
use std::hint::black_box;
use std::time::Instant;

/// Runs of which the shortest and the median time are given.
const RUNS: usize = 101;

fn main() -> Result<(), String> {
    let words: Vec<String> = std::env::args().skip(1).collect();
    // cargo itself adds `--bench`
    let mut words = words.iter().filter(|word| !word.starts_with("--"));
    let Some(tolerance) = words.next() else {
        return Ok(());
    };
    let tolerance = tolerance.parse().map_err(|_| "tolerance: not a number")?;
    for path in words {
        let text = std::fs::read_to_string(path).map_err(|e| format!("{path}: {e}"))?;
        let json = serde_json::from_str(&text).map_err(|e| format!("{path}: {e}"))?;
        let case = Case {
            tolerance,
            ..Case::read(&json)?
        };
        println!("{}", measure(&case)?);
    }
    Ok(())
}

fn measure(case: &Case) -> Result<serde_json::Value, String> {
    let mut result = report::json(case, &operate::run(case)?);
    let mut seconds = Vec::with_capacity(RUNS);
    for _ in 0..RUNS {
        let started = Instant::now();
        black_box(operate::run(black_box(case))?);
        seconds.push(started.elapsed().as_secs_f64());
    }
    seconds.sort_by(f64::total_cmp);
    result["seconds"] = serde_json::json!({"least": seconds[0], "median": seconds[RUNS / 2]});
    result["samples"] = result["samples"].as_array().map_or(0, Vec::len).into();
    Ok(result)
}
