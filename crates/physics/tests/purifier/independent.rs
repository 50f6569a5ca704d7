//! The column against an independent integration of the same bed by
//! general-purpose solvers (scipy), extrapolated to fine cells:
//! `breakthrough.py` makes `breakthrough.csv`.

use super::{hot_300_bar, sieve};
use physics::purifier::{Adsorbent, Bed, Packing, Transfer, WATER_KG_MOL};

/// k, 1/s; hours; outlet over inlet; water held, mol.
fn rows() -> Vec<[f64; 4]> {
    include_str!("breakthrough.csv")
        .lines()
        .filter(|line| !line.starts_with(['#', 'k']))
        .map(|line| {
            let mut numbers = line.split(',').map(|n| n.parse().unwrap());
            std::array::from_fn(|_| numbers.next().unwrap())
        })
        .collect()
}

fn bed(k: f64) -> Bed {
    let adsorbent = Adsorbent {
        transfer: Transfer::Constant(k),
        ..sieve()
    };
    Bed::fresh(adsorbent, Packing::new(0.2, 0.2), 0.0).unwrap()
}

/// A hundred cells and steps of the bed's own choice: the outlet within
/// 0.4 per cent of the feed, the water held within 0.05 per cent.
#[test]
fn agrees_with_scipy() {
    let feed = hot_300_bar();
    for [k, hours, share, held] in rows() {
        let mut bed = bed(k);
        bed.pass(&feed, hours * 3600.0 - 30.0).unwrap();
        let first = bed.pass(&feed, 30.0).unwrap();
        let water = bed.held_kg() / WATER_KG_MOL;
        let second = bed.pass(&feed, 30.0).unwrap();
        let found = (first.out_mol + second.out_mol) / (first.in_mol + second.in_mol);
        assert!(
            (found - share).abs() < 0.004,
            "k {k}, {hours} h: {found}, theirs {share}"
        );
        assert!(
            (water / held - 1.0).abs() < 0.0005,
            "k {k}, {hours} h: {water} mol, theirs {held}"
        );
    }
}
