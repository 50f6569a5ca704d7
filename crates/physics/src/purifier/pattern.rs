//! Closed forms for a bed whose isotherm is a step: what the column must
//! agree with, and quick estimates by hand.
//!
//! Both give X = outlet/inlet (mole ratios) at t − t_s, the time since the
//! stoichiometric time. Between them, film control breaks through gradually and
//! ends abruptly, solid control starts abruptly and ends gradually.
//!
//! Not here: real isotherms (`column`).

use super::{Bed, Feed, PurifierError};

/// Outlet share when uptake is limited inside the beads, dq/dt = k·(q₀ − q):
///
/// X = 1 − exp(−k·(t − t_s) − 1) from t_s − 1/k on, before that 0
///
/// `k` in 1/s, `since_s` = t − t_s in s. **Holds** from the first moment in a
/// bed that starts dry and is longer than G·Y/(m·k·q₀) of its length, as long
/// as k·t_s > 1. **Source** derived from the balance; cf. D. O. Cooper, Ind.
/// Eng. Chem. Fundam. 4 (1965) 308 (from memory).
pub fn solid_pattern(k: f64, since_s: f64) -> f64 {
    let exponent = k * since_s + 1.0;
    if exponent > 0.0 {
        -(-exponent).exp_m1()
    } else {
        0.0
    }
}

/// Outlet share when uptake is limited by the film of gas around the beads:
///
/// X = exp(k'·(t − t_s) − 1) until t_s + 1/k', after that 1
///
/// k' = k_f·a·c₀/(ρ·q₀) in 1/s. **Holds** once the pattern has formed.
/// **Source** derived from the balance; cf. K. R. Hall et al., Ind. Eng. Chem.
/// Fundam. 5 (1966) 212 (from memory).
pub fn film_pattern(k: f64, since_s: f64) -> f64 {
    (k * since_s - 1.0).exp().min(1.0)
}

/// Time to fill the bed to equilibrium if none of the water got past it, s:
///
/// t_s = m·(q* − q̄)/(G·Y)
///
/// Infinite for dry or still air; zero for a bed that is full already.
/// Every bed lets too much through earlier.
pub fn stoichiometric_seconds(bed: &Bed, feed: &Feed) -> Result<f64, PurifierError> {
    let room = bed.room_kg(feed)? / super::WATER_KG_MOL;
    let supply = feed.air_mol_s * feed.ratio();
    Ok(if supply > 0.0 {
        (room / supply).max(0.0)
    } else {
        f64::INFINITY
    })
}
