//! From a water content back to the dew or frost point.

use super::air::Moist;
use super::error::{MoistError, amount, pressure};
use super::saturation::Phase;

/// Iterations allowed.
const MAX_ITERATIONS: u32 = 100;
/// A step this small, in 1/K relative, ends the search: about 1e-10 K.
const TOLERANCE: f64 = 1e-13;

/// The temperature at which water begins to condense or freeze out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// The dew or frost point, K.
    pub t_k: f64,
    /// What the uncertainty of the saturated content makes of it, K.
    pub uncertainty_k: f64,
    /// What appears first: liquid or ice.
    pub phase: Phase,
}

impl Moist {
    /// Dew point at absolute pressure `p_pa` of air that holds `mole_fraction`
    /// of water: where liquid (below 0.01 °C supercooled) appears.
    ///
    /// **Errors** as [`point`](Self::point).
    pub fn dew_point(&self, p_pa: f64, mole_fraction: f64) -> Result<Point, MoistError> {
        self.point(p_pa, mole_fraction, Phase::Liquid)
    }

    /// Frost point, as [`dew_point`](Self::dew_point) over ice.
    ///
    /// **Errors** as [`point`](Self::point).
    pub fn frost_point(&self, p_pa: f64, mole_fraction: f64) -> Result<Point, MoistError> {
        self.point(p_pa, mole_fraction, Phase::Ice)
    }

    /// The temperature T with y_sat(p, T) = `mole_fraction` over `phase`;
    /// its uncertainty is that of y over ∂ln y/∂T.
    ///
    /// **Errors** [`MoistError::NoPoint`] if it lies outside the temperatures
    /// of the phase, [`MoistError::Pressure`], [`MoistError::NotAnAmount`].
    pub fn point(&self, p_pa: f64, mole_fraction: f64, phase: Phase) -> Result<Point, MoistError> {
        pressure(p_pa)?;
        let y = amount("mole fraction of water", mole_fraction)?;
        let range_k = phase.t_range_k();
        let low = self.saturated(p_pa, range_k.0, phase)?.mole_fraction;
        let high = self.saturated(p_pa, range_k.1, phase)?.mole_fraction;
        if !(low..=high).contains(&y) {
            return Err(MoistError::NoPoint {
                what: phase.point_name(),
                mole_fraction,
                p_pa,
                range_k,
                low,
                high,
            });
        }
        let distance = |t_k: f64| -> Result<f64, MoistError> {
            Ok((self.saturated(p_pa, t_k, phase)?.mole_fraction / y).ln())
        };
        let t_k = search(range_k, ((low / y).ln(), (high / y).ln()), distance)?;
        self.with_uncertainty(p_pa, t_k, phase)
    }

    fn with_uncertainty(&self, p_pa: f64, t_k: f64, phase: Phase) -> Result<Point, MoistError> {
        /// Half the distance over which the slope is taken, K.
        const HALF: f64 = 0.05;
        let (low, high) = phase.t_range_k();
        let (below, above) = ((t_k - HALF).max(low), (t_k + HALF).min(high));
        let here = self.saturated(p_pa, t_k, phase)?;
        let rise = self.saturated(p_pa, above, phase)?.mole_fraction
            / self.saturated(p_pa, below, phase)?.mole_fraction;
        Ok(Point {
            t_k,
            uncertainty_k: here.relative_uncertainty * (above - below) / rise.ln(),
            phase: here.phase,
        })
    }
}

/// Root of a rising function of T known at both ends of the range, by false
/// position in 1/T (where ln y is nearly straight), halving the weight of an
/// end that stays (the Illinois rule).
fn search(
    (low, high): (f64, f64),
    (mut at_low, mut at_high): (f64, f64),
    f: impl Fn(f64) -> Result<f64, MoistError>,
) -> Result<f64, MoistError> {
    let (mut cold, mut warm) = (1.0 / low, 1.0 / high);
    let mut last = 0.0_f64;
    for _ in 0..MAX_ITERATIONS {
        if at_high == at_low {
            return Ok(1.0 / warm);
        }
        let x = (cold * at_high - warm * at_low) / (at_high - at_low);
        let value = f((1.0 / x).clamp(low, high))?;
        if value.abs() <= TOLERANCE || (cold - warm).abs() <= TOLERANCE * cold {
            return Ok((1.0 / x).clamp(low, high));
        }
        if value > 0.0 {
            (warm, at_high) = (x, value);
            at_low *= if last > 0.0 { 0.5 } else { 1.0 };
        } else {
            (cold, at_low) = (x, value);
            at_high *= if last < 0.0 { 0.5 } else { 1.0 };
        }
        last = value;
    }
    Err(MoistError::NotConverged {
        what: "dew or frost point",
        iterations: MAX_ITERATIONS,
    })
}
