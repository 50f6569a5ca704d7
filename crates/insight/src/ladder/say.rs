//! Pressures as words, in the units a person is used to.

use quantity::{GaugePressure, Quantity as _, UnitSystem, display_as};

/// How pressures are shown.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Say {
    pub units: UnitSystem,
}

impl Say {
    /// Symbol of the pressure unit.
    pub fn unit(self) -> &'static str {
        self.units.preferred::<GaugePressure>().symbol
    }

    /// The number in that unit.
    pub fn value(self, bar: f64) -> f64 {
        let unit = self.units.preferred::<GaugePressure>();
        unit.number(GaugePressure::bar(bar).si())
    }

    /// `232 bar`, `3365 psi`: to four figures, so that a stamp is not rounded away, and from ten on in
    /// whole psi, which no gauge parts.
    pub fn pressure(self, bar: f64) -> String {
        let value = self.value(bar);
        if self.units == UnitSystem::Us && value.abs() >= 10.0 {
            return format!("{value:.0} {}", self.unit());
        }
        display_as(GaugePressure::bar(bar), self.unit()).unwrap_or_default()
    }

    /// The same without the unit.
    pub fn number(self, bar: f64) -> String {
        let text = self.pressure(bar);
        text.split(' ').next().unwrap_or_default().to_owned()
    }

    /// Without decimals from ten on: for bands, which are not known that well.
    pub fn rough(self, bar: f64) -> String {
        let value = self.value(bar);
        if value.abs() < 10.0 {
            return self.number(bar);
        }
        format!("{value:.0}")
    }
}

/// Pressures that count as different: beyond what changing units does to a number.
pub(crate) fn above(one: f64, other: f64) -> bool {
    one - other > 1e-6 * other.abs().max(1.0)
}
