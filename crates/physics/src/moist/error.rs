//! Why a moisture value could not be given, in units people read.

use thiserror::Error;

use crate::gas::GasError;

/// What went wrong in the moisture model.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum MoistError {
    /// The temperature lies outside the range of the formulas.
    #[error("{what} {:.2} °C is outside {:.2} to {:.2} °C", celsius(*.t_k), celsius(.range_k.0), celsius(.range_k.1))]
    Temperature {
        /// Which temperature, in words.
        what: &'static str,
        /// The value given, K.
        t_k: f64,
        /// Range accepted, K.
        range_k: (f64, f64),
    },
    /// The pressure lies outside the range of the method.
    #[error("pressure {:.3} bar absolute is outside {} to {} bar", .p_pa / 1e5, .range_pa.0 / 1e5, .range_pa.1 / 1e5)]
    Pressure {
        /// The value given, Pa absolute.
        p_pa: f64,
        /// Range accepted, Pa absolute.
        range_pa: (f64, f64),
    },
    /// The water content has no dew or frost point in the range.
    #[error(
        "{:.4} ppm of water has its {what} outside {:.2} to {:.2} °C at {:.2} bar absolute, where saturated air holds {:.4} to {:.4} ppm",
        .mole_fraction * 1e6, celsius(.range_k.0), celsius(.range_k.1), .p_pa / 1e5, .low * 1e6, .high * 1e6
    )]
    NoPoint {
        /// Dew point, frost point or either, in words.
        what: &'static str,
        /// The water content given, mole fraction.
        mole_fraction: f64,
        /// Absolute pressure, Pa.
        p_pa: f64,
        /// Temperatures accepted, K.
        range_k: (f64, f64),
        /// Saturated mole fraction at the lowest temperature.
        low: f64,
        /// Saturated mole fraction at the highest temperature.
        high: f64,
    },
    /// More water than saturated air holds.
    #[error(
        "{:.1} % relative humidity: air cannot hold more than 100 %; the rest is liquid or ice, give it as such",
        .relative_humidity * 100.0
    )]
    Supersaturated {
        /// Relative humidity given or found, 1.
        relative_humidity: f64,
    },
    /// A dew or frost point above the temperature of the air.
    #[error(
        "{what} {:.2} °C is above the air temperature {:.2} °C: the air would be more than saturated",
        celsius(*.point_k), celsius(*.t_k)
    )]
    PointAboveAir {
        /// Dew point, frost point or either, in words.
        what: &'static str,
        /// The point given, K.
        point_k: f64,
        /// Temperature of the air, K.
        t_k: f64,
    },
    /// A number that must be zero or more, and finite, is not.
    #[error("{what} must be a number, zero or more, not {value}")]
    NotAnAmount {
        /// The quantity, in words.
        what: &'static str,
        /// The value given.
        value: f64,
    },
    /// The coefficients between gas and water hold for air only.
    #[error(
        "the gas is not dry air: {:.2} % {component}, air has {:.2} %",
        .fraction * 100.0, .expected * 100.0
    )]
    NotAir {
        /// The component that differs.
        component: &'static str,
        /// Its mole fraction.
        fraction: f64,
        /// Its mole fraction in air.
        expected: f64,
    },
    /// A solver gave up.
    #[error("no {what} found after {iterations} iterations")]
    NotConverged {
        /// What was sought.
        what: &'static str,
        /// Iterations spent.
        iterations: u32,
    },
    /// The dry air has no such state.
    #[error("dry air: {0}")]
    Gas(#[from] GasError),
}

fn celsius(t_k: f64) -> f64 {
    t_k - 273.15
}

/// `t_k` if it lies in `range_k`, give or take the rounding of °C to K. NaN
/// lies in no range.
pub(super) fn temperature(
    what: &'static str,
    t_k: f64,
    range_k: (f64, f64),
) -> Result<f64, MoistError> {
    const ROUNDING_K: f64 = 1e-9;
    if (range_k.0 - ROUNDING_K..=range_k.1 + ROUNDING_K).contains(&t_k) {
        Ok(t_k)
    } else {
        Err(MoistError::Temperature { what, t_k, range_k })
    }
}

/// `p_pa` if the method accepts it.
pub(super) fn pressure(p_pa: f64) -> Result<f64, MoistError> {
    let range_pa = super::P_RANGE_PA;
    if (range_pa.0..=range_pa.1).contains(&p_pa) {
        Ok(p_pa)
    } else {
        Err(MoistError::Pressure { p_pa, range_pa })
    }
}

/// `value` if it is finite and not negative.
pub(super) fn amount(what: &'static str, value: f64) -> Result<f64, MoistError> {
    if value.is_finite() && value >= 0.0 {
        Ok(value)
    } else {
        Err(MoistError::NotAnAmount { what, value })
    }
}
