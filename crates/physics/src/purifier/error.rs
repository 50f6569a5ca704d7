//! Why a bed cannot be computed. Every variant repeats the number and says
//! what to do about it.

use thiserror::Error;

/// What is wrong with a bed, its air or a question about it.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum PurifierError {
    /// There is nothing in the bed to hold water.
    #[error(
        "the bed holds {mass_kg} kg of adsorbent; give the mass that was filled in, above zero"
    )]
    EmptyBed {
        /// The mass given, kg.
        mass_kg: f64,
    },
    /// An input lies outside what the model accepts. NaN lies outside everything.
    #[error("{what} {value} {unit} is outside {low} to {high} {unit}; {remedy}")]
    OutOfRange {
        /// The quantity, in words.
        what: &'static str,
        /// The value given.
        value: f64,
        /// Lowest value accepted.
        low: f64,
        /// Highest value accepted.
        high: f64,
        /// Unit of the three numbers.
        unit: &'static str,
        /// What to do about it.
        remedy: &'static str,
    },
}

/// A range an input must lie in, with the words for when it does not.
pub(super) struct Bounds {
    pub what: &'static str,
    pub low: f64,
    pub high: f64,
    pub unit: &'static str,
    pub remedy: &'static str,
}

impl Bounds {
    /// `value` if it lies within the bounds, ends included.
    pub(super) fn check(&self, value: f64) -> Result<f64, PurifierError> {
        if (self.low..=self.high).contains(&value) {
            return Ok(value);
        }
        Err(PurifierError::OutOfRange {
            what: self.what,
            value,
            low: self.low,
            high: self.high,
            unit: self.unit,
            remedy: self.remedy,
        })
    }
}

/// Temperatures at which beds are computed.
pub(super) const TEMPERATURE: Bounds = Bounds {
    what: "temperature of the bed",
    low: 250.0,
    high: 373.15,
    unit: "K",
    remedy: "give the air's temperature at the purifier, not at the last stage",
};

/// Absolute pressures at which beds are computed.
pub(super) const PRESSURE: Bounds = Bounds {
    what: "absolute pressure in the bed",
    low: 1e4,
    high: 6e7,
    unit: "Pa",
    remedy: "give the purifier's absolute pressure",
};

/// Mole fractions of water in air.
pub(super) const FRACTION: Bounds = Bounds {
    what: "mole fraction of water",
    low: 0.0,
    high: 0.5,
    unit: "mol/mol",
    remedy: "give vapour only; liquid must be separated before the bed",
};

/// Durations, up to a hundred years.
pub(super) const SECONDS: Bounds = Bounds {
    what: "duration",
    low: 0.0,
    high: 3.2e9,
    unit: "s",
    remedy: "give a time from zero to a hundred years",
};
