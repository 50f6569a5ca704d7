//! Checks of thrust, venting time and stored energy against published examples and identities.

use super::*;
use crate::nozzle::{Orifice, isothermal_blowdown_s};
use proptest::prelude::*;

fn close(got: f64, want: f64, relative: f64, what: &str) {
    assert!(
        (got / want - 1.0).abs() < relative,
        "{what}: {got}, source says {want}"
    );
}

const ATM: f64 = 101_325.0;

/// Momentum balance of a choked jet, computed independently: 5 mm at
/// 301.013 bar absolute pushes with 747.4 N.
#[test]
fn thrust_of_a_loose_hose() {
    let area = std::f64::consts::FRAC_PI_4 * 25e-6;
    close(jet_thrust_n(301.013e5, ATM, area), 747.4, 1e-4, "thrust");
}

/// NACA Report 1135, table I, M = 0.5: p/p₀ = 0.8430; thrust is A·p·k·M².
#[test]
fn subsonic_thrust_follows_the_isentropic_table() {
    let got = jet_thrust_n(ATM / 0.8430, ATM, 1e-4);
    close(got, 1e-4 * ATM * 1.4 * 0.25, 3e-4, "thrust at Mach 0.5");
}

/// A 12 L cylinder at 232 bar gauge by ASME PCC-2-2008 (appendices II and III),
/// Brode and isothermal availability, computed independently.
#[test]
fn stored_energy_of_twelve_litres() {
    let store = Stored {
        volume_m3: 0.012,
        p_pa: 232e5 + ATM,
        atmosphere_pa: ATM,
    };
    close(store.pcc2_j(), 0.5516e6, 1e-4, "PCC-2");
    close(store.brode_j(), 0.696e6, 1e-4, "Brode");
    close(
        store.isothermal_availability_j(),
        1.2421e6,
        1e-4,
        "availability",
    );
    let tnt = pcc2_tnt_kg(store.pcc2_j());
    close(tnt, 0.1293, 4e-4, "TNT");
    close(pcc2_distance_m(tnt, 1.0), 10.11, 5e-4, "distance");
    close(pcc2_distance_m(tnt, 2.0), 12.74, 5e-4, "distance, 2 TNT");
    assert_eq!(pcc2_least_distance_m(store.pcc2_j()), Some(30.0));
    // steps printed in PCC-2: 135.5 and 271 MJ
    assert_eq!(pcc2_least_distance_m(136e6), Some(60.0));
    assert_eq!(pcc2_least_distance_m(272e6), None);
}

/// Textbook closed form, choked: 12 L from 201.013 bar to 2 bar absolute through
/// 1 mm at 20 °C takes 354.6 s.
#[test]
fn twelve_litres_through_one_millimetre() {
    let area = std::f64::consts::FRAC_PI_4 * 1e-6;
    let got = isothermal_vent_s(0.012, area, 293.15, 201.013e5, 2e5, ATM);
    close(got, 354.6, 2e-4, "time");
}

/// The whole time to the atmosphere against summing V·dp/(R·T·ṁ) step by step
/// with the nozzle of the simulation. That nozzle is smoothed below 0.1 bar,
/// so the sum ends at 1 bar gauge and a scaled-up pressure stands for the rest.
#[test]
fn closed_form_is_the_integral_of_the_nozzle() {
    // pressures a thousand times higher: smoothing then takes less than 0.1 %
    let (scale, volume, area, t) = (1000.0, 0.012, 1e-6, 293.15);
    let (high, low, outside) = (3.0 * ATM * scale, 1.02 * ATM * scale, ATM * scale);
    let steps = 200_000;
    let dp = (high - low) / f64::from(steps);
    let mut sum = 0.0;
    for i in 0..steps {
        let p = high - (f64::from(i) + 0.5) * dp;
        let flow = Orifice { area_m2: area }.flow(p, p / (R_AIR * t), outside);
        sum += volume * dp / (R_AIR * t * flow.mass);
    }
    let closed = isothermal_vent_s(volume, area, t, high, low, outside);
    close(closed, sum, 2e-3, "closed form against a sum");
}

proptest! {
    /// While choked it is the logarithm alone.
    #[test]
    fn choked_part_is_the_logarithm(p in 2.1e5..450e5f64, share in 0.0..1.0f64) {
        let low = 2.0e5 + share * (p - 2.0e5);
        let one = isothermal_vent_s(0.01, 1e-6, 300.0, p, low, ATM);
        let other = isothermal_blowdown_s(0.01, 1e-6, 300.0, p, low);
        prop_assert!((one - other).abs() <= 1e-9 * other.max(1.0), "{one} {other}");
    }

    /// Times add up and are finite down to the atmosphere.
    #[test]
    fn times_add_up(p in 1.1e5..450e5f64, share in 0.0..1.0f64) {
        let middle = ATM + share * (p - ATM);
        let vent = |a, b| isothermal_vent_s(0.01, 1e-6, 300.0, a, b, ATM);
        let (whole, parts) = (vent(p, ATM), vent(p, middle) + vent(middle, ATM));
        prop_assert!(whole.is_finite() && whole > 0.0);
        prop_assert!((whole - parts).abs() <= 1e-9 * whole, "{whole} {parts}");
    }

    /// Thrust has no step at the critical ratio, rises with pressure, and is none at rest.
    #[test]
    fn thrust_rises(p in 1.02e5..450e5f64) {
        let at = |p| jet_thrust_n(p, ATM, 1e-5);
        prop_assert!(at(p * 1.001) > at(p) && at(p) > 0.0);
        let critical = ATM / CRITICAL_RATIO;
        prop_assert!((at(critical * (1.0 + 1e-9)) / at(critical * (1.0 - 1e-9)) - 1.0).abs() < 1e-6);
        prop_assert_eq!(at(ATM), 0.0);
    }

    /// Isentropic expansion gives the least; above x = 29.4 atmospheres, where
    /// ln x − 1 + 1/x = 2.5·(1 − 1/x), isothermal the most. All vanish without pressure.
    #[test]
    fn energies_are_ordered(p in 33e5..450e5f64) {
        let store = |p_pa| Stored { volume_m3: 0.01, p_pa, atmosphere_pa: ATM };
        let s = store(p);
        prop_assert!(s.pcc2_j() < s.brode_j() && s.brode_j() < s.isothermal_availability_j());
        prop_assert!(store(1.01 * p).pcc2_j() > s.pcc2_j());
        let rest = store(ATM);
        // the formula's own atmosphere is 101 000 Pa
        prop_assert!(rest.pcc2_j() < 2.5 * 325.0 * 0.01 && rest.brode_j() == 0.0);
        prop_assert_eq!(rest.isothermal_availability_j(), 0.0);
    }
}
