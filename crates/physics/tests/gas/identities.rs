//! Laws every equation of state must obey, over its whole range.
//!
//! Slopes are central differences with the step 1e-4 of the variable, so their
//! own error is about 1e-8 of the curvature.

use crate::data::{Worst, breathing_gases};
use physics::gas::{Composition, Gas, State, ZERO_P_PA, ZERO_T_K};
use proptest::prelude::*;

/// Calls `see` with many states from 150 to 500 K and 0.001 bar to 500 bar.
fn sweep(mut see: impl FnMut(&str, &Gas, State)) {
    for (name, gas) in breathing_gases() {
        for i in 0..=35 {
            let t = (150.0 + 10.0 * f64::from(i)).max(if name == "oxygen" { 160.0 } else { 0.0 });
            for p in [
                1e2, 1e4, 1e5, 5e5, 20e5, 50e5, 100e5, 150e5, 200e5, 300e5, 400e5, 500e5,
            ] {
                see(name, &gas, gas.state_p_t(p, t).unwrap());
            }
        }
    }
}

fn place(name: &str, state: &State) -> String {
    format!("{name} {:.1} K {:.2} bar", state.t_k, state.p_pa / 1e5)
}

/// Central differences along ρ and T of a function of state.
fn slopes(gas: &Gas, at: &State, f: impl Fn(&State) -> f64) -> (f64, f64) {
    const STEP: f64 = 1e-4;
    let value = |rho: f64, t: f64| f(&gas.state_rho_t(rho, t).unwrap());
    let (dr, dt) = (at.rho * STEP, at.t_k * STEP);
    (
        (value(at.rho + dr, at.t_k) - value(at.rho - dr, at.t_k)) / (2.0 * dr),
        (value(at.rho, at.t_k + dt) - value(at.rho, at.t_k - dt)) / (2.0 * dt),
    )
}

/// cp − cv = T·(∂p/∂T)²/(ρ²·∂p/∂ρ), w² = cp/cv·∂p/∂ρ, h = u + p/ρ, p = z·ρ·R·T.
#[test]
fn algebraic_identities() {
    let mut worst = ["cp - cv", "w2", "h", "p"].map(|what| Worst::new(what, 1e-12));
    sweep(|name, gas, s| {
        let r = gas.composition().specific_gas_constant();
        let difference = s.t_k * (s.dp_dt_rho / s.rho).powi(2) / s.dp_drho_t;
        let pairs = [
            (s.cp - s.cv, difference, s.cp),
            (s.w * s.w, s.cp / s.cv * s.dp_drho_t, s.w * s.w),
            (s.h - s.u, s.p_pa / s.rho, r * s.t_k),
            (s.p_pa, s.z * s.rho * r * s.t_k, s.p_pa),
        ];
        for (worst, (got, want, scale)) in worst.iter_mut().zip(pairs) {
            worst.see(got, want, scale, || place(name, &s));
        }
    });
    // Both sides may be equal to the last bit, so only the limit is asserted.
    for w in &worst {
        assert!(w.value < 1e-12, "{}", w.value);
    }
}

/// Every slope the state reports is the slope of what it reports:
/// ∂p/∂ρ, ∂p/∂T, cv = ∂u/∂T.
#[test]
fn reported_slopes_are_slopes() {
    let mut worst = [
        Worst::new("dp/drho", 2e-6),
        Worst::new("dp/dT", 2e-6),
        Worst::new("cv", 2e-6),
    ];
    sweep(|name, gas, s| {
        let inside = |s: &State| s.t_k < 599.0 && s.p_pa < 599e5;
        if !inside(&s) {
            return;
        }
        let (p_rho, p_t) = slopes(gas, &s, |s| s.p_pa);
        let (_, u_t) = slopes(gas, &s, |s| s.u);
        worst[0].see(s.dp_drho_t, p_rho, s.w * s.w, || place(name, &s));
        worst[1].see(s.dp_dt_rho, p_t, p_t, || place(name, &s));
        worst[2].see(s.cv, u_t, s.cv, || place(name, &s));
    });
    worst.iter().for_each(Worst::check);
}

/// First and second law in differential form: T·ds = du − p·dρ/ρ² along ρ and
/// along T, dh = T·ds + dp/ρ, and Maxwell's (∂s/∂ρ) = −(∂p/∂T)/ρ².
#[test]
fn gibbs_and_maxwell() {
    let what = [
        "Tds along rho",
        "Tds along T",
        "dh along rho",
        "dh along T",
        "Maxwell",
    ];
    let mut worst = what.map(|what| Worst::new(what, 2e-6));
    sweep(|name, gas, s| {
        let rt = gas.composition().specific_gas_constant() * s.t_k;
        let (s_rho, s_t) = slopes(gas, &s, |s| s.s);
        let (u_rho, u_t) = slopes(gas, &s, |s| s.u);
        let (h_rho, h_t) = slopes(gas, &s, |s| s.h);
        let (p_rho, p_t) = slopes(gas, &s, |s| s.p_pa);
        let pairs = [
            (s.t_k * s_rho, u_rho - s.p_pa / (s.rho * s.rho), rt / s.rho),
            (s.t_k * s_t, u_t, s.cv),
            (h_rho, s.t_k * s_rho + p_rho / s.rho, rt / s.rho),
            (h_t, s.t_k * s_t + p_t / s.rho, s.cp),
            (s_rho, -s.dp_dt_rho / (s.rho * s.rho), rt / (s.t_k * s.rho)),
        ];
        for (worst, (got, want, scale)) in worst.iter_mut().zip(pairs) {
            worst.see(got, want, scale, || place(name, &s));
        }
    });
    worst.iter().for_each(Worst::check);
}

/// At vanishing density p = ρ·R·T, u depends on T alone, cp − cv = R, and
/// energies and entropy have the stated zero.
#[test]
fn ideal_limit() {
    for (name, gas) in breathing_gases() {
        let r = gas.composition().specific_gas_constant();
        for t in [150.0, 273.15, 300.0, 500.0] {
            let thin = gas.state_rho_t(1e-7, t).unwrap();
            let thinner = gas.state_rho_t(1e-8, t).unwrap();
            assert!((thin.z - 1.0).abs() < 1e-9, "{name} {t} K: z {}", thin.z);
            assert!(
                (thin.u - thinner.u).abs() < 1e-4,
                "{name} {t} K: {} {}",
                thin.u,
                thinner.u
            );
            assert!(((thin.cp - thin.cv) / r - 1.0).abs() < 1e-8, "{name} {t} K");
        }
        let zero = gas
            .state_rho_t(ZERO_P_PA / (r * ZERO_T_K) * 1e-7, ZERO_T_K)
            .unwrap();
        assert!(zero.u.abs() < 1e-3, "{name}: u {}", zero.u);
        assert!(
            (zero.s - r * 1e7f64.ln()).abs() < 1e-3,
            "{name}: s {}",
            zero.s
        );
    }
}

/// The ideal-gas heat capacity of argon and helium is 5/2·R exactly, of
/// nitrogen at 300 K 29.125 J/(mol·K) and of oxygen 29.385 (JANAF tables, 298 to
/// 300 K, from memory).
#[test]
fn ideal_heat_capacities() {
    let pure = |k: usize| {
        let mut x = [0.0; 5];
        x[k] = 1.0;
        Gas::new(Composition::new(x).unwrap())
    };
    for (k, cp) in [
        (0, 29.125),
        (1, 29.385),
        (2, 20.786),
        (3, 20.786),
        (4, 37.22),
    ] {
        let gas = pure(k);
        let got = gas.state_rho_t(1e-7, 300.0).unwrap().cp * gas.composition().molar_mass();
        assert!(
            (got / cp - 1.0).abs() < 1e-3,
            "component {k}: {got} J/(mol K), tables {cp}"
        );
    }
}

proptest! {
    /// The three ways to a state lead to the same state.
    #[test]
    fn solvers_agree(p in 1e3..500e5f64, t in 160.0..500.0f64) {
        for (name, gas) in breathing_gases() {
            let a = gas.state_p_t(p, t).unwrap();
            let b = gas.state_rho_u(a.rho, a.u).unwrap();
            prop_assert!((b.t_k / t - 1.0).abs() < 1e-10, "{name} {} {t}", b.t_k);
            prop_assert!((b.p_pa / p - 1.0).abs() < 1e-9, "{name} {} {p}", b.p_pa);
        }
    }

    /// At fixed temperature density rises with pressure and entropy falls.
    #[test]
    fn density_rises_with_pressure(p in 1e3..490e5f64, dp in 1e2..10e5f64, t in 160.0..500.0f64) {
        for (name, gas) in breathing_gases() {
            let (a, b) = (gas.state_p_t(p, t).unwrap(), gas.state_p_t(p + dp, t).unwrap());
            prop_assert!(b.rho > a.rho && b.s < a.s, "{name}");
        }
    }
}
