//! Density and enthalpy along one temperature, as fast curves.
//!
//! Start at [`Gas::isotherm`]. Not here: states off that temperature
//! ([`super::table`]).

use super::GasError;
use super::equation::Gas;
use super::error::within;
use super::hermite::{Weights, blend, locate};

/// Highest pressure of an isotherm, Pa absolute.
const P_MAX_PA: f64 = 500e5;
/// Number of equal cells from zero to [`P_MAX_PA`].
const CELLS: usize = 80;
/// Temperatures for which the curve keeps its accuracy, K.
const T_RANGE_K: (f64, f64) = (200.0, 600.0);
/// Stands for zero density: low enough to be ideal, high enough to divide by.
const NEARLY_NOTHING: f64 = 1e-6;

/// ρ and h against p at fixed temperature, from 0 to 500 bar absolute.
///
/// Cubic Hermite in p of ρ/p = 1/(Z·R·T) and of h, through exact values and
/// slopes, so both curves are continuous with their slopes.
///
/// **Holds** from 200 to 600 K; ρ and h (relative to R·T) within 1e-6 of the
/// equation, see `tests/gas/isotherm.rs`.
#[derive(Debug, Clone)]
pub struct Isotherm {
    t_k: f64,
    nodes: Vec<Node>,
}

/// Value and slope times cell width.
#[derive(Debug, Clone, Copy)]
struct Node {
    ratio: [f64; 2],
    h: [f64; 2],
}

/// One point of an [`Isotherm`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct IsothermPoint {
    /// Density, kg/m³.
    pub rho: f64,
    /// Enthalpy, J/kg.
    pub h: f64,
    /// ∂ρ/∂p at constant temperature, kg/(m³·Pa).
    pub drho_dp: f64,
    /// ∂h/∂p at constant temperature, J/(kg·Pa).
    pub dh_dp: f64,
}

impl Gas {
    /// Tabulates ρ(p) and h(p) at temperature `t_k`, from 0 to 500 bar absolute.
    ///
    /// **Errors** [`GasError::OutOfRange`] outside 200 to 600 K; also if the
    /// mixture (much CO₂) condenses on the way.
    pub fn isotherm(&self, t_k: f64) -> Result<Isotherm, GasError> {
        within("temperature", t_k, T_RANGE_K, "K")?;
        self.check_temperature(t_k)?;
        let mut nodes = vec![node(self, NEARLY_NOTHING, t_k)];
        for k in 1..=CELLS {
            let p = P_MAX_PA * k as f64 / CELLS as f64;
            nodes.push(node(self, self.state_p_t(p, t_k)?.rho, t_k));
        }
        Ok(Isotherm { t_k, nodes })
    }
}

/// Slopes in forms that do not cancel at low density:
/// h_ρ = R·T·(δταʳ_δτ + δαʳ_δ + δ²αʳ_δδ)/ρ, and likewise for ρ/p.
fn node(gas: &Gas, rho: f64, t_k: f64) -> Node {
    let a = gas.residual(rho, t_k);
    let state = gas.evaluate(rho, t_k);
    let rt = gas.equation.r * t_k;
    let step = P_MAX_PA / CELLS as f64;
    let rho_step = step / state.dp_drho_t;
    let ratio_slope = -(a.a01 + a.a02) / (rho * rt * state.z * state.z);
    let h_slope = rt * (a.a11 + a.a01 + a.a02) / rho;
    Node {
        ratio: [1.0 / (rt * state.z), ratio_slope * rho_step],
        h: [state.h, h_slope * rho_step],
    }
}

impl Isotherm {
    /// The temperature of the curve, K.
    pub fn t_k(&self) -> f64 {
        self.t_k
    }

    /// The point at absolute pressure `p_pa`, or `None` outside 0 to 500 bar.
    #[inline]
    pub fn at(&self, p_pa: f64) -> Option<IsothermPoint> {
        const PER_PA: f64 = CELLS as f64 / P_MAX_PA;
        let (cell, x) = locate(p_pa * PER_PA, CELLS)?;
        let [left, right] = self.nodes.get(cell..cell + 2)? else {
            return None;
        };
        let weights = Weights::at(x);
        let ratio = blend(&weights.value, left.ratio, right.ratio);
        let ratio_slope = PER_PA * blend(&weights.slope, left.ratio, right.ratio);
        Some(IsothermPoint {
            rho: p_pa * ratio,
            h: blend(&weights.value, left.h, right.h),
            drho_dp: ratio + p_pa * ratio_slope,
            dh_dp: PER_PA * blend(&weights.slope, left.h, right.h),
        })
    }
}
