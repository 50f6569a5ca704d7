//! How good the diagnosis is: known faults, readings with errors, what it makes of them.
//!
//! `cargo run --release -p insight --example trial -- [each] [seed] [readings]` makes `each` cases
//! of every fault on the boathouse station: the machine differs from its file within the
//! tolerances, the gauges err within their class, the watch is not exact. It prints hit rates,
//! calibration and how often the 90 % intervals hold the truth. Results are in BENCHMARKS.md.

mod case;
mod score;

use case::{Kind, make};
use score::Score;

fn main() {
    let mut arguments = std::env::args().skip(1);
    let mut number = |otherwise: u64| {
        let given = arguments.next().and_then(|a| a.parse().ok());
        given.unwrap_or(otherwise)
    };
    let (each, seed, readings) = (number(20), number(1), number(8));
    let text = include_str!("../../../../stations/boathouse.toml");
    let Some(station) = station::read(text).station else {
        return;
    };
    let mut score = Score::default();
    for kind in Kind::ALL {
        for i in 0..each {
            let seed = seed.wrapping_mul(1_000_003).wrapping_add(i);
            let Some(case) = make(&station, kind, readings as usize, seed) else {
                continue;
            };
            let begun = std::time::Instant::now();
            match insight::diagnose::diagnose(&station, &case.request, &|_| {}) {
                Ok(answer) => { if std::env::var("LOUD").is_ok() { eprintln!("{} {:.2} s {} runs {:?}", kind.id(), begun.elapsed().as_secs_f64(), answer.runs, answer.causes.iter().take(3).map(|c| (c.id.clone(), (c.probability*100.0).round())).collect::<Vec<_>>()); } score.add(kind, &case, &answer, begun.elapsed().as_secs_f64()) }
                Err(error) => eprintln!("{}: {error}", kind.id()),
            }
        }
        eprintln!("{}", score.line(kind));
    }
    println!("{}", score.table());
}
