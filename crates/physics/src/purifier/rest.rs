//! Water in the bed while no air flows: spreading along it, or soaked up at
//! one end.
//!
//! Spreading matters little: the voids hold so little vapour that a wet
//! front in a depressurised bed moves centimetres in a month, and 300 times
//! less under pressure.
//!
//! Not here: how much comes in from outside (`ingress`).

use super::bed::{Bed, Feed, checked_seconds};
use super::error::Bounds;
use super::transfer::vapour_diffusivity;
use super::{GAS_CONSTANT, PurifierError, TothAt, WATER_KG_MOL};

/// Largest change of a cell's loading in a step, as a share of saturation.
const CHANGE: f64 = 0.03;

/// Still air around the beads.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rest {
    /// Absolute pressure, Pa.
    pub p_pa: f64,
    /// Temperature, K.
    pub t_k: f64,
    /// Enhancement factor, as in [`Feed`].
    pub enhancement: f64,
}

impl Rest {
    /// As a feed that does not flow.
    fn still(&self) -> Feed {
        Feed {
            air_mol_s: 0.0,
            water_fraction: 0.0,
            p_pa: self.p_pa,
            t_k: self.t_k,
            enhancement: self.enhancement,
        }
    }
}

impl Bed {
    /// Lets the bed stand, closed at both ends, for `seconds`: water diffuses
    /// through the voids from wet cells to dry ones,
    ///
    /// m·dq/dt = C·(p₋ − 2p + p₊),  C = D·ε^1.5·A·f/(R·T·Δz)
    ///
    /// with beads in equilibrium with the gas around them. ε^1.5 is
    /// Bruggeman's tortuosity (from memory). The water held stays the same.
    pub fn rest(&mut self, rest: &Rest, seconds: f64) -> Result<(), PurifierError> {
        rest.still().checked()?;
        let seconds = checked_seconds(seconds)?;
        let spread = Spreading {
            isotherm: self.isotherm(rest.t_k),
            full_kpa: rest.p_pa / rest.enhancement * 1e-3,
            conductance: self.conductance(rest) / self.cell_kg(),
        };
        let (mut left, mut dt) = (seconds, seconds);
        while left > 0.0 {
            dt = dt.min(left);
            let (after, change) = spread.step(&self.cells, dt);
            if change <= 2.0 * CHANGE || dt < 1e-3 {
                self.cells = after;
                left -= dt;
            }
            dt *= (CHANGE / change.max(1e-12)).clamp(0.1, 4.0);
        }
        Ok(())
    }

    /// Mole fraction of water in air at rest in equilibrium with the beads at
    /// one end, y = p·f/P: what [`super::Standing`] asks for.
    pub fn air_above(&self, end: End, rest: &Rest) -> Result<f64, PurifierError> {
        rest.still().checked()?;
        let cell = match end {
            End::Inlet => self.cells.first(),
            End::Outlet => self.cells.last(),
        };
        let full_kpa = rest.p_pa / rest.enhancement * 1e-3;
        let held = self
            .isotherm(rest.t_k)
            .pressure(cell.copied().unwrap_or(0.0));
        Ok(held.map_or(1.0, |p| (p / full_kpa).min(1.0)))
    }

    /// Adds water at one end: cells fill one after another up to equilibrium
    /// with an effective pressure of `p_kpa`. Returns what found room, kg.
    pub fn soak(
        &mut self,
        end: End,
        water_kg: f64,
        p_kpa: f64,
        t_k: f64,
    ) -> Result<f64, PurifierError> {
        super::error::TEMPERATURE.check(t_k)?;
        let mut left = WATER.check(water_kg)? / WATER_KG_MOL / self.cell_kg();
        let offered = left;
        let full = self.isotherm(t_k).loading(VAPOUR.check(p_kpa)?);
        let mut fill = |q: &mut f64| {
            let taken = (full - *q).max(0.0).min(left);
            *q += taken;
            left -= taken;
        };
        match end {
            End::Inlet => self.cells.iter_mut().for_each(&mut fill),
            End::Outlet => self.cells.iter_mut().rev().for_each(&mut fill),
        }
        Ok((offered - left) * self.cell_kg() * WATER_KG_MOL)
    }

    /// C between neighbouring cells, mol/(s·kPa).
    fn conductance(&self, rest: &Rest) -> f64 {
        let d = vapour_diffusivity(rest.t_k, rest.p_pa) * self.adsorbent.void_fraction.powf(1.5);
        let spacing = self.packing.length_m / self.cells.len() as f64;
        d * self.area_m2() * rest.enhancement * 1e3 / (GAS_CONSTANT * rest.t_k * spacing)
    }
}

/// An end of the bed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum End {
    /// Where the air comes in.
    Inlet,
    /// Where it leaves.
    Outlet,
}

struct Spreading {
    isotherm: TothAt,
    full_kpa: f64,
    /// C per kilogram of a cell, mol/(kg·s·kPa).
    conductance: f64,
}

impl Spreading {
    /// One linearly implicit step: loadings after it, largest change.
    fn step(&self, cells: &[f64], dt: f64) -> (Vec<f64>, f64) {
        let c = self.conductance * dt;
        let before: Vec<f64> = cells.iter().map(|q| self.pressure(*q)).collect();
        let slopes: Vec<f64> = before.iter().map(|p| self.isotherm.slope(*p)).collect();
        let after = solve(&before, &slopes, c);
        let mut change = 0.0_f64;
        let mut loads = cells.to_vec();
        let mut inflow = 0.0;
        for (i, q) in loads.iter_mut().enumerate() {
            let outflow = match (after.get(i), after.get(i + 1)) {
                (Some(here), Some(next)) => c * (here - next),
                _ => 0.0,
            };
            let gained = inflow - outflow;
            *q = (*q + gained).max(0.0);
            change = change.max(gained.abs());
            inflow = outflow;
        }
        (loads, change / self.isotherm.saturation())
    }

    fn pressure(&self, q: f64) -> f64 {
        let p = self.isotherm.pressure(q).unwrap_or(self.full_kpa);
        p.min(self.full_kpa)
    }
}

/// Pressures p' with s·(p' − p) = c·(p'₋ − 2p' + p'₊), ends closed: the
/// tridiagonal system by elimination.
fn solve(before: &[f64], slopes: &[f64], c: f64) -> Vec<f64> {
    let last = before.len() - 1;
    let (mut ratio, mut value) = (0.0, 0.0);
    let mut rows = Vec::with_capacity(before.len());
    for (i, (p, s)) in before.iter().zip(slopes).enumerate() {
        let (back, ahead) = (if i > 0 { c } else { 0.0 }, if i < last { c } else { 0.0 });
        let pivot = s + back + ahead - back * ratio;
        value = (s * p + back * value) / pivot;
        ratio = ahead / pivot;
        rows.push((value, ratio));
    }
    let mut next = 0.0;
    let mut solved: Vec<f64> = rows
        .iter()
        .rev()
        .map(|(value, ratio)| {
            next = value + ratio * next;
            next
        })
        .collect();
    solved.reverse();
    solved
}

const WATER: Bounds = Bounds {
    what: "mass of water",
    low: 0.0,
    high: 1e4,
    unit: "kg",
    remedy: "give the water that came in, from zero up",
};

const VAPOUR: Bounds = Bounds {
    what: "effective partial pressure of water",
    low: 0.0,
    high: 200.0,
    unit: "kPa",
    remedy: "give the vapour's partial pressure, at most that of saturation",
};
