//! How closely each state is followed, and where a step may end.
//!
//! Not here: the rates ([`super::rates`]), the method that keeps to this ([`super::rosenbrock`]).

use super::layout::Layout;
use super::plant::Plant;

/// Share of all gas held below which a vessel's tolerance does not shrink further.
const SMALL_SHARE: f64 = 0.05;
/// Nor is the tolerance of a vessel ever more than so many times what its own gas would ask for:
/// a bled hose holds a ten-thousandth of the cylinders beside it, and has to stay a gas.
const OWN_SHARE: f64 = 50.0;
/// Lift below which a valve's tolerance does not shrink further.
const LEAST_LIFT: f64 = 0.01;

/// The tolerance of each state.
pub(super) fn weights(
    plant: &Plant,
    layout: &Layout,
    tolerance: f64,
    y: &[f64],
    weights: &mut [f64],
) {
    let held: f64 = layout.mass.iter().map(|&row| y[row].abs()).sum();
    for (vessel, &row) in plant.vessels.iter().zip(&layout.mass) {
        // an empty vessel counts as if at a tenth of an atmosphere
        let own = y[row].abs().max(0.12 * vessel.volume_m3);
        // a small vessel need not be followed more closely than what it feeds
        let mass = own.max((SMALL_SHARE * held).min(OWN_SHARE * own));
        weights[row] = tolerance * mass;
        weights[row + 1] = tolerance * 2e5 * mass;
    }
    for &row in layout.wall.iter().flatten() {
        weights[row] = tolerance * 300.0;
    }
    for &row in layout.lift.iter().flatten() {
        // a relief valve holds its pressure at a lift of some thousandths
        weights[row] = tolerance * y[row].abs().max(LEAST_LIFT);
    }
}

/// Whether every vessel holds a gas that the table knows.
pub(super) fn all_gas(plant: &Plant, layout: &Layout, y: &[f64]) -> bool {
    let mut vessels = plant.vessels.iter().zip(&layout.mass);
    vessels.all(|(vessel, &row)| {
        let (mass, energy) = (y[row], y[row + 1]);
        plant
            .gas
            .pt(mass / vessel.volume_m3, energy / mass)
            .is_some()
    })
}
