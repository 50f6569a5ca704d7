//! Air passing through a bed: the arithmetic of [`Bed::pass`].
//!
//! The bed is a row of equal cells. In each, with mole ratios Y of water to
//! dry air, flow G and adsorbent mass m,
//!
//! m·dq/dt = G·(Y_in − Y_out) = m·k·(q*(Y_out) − q)
//!
//! The gas is quasi-steady: what vapour the voids hold is less than a
//! thousandth of what the bed holds (shown in the tests). Over a step Δt,
//! holding q* at its value for the mean outlet,
//!
//! G·Δt·(Y_in − Y_out) = m·(1 − e^(−k·Δt))·(q*(Y_out) − q)
//!
//! is one increasing equation in Y_out per cell, solved from inlet to outlet.
//! It is stable at any Δt, exact for an isotherm that is a step, first order
//! in Δt and in cell size otherwise. The loading is then advanced by what the
//! gas lost, so that water is conserved to rounding whatever the solver's
//! tolerance.
//!
//! Not here: which k (`transfer`), any water that moves while no air flows.

use super::bed::{Bed, Feed, Passed, checked_seconds};
use super::transfer::Around;
use super::{PurifierError, TothAt};

/// Largest change of a cell's loading in a step, as a share of saturation.
const CHANGE: f64 = 0.1;
/// ln s below which the isotherm is its Henry line to better than 1e-12.
const HENRY_BELOW: f64 = -30.0;
/// Newton stops after a move in ln s smaller than this: the next is its square.
const LOG_TOLERANCE: f64 = 1e-7;

/// k for a bed in this air, 1/s.
pub(super) fn coefficient(bed: &Bed, feed: &Feed) -> f64 {
    let isotherm = bed.isotherm(feed.t_k);
    let wettest = bed.cells.iter().copied().fold(0.0, f64::max);
    let most = feed.p_pa / feed.enhancement * 1e-3;
    let held = isotherm.pressure(wettest).unwrap_or(most);
    let p_kpa = feed.effective_kpa().max(held).min(most);
    let around = Around {
        t_k: feed.t_k,
        p_pa: feed.p_pa,
        fraction: p_kpa / most,
        loading: isotherm.loading(p_kpa),
        bead_kg_m3: bed.adsorbent.bead_kg_m3(),
        air_mol_m2_s: feed.air_mol_s / bed.area_m2(),
    };
    bed.adsorbent.transfer.coefficient(&around) * bed.tuning.transfer
}

/// What stays the same through a pass.
struct Law {
    isotherm: TothAt,
    /// P/f, kPa: effective pressure of pure vapour.
    full_kpa: f64,
    /// k, 1/s.
    rate: f64,
    /// G/m, mol/(kg·s).
    flow: f64,
}

/// One cell over one step, per kilogram of adsorbent.
struct Cell<'a> {
    law: &'a Law,
    /// G·Δt/m, mol of dry air per kg.
    air: f64,
    /// 1 − e^(−k·Δt).
    approach: f64,
    /// Y_in.
    inlet: f64,
    /// q before the step, mol/kg.
    held: f64,
}

impl Cell<'_> {
    /// Y_out. `guess` is ln s of the outlet: used and updated.
    fn outlet(&self, guess: &mut f64) -> f64 {
        let supply = self.air * self.inlet + self.approach * self.held;
        if supply <= 0.0 {
            return 0.0;
        }
        let most = self.law.pressure(supply / self.air);
        let iso = &self.law.isotherm;
        let mut high = (iso.affinity * most).ln() * iso.exponent;
        if high < HENRY_BELOW {
            *guess = high;
            let henry = iso.henry() * self.law.full_kpa;
            return supply / (self.air + self.approach * henry);
        }
        let mut low = f64::NEG_INFINITY;
        let mut x = guess.clamp(HENRY_BELOW, high);
        for _ in 0..60 {
            let (excess, slope) = self.excess(x, supply);
            if excess > 0.0 {
                low = x;
            } else {
                high = x;
            }
            let newton = x + (excess / slope).clamp(-4.0, 4.0);
            let next = if newton >= low && newton <= high {
                newton
            } else {
                0.5 * (low.max(x - 8.0) + high)
            };
            let moved = (next - x).abs();
            x = next;
            if moved < LOG_TOLERANCE {
                break;
            }
        }
        *guess = x;
        self.law.ratio((x / iso.exponent).exp() / iso.affinity)
    }

    /// Water supplied less water placed at ln s = x, and minus its slope.
    fn excess(&self, x: f64, supply: f64) -> (f64, f64) {
        let iso = &self.law.isotherm;
        let (q, share) = iso.loading_at_log(x);
        let p = (x / iso.exponent).exp() / iso.affinity;
        let gap = (1.0 - p / self.law.full_kpa).max(1e-9);
        let gas = self.air * p / (self.law.full_kpa * gap);
        let bed = self.approach * q;
        (supply - gas - bed, (gas / gap + bed * share) / iso.exponent)
    }
}

impl Law {
    /// Effective pressure of vapour at mole ratio `ratio`, kPa.
    fn pressure(&self, ratio: f64) -> f64 {
        self.full_kpa * ratio / (1.0 + ratio)
    }

    /// Mole ratio at effective pressure `p_kpa`.
    fn ratio(&self, p_kpa: f64) -> f64 {
        p_kpa / (self.full_kpa - p_kpa).max(1e-9 * self.full_kpa)
    }
}

/// A pass under way.
pub(super) struct Passing {
    law: Law,
    inlet: f64,
    air_mol_s: f64,
    seconds: f64,
    done: f64,
    next: f64,
    held_before: f64,
    out_mol: f64,
    final_ratio: f64,
    steps: u32,
    guesses: Vec<f64>,
    trial: Vec<f64>,
}

/// One accepted step.
pub(super) struct Step {
    /// Time at its middle since the pass began, s.
    pub middle: f64,
    /// Mean mole fraction leaving.
    pub fraction: f64,
}

impl Passing {
    pub(super) fn new(bed: &Bed, feed: &Feed, seconds: f64) -> Result<Passing, PurifierError> {
        let feed = feed.checked()?;
        let seconds = checked_seconds(seconds)?;
        let isotherm = bed.isotherm(feed.t_k);
        let law = Law {
            isotherm,
            full_kpa: feed.p_pa / feed.enhancement * 1e-3,
            rate: coefficient(bed, feed),
            flow: feed.air_mol_s / bed.cell_kg(),
        };
        let guess = |q: &f64| {
            let p = isotherm.pressure(*q).unwrap_or(law.full_kpa);
            ((isotherm.affinity * p).ln() * isotherm.exponent).max(HENRY_BELOW)
        };
        let idle = feed.air_mol_s <= 0.0;
        Ok(Passing {
            guesses: bed.cells.iter().map(guess).collect(),
            trial: bed.cells.clone(),
            inlet: feed.ratio(),
            air_mol_s: feed.air_mol_s,
            seconds,
            done: if idle { seconds } else { 0.0 },
            next: CHANGE * isotherm.saturation() / (law.flow * feed.ratio()).max(1e-30),
            held_before: bed.held_mol(),
            out_mol: 0.0,
            final_ratio: 0.0,
            steps: 0,
            law,
        })
    }

    /// Advances the bed by one step; None when the time is over.
    pub(super) fn step(&mut self, bed: &mut Bed) -> Option<Step> {
        let left = self.seconds - self.done;
        if left <= 0.0 {
            return None;
        }
        loop {
            let dt = self.next.min(left);
            let (ratio, change) = self.sweep(&bed.cells, dt);
            self.steps += 1;
            let factor = (CHANGE / change.max(1e-12)).clamp(0.25, 4.0);
            self.next = dt * factor;
            if change <= 2.0 * CHANGE || dt < 1e-6 {
                std::mem::swap(&mut bed.cells, &mut self.trial);
                return Some(self.accept(ratio, dt, dt >= left));
            }
        }
    }

    /// All cells over `dt`: the mean ratio leaving and the largest change.
    fn sweep(&mut self, cells: &[f64], dt: f64) -> (f64, f64) {
        let air = self.law.flow * dt;
        let approach = -(-self.law.rate * dt).exp_m1();
        let mut inlet = self.inlet;
        let mut change = 0.0_f64;
        let work = self.trial.iter_mut().zip(&mut self.guesses);
        for (&held, (after, guess)) in cells.iter().zip(work) {
            let cell = Cell {
                law: &self.law,
                air,
                approach,
                inlet,
                held,
            };
            let outlet = cell.outlet(guess);
            let gained = air * (inlet - outlet);
            *after = (held + gained).max(0.0);
            change = change.max(gained.abs());
            inlet = outlet;
        }
        (inlet, change / self.law.isotherm.saturation())
    }

    fn accept(&mut self, ratio: f64, dt: f64, last: bool) -> Step {
        let middle = self.done + 0.5 * dt;
        self.done = if last { self.seconds } else { self.done + dt };
        self.out_mol += self.air_mol_s * ratio * dt;
        self.final_ratio = ratio;
        Step {
            middle,
            fraction: ratio / (1.0 + ratio),
        }
    }

    /// What became of the water so far; `bed` is the one that was stepped.
    pub(super) fn passed(&self, bed: &Bed) -> Passed {
        let air = self.air_mol_s * self.done;
        let mean = if air > 0.0 { self.out_mol / air } else { 0.0 };
        Passed {
            seconds: self.done,
            in_mol: air * self.inlet,
            out_mol: self.out_mol,
            taken_mol: bed.held_mol() - self.held_before,
            outlet_fraction: mean / (1.0 + mean),
            final_fraction: self.final_ratio / (1.0 + self.final_ratio),
            steps: self.steps,
        }
    }
}
