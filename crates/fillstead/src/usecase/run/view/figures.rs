//! Figures of a run in the units of its station, and times as a clock shows them.

use quantity::{GaugePressure, Quantity as _, UnitSystem};

/// The number in the unit of pressures.
pub fn from_bar(bar: f64, units: UnitSystem) -> f64 {
    units
        .preferred::<GaugePressure>()
        .number(GaugePressure::bar(bar).si())
}

/// The unit of pressures.
pub fn unit(units: UnitSystem) -> &'static str {
    units.preferred::<GaugePressure>().symbol
}

/// A pressure as a gauge is read: to the bar, or to ten psi.
pub fn number(bar: f64, units: UnitSystem) -> String {
    let value = from_bar(bar, units);
    let value = match units {
        UnitSystem::Metric => value.round(),
        UnitSystem::Us => (value / 10.0).round() * 10.0,
    };
    format!("{:.0}", value + 0.0)
}

/// The number a tolerance is shown as: never less than it is.
pub fn round_up(bar: f64, units: UnitSystem) -> String {
    let value = from_bar(bar, units);
    match units {
        UnitSystem::Metric => format!("{:.0}", value.ceil()),
        UnitSystem::Us => format!("{:.0}", (value / 10.0).ceil() * 10.0),
    }
}

/// Minutes and seconds on a clock of fixed width: `07:48`, `1:07:48`.
pub fn mmss(seconds: f64) -> String {
    let s = seconds.max(0.0) as u64;
    match s / 3600 {
        0 => format!("{:02}:{:02}", s / 60, s % 60),
        h => format!("{h}:{:02}:{:02}", s / 60 % 60, s % 60),
    }
}
