//! The fast path: a gas table over density and internal energy.
//!
//! Start at [`GasTable::new`]. Filling the nodes is in [`super::table_build`].
//! Not here: the equation of state ([`super::equation`]).
//! Invariant: temperature and pressure are continuous with their slopes, and
//! the slopes handed out are those of the interpolant itself.

use super::GasError;
use super::equation::{Gas, P_RANGE_PA};
use super::hermite::{Weights, blend, locate};
use super::phase::Phase;
use super::table_build::{Nodes, fill};

/// Cells along density.
pub(super) const RHO_CELLS: usize = 48;
/// Cells along energy.
pub(super) const V_CELLS: usize = 40;

/// A state read from a [`GasTable`], with the slopes an implicit integrator
/// needs: `_drho` at constant u, `_du` at constant ρ.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fast {
    /// Absolute pressure, Pa.
    pub p: f64,
    /// Temperature, K.
    pub t: f64,
    /// Enthalpy u + p/ρ, J/kg.
    pub h: f64,
    /// ∂p/∂ρ, J/kg.
    pub dp_drho: f64,
    /// ∂p/∂u, kg/m³.
    pub dp_du: f64,
    /// ∂T/∂ρ, K·m³/kg.
    pub dt_drho: f64,
    /// ∂T/∂u, K·kg/J.
    pub dt_du: f64,
    /// ∂h/∂ρ, J·m³/kg².
    pub dh_drho: f64,
    /// ∂h/∂u, 1.
    pub dh_du: f64,
    /// Isochoric heat capacity 1/(∂T/∂u), J/(kg·K); as a slope of the
    /// interpolant it is less exact than p and T.
    pub cv: f64,
}

/// T and p/ρ of one gas, bicubic Hermite over ρ and v = u − uᵣ(ρ).
///
/// uᵣ(ρ) is the residual energy along 300 K. With it taken away isotherms run
/// nearly straight through the grid, so few nodes suffice.
///
/// | at | is | unit |
/// |---|---|---|
/// | ρ | 0 to the density at 460 bar and 200 K | kg/m³ |
/// | v | ideal-gas energies of 75 and 560 K | J/kg |
///
/// **Holds** from ρ = 0 (where p = 0 and p/ρ → R·T) to 600 bar and from 80 K
/// up, where the mixture is a gas; the hot end is 560 K at low density and
/// about 500 K at high. Elsewhere `None`. Within 1e-5 of the equation in p and
/// T, and 1e-4 in the slopes, from 200 to 450 K up to 450 bar; about 1e-4 in p
/// near the critical point; see `tests/gas/table.rs`.
/// **Leaves out** nothing of the equation; its own limits apply ([`Gas`]).
#[derive(Debug, Clone)]
pub struct GasTable {
    nodes: Vec<Corner>,
    reference: Vec<[f64; 2]>,
    per_rho: f64,
    per_v: f64,
    v_low: f64,
    phase: Phase,
    molar_mass: f64,
}

/// T and p/ρ (side by side) at a node: value, slope along v, slope along ρ,
/// cross slope; slopes times cell widths. NaN where there is no gas.
pub(super) type Corner = [[f64; 2]; 4];

/// A value and its two slopes in cell units.
#[derive(Clone, Copy)]
struct Patch {
    value: f64,
    along_rho: f64,
    along_v: f64,
}

impl GasTable {
    /// Fills a table for `gas`; takes a few milliseconds.
    ///
    /// **Errors** those of [`Gas::state_p_t`] at 460 bar and 200 K, where the
    /// table's highest density is taken: a mixture with much CO₂ is liquid there.
    pub fn new(gas: &Gas) -> Result<Self, GasError> {
        let Nodes {
            corners,
            reference,
            rho_step,
            v_step,
            v_low,
        } = fill(gas)?;
        Ok(Self {
            nodes: corners,
            reference,
            per_rho: 1.0 / rho_step,
            per_v: 1.0 / v_step,
            v_low,
            phase: gas.phase.clone(),
            molar_mass: gas.molar_mass(),
        })
    }

    /// The state at density `rho` (kg/m³) and internal energy `u` (J/kg), or
    /// `None` outside the table, for NaN, and where there is no gas.
    #[inline]
    pub fn at(&self, rho: f64, u: f64) -> Option<Fast> {
        let (i, x) = locate(rho * self.per_rho, RHO_CELLS)?;
        let along_rho = Weights::at(x);
        let (left, right) = (*self.reference.get(i)?, *self.reference.get(i + 1)?);
        let shift = blend(&along_rho.value, left, right);
        let (j, y) = locate((u - shift - self.v_low) * self.per_v, V_CELLS)?;
        let along_v = Weights::at(y);
        let [t, ratio] = self.patch(i, j, &along_rho, &along_v)?;
        let (p, t_k) = (rho * ratio.value, t.value);
        if !self.holds(rho, p, t_k) {
            return None;
        }
        let shift_slope = blend(&along_rho.slope, left, right) * self.per_v;
        let slopes = |f: Patch| {
            (
                (f.along_rho - f.along_v * shift_slope) * self.per_rho,
                f.along_v * self.per_v,
            )
        };
        let (dt_drho, dt_du) = slopes(t);
        let (dratio_drho, dratio_du) = slopes(ratio);
        Some(Fast {
            p,
            t: t_k,
            h: u + ratio.value,
            dp_drho: ratio.value + rho * dratio_drho,
            dp_du: rho * dratio_du,
            dt_drho,
            dt_du,
            dh_drho: dratio_drho,
            dh_du: 1.0 + dratio_du,
            cv: 1.0 / dt_du,
        })
    }

    /// Pressure (Pa absolute) and temperature (K) only: as [`at`](Self::at),
    /// about a fifth faster.
    #[inline]
    pub fn pt(&self, rho: f64, u: f64) -> Option<(f64, f64)> {
        let (i, x) = locate(rho * self.per_rho, RHO_CELLS)?;
        let along_rho = Weights::at(x).value;
        let (left, right) = (*self.reference.get(i)?, *self.reference.get(i + 1)?);
        let shift = blend(&along_rho, left, right);
        let (j, y) = locate((u - shift - self.v_low) * self.per_v, V_CELLS)?;
        let along_v = Weights::at(y).value;
        let [low, high] = self.cell(i, j)?;
        let [t, ratio] = combine(&along_rho, &rows(low, high, &along_v));
        let p = rho * ratio;
        self.holds(rho, p, t).then_some((p, t))
    }

    /// Corner data of a cell: at its lower and its upper density.
    #[inline]
    fn cell(&self, i: usize, j: usize) -> Option<[&[Corner; 2]; 2]> {
        let at = |i: usize| self.nodes.get(i * (V_CELLS + 1) + j..)?.first_chunk::<2>();
        Some([at(i)?, at(i + 1)?])
    }

    #[inline]
    fn patch(&self, i: usize, j: usize, x: &Weights, y: &Weights) -> Option<[Patch; 2]> {
        let [low, high] = self.cell(i, j)?;
        let rows_value = rows(low, high, &y.value);
        let value = combine(&x.value, &rows_value);
        let along_rho = combine(&x.slope, &rows_value);
        let along_v = combine(&x.value, &rows(low, high, &y.slope));
        let one = |k: usize| Patch {
            value: value[k],
            along_rho: along_rho[k],
            along_v: along_v[k],
        };
        Some([one(0), one(1)])
    }

    /// Is this read-out a gas within range? NaN is not.
    #[inline]
    fn holds(&self, rho: f64, p: f64, t: f64) -> bool {
        p <= P_RANGE_PA.1
            && t >= self.phase.lowest_t_k
            && self.phase.is_gas(rho / self.molar_mass, p, t)
    }
}

/// Interpolates along v at both densities: values and ρ-slopes of each.
#[inline]
fn rows(low: &[Corner; 2], high: &[Corner; 2], y: &[f64; 4]) -> [[f64; 2]; 4] {
    let [a, b] = low;
    let [c, d] = high;
    [
        combine(y, &[a[0], a[1], b[0], b[1]]),
        combine(y, &[a[2], a[3], b[2], b[3]]),
        combine(y, &[c[0], c[1], d[0], d[1]]),
        combine(y, &[c[2], c[3], d[2], d[3]]),
    ]
}

/// The weighted sum of four pairs.
#[inline]
fn combine(w: &[f64; 4], of: &[[f64; 2]; 4]) -> [f64; 2] {
    let one = |k: usize| w[0] * of[0][k] + w[1] * of[1][k] + w[2] * of[2][k] + w[3] * of[3][k];
    [one(0), one(1)]
}
