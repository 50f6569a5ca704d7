//! Which units a person is used to.

use crate::{Quantity, Unit};

/// The units a person is shown; reading accepts every unit regardless.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum UnitSystem {
    /// bar, °C, L, L/min, kg, m.
    #[default]
    Metric,
    /// psi, °F, cu ft, cfm, lb, ft.
    Us,
}

impl UnitSystem {
    /// The unit this system shows a quantity in.
    #[must_use]
    pub const fn preferred<Q: Quantity>(self) -> &'static Unit {
        match self {
            Self::Metric => Q::METRIC,
            Self::Us => Q::US,
        }
    }
}
