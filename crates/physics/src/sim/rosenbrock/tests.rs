//! The integrator against problems with known solutions.

use super::*;

/// y₁' = −y₁, y₂' = −1000(y₂ − y₁²): y₁ = e⁻ᵗ and, started on
/// its slow solution, y₂ = 1000/(1000 − 2)·e⁻²ᵗ; total q = ∫y₁.
struct SlowFast;

impl System for SlowFast {
    fn sizes(&self) -> (usize, usize) {
        (2, 1)
    }
    fn rates(&mut self, y: &[f64], r: &mut [f64]) -> bool {
        r[0] = -y[0];
        r[1] = -1000.0 * (y[1] - y[0] * y[0]);
        r[2] = y[0];
        true
    }
    fn jacobian(&mut self, y: &[f64], r: &mut [f64], j: &mut [f64]) -> bool {
        j.copy_from_slice(&[-1.0, 2000.0 * y[0], 1.0, 0.0, -1000.0, 0.0]);
        self.rates(y, r)
    }
    fn weights(&self, _: &[f64], w: &mut [f64]) {
        w.fill(1.0);
    }
}

/// Robertson's kinetics, scaled as in Hairer and Wanner, section IV.10.
struct Robertson;

impl System for Robertson {
    fn sizes(&self) -> (usize, usize) {
        (3, 0)
    }
    fn rates(&mut self, y: &[f64], r: &mut [f64]) -> bool {
        r[0] = -0.04 * y[0] + 1e4 * y[1] * y[2];
        r[2] = 3e7 * y[1] * y[1];
        r[1] = -r[0] - r[2];
        true
    }
    fn jacobian(&mut self, y: &[f64], r: &mut [f64], j: &mut [f64]) -> bool {
        let (a, b, c) = (1e4 * y[2], 1e4 * y[1], 6e7 * y[1]);
        j.copy_from_slice(&[-0.04, 0.04, 0.0, a, -a - c, c, b, -b, 0.0]);
        self.rates(y, r)
    }
    fn weights(&self, y: &[f64], w: &mut [f64]) {
        for (w, y) in w.iter_mut().zip(y) {
            *w = y.abs() * 1e-7 + 1e-11;
        }
    }
}

fn fixed_steps(n: usize) -> (f64, f64) {
    let mut y = [1.0, 1000.0 / 998.0, 0.0];
    let mut stepper = Stepper::new(SlowFast.sizes());
    for _ in 0..n {
        stepper.next_step = 1.0 / n as f64;
        stepper.step(&mut SlowFast, &mut y, 1.0 / n as f64).unwrap();
        assert_eq!(stepper.effort.rejected, 0);
    }
    let e = (-1.0f64).exp();
    let exact = [e, 1000.0 / 998.0 * e * e, 1.0 - e];
    (
        (y[0] - exact[0]).abs().max((y[2] - exact[2]).abs()),
        (y[1] - exact[1]).abs(),
    )
}

/// Halving the step divides the error of states and totals by about 2⁴.
#[test]
fn order_four_on_a_known_solution() {
    let (coarse, fine) = (fixed_steps(8), fixed_steps(16));
    let order = (coarse.0 / fine.0).log2();
    assert!(
        (3.6..4.6).contains(&order),
        "order {order}: {coarse:?} {fine:?}"
    );
    assert!(
        fine.1 < 1e-4,
        "the stiff part stays on its slow solution: {}",
        fine.1
    );
}

/// Reference solution at t = 0.4 of Robertson's problem: y₁ = 0.98517211,
/// y₂ = 3.386395e-5, y₃ = 0.0147940 (the values customarily printed with
/// solvers' example programs; from memory).
#[test]
fn robertson_at_0_4() {
    let mut y = [1.0, 0.0, 0.0];
    let mut stepper = Stepper::new(Robertson.sizes());
    assert!(stepper.restart(&mut Robertson, &y, 10.0));
    let mut t = 0.0;
    while t < 0.4 {
        t += stepper.step(&mut Robertson, &mut y, 0.4 - t).unwrap();
    }
    let want = [0.98517211, 3.386395e-5, 0.0147940];
    for (got, want) in y.iter().zip(want) {
        assert!((got / want - 1.0).abs() < 3e-6, "{y:?}");
    }
    assert!(
        (y.iter().sum::<f64>() - 1.0).abs() < 1e-14,
        "mass is conserved: {y:?}"
    );
}

/// The dense output agrees with the known solution inside a step to its order.
#[test]
fn dense_output_inside_a_step() {
    let mut y = [1.0, 1000.0 / 998.0, 0.0];
    let mut stepper = Stepper::new(SlowFast.sizes());
    stepper.next_step = 0.1;
    stepper.step(&mut SlowFast, &mut y, 0.1).unwrap();
    let mut out = [0.0; 3];
    for theta in [0.0, 0.25, 0.5, 0.75, 1.0] {
        stepper.dense(&y, theta, &mut out);
        let t = 0.1 * theta;
        assert!(
            (out[0] - (-t).exp()).abs() < 3e-7,
            "{theta}: {} for {}",
            out[0],
            (-t).exp()
        );
        assert!(
            (out[2] - (1.0 - (-t).exp())).abs() < 3e-7,
            "{theta}: total {}",
            out[2]
        );
    }
}

/// A right-hand side without an answer is reported, not looped on.
#[test]
fn no_answer_is_reported() {
    struct Nowhere;
    impl System for Nowhere {
        fn sizes(&self) -> (usize, usize) {
            (1, 0)
        }
        fn rates(&mut self, y: &[f64], r: &mut [f64]) -> bool {
            r[0] = 1.0;
            y[0] <= 1.0
        }
        fn jacobian(&mut self, y: &[f64], r: &mut [f64], j: &mut [f64]) -> bool {
            j[0] = 0.0;
            self.rates(y, r)
        }
        fn weights(&self, _: &[f64], w: &mut [f64]) {
            w[0] = 1e-6;
        }
    }
    let (mut y, mut t) = ([0.0], 0.0);
    let mut stepper = Stepper::new(Nowhere.sizes());
    stepper.next_step = 0.3;
    let stalled = loop {
        match stepper.step(&mut Nowhere, &mut y, 10.0) {
            Ok(h) => t += h,
            Err(stalled) => break stalled,
        }
    };
    assert_eq!(stalled, Stalled::StepTooSmall);
    assert!((t - 1.0).abs() < 1e-6, "stops at the edge: {t}");
}
