//! What one more reading is worth, after four.

use super::case::{Case, Kind, make};
use insight::diagnose::answer::Diagnosis;
use insight::diagnose::diagnose;
use insight::diagnose::request::gauge_called;
use rand::{RngExt as _, SeedableRng};
use rand_pcg::Pcg64Mcg;
use station::{Reads, Station};

/// Faults that four readings from the first minutes on leave open.
const KINDS: [Kind; 10] = [
    Kind::Healthy,
    Kind::Slow,
    Kind::PmvEarly,
    Kind::PmvDoesNotHold,
    Kind::ReliefEarly,
    Kind::TowerLeak,
    Kind::WhipLeak,
    Kind::TowerGaugeHigh,
    Kind::LineGaugeLow,
    Kind::PmvLate,
];
const FIRST: usize = 4;

/// What is counted for one way to choose.
#[derive(Default)]
struct Way {
    first: usize,
    log_score: f64,
    cases: usize,
}

impl Way {
    fn add(&mut self, kind: Kind, answer: &Diagnosis) {
        let found = answer.causes.iter().find(|c| c.id == kind.id());
        self.log_score += found.map_or(0.005, |c| c.probability).max(0.005).log2();
        self.first += usize::from(answer.causes.first().is_some_and(|c| c.id == kind.id()));
        self.cases += 1;
    }

    fn line(&self, name: &str) -> String {
        let n = self.cases.max(1) as f64;
        format!(
            "| {name} | {} | {:.0} % | {:.2} |",
            self.cases,
            100.0 * self.first as f64 / n,
            -self.log_score / n
        )
    }
}

pub fn main() {
    let mut numbers = std::env::args()
        .skip(2)
        .filter_map(|a| a.parse::<u64>().ok());
    let (each, seed) = (numbers.next().unwrap_or(10), numbers.next().unwrap_or(1));
    let text = include_str!("../../../../stations/boathouse.toml");
    let Some(station) = station::read(text).station else {
        return;
    };
    let mut ways: [Way; 4] = Default::default();
    for kind in KINDS {
        for i in 0..each {
            let seed = seed.wrapping_mul(7_000_003).wrapping_add(i);
            if let Some(case) = make(&station, kind, FIRST, false, seed) {
                one(&station, kind, &case, seed, &mut ways);
            }
        }
    }
    println!(
        "| after four readings, one more | cases | first | bits still missing |\n|---|---|---|---|"
    );
    for (way, name) in ways.iter().zip([
        "none",
        "as suggested",
        "at random",
        "the same gauge a minute later",
    ]) {
        println!("{}", way.line(name));
    }
}

fn one(station: &Station, kind: Kind, case: &Case, seed: u64, ways: &mut [Way; 4]) {
    let Ok(before) = diagnose(station, &case.request, &|_| {}) else {
        return;
    };
    let Some(next) = &before.next_reading else {
        return;
    };
    let last = case
        .request
        .readings
        .iter()
        .rev()
        .find_map(|r| Some((r.shown.as_ref()?.reads, r.t_s?)));
    let (Some(reads), Some((last_reads, last_s))) = (gauge_called(station, &next.gauge), last)
    else {
        return;
    };
    let mut dice = Pcg64Mcg::seed_from_u64(seed);
    let from = if next.again { 0.0 } else { last_s };
    let random = (
        if dice.random::<bool>() {
            Reads::Tower
        } else {
            Reads::Line
        },
        dice.random_range(from..case.length_s().max(from + 1.0)),
    );
    ways[0].add(kind, &before);
    let choices = [
        (reads, next.minute * 60.0),
        random,
        (last_reads, last_s + 60.0),
    ];
    for (way, (reads, t_s)) in ways[1..].iter_mut().zip(choices) {
        let mut request = case.request.clone();
        request
            .readings
            .push(case.more(station, reads, t_s, seed + 17));
        if let Ok(after) = diagnose(station, &request, &|_| {}) {
            way.add(kind, &after);
        }
    }
}
