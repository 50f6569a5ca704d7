//! The teaching bench: a second of bench time, a fault put in, and what two hundred benches at ten
//! times the speed ask of the machine in one second.

use divan::Bencher;
use insight::bench::{Begin, Bench, Setting, Wrong};
use std::sync::Arc;

fn main() {
    divan::main();
}

fn bench() -> Option<Bench> {
    let text = include_str!("../../../stations/boathouse.toml");
    let station = Arc::new(station::read(text).station?);
    let setting = Setting::of(&station).ok()?;
    Bench::new(&station, setting, Begin::Running, Vec::new()).ok()
}

/// Setting one up.
#[divan::bench]
fn set_up() -> Option<Bench> {
    bench()
}

/// A minute of bench time: sixty seconds, each stepped, its water followed, its trace kept.
#[divan::bench]
fn a_minute(bencher: Bencher) {
    bencher.with_inputs(bench).bench_local_values(|bench| {
        let mut bench = bench?;
        bench.advance(60);
        Some(bench)
    });
}

/// Two hundred benches at ten times the speed, for one second: the share of a core it takes is the time shown.
#[divan::bench(sample_count = 10)]
fn two_hundred_for_a_second(bencher: Bencher) {
    let many = || -> Vec<Bench> { std::iter::repeat_n(bench(), 200).flatten().collect() };
    bencher.with_inputs(many).bench_local_values(|mut many| {
        for bench in &mut many {
            bench.advance(10);
        }
        many
    });
}

/// A fault put in while it runs.
#[divan::bench]
fn put_in(bencher: Bencher) {
    bencher.with_inputs(bench).bench_local_values(|bench| {
        let mut bench = bench?;
        let wrong = Wrong::named("whip-leak", bench.original()).ok()?;
        bench.put_in(wrong, false).ok()?;
        Some(bench)
    });
}
