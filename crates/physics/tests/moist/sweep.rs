//! Sweeps of the whole range: finite, ordered, and right in the limits.

use physics::moist::{
    ICE_T_RANGE_K, LIQUID_T_RANGE_K, P_RANGE_PA, Phase, ideal_mole_fraction, relative_uncertainty,
};

use crate::data::{BAR, air, kelvin};

/// Pressures from end to end, evenly in their root.
fn pressures() -> Vec<f64> {
    let (low, high) = (P_RANGE_PA.0.sqrt(), P_RANGE_PA.1.sqrt());
    let at = |k: i32| (low + (high - low) * f64::from(k) / 60.0).powi(2);
    (0..=60)
        .map(|k| at(k).clamp(P_RANGE_PA.0, P_RANGE_PA.1))
        .collect()
}

fn temperatures((low, high): (f64, f64)) -> Vec<f64> {
    let at = |k: i32| low + (high - low) * f64::from(k) / 50.0;
    (0..=50).map(|k| at(k).clamp(low, high)).collect()
}

/// Warmer air holds more, and more than the ideal gas does, at any pressure.
#[test]
fn rises_with_temperature() {
    let moist = air();
    for phase in [Phase::Liquid, Phase::Ice, Phase::Stable] {
        for p_pa in pressures() {
            let mut last = 0.0;
            for t_k in temperatures(phase.t_range_k()) {
                let here = moist.saturated(p_pa, t_k, phase).unwrap();
                let y = here.mole_fraction;
                assert!(y > last && y < 1.0, "{phase:?} {t_k} K {p_pa} Pa: {here:?}");
                assert!(
                    here.enhancement > 1.0,
                    "{phase:?} {t_k} K {p_pa} Pa: {here:?}"
                );
                assert_ne!(here.phase, Phase::Stable);
                last = y;
            }
        }
    }
}

/// Pressed air holds less per mole, until above 80 bar the curve flattens and,
/// in the cold, turns up; y·p, the density of vapour, always rises.
#[test]
fn falls_with_pressure() {
    let moist = air();
    for (phase, range) in [
        (Phase::Liquid, LIQUID_T_RANGE_K),
        (Phase::Ice, ICE_T_RANGE_K),
    ] {
        for t_k in temperatures(range) {
            let mut last: Option<(f64, f64)> = None;
            for p_pa in pressures() {
                let y = moist.saturated(p_pa, t_k, phase).unwrap().mole_fraction;
                if let Some((y0, p0)) = last {
                    assert!(y < y0 || p_pa > 80.0 * BAR, "{t_k} K {p_pa} Pa");
                    assert!(y * p_pa > y0 * p0, "{t_k} K {p_pa} Pa");
                }
                last = Some((y, p_pa));
            }
        }
    }
}

/// The thinner the air, the closer to ideal: at 0.5 bar within 1 %.
#[test]
fn nearly_ideal_when_thin() {
    for t_k in temperatures((kelvin(-80.0), kelvin(60.0))) {
        let real = air().saturated(P_RANGE_PA.0, t_k, Phase::Stable).unwrap();
        let ideal = ideal_mole_fraction(P_RANGE_PA.0, t_k, Phase::Stable).unwrap();
        assert!(
            (real.mole_fraction / ideal - 1.0).abs() < 0.01,
            "{t_k} K: {real:?}"
        );
    }
}

/// Ice melts at 0.01 °C at the triple point, 0.0 °C at 1 atm (dissolved air)
/// and some 7.4 K lower per 1000 bar (Clapeyron; handbook), air dissolved
/// adding a little.
#[test]
fn melting_moves_with_pressure() {
    let moist = air();
    let stable = |bar: f64, t_c: f64| moist.saturated(bar * BAR, kelvin(t_c), Phase::Stable);
    for (bar, frozen_c, melted_c) in [(1.0, -0.05, 0.005), (400.0, -4.5, -2.5)] {
        assert_eq!(
            stable(bar, frozen_c).unwrap().phase,
            Phase::Ice,
            "{bar} bar"
        );
        assert_eq!(
            stable(bar, melted_c).unwrap().phase,
            Phase::Liquid,
            "{bar} bar"
        );
    }
}

/// The uncertainties the method is published and judged with, warm; never less
/// with more pressure or more cold.
#[test]
fn uncertainty_as_stated() {
    for (bar, u) in [
        (1.0, 0.003),
        (20.0, 0.003),
        (50.0, 0.005),
        (100.0, 0.015),
        (232.0, 0.05),
        (350.0, 0.08),
        (450.0, 0.11),
    ] {
        let ours = relative_uncertainty(bar * BAR, kelvin(20.0));
        assert!((ours - u).abs() < 1e-12, "{bar} bar: {ours}");
        assert!(relative_uncertainty(bar * BAR, kelvin(-30.0)) >= ours);
    }
    for pair in pressures().windows(2) {
        let [a, b] = [pair[0], pair[1]].map(|p| relative_uncertainty(p, kelvin(-60.0)));
        assert!(b >= a && b < 0.25, "{a} {b}");
    }
}
