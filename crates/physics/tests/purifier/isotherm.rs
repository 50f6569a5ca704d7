//! The isotherm: published parameters, limits, its inverse.

use super::sieve;
use physics::purifier::{ADSORBENTS, WATER_KG_MOL, adsorbent_named};
use proptest::prelude::*;

/// Wang & LeVan, J. Chem. Eng. Data 54 (2009) 2839, their equation evaluated
/// by hand with their 13X parameters, to the digits shown.
#[test]
fn wang_levan_13x() {
    let rows = [
        (298.15, [3.633, 7.605, 11.117, 13.241]),
        (313.15, [2.165, 5.658, 9.615, 12.409]),
    ];
    for (t_k, loads) in rows {
        let isotherm = sieve().isotherm.at(t_k);
        for (p_kpa, expected) in [0.001, 0.01, 0.1, 1.0].into_iter().zip(loads) {
            let q = isotherm.loading(p_kpa);
            assert!(
                (q - expected).abs() < 6e-4,
                "{t_k} K, {p_kpa} kPa: {q}, by hand {expected} mol/kg"
            );
        }
    }
}

/// The usual figure for 13X at 25 °C and 1 kPa is some 24 per cent by mass.
#[test]
fn a_quarter_of_its_mass() {
    let share = sieve().isotherm.at(298.15).loading(1.0) * WATER_KG_MOL;
    assert!((share - 0.2385).abs() < 1e-4, "{share}");
}

/// Zero-load heat of water on 13X: R·E = 57.0 kJ/mol, within the 50-60 kJ/mol
/// usually given for zeolites. Checked against the slope of ln p over 1/T.
#[test]
fn heat_of_adsorption() {
    let toth = sieve().isotherm;
    let heat = toth.heat_at_zero_loading();
    assert!((heat / 1e3 - 57.0).abs() < 0.05, "{heat}");
    let log_p = |t_k: f64| toth.at(t_k).pressure(1e-9).unwrap().ln();
    let slope = -8.314_462_618 * (log_p(299.0) - log_p(297.0)) / (1.0 / 299.0 - 1.0 / 297.0);
    assert!((slope / heat - 1.0).abs() < 1e-3, "{slope} against {heat}");
}

/// q → a·p at low, a/b at high pressure, whatever the temperature.
#[test]
fn limits() {
    for adsorbent in &ADSORBENTS {
        for t_k in [273.15, 313.15, 373.15] {
            let isotherm = adsorbent.isotherm.at(t_k);
            let low = 1e-90;
            let henry = isotherm.loading(low) / low / isotherm.henry();
            assert!((henry - 1.0).abs() < 1e-8, "{}: {henry}", adsorbent.name);
            assert!((isotherm.slope(0.0) / isotherm.henry() - 1.0).abs() < 1e-15);
            let full = isotherm.loading(1e90) / isotherm.saturation();
            assert!((full - 1.0).abs() < 1e-9, "{}: {full}", adsorbent.name);
            let ratio = adsorbent.isotherm.a0 / adsorbent.isotherm.b0;
            assert!((isotherm.saturation() / ratio - 1.0).abs() < 1e-15);
            assert!(isotherm.pressure(isotherm.saturation()).is_none());
        }
    }
}

/// The fitted range, 0-100 °C and up to saturation: finite, rising with
/// pressure at a falling slope, falling with temperature.
#[test]
fn sweep() {
    for adsorbent in &ADSORBENTS {
        for t_c in 0..100 {
            let here = adsorbent.isotherm.at(273.15 + f64::from(t_c));
            let warmer = adsorbent.isotherm.at(274.15 + f64::from(t_c));
            let mut last = (0.0, f64::INFINITY);
            for step in -160..=40 {
                let p = 10_f64.powf(f64::from(step) / 20.0);
                let (q, slope) = (here.loading(p), here.slope(p));
                assert!(q > last.0 && q < here.saturation(), "{t_c} {p} {q}");
                assert!(slope < last.1 && slope > 0.0, "{t_c} {p} {slope}");
                assert!(warmer.loading(p) < q, "{t_c} {p}");
                last = (q, slope);
            }
        }
    }
}

#[test]
fn names() {
    assert_eq!(adsorbent_named(" 13X ").map(|a| a.name), Some("13X".into()));
    assert_eq!(adsorbent_named("5a").map(|a| a.name), Some("5A".into()));
    assert_eq!(adsorbent_named("rice"), None);
}

proptest! {
    /// Loading and pressure undo each other; the slope is the derivative.
    #[test]
    fn inverse_and_slope(log_p in -10.0..1.5f64, t_k in 273.15..373.15f64, which in 0..2usize) {
        let isotherm = ADSORBENTS[which].isotherm.at(t_k);
        let p = 10_f64.powf(log_p);
        let back = isotherm.pressure(isotherm.loading(p)).unwrap();
        prop_assert!((back / p - 1.0).abs() < 1e-9, "{} {}", p, back);
        let h = 1e-5 * p;
        let slope = (isotherm.loading(p + h) - isotherm.loading(p - h)) / (2.0 * h);
        prop_assert!((isotherm.slope(p) / slope - 1.0).abs() < 1e-6);
    }
}
