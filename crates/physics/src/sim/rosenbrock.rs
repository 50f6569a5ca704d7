//! The integrator: a Rosenbrock method of order 4 for stiff autonomous systems.
//!
//! One [`Stepper::step`] takes one accepted step; [`Stepper::dense`] reads any
//! moment inside it. Events, modes and stopping live in [`super::Sim`].
//!
//! The method is RODAS (six stages, order 4 with an embedded 3, L-stable,
//! stiffly accurate): E. Hairer, G. Wanner, Solving Ordinary Differential
//! Equations II, 2nd ed. (1996), section IV.7 and table 7.2 there; coefficients
//! from memory, checked by the order and convergence tests below.
//!
//! Quadratures (totals that nothing depends on) are carried beside the states
//! without enlarging the linear system; sums that the right-hand side conserves
//! are conserved to rounding.

use super::lu::Lu;

/// A system y' = f(y), q' = g(y) with its Jacobian. `y` are states, `q` totals.
pub trait System {
    /// Number of states and of totals.
    fn sizes(&self) -> (usize, usize);
    /// Rates of states and totals (states first); false where the model has no answer.
    fn rates(&mut self, y: &[f64], rates: &mut [f64]) -> bool;
    /// Rates and their Jacobian, column by column: for each state the slopes of
    /// all rates (states, then totals) with it.
    fn jacobian(&mut self, y: &[f64], rates: &mut [f64], jacobian: &mut [f64]) -> bool;
    /// The tolerance of each state: the error of a step is judged against it.
    fn weights(&self, y: &[f64], weights: &mut [f64]);
    /// Whether the model has an answer at the end of a step: one that ends where it has none is
    /// taken again, shorter.
    fn stands(&self, _y: &[f64]) -> bool {
        true
    }
}

/// Why no step could be taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stalled {
    /// The right-hand side has no answer at, or arbitrarily near, the present state.
    NoRates,
    /// The step size fell below what the clock can resolve.
    StepTooSmall,
}

/// Work done, for benches and tests.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Effort {
    /// Steps accepted.
    pub steps: u64,
    /// Steps rejected and tried again smaller.
    pub rejected: u64,
    /// Evaluations of the rates.
    pub evaluations: u64,
}

const STAGES: usize = 6;
const GAMMA: f64 = 0.25;
/// a_ij of the transformed form; the last two stages continue the fifth's.
const A: [[f64; 4]; 4] = [
    [1.544, 0.0, 0.0, 0.0],
    [0.9466785280815826, 0.2557011698983284, 0.0, 0.0],
    [
        3.314825187068521,
        2.896124015972201,
        0.9986419139977817,
        0.0,
    ],
    [
        1.221224509226641,
        6.019134481288629,
        12.53708332932087,
        -0.687886036105895,
    ],
];
const C: [[f64; 5]; 5] = [
    [-5.6688, 0.0, 0.0, 0.0, 0.0],
    [-2.430093356833875, -0.2063599157091915, 0.0, 0.0, 0.0],
    [
        -0.1073529058151375,
        -9.594562251023355,
        -20.47028614809616,
        0.0,
        0.0,
    ],
    [
        7.496443313967647,
        -10.24680431464352,
        -33.99990352819905,
        11.7089089320616,
        0.0,
    ],
    [
        8.083246795921522,
        -7.981132988064893,
        -31.52159432874371,
        16.31930543123136,
        -6.058818238834054,
    ],
];
/// Dense output of order 3.
const D2: [f64; 5] = [
    10.12623508344586,
    -7.487995877610167,
    -34.80091861555747,
    -7.992771707568823,
    1.025137723295662,
];
const D3: [f64; 5] = [
    -0.6762803392801253,
    6.087714651680015,
    16.43084320892478,
    24.76722511418386,
    -6.594389125716872,
];

/// Memory of the method between steps; nothing is allocated while stepping.
#[derive(Debug, Clone)]
pub struct Stepper {
    n: usize,
    all: usize,
    /// Step size to try next, s.
    pub next_step: f64,
    /// Work done so far.
    pub effort: Effort,
    first_rates: Vec<f64>,
    rates: Vec<f64>,
    jacobian: Vec<f64>,
    lu: Lu,
    k: [Vec<f64>; STAGES],
    stage: Vec<f64>,
    start: Vec<f64>,
    weights: Vec<f64>,
    last_error: f64,
    last_step: f64,
    just_rejected: bool,
}

impl Stepper {
    /// Memory for a system of this size.
    pub fn new(sizes: (usize, usize)) -> Stepper {
        let (n, all) = (sizes.0, sizes.0 + sizes.1);
        Stepper {
            n,
            all,
            next_step: 0.0,
            effort: Effort::default(),
            first_rates: vec![0.0; all],
            rates: vec![0.0; all],
            jacobian: vec![0.0; all * n],
            lu: Lu::new(n),
            k: std::array::from_fn(|_| vec![0.0; all]),
            stage: vec![0.0; all],
            start: vec![0.0; all],
            weights: vec![0.0; n],
            last_error: 0.0,
            last_step: 0.0,
            just_rejected: false,
        }
    }

    /// Forgets the past after a switch; the next step is tried at the length in
    /// which the fastest state would move by `tolerances` times its tolerance.
    pub fn restart(&mut self, system: &mut impl System, y: &[f64], tolerances: f64) -> bool {
        self.effort.evaluations += 1;
        if !system.rates(y, &mut self.rates) {
            return false;
        }
        system.weights(y, &mut self.weights);
        let fastest = self.rates[..self.n]
            .iter()
            .zip(&self.weights)
            .map(|(rate, weight)| (rate / weight).abs())
            .fold(0.0, f64::max);
        self.next_step = if fastest > 0.0 {
            tolerances / fastest
        } else {
            f64::INFINITY
        };
        self.last_error = 0.0;
        true
    }

    /// Advances `y` (states and totals) by one accepted step of at most `longest`
    /// and returns its length. The end is hit exactly where the step is cut.
    pub fn step(
        &mut self,
        system: &mut impl System,
        y: &mut [f64],
        longest: f64,
    ) -> Result<f64, Stalled> {
        self.start.copy_from_slice(y);
        self.effort.evaluations += 1;
        if !system.jacobian(y, &mut self.first_rates, &mut self.jacobian) {
            return Err(Stalled::NoRates);
        }
        let mut h = self.next_step.min(longest);
        loop {
            if (h.is_nan() || h <= 1e-11) && h < longest {
                return Err(Stalled::StepTooSmall);
            }
            let error = if self.try_step(system, h) {
                self.error(system)
            } else {
                f64::NAN
            };
            let factor = self.factor(error, h);
            if error < 1.0 {
                self.accept(y, h, error, factor, longest);
                return Ok(h);
            }
            self.effort.rejected += 1;
            self.just_rejected = true;
            h *= if error.is_nan() { 0.2 } else { factor.min(0.5) };
        }
    }

    /// All stages of one trial step; false where the rates have no answer.
    fn try_step(&mut self, system: &mut impl System, h: f64) -> bool {
        let diagonal = 1.0 / (h * GAMMA);
        if !self
            .lu
            .factorise(&self.jacobian, self.all, self.n, diagonal)
        {
            return false;
        }
        for s in 0..STAGES {
            if s > 0 {
                self.stage_state(s);
                self.effort.evaluations += 1;
                if !system.rates(&self.stage, &mut self.rates) {
                    return false;
                }
            }
            self.solve_stage(s, h);
        }
        true
    }

    /// The state at which stage `s` is evaluated.
    fn stage_state(&mut self, s: usize) {
        if s < 5 {
            self.stage.copy_from_slice(&self.start);
            for (j, a) in A[s - 1].iter().enumerate().take(s) {
                add_scaled(&mut self.stage, &self.k[j], *a);
            }
        } else {
            add_scaled(&mut self.stage, &self.k[4], 1.0);
        }
    }

    /// Solves for the increment of stage `s`, whose rates have just been evaluated.
    fn solve_stage(&mut self, s: usize, h: f64) {
        let (done, rest) = self.k.split_at_mut(s);
        let k = &mut rest[0];
        k.copy_from_slice(if s == 0 {
            &self.first_rates
        } else {
            &self.rates
        });
        if s > 0 {
            for (j, c) in C[s - 1].iter().enumerate().take(s) {
                add_scaled(k, &done[j], c / h);
            }
        }
        let (states, totals) = k.split_at_mut(self.n);
        self.lu.solve(states);
        for (state, column) in states.iter().zip(self.jacobian.chunks_exact(self.all)) {
            add_scaled(totals, &column[self.n..], *state);
        }
        for total in totals {
            *total *= h * GAMMA;
        }
    }

    /// Weighted size of the embedded error estimate; `stage` becomes the new state.
    fn error(&mut self, system: &impl System) -> f64 {
        add_scaled(&mut self.stage, &self.k[5], 1.0);
        system.weights(&self.stage, &mut self.weights);
        let sum: f64 = self.k[5][..self.n]
            .iter()
            .zip(&self.weights)
            .map(|(e, w)| (e / w).powi(2))
            .sum();
        let error = (sum / self.n as f64).sqrt();
        if error.is_finite() && (error >= 1.0 || system.stands(&self.stage)) {
            error.max(1e-10)
        } else {
            f64::NAN
        }
    }

    /// Factor for the step size, with Gustafsson's prediction.
    fn factor(&self, error: f64, h: f64) -> f64 {
        let mut factor = 0.9 / error.powf(0.25);
        if error < 1.0 && self.last_error > 0.0 {
            let trend = 0.9 * h / self.last_step * (self.last_error / (error * error)).powf(0.25);
            factor = factor.min(trend);
        }
        let highest = if self.just_rejected { 1.0 } else { 8.0 };
        factor.clamp(0.15, highest)
    }

    fn accept(&mut self, y: &mut [f64], h: f64, error: f64, factor: f64, longest: f64) {
        self.effort.steps += 1;
        y.copy_from_slice(&self.stage);
        self.last_error = error.max(1e-2);
        // a step cut short by the caller says nothing against the size planned before
        let cut = h >= longest && longest < self.next_step;
        self.next_step = if cut {
            self.next_step.max(h * factor)
        } else {
            h * factor
        };
        self.last_step = h;
        self.just_rejected = false;
    }

    /// States and totals at `theta` (0..1) of the last accepted step that ended at `end`.
    pub fn dense(&self, end: &[f64], theta: f64, out: &mut [f64]) {
        for (i, out) in out.iter_mut().enumerate().take(self.all) {
            *out = self.dense_at(end, theta, i);
        }
    }

    /// One entry of [`Stepper::dense`].
    pub fn dense_at(&self, end: &[f64], theta: f64, i: usize) -> f64 {
        let rest = 1.0 - theta;
        let c2: f64 = (0..5).map(|j| D2[j] * self.k[j][i]).sum();
        let c3: f64 = (0..5).map(|j| D3[j] * self.k[j][i]).sum();
        self.start[i] * rest + theta * (end[i] + rest * (c2 + theta * c3))
    }
}

fn add_scaled(to: &mut [f64], from: &[f64], factor: f64) {
    for (t, f) in to.iter_mut().zip(from) {
        *t += factor * f;
    }
}

#[cfg(test)]
mod tests;
