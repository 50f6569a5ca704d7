//! The fast table against the method.

use physics::moist::{MoistTable, Phase};

use crate::data::{BAR, air, kelvin};

/// Off the nodes everywhere, and at the corners: within 1e-3.
#[test]
fn table_keeps_to_the_method() {
    let moist = air();
    for phase in [Phase::Liquid, Phase::Ice, Phase::Stable] {
        let table = MoistTable::new(&moist, phase).unwrap();
        let (low, high) = phase.t_range_k();
        let (mut worst, mut place) = (0.0, (0.0, 0.0));
        for i in 0..=97 {
            let root = (0.5 * BAR).sqrt()
                + ((450.0 * BAR).sqrt() - (0.5 * BAR).sqrt()) * f64::from(i) / 97.0;
            let p_pa = (root * root).clamp(0.5 * BAR, 450.0 * BAR);
            for k in 0..=71 {
                let t_k = (low + (high - low) * f64::from(k) / 71.0).min(high);
                let direct = moist.saturated(p_pa, t_k, phase).unwrap().mole_fraction;
                let off = (table.y_sat(p_pa, t_k).unwrap() / direct - 1.0).abs();
                assert!(off.is_finite(), "{p_pa} Pa {t_k} K");
                if off > worst {
                    (worst, place) = (off, (p_pa, t_k));
                }
            }
        }
        println!("{phase:?} {worst:e} {place:?}");
        assert!(
            worst > 0.0 && worst < 1e-3,
            "{phase:?}: {worst} at {place:?}"
        );
    }
}

/// Value and slope do not jump where cells meet.
#[test]
fn table_is_smooth() {
    let table = MoistTable::new(&air(), Phase::Liquid).unwrap();
    let ln = |p: f64, t: f64| (table.y_sat(p, t).unwrap() * p).ln();
    for t_c in [-16.0, 0.0, 20.0, 40.0, 76.0] {
        let slope = |from: f64| {
            (ln(300.0 * BAR, kelvin(from + 1e-3)) - ln(300.0 * BAR, kelvin(from))) / 1e-3
        };
        let (left, right) = (slope(t_c - 1e-3), slope(t_c));
        assert!((left - right).abs() < 1e-5, "{t_c} °C: {left} {right}");
    }
}
