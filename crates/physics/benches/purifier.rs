//! Drying bed: 500 h of running through 100 cells, and what is asked of it.

use physics::purifier::{
    Bed, Feed, Packing, Rest, Spread, adsorbent_named, remaining, remaining_range,
};

fn main() {
    divan::main();
}

const HOUR: f64 = 3600.0;

/// 100 L/min of free air, saturated at 20 °C and 300 bar(g).
const FEED: Feed = Feed {
    air_mol_s: 0.0668,
    water_fraction: 1.864e-4,
    p_pa: 301.013e5,
    t_k: 293.15,
    enhancement: 2.398,
};

fn bed(mass_kg: f64) -> Option<Bed> {
    let adsorbent = adsorbent_named("13X")?;
    Bed::fresh(adsorbent, Packing::new(mass_kg, 0.4), 0.01).ok()
}

/// 500 h in one pass: the whole front through a bed of 1.5 kg.
#[divan::bench]
fn run_500_hours(bencher: divan::Bencher) {
    bencher
        .with_inputs(|| bed(1.5))
        .bench_values(|bed| bed.and_then(|mut bed| bed.pass(&FEED, 500.0 * HOUR).ok()));
}

/// 500 h in passes of half an hour, as a log of fills gives them.
#[divan::bench]
fn run_1000_half_hours(bencher: divan::Bencher) {
    bencher.with_inputs(|| bed(1.5)).bench_values(|bed| {
        bed.map(|mut bed| {
            (0..1000)
                .filter_map(|_| bed.pass(&FEED, 0.5 * HOUR).ok())
                .map(|passed| passed.out_mol)
                .sum::<f64>()
        })
    });
}

/// A month of standing half wet and open.
#[divan::bench]
fn rest_a_month(bencher: divan::Bencher) {
    let half = bed(0.3).and_then(|mut bed| bed.pass(&FEED, 30.0 * HOUR).ok().map(|_| bed));
    let rest = Rest {
        p_pa: 101_325.0,
        t_k: 293.15,
        enhancement: 1.0,
    };
    bencher
        .with_inputs(|| half.clone())
        .bench_values(|bed| bed.and_then(|mut bed| bed.rest(&rest, 720.0 * HOUR).ok()));
}

/// Hours left of a fresh bed.
#[divan::bench]
fn hours_left(bencher: divan::Bencher) {
    bencher
        .with_inputs(|| bed(0.3))
        .bench_values(|bed| bed.map(|bed| remaining(&bed, &FEED, 33.4e-6, 1e8)));
}

/// Hours left as a range.
#[divan::bench]
fn hours_left_range(bencher: divan::Bencher) {
    bencher.with_inputs(|| bed(0.3)).bench_values(|bed| {
        bed.map(|bed| remaining_range(&bed, &FEED, 33.4e-6, 1e8, &Spread::IN_SERVICE))
    });
}
