//! The isotherm curve against the equation it stands for.

use crate::data::{Worst, air, breathing_gases};

/// Off-node points from 200 to 600 K and to 500 bar; h on the scale of R·T.
#[test]
fn density_and_enthalpy_within_one_in_a_million() {
    let (mut rho, mut h) = (Worst::new("rho", 1e-6), Worst::new("h", 1e-6));
    for (name, gas) in breathing_gases() {
        let r = gas.composition().specific_gas_constant();
        for t in [200.0, 215.0, 250.0, 293.15, 350.0, 420.0, 500.0, 600.0] {
            let curve = gas.isotherm(t).unwrap();
            assert_eq!(curve.t_k(), t);
            for k in 0..700 {
                let p = 500e5 * (f64::from(k) + 0.618) / 700.0;
                let (point, state) = (curve.at(p).unwrap(), gas.state_p_t(p, t).unwrap());
                rho.see(point.rho, state.rho, state.rho, || {
                    format!("{name} {t} K {p} Pa")
                });
                h.see(point.h, state.h, r * t, || format!("{name} {t} K {p} Pa"));
            }
        }
    }
    rho.check();
    h.check();
}

/// The slopes handed out are those of the curve itself, across nodes too.
#[test]
fn slopes_are_those_of_the_curve() {
    let curve = air().isotherm(300.0).unwrap();
    let (mut rho, mut h) = (Worst::new("drho/dp", 1e-6), Worst::new("dh/dp", 1e-6));
    for k in 0..3000 {
        let p = 500e5 * (f64::from(k) + 0.5) / 3000.0;
        let (a, point, b) = (
            curve.at(p - 50.0).unwrap(),
            curve.at(p).unwrap(),
            curve.at(p + 50.0).unwrap(),
        );
        let place = || format!("{p} Pa");
        rho.see(
            point.drho_dp,
            (b.rho - a.rho) / 100.0,
            1.0 / (287.0 * 300.0),
            place,
        );
        h.see(point.dh_dp, (b.h - a.h) / 100.0, 1e-3, place);
    }
    rho.check();
    h.check();
}

/// At zero pressure density is zero and the slope is 1/(R·T); outside the
/// curve there is nothing.
#[test]
fn ends_of_the_curve() {
    let gas = air();
    let curve = gas.isotherm(300.0).unwrap();
    let zero = curve.at(0.0).unwrap();
    let rt = gas.composition().specific_gas_constant() * 300.0;
    assert_eq!(zero.rho, 0.0);
    assert!((zero.drho_dp * rt - 1.0).abs() < 1e-8);
    assert!(curve.at(500e5).is_some());
    for p in [-1.0, 500.1e5, f64::NAN, f64::INFINITY] {
        assert_eq!(curve.at(p), None, "{p}");
    }
}
