//! Checks of flow against published worked examples and identities.

use super::*;
use proptest::prelude::*;

fn close(got: f64, want: f64, relative: f64, what: &str) {
    assert!(
        (got / want - 1.0).abs() < relative,
        "{what}: {got}, source says {want}"
    );
}

/// API 520 Part I, example 1, as quoted with its answer in the `fluids`
/// library's documentation of `API520_A_g`: 3699 mm².
#[test]
fn api_520_example_1() {
    let duty = ReliefDuty {
        flow_kg_h: 24270.0,
        t_k: 348.0,
        z: 0.90,
        molar_mass: 51.0,
        k: 1.11,
        p1_kpa: 670.0,
        kd: 0.975,
    };
    close(api_520_area(duty), 3699.046, 2e-6, "area");
    let flux = duty.flow_kg_h / 3600.0 / (api_520_area(duty) * 1e-6);
    close(flux, 1822.542, 2e-6, "flux");
}

/// The coefficient C: 1.35 from the `fluids` documentation of `API520_C`; the
/// others by the same formula in an independent calculation.
#[test]
fn api_520_coefficients() {
    for (k, c) in [
        (1.35, 0.0266942),
        (1.4, 0.0270332),
        (1.3, 0.0263435),
        (1.11, 0.0248901),
    ] {
        close(api_520_coefficient(k), c, 3e-6, "C");
    }
}

/// The API equation and the isentropic nozzle are the same physics: they agree
/// within the rounding of the printed constant (0.01 %).
#[test]
fn api_520_equals_the_nozzle() {
    let nozzle = choked_ideal_flow(100e-6, 1e6, 293.15, R_AIR, 1.4) * 3600.0;
    close(nozzle, 849.765, 2e-5, "nozzle");
    let duty = ReliefDuty {
        flow_kg_h: nozzle,
        t_k: 293.15,
        z: 1.0,
        molar_mass: 28.9647,
        k: 1.4,
        p1_kpa: 1000.0,
        kd: 1.0,
    };
    close(api_520_area(duty), 100.0, 1e-4, "area back");
}

/// Choked leak through a 1 mm round hole, textbook formula.
#[test]
fn choked_leaks() {
    let area = std::f64::consts::FRAC_PI_4 * 1e-6;
    for (p_bar, t_c, kg_s) in [(226.013, 20.0, 0.0419006), (331.013, 40.0, 0.0593745)] {
        let got = choked_ideal_flow(area, p_bar * 1e5, t_c + 273.15, R_AIR, 1.4);
        close(got, kg_s, 2e-5, "leak"); // R differs in the fifth figure
    }
}

/// The simulation's orifice, given the ideal density, is the textbook nozzle
/// (its smoothing takes 0.07 % off at 226 bar).
#[test]
fn orifice_is_the_textbook_nozzle_when_choked() {
    let (p, t) = (226.013e5, 293.15);
    let got = Orifice::round(1e-3, 1.0)
        .flow(p, p / (R_AIR * t), 1.013e5)
        .mass;
    close(got, 0.0419006, 1e-3, "choked orifice");
}

/// Closed form for a 12 L cylinder through 1 mm from 201.013 bar to 2 bar.
#[test]
fn isothermal_blowdown() {
    let area = std::f64::consts::FRAC_PI_4 * 1e-6;
    close(
        isothermal_blowdown_s(0.012, area, 293.15, 201.013e5, 2e5),
        354.6,
        2e-4,
        "time",
    );
    let tau = isothermal_blowdown_s(0.012, area, 293.15, std::f64::consts::E, 1.0);
    close(tau, 76.92, 1e-4, "time constant");
}

/// A subsonic point of the isentropic tables: NACA Report 1135, table I,
/// M = 0.5: p/p₀ = 0.8430, A/A* = 1.3398, so ṁ/ṁ* = 1/1.3398.
#[test]
fn subsonic_flow_follows_the_isentropic_table() {
    let (p1, rho1) = (1e9, 1000.0); // far above the smoothing pressure
    let orifice = Orifice { area_m2: 1.0 };
    let choked = orifice.flow(p1, rho1, 0.0).mass;
    let subsonic = orifice.flow(p1, rho1, 0.8430 * p1).mass;
    close(subsonic / choked, 1.0 / 1.3398, 2e-4, "flow at Mach 0.5");
}

/// The polynomial is the isentropic expression it stands for, with its slope.
#[test]
fn subsonic_polynomial_is_the_isentropic_expression() {
    for i in 1..=1000 {
        let drop = (1.0 - CRITICAL_RATIO) * f64::from(i) / 1000.0;
        let r = 1.0 - drop;
        let exact = (7.0 * (r.powf(10.0 / 7.0) - r.powf(12.0 / 7.0))).sqrt();
        let slope = (10.0 * r.powf(3.0 / 7.0) - 12.0 * r.powf(5.0 / 7.0)) / (2.0 * exact);
        let (psi, by_ratio) = subsonic_psi(drop);
        assert!(
            (psi / exact - 1.0).abs() < 1e-10,
            "r {r}: {psi} for {exact}"
        );
        assert!(
            (by_ratio - slope).abs() < 1e-7 * (1.0 + slope.abs()),
            "r {r}: {by_ratio} for {slope}"
        );
    }
}

proptest! {
    /// Slopes are the derivatives of the flow, choked or not, near rest or not.
    #[test]
    fn slopes_are_derivatives(p1 in 1.2e5..450e5f64, share in 0.0..1.0f64, rho in 1.0..500.0f64) {
        let p2 = 1e5 + share * (p1 - 1e5);
        let o = Orifice { area_m2: 1e-6 };
        let f = o.flow(p1, rho, p2);
        let step = 1e-5 * (p1 - p2).max(10.0);
        let scale = f.mass / (p1 - p2).max(10.0) + 1e-18;
        let by_p1 = (o.flow(p1 + step, rho, p2).mass - o.flow(p1 - step, rho, p2).mass) / (2.0 * step);
        let by_p2 = (o.flow(p1, rho, p2 + step).mass - o.flow(p1, rho, p2 - step).mass) / (2.0 * step);
        prop_assume!((p2 / p1 - CRITICAL_RATIO).abs() > 1e-4);
        prop_assert!((f.by_p1 - by_p1).abs() < 1e-4 * scale + 1e-4 * by_p1.abs(), "{} {by_p1}", f.by_p1);
        prop_assert!((f.by_p2 - by_p2).abs() < 1e-4 * scale + 1e-4 * by_p2.abs(), "{} {by_p2}", f.by_p2);
        prop_assert!(f.mass >= 0.0 && f.by_p2 <= 0.0 && f.by_rho1 >= 0.0);
    }

    /// Rest is smooth: flow vanishes at least as fast as the pressure difference.
    #[test]
    fn rest_is_smooth(p in 1e5..450e5f64, dp in 1e-6..1.0f64) {
        let f = Orifice { area_m2: 1e-6 }.flow(p + dp, 300.0, p);
        prop_assert!(f.mass.is_finite() && f.mass < 1e-6 * dp);
        prop_assert!(f.by_p1.abs() < 1e-6 && f.by_p2.abs() < 1e-6);
        prop_assert_eq!(Orifice { area_m2: 1e-6 }.flow(p, 300.0, p + dp).mass, 0.0);
    }
}
