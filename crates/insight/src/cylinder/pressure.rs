//! A cylinder's pressure in the unit stamped and in the other.
//!
//! Not here: which pressure holds ([`super::fill`]).

use quantity::{GaugePressure, Quantity as _, Typed, display_as};
use serde::{Serialize, Serializer};

/// A gauge pressure in the unit stamped and in both.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BothUnits {
    /// As stamped.
    pub stamped: String,
    /// In bar.
    pub bar: f64,
    /// In psi.
    pub psi: f64,
}

impl BothUnits {
    /// Of a pressure as typed or stamped.
    pub fn of(typed: &Typed<GaugePressure>) -> BothUnits {
        BothUnits {
            stamped: typed.to_string(),
            bar: typed.value.as_bar(),
            psi: typed.value.as_psi(),
        }
    }
}

/// For `serde(serialize_with)`.
pub(super) fn serialize<S: Serializer>(
    typed: &Typed<GaugePressure>,
    serializer: S,
) -> Result<S::Ok, S::Error> {
    BothUnits::of(typed).serialize(serializer)
}

/// The stamped unit, then the other: `2400 psi (165.5 bar)`.
pub(super) fn both(typed: &Typed<GaugePressure>) -> String {
    let other = if typed.unit.symbol == "psi" {
        "bar"
    } else {
        "psi"
    };
    match display_as(typed.value, other) {
        Some(other) => format!("{typed} ({other})"),
        None => typed.to_string(),
    }
}

/// A pressure of this number and unit symbol, which must exist.
pub(super) fn typed(number: f64, symbol: &str) -> Option<Typed<GaugePressure>> {
    let unit = <GaugePressure as quantity::Quantity>::unit(symbol)?;
    Some(Typed {
        value: GaugePressure::from_si(unit.to_si(number)),
        unit,
        number,
    })
}

/// The same times a factor, its number rounded as a stamp would be.
pub(super) fn times(pressure: &Typed<GaugePressure>, factor: f64) -> Typed<GaugePressure> {
    let number = (pressure.number * factor * 1e3).round() / 1e3;
    Typed {
        value: GaugePressure::from_si(pressure.unit.to_si(number)),
        unit: pressure.unit,
        number,
    }
}
