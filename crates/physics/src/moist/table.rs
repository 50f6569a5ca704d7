//! The saturated water content as a fast table for the simulation.
//!
//! Start at [`MoistTable::new`]. Not here: uncertainty
//! ([`super::relative_uncertainty`]), the way back ([`super::Moist::point`]).

use super::air::Moist;
use super::error::MoistError;
use super::saturation::Phase;

/// Absolute pressures tabulated, Pa.
const P_RANGE_PA: (f64, f64) = (0.5e5, 450e5);
/// Cells along √p, and the largest cell along T, K.
const P_CELLS: usize = 32;
const T_CELL_K: f64 = 4.0;

/// y_sat(p, T) over liquid, ice or the stable one.
///
/// Tabulates ln(y·p) evenly in √p and T and joins four nodes each way by the
/// Catmull-Rom cubic, so the value and its slopes are continuous (for
/// [`Phase::Stable`] the value only: it turns a corner where ice melts).
///
/// **Holds** from 0.5 to 450 bar absolute, over liquid -20 to 80 °C, over ice
/// -80 to 0.01 °C; within 1e-3 of [`Moist::saturated`], see `tests/moist`.
#[derive(Debug, Clone)]
pub struct MoistTable {
    liquid: Option<Grid>,
    ice: Option<Grid>,
}

impl MoistTable {
    /// Tabulates over `phase`; takes some ten milliseconds.
    ///
    /// **Errors** as [`Moist::saturated`].
    pub fn new(moist: &Moist, phase: Phase) -> Result<Self, MoistError> {
        let grid = |wanted: Phase| -> Result<Option<Grid>, MoistError> {
            if phase == wanted || phase == Phase::Stable {
                Grid::new(moist, wanted).map(Some)
            } else {
                Ok(None)
            }
        };
        Ok(Self {
            liquid: grid(Phase::Liquid)?,
            ice: grid(Phase::Ice)?,
        })
    }

    /// Mole fraction of water in saturated air at absolute pressure `p_pa` and
    /// `t_k`; `None` outside the range, and for NaN.
    #[inline]
    pub fn y_sat(&self, p_pa: f64, t_k: f64) -> Option<f64> {
        let at = |grid: &Option<Grid>| grid.as_ref().and_then(|g| g.at(p_pa, t_k));
        let ln_yp = match (at(&self.liquid), at(&self.ice)) {
            (Some(liquid), Some(ice)) => liquid.min(ice),
            (liquid, ice) => liquid.or(ice)?,
        };
        Some(ln_yp.exp() / p_pa)
    }
}

/// ln(y·p) on an even grid with one row of nodes beyond each edge.
#[derive(Debug, Clone)]
struct Grid {
    t: Axis,
    s: Axis,
    /// Rows of equal √p, each `width` long.
    nodes: Vec<f64>,
    width: usize,
}

/// Evenly spaced nodes from `low` to `low + cells·step`.
#[derive(Debug, Clone, Copy)]
struct Axis {
    low: f64,
    step: f64,
    per_step: f64,
    cells: usize,
}

impl Axis {
    fn new((low, high): (f64, f64), cells: usize) -> Self {
        let step = (high - low) / cells as f64;
        Self {
            low,
            step,
            per_step: step.recip(),
            cells,
        }
    }

    /// Nodes along the axis, those beyond the edges included.
    fn nodes(&self) -> usize {
        self.cells + 3
    }

    /// Number of the first of four nodes around `x`, and the place between the
    /// middle two.
    #[inline]
    fn locate(&self, x: f64) -> Option<(usize, f64)> {
        /// Rounding at the edges, in cells.
        const EDGE: f64 = 1e-9;
        let position = (x - self.low) * self.per_step;
        if !(position >= -EDGE && position <= self.cells as f64 + EDGE) {
            return None;
        }
        let cell = (position as usize).min(self.cells - 1);
        Some((cell, position - cell as f64))
    }
}

impl Grid {
    fn new(moist: &Moist, phase: Phase) -> Result<Self, MoistError> {
        let range = phase.t_range_k();
        let t = Axis::new(range, ((range.1 - range.0) / T_CELL_K).ceil() as usize);
        let s = Axis::new((P_RANGE_PA.0.sqrt(), P_RANGE_PA.1.sqrt()), P_CELLS);
        let mut rows = Vec::with_capacity(s.nodes());
        for i in 0..=s.cells {
            let p_pa = (s.low + s.step * i as f64).powi(2).min(P_RANGE_PA.1);
            rows.push(row(moist, phase, p_pa, &t)?);
        }
        let beyond = |a: &[f64], b: &[f64], c: &[f64]| -> Vec<f64> {
            let next = |((a, b), c): ((&f64, &f64), &f64)| extrapolate(*a, *b, *c);
            a.iter().zip(b).zip(c).map(next).collect()
        };
        let (first, last) = match (rows.as_slice(), rows.as_slice()) {
            ([a, b, c, ..], [.., z, y, x]) => (beyond(a, b, c), beyond(x, y, z)),
            _ => return Err(too_small()),
        };
        let nodes = [vec![first], rows, vec![last]].concat().concat();
        let width = t.nodes();
        Ok(Self { t, s, nodes, width })
    }

    /// ln(y·p) at `p_pa` and `t_k`.
    #[inline]
    fn at(&self, p_pa: f64, t_k: f64) -> Option<f64> {
        let (column, x) = self.t.locate(t_k)?;
        let (row, z) = self.s.locate(p_pa.sqrt())?;
        let (along_t, along_s) = (weights(x), weights(z));
        let start = row * self.width + column;
        let line = |k: usize| -> Option<f64> {
            let from = start + k * self.width;
            let [a, b, c, d] = self.nodes.get(from..from + 4)? else {
                return None;
            };
            Some(along_t[0] * a + along_t[1] * b + along_t[2] * c + along_t[3] * d)
        };
        let lower = along_s[0] * line(0)? + along_s[1] * line(1)?;
        let upper = along_s[2] * line(2)? + along_s[3] * line(3)?;
        Some(lower + upper)
    }
}

/// ln(y·p) along T at one pressure, one node beyond each end.
fn row(moist: &Moist, phase: Phase, p_pa: f64, t: &Axis) -> Result<Vec<f64>, MoistError> {
    let high = phase.t_range_k().1;
    let mut inside = Vec::with_capacity(t.nodes());
    for i in 0..=t.cells {
        let t_k = (t.low + t.step * i as f64).min(high);
        let y = moist.saturated(p_pa, t_k, phase)?.mole_fraction;
        inside.push((y * p_pa).ln());
    }
    let (first, last) = match (inside.as_slice(), inside.as_slice()) {
        ([a, b, c, ..], [.., z, y, x]) => (extrapolate(*a, *b, *c), extrapolate(*x, *y, *z)),
        _ => return Err(too_small()),
    };
    inside.insert(0, first);
    inside.push(last);
    Ok(inside)
}

/// The value before `a` on the parabola through `a`, `b`, `c`.
fn extrapolate(a: f64, b: f64, c: f64) -> f64 {
    3.0 * (a - b) + c
}

fn too_small() -> MoistError {
    MoistError::NotConverged {
        what: "grid of at least three nodes",
        iterations: 0,
    }
}

/// Catmull-Rom weights of four nodes at `x` in 0..=1 between the middle two.
#[inline]
fn weights(x: f64) -> [f64; 4] {
    let left = 1.0 - x;
    let (before, after) = (-0.5 * x * left * left, -0.5 * left * x * x);
    let end = x * x * (3.0 - 2.0 * x);
    [before, 1.0 - end - after, end - before, after]
}
