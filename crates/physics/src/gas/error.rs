//! Why a gas property could not be given. Every variant repeats the numbers.

use thiserror::Error;

/// What went wrong in the gas model.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum GasError {
    /// An input lies outside the range of the equation of state.
    #[error("{}", outside(.what, *.value, *.low, *.high, .unit))]
    OutOfRange {
        /// The quantity, in words.
        what: &'static str,
        /// The value given, or found.
        value: f64,
        /// Lowest value accepted.
        low: f64,
        /// Highest value accepted.
        high: f64,
        /// Unit of the three numbers.
        unit: &'static str,
    },
    /// At this pressure and temperature the mixture is a liquid.
    #[error("at {:.1} bar absolute and {:.1} °C the gas is a liquid", .p_pa / 1e5, .t_k - 273.15)]
    LiquidRoot {
        /// Absolute pressure, Pa.
        p_pa: f64,
        /// Temperature, K.
        t_k: f64,
    },
    /// Part of the mixture would condense at this state.
    #[error("at {:.1} bar absolute and {:.1} °C part of the gas is liquid", .p_pa / 1e5, .t_k - 273.15)]
    TwoPhase {
        /// Absolute pressure, Pa.
        p_pa: f64,
        /// Temperature, K.
        t_k: f64,
    },
    /// A solver gave up.
    #[error("no {what} found after {iterations} iterations")]
    NotConverged {
        /// What was sought.
        what: &'static str,
        /// How often the equation was evaluated.
        iterations: u32,
    },
    /// The mole fractions do not describe a mixture.
    #[error("bad composition: {why} ({value})")]
    BadComposition {
        /// The rule broken, in words.
        why: &'static str,
        /// The offending number.
        value: f64,
    },
}

/// The sentence of [`GasError::OutOfRange`]; pressures in bar, as people know them.
fn outside(what: &str, value: f64, low: f64, high: f64, unit: &str) -> String {
    if unit == "Pa" {
        let [value, low, high] = [value, low, high].map(|p| p / 1e5);
        return format!("{what} {value:.1} bar absolute is outside {low:.0} to {high:.0} bar");
    }
    format!("{what} {value} {unit} is outside {low} to {high} {unit}")
}

/// `value` if it lies within `low..=high`, else [`GasError::OutOfRange`].
/// NaN is outside every range.
pub(super) fn within(
    what: &'static str,
    value: f64,
    (low, high): (f64, f64),
    unit: &'static str,
) -> Result<f64, GasError> {
    if (low..=high).contains(&value) {
        Ok(value)
    } else {
        Err(GasError::OutOfRange {
            what,
            value,
            low,
            high,
            unit,
        })
    }
}
