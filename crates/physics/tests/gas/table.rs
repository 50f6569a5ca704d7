//! The gas table against the equation, and its slopes against itself.

use crate::data::{Worst, air, breathing_gases};
use physics::gas::{Composition, Fast, Gas, GasTable, State};
use proptest::prelude::*;

/// Slopes of the equation as the table means them: ∂p/∂ρ, ∂p/∂u, ∂T/∂ρ, ∂T/∂u,
/// from u_ρ = (p − T·∂p/∂T)/ρ² at constant temperature.
fn exact_slopes(s: &State) -> [f64; 4] {
    let dt_drho = -(s.p_pa - s.t_k * s.dp_dt_rho) / (s.rho * s.rho) / s.cv;
    let dp_drho = s.dp_drho_t + s.dp_dt_rho * dt_drho;
    [dp_drho, s.dp_dt_rho / s.cv, dt_drho, 1.0 / s.cv]
}

/// Errors over off-node points of one band: p and T relative within `values`,
/// slopes on the scale of the ideal gas's within `slopes`.
fn errors(band: &str, t: (f64, f64), p_max: f64, values: [f64; 2], slopes: f64) {
    let mut worst = [Worst::new("p", values[0]), Worst::new("T", values[1])];
    let mut worst_slopes =
        ["dp/drho", "dp/du", "dT/drho", "dT/du"].map(|what| Worst::new(what, slopes));
    for (name, gas) in breathing_gases() {
        let table = GasTable::new(&gas).unwrap();
        let r = gas.composition().specific_gas_constant();
        for i in 0..90 {
            let t_k = t.0 + (t.1 - t.0) * (f64::from(i) + 0.37) / 90.0;
            for j in 0..90 {
                // More points at low pressure than an even spread would give.
                let p = p_max * ((f64::from(j) + 0.43) / 90.0).powi(2);
                let state = gas.state_p_t(p, t_k).unwrap();
                let place = || format!("{name} {band} {t_k:.2} K {:.2} bar", p / 1e5);
                let fast = table
                    .at(state.rho, state.u)
                    .unwrap_or_else(|| panic!("{}", place()));
                worst[0].see(fast.p, p, p, place);
                worst[1].see(fast.t, t_k, t_k, place);
                let got = [fast.dp_drho, fast.dp_du, fast.dt_drho, fast.dt_du];
                let want = exact_slopes(&state);
                let scales = [r * t_k, want[1], t_k / state.rho.max(10.0), want[3]];
                for (k, worst) in worst_slopes.iter_mut().enumerate() {
                    worst.see(got[k], want[k], scales[k], place);
                }
            }
        }
    }
    worst.iter().chain(&worst_slopes).for_each(Worst::check);
}

/// The promise is 1e-5; pure oxygen, nearest its critical point, is the worst
/// of the four, and what it reaches is asserted.
#[test]
fn within_one_in_a_hundred_thousand_of_the_equation() {
    errors("checked band", (200.0, 450.0), 450e5, [2e-6, 1e-6], 1e-4);
}

#[test]
fn hot_end() {
    errors("hot", (450.0, 520.0), 500e5, [5e-8, 5e-9], 1e-6);
}

/// A cylinder blown down without heat from 300 bar at 15 °C stays in the table
/// until the gas would condense; the error grows in the cold.
#[test]
fn blow_down_stays_in_the_table() {
    let gas = air();
    let table = GasTable::new(&gas).unwrap();
    let mut worst = [Worst::new("p", 5e-5), Worst::new("T", 5e-5)];
    let start = gas.state_p_t(300e5, 288.15).unwrap();
    let (mut t, mut rho, mut coldest) = (start.t_k, start.rho, start.t_k);
    // Down the isentrope: dT/dρ at constant entropy is T·(∂p/∂T)/(ρ²·cv).
    while let Ok(state) = gas.state_rho_t(rho, t) {
        if state.p_pa < 2e5 {
            break;
        }
        let place = || format!("{:.1} K {:.2} bar", state.t_k, state.p_pa / 1e5);
        let fast = table
            .at(state.rho, state.u)
            .unwrap_or_else(|| panic!("{}", place()));
        worst[0].see(fast.p, state.p_pa, state.p_pa, place);
        worst[1].see(fast.t, state.t_k, state.t_k, place);
        coldest = state.t_k;
        let step = 1e-3 * rho;
        t -= step * state.t_k * state.dp_dt_rho / (rho * rho * state.cv);
        rho -= step;
    }
    assert!(coldest < 120.0, "stopped at {coldest} K");
    worst.iter().for_each(Worst::check);
}

/// Cold thin gas down to 82 K is in the table, too.
#[test]
fn cold_thin_gas() {
    let gas = air();
    let table = GasTable::new(&gas).unwrap();
    let mut worst = Worst::new("p", 1e-4);
    for t in [82.0, 90.0, 100.0, 110.0, 120.0] {
        for p in [1e2, 1e4, 5e4, 9e4] {
            let state = gas.state_p_t(p, t).unwrap();
            let fast = table.at(state.rho, state.u).unwrap();
            worst.see(fast.p, p, p, || format!("{t} K {p} Pa"));
        }
    }
    worst.check();
}

/// p = 0 at ρ = 0, where p/ρ and T are the ideal gas's.
#[test]
fn nothing_at_zero_density() {
    let gas = air();
    let table = GasTable::new(&gas).unwrap();
    let r = gas.composition().specific_gas_constant();
    for t in [100.0, 200.0, 288.15, 450.0] {
        let u = gas.state_rho_t(1e-8, t).unwrap().u;
        let fast = table.at(0.0, u).unwrap();
        assert_eq!(fast.p, 0.0);
        assert!((fast.t / t - 1.0).abs() < 1e-6, "{} against {t}", fast.t);
        assert!(
            (fast.dp_drho / (r * t) - 1.0).abs() < 1e-6,
            "{}",
            fast.dp_drho
        );
        assert!(((fast.h - u) / (r * t) - 1.0).abs() < 1e-6);
    }
}

#[test]
fn outside_there_is_nothing() {
    let table = GasTable::new(&air()).unwrap();
    let outside = [
        (f64::NAN, 0.0),
        (1.0, f64::NAN),
        (-1e-9, 0.0),
        (5000.0, 0.0),
        (1.0, 1e9),
        (1.0, -1e9),
        (f64::INFINITY, f64::NEG_INFINITY),
    ];
    for (rho, u) in outside {
        assert_eq!(table.at(rho, u), None, "{rho} {u}");
        assert_eq!(table.pt(rho, u), None, "{rho} {u}");
    }
}

/// Inside the two-phase region and in the liquid the table is silent: nitrogen
/// at 90 K has vapour of about 15 and liquid of about 745 kg/m³ (NIST webbook,
/// from memory).
#[test]
fn condensed_there_is_nothing() {
    let gas = Gas::new(Composition::nitrox(0.0).unwrap());
    let table = GasTable::new(&gas).unwrap();
    let vapour = gas.state_p_t(3e5, 90.0).unwrap();
    assert!(table.at(vapour.rho, vapour.u).is_some());
    for rho in [30.0, 100.0, 300.0, 500.0] {
        let u = vapour.u - 150e3 * (rho / 500.0);
        assert_eq!(table.at(rho, u), None, "{rho}");
    }
}

/// Slopes (per fast value: along ρ, along u) by central difference.
fn differences(table: &GasTable, rho: f64, u: f64) -> Option<[[f64; 2]; 3]> {
    let (dr, du) = (1e-4 * (1.0 + rho), 5.0);
    let [r0, r1] = [table.at(rho - dr, u)?, table.at(rho + dr, u)?];
    let [u0, u1] = [table.at(rho, u - du)?, table.at(rho, u + du)?];
    let slopes = |f: fn(&Fast) -> f64| {
        [
            (f(&r1) - f(&r0)) / (2.0 * dr),
            (f(&u1) - f(&u0)) / (2.0 * du),
        ]
    };
    Some([slopes(|f| f.p), slopes(|f| f.t), slopes(|f| f.h)])
}

proptest! {
    /// Every slope equals the difference quotient of the table's own values.
    #[test]
    fn slopes_are_those_of_the_interpolant(rho in 0.01..500.0f64, t in 150.0..500.0f64) {
        let gas = air();
        let table = GasTable::new(&gas).unwrap();
        let Ok(state) = gas.state_rho_t(rho, t) else { return Ok(()) };
        let Some([p, t, h]) = differences(&table, rho, state.u) else { return Ok(()) };
        let fast = table.at(rho, state.u).unwrap();
        let rt = 287.0 * state.t_k;
        let pairs = [
            (fast.dp_drho, p[0], rt),
            (fast.dp_du, p[1], rho),
            (fast.dt_drho, t[0], state.t_k / (1.0 + rho)),
            (fast.dt_du, t[1], t[1]),
            (fast.dh_drho, h[0], rt / (1.0 + rho)),
            (fast.dh_du, h[1], 1.0),
            (1.0 / fast.cv, t[1], t[1]),
        ];
        for (k, (got, want, scale)) in pairs.into_iter().enumerate() {
            prop_assert!(((got - want) / scale).abs() < 2e-6, "slope {k}: {got} against {want}");
        }
    }

    /// The short call gives the same numbers.
    #[test]
    fn short_call_agrees(rho in 0.0..600.0f64, u in -300e3..300e3f64) {
        let table = GasTable::new(&air()).unwrap();
        prop_assert_eq!(table.at(rho, u).map(|f| (f.p, f.t)), table.pt(rho, u));
    }

    /// No number whatever makes the table panic or hand out a non-number.
    #[test]
    fn any_numbers_are_answered(rho in any::<f64>(), u in any::<f64>()) {
        let table = GasTable::new(&air()).unwrap();
        if let Some(fast) = table.at(rho, u) {
            prop_assert!(fast.p >= 0.0 && fast.t > 0.0 && fast.cv.is_finite());
        }
    }
}

/// Along lines across many cells the slopes never jump: between neighbours a
/// small step apart they differ by no more than a small step's worth.
#[test]
fn slopes_are_continuous() {
    let gas = air();
    let table = GasTable::new(&gas).unwrap();
    let start = gas.state_p_t(1e5, 200.0).unwrap();
    let r = gas.composition().specific_gas_constant();
    const STEPS: i32 = 200_000;
    let jump = |a: &Fast, b: &Fast| {
        ((a.dp_drho - b.dp_drho) / a.dp_drho)
            .abs()
            .max(((a.dt_du - b.dt_du) / a.dt_du).abs())
            .max((a.dt_drho - b.dt_drho).abs() * 100.0 / a.t)
            .max((a.dh_drho - b.dh_drho).abs() * 100.0 / (r * a.t))
    };
    let sweep = |f: &dyn Fn(f64) -> Fast| {
        (0..STEPS).fold(0.0f64, |worst, k| {
            let at = |k: i32| f(f64::from(k) / f64::from(STEPS));
            worst.max(jump(&at(k), &at(k + 1)))
        })
    };
    let along_rho = sweep(&|x| table.at(450.0 * x, start.u).unwrap());
    let along_u = sweep(&|x| table.at(100.0, 200e3 * (x - 0.5)).unwrap());
    // A real jump at a node would be of the size of the slope errors, about
    // 1e-5; a smooth slope changes by about 1/STEPS.
    assert!(along_rho < 2e-5, "{along_rho}");
    assert!(along_u < 2e-5, "{along_u}");
}
