//! Filling a gas table: node temperatures and exact slopes.
//!
//! Not here: reading the table ([`super::table`]).

use super::GasError;
use super::equation::Gas;
use super::table::{Corner, RHO_CELLS, V_CELLS};

/// The isotherm whose residual energy straightens the grid, K.
const REFERENCE_T_K: f64 = 300.0;
/// Ideal-gas temperatures at the cold and hot edge of the grid, K.
const EDGE_T_K: (f64, f64) = (75.0, 560.0);
/// The state that sets the highest density: Pa absolute, K.
const DENSEST: (f64, f64) = (460e5, 200.0);
/// Stands for zero density: low enough to be ideal, high enough to divide by.
const NEARLY_NOTHING: f64 = 1e-6;
/// Below this a node is left empty, K.
const T_FLOOR_K: f64 = 60.0;
/// Evaluations allowed per node.
const MAX_ITERATIONS: usize = 30;

/// A filled grid. Slopes are times cell widths.
pub(super) struct Nodes {
    pub(super) corners: Vec<Corner>,
    /// Residual energy on the reference isotherm and its slope, at each density.
    pub(super) reference: Vec<[f64; 2]>,
    pub(super) rho_step: f64,
    pub(super) v_step: f64,
    pub(super) v_low: f64,
}

pub(super) fn fill(gas: &Gas) -> Result<Nodes, GasError> {
    let densest = gas
        .state_p_t(DENSEST.0, DENSEST.1.max(gas.phase.lowest_t_k))?
        .rho;
    let energy = |t_k| gas.equation.ideal.at(t_k).u;
    let (v_low, v_high) = (energy(EDGE_T_K.0), energy(EDGE_T_K.1));
    let mut nodes = Nodes {
        corners: Vec::with_capacity((RHO_CELLS + 1) * (V_CELLS + 1)),
        reference: Vec::with_capacity(RHO_CELLS + 1),
        rho_step: densest / RHO_CELLS as f64,
        v_step: (v_high - v_low) / V_CELLS as f64,
        v_low,
    };
    for i in 0..=RHO_CELLS {
        let rho = (nodes.rho_step * i as f64).max(NEARLY_NOTHING);
        let a = gas.residual(rho, REFERENCE_T_K);
        let rt = gas.equation.r * REFERENCE_T_K;
        let reference = [rt * a.a10, rt * a.a11 / rho];
        nodes
            .reference
            .push([reference[0], reference[1] * nodes.rho_step]);
        column(gas, rho, reference, &mut nodes);
    }
    Ok(nodes)
}

/// Nodes at one density, from hot to cold so that each gives the next its
/// first guess; stored from cold to hot.
fn column(gas: &Gas, rho: f64, reference: [f64; 2], nodes: &mut Nodes) {
    let steps = [nodes.v_step, nodes.rho_step];
    let start = nodes.corners.len();
    let mut guess = Some(EDGE_T_K.1);
    for j in (0..=V_CELLS).rev() {
        let u = nodes.v_low + nodes.v_step * j as f64 + reference[0];
        let found = guess.and_then(|t| temperature(gas, rho, u, t));
        let corner = found.and_then(|t| corner(gas, rho, t, reference[1], steps));
        guess = found.zip(corner).map(|(t, corner)| t - corner[1][0]);
        nodes.corners.push(corner.unwrap_or([[f64::NAN; 2]; 4]));
    }
    nodes.corners[start..].reverse();
}

/// Newton's method from a near guess.
fn temperature(gas: &Gas, rho: f64, u: f64, guess: f64) -> Option<f64> {
    let mut t = guess;
    for _ in 0..MAX_ITERATIONS {
        let state = gas.evaluate(rho, t);
        let step = (state.u - u) / state.cv;
        t -= step;
        if !(t > T_FLOOR_K && state.cv > 0.0) {
            return None;
        }
        // Quadratic convergence: the error left is about the step squared.
        if step.abs() < 1e-7 * t {
            return Some(t);
        }
    }
    None
}

/// T, y = p/ρ and their slopes at constant v and constant ρ, from the
/// derivatives of αʳ to third order; `None` in the unstable region.
///
/// With q = ∂T/∂ρ at constant v = (uᵣ′ − u_ρ)/cv:
/// y_v = y_T/cv, y_ρ|v = y_ρ + y_T·q,
/// T_ρv = −(cv_ρ + cv_T·q)/cv², y_ρv = (y_Tρ + y_TT·q)/cv + y_T·T_ρv.
fn corner(gas: &Gas, rho: f64, t: f64, reference_slope: f64, steps: [f64; 2]) -> Option<Corner> {
    let a = gas.residual(rho, t);
    let ideal = gas.equation.ideal.at(t);
    let (r, rt) = (gas.equation.r, gas.equation.r * t);
    let cv = ideal.cv - r * a.a20;
    if !(cv > 0.0 && 1.0 + 2.0 * a.a01 + a.a02 > 0.0) {
        return None;
    }
    let cv_rho = -r * a.a21 / rho;
    let cv_t = ideal.dcv_dt + r * (2.0 * a.a20 + a.a30) / t;
    let q = (reference_slope - rt * a.a11 / rho) / cv;
    let t_cross = -(cv_rho + cv_t * q) / (cv * cv);
    let y_t = r * (1.0 + a.a01 - a.a11);
    let y_tt = r * a.a21 / t;
    let y_rho = rt * (a.a01 + a.a02) / rho;
    let y_t_rho = r * (a.a01 + a.a02 - a.a11 - a.a12) / rho;
    let y_cross = (y_t_rho + y_tt * q) / cv + y_t * t_cross;
    let [v_step, rho_step] = steps;
    Some([
        [t, rt * (1.0 + a.a01)],
        [v_step / cv, v_step * y_t / cv],
        [rho_step * q, rho_step * (y_rho + y_t * q)],
        [rho_step * v_step * t_cross, rho_step * v_step * y_cross],
    ])
}
