//! Time of whole runs: the cases that an independent model has also run.
//!
//! From a plant at rest to the finished answer (events, samples, balance), the
//! gas table given. `s1`: one cylinder from 50 to 232 bar, then 8 h of cooling,
//! a reading every 120 s. `s3`: nobody stops the machine and the relief valve
//! pops 39 times. Work done is checked in `src/sim/tests/reporting.rs`.

#![allow(clippy::unwrap_used, reason = "a bench that cannot begin stops")]

#[allow(dead_code, reason = "the replay example uses more of it")]
#[path = "../examples/replay/case.rs"]
mod case;
#[allow(dead_code, reason = "the replay example uses more of it")]
#[path = "../examples/replay/operate.rs"]
mod operate;

use case::Case;
use divan::Bencher;
use std::path::Path;

const TOLERANCES: [f64; 4] = [1e-4, 3e-5, 1e-5, 1e-6];

fn main() {
    divan::main();
}

fn case(name: &str, tolerance: f64) -> Case {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/independent-model");
    let text = std::fs::read_to_string(folder.join(name)).unwrap();
    let json = serde_json::from_str(&text).unwrap();
    Case {
        tolerance,
        ..Case::read(&json).unwrap()
    }
}

#[divan::bench(args = TOLERANCES)]
fn s1_fill_and_8_h_of_cooling(bencher: Bencher, tolerance: f64) {
    let case = case("s1_normal_fill.json", tolerance);
    bencher.bench(|| operate::run(&case).unwrap());
}

#[divan::bench(args = TOLERANCES)]
fn s1_without_samples(bencher: Bencher, tolerance: f64) {
    let mut case = case("s1_normal_fill.json", tolerance);
    case.sample_every_s = 0.0;
    bencher.bench(|| operate::run(&case).unwrap());
}

#[divan::bench(args = TOLERANCES)]
fn s3_forgotten_operator(bencher: Bencher, tolerance: f64) {
    let case = case("s3_forgotten_operator.json", tolerance);
    bencher.bench(|| operate::run(&case).unwrap());
}
