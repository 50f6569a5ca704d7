//! Time to prepare a compressor: sizing, one operating point, the tabulation
//! that every forecast begins with.

#![allow(clippy::unwrap_used, reason = "a bench that cannot begin stops")]

use divan::{Bencher, black_box};
use physics::gas::{Composition, Gas};
use physics::machine::{Arriving, Delivery, Sizing, Train, sized_for};
use std::sync::Arc;

const INTAKE_PA: f64 = 101_325.0;

fn main() {
    divan::main();
}

/// Stages to 225 bar gauge at 2 g/s (about 100 L/min), 20 °C, cooled to 30 °C.
fn train(gas: &Gas, stages: u32) -> Train {
    let sizing = Sizing {
        stages,
        mass: 0.002,
        intake_pa: INTAKE_PA,
        working_pa: 226e5,
        intake_k: 293.15,
        cooled_k: 303.15,
        clearance: 0.05,
        n: 1.3,
    };
    sized_for(gas, sizing).unwrap()
}

#[divan::bench(args = [2, 3, 4])]
fn size(bencher: Bencher, stages: u32) {
    let gas = Gas::new(Composition::dry_air());
    bencher.bench(|| train(black_box(&gas), stages));
}

#[divan::bench(args = [2, 3, 4])]
fn operating_point(bencher: Bencher, stages: u32) {
    let train = train(&Gas::new(Composition::dry_air()), stages);
    bencher.bench(|| train.operating_point(black_box(INTAKE_PA), black_box(226e5)));
}

/// Flow, power, interstage pressures and temperatures over all tower pressures.
#[divan::bench(args = [2, 3, 4])]
fn tabulate(bencher: Bencher, stages: u32) {
    let gas = Gas::new(Composition::dry_air());
    let train = train(&gas, stages);
    let arriving = Arriving::at_one(Arc::new(gas.isotherm(303.15).unwrap()));
    bencher
        .with_inputs(|| arriving.clone())
        .bench_values(|arriving| Delivery::of_train(&train, INTAKE_PA, 490e5, arriving).unwrap());
}
