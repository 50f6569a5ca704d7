//! Water held by compressed air: by the method itself, and by the table the ledger uses.

use divan::{Bencher, black_box};
use physics::gas::Gas;
use physics::moist::{Moist, MoistTable, Phase};

fn main() {
    divan::main();
}

fn moist() -> Option<Moist> {
    Moist::new(&Gas::air()).ok()
}

/// Saturated air at 232 bar and 30 °C, the whole method.
#[divan::bench]
fn direct(bencher: Bencher) {
    let moist = moist();
    bencher.bench(|| {
        moist
            .as_ref()
            .map(|m| m.saturated(black_box(233e5), 303.15, Phase::Liquid))
    });
}

/// The same from the table.
#[divan::bench]
fn table(bencher: Bencher) {
    let table = moist().and_then(|m| MoistTable::new(&m, Phase::Liquid).ok());
    bencher.bench(|| {
        table
            .as_ref()
            .and_then(|t| t.y_sat(black_box(233e5), black_box(303.15)))
    });
}
