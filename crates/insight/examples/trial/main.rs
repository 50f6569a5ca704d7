//! How good the diagnosis is: known faults, readings with errors, what it makes of them.
//!
//! `cargo run --release -p insight --example trial -- [each] [seed] [readings] [ears]` makes `each` cases
//! of every fault on the boathouse station: the machine differs from its file within the
//! tolerances, the gauges err within their class, the watch is not exact. With `ears` 1 somebody
//! beside the machine hears, four times in five, where air is lost. It prints hit rates,
//! calibration and how often the 90 % intervals hold the truth. `-- next [each] [seed]` asks instead
//! what one more reading is worth: the one suggested, one at random, one more of the same.
//! Results are in BENCHMARKS.md. `LOUD=1` tells every case that was not found at once, `LOUD=all`
//! every case, `ONLY=slow_delivery` makes cases of one fault alone.

#![allow(clippy::print_stdout, clippy::print_stderr)]

mod case;
mod next;
mod score;

use case::{Kind, make};
use score::Score;

fn main() {
    let mut arguments = std::env::args().skip(1);
    let mut number = |otherwise: u64| {
        let given = arguments.next().and_then(|a| a.parse().ok());
        given.unwrap_or(otherwise)
    };
    let (each, seed, readings, ears) = (number(20), number(1), number(8), number(1));
    if std::env::args().any(|a| a == "next") {
        return next::main();
    }
    let text = include_str!("../../../../stations/boathouse.toml");
    let Some(station) = station::read(text).station else {
        return;
    };
    let mut score = Score::default();
    let only = std::env::var("ONLY").ok();
    for kind in Kind::ALL {
        if only.as_ref().is_some_and(|o| o != kind.id()) {
            continue;
        }
        for i in 0..each {
            let seed = seed.wrapping_mul(1_000_003).wrapping_add(i);
            let Some(case) = make(&station, kind, readings as usize, ears > 0, seed) else {
                continue;
            };
            let begun = std::time::Instant::now();
            match insight::diagnose::diagnose(&station, &case.request, &|_| {}) {
                Ok(answer) => {
                    if std::env::var("LOUD").is_ok() {
                        loud(kind, &case, &answer);
                    }
                    score.add(kind, &case, &answer, begun.elapsed().as_secs_f64());
                }
                Err(error) => eprintln!("{}: {error}", kind.id()),
            }
        }
        eprintln!("{}", score.line(kind));
    }
    println!("{}", score.table());
}

/// One case in full, where it was not found at once.
fn loud(kind: Kind, case: &case::Case, answer: &insight::diagnose::answer::Diagnosis) {
    let all = std::env::var("LOUD").is_ok_and(|v| v == "all");
    if !all && answer.causes.first().is_some_and(|c| c.id == kind.id()) {
        return;
    }
    for (name, truth) in &case.truth {
        let found = answer.settings.iter().find(|s| s.name == *name);
        eprintln!(
            "   truth {name} {truth:.1}: {:?} {:?}",
            found.and_then(|f| f.low),
            found.and_then(|f| f.high)
        );
    }
    eprintln!("{}: {:?} {:?}", kind.id(), case.what, answer.standing);
    for cause in answer.causes.iter().take(4) {
        eprintln!("   {:.2} {} {:?}", cause.probability, cause.id, cause.size);
    }
    for r in &answer.readings {
        eprintln!(
            "   {:6.0} s {:12} {:6.1} fitted {:6.1} specified {:6.1} sd {:.1}",
            r.t_s, r.gauge, r.bar, r.fitted_bar, r.specified_bar, r.sd_bar
        );
    }
}
