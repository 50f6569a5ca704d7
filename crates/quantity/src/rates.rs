//! How fast, how strong, how much of the whole: flow, speed, power, fraction
//! and concentration.

use crate::amounts::CUBIC_FOOT;
use crate::unit::{Unit, quantity};

/// Horsepower of 550 foot pounds-force a second, in W: 550 · 0.3048 m ·
/// 0.45359237 kg · 9.80665 m/s². NIST SP 811 (2008), B.8: 7.456999 E+02.
const HORSEPOWER: f64 = 550.0 * 0.3048 * 0.453_592_37 * 9.806_65;

/// Metric horsepower, 75 kgf·m/s, in W. NIST SP 811 (2008), B.8: 7.354988 E+02.
const METRIC_HORSEPOWER: f64 = 75.0 * 9.806_65;

quantity! {
    /// Volume of free air a second. SI unit m³/s, either sign.
    ///
    /// The pressure and temperature of the free air are the caller's to state,
    /// as for [`FreeVolume`](crate::FreeVolume).
    FlowRate: "flow rate", examples "100 L/min, 6 m3/h, 3.5 cfm, 1.7 L/s", shown 0 1;
    litre_per_minute as_litre_per_minute
        Unit::new("L/min", &["lpm", "liter/min", "litre/min"], 1e-3 / 60.0);
    cubic_foot_per_minute as_cubic_foot_per_minute
        Unit::new("cfm", &["cu ft/min", "ft3/min", "ft^3/min"], CUBIC_FOOT / 60.0);
    cubic_metre_per_hour as_cubic_metre_per_hour
        Unit::new("m3/h", &["m^3/h", "m3/hr"], 1.0 / 3600.0);
    litre_per_second as_litre_per_second
        Unit::new("L/s", &["liter/s", "litre/s", "L/sec"], 1e-3);
    cubic_metre_per_minute as_cubic_metre_per_minute
        Unit::new("m3/min", &["m^3/min"], 1.0 / 60.0);
}

quantity! {
    /// A part of the whole, or a change against it. SI unit 1, either sign.
    Fraction: "fraction", examples "75 %, 0.5 %, 400 ppm", shown 0 0;
    percent as_percent Unit::new("%", &["percent", "per cent", "pct"], 0.01);
    part_per_million as_part_per_million Unit::new("ppm", &[], 1e-6);
}

quantity! {
    /// Speed of a shaft. SI unit revolutions a second, either sign.
    Speed: "rotational speed", examples "1450 rpm, 1450 1/min, 24.2 rev/s", shown 0 0;
    per_minute as_per_minute
        Unit::new("rpm", &["r/min", "rev/min", "1/min", "/min", "min-1"], 1.0 / 60.0);
    per_second as_per_second Unit::new("rev/s", &["r/s", "1/s", "/s"], 1.0);
}

quantity! {
    /// Power. SI unit W, either sign. `hp` is 550 ft·lbf/s, `PS` 75 kgf·m/s.
    Power: "power", examples "2.2 kW, 3 hp, 2200 W", shown 0 1;
    kilowatt as_kilowatt Unit::new("kW", &["kilowatt"], 1e3);
    horsepower as_horsepower Unit::new("hp", &["horsepower"], HORSEPOWER);
    watt as_watt Unit::new("W", &["watt", "watts"], 1.0);
    metric_horsepower as_metric_horsepower Unit::new("PS", &[], METRIC_HORSEPOWER);
}

quantity! {
    /// Mass in a volume of air. SI unit kg/m³, never negative.
    ///
    /// The pressure and temperature of that air are the caller's to state.
    Concentration: "concentration", examples "5 mg/m3, 300 µg/m3, 0.5 g/m3", shown 0 0, least 0.0;
    milligram_per_cubic_metre as_milligram_per_cubic_metre
        Unit::new("mg/m3", &["mg/m^3"], 1e-6).prefixed();
    microgram_per_cubic_metre as_microgram_per_cubic_metre
        Unit::new("µg/m3", &["ug/m3", "µg/m^3", "ug/m^3"], 1e-9);
    gram_per_cubic_metre as_gram_per_cubic_metre Unit::new("g/m3", &["g/m^3"], 1e-3);
    kilogram_per_cubic_metre as_kilogram_per_cubic_metre
        Unit::new("kg/m3", &["kg/m^3"], 1.0);
}

impl Fraction {
    /// From a ratio, so that 0.75 is 75 %.
    #[must_use]
    pub const fn ratio(ratio: f64) -> Self {
        Self(ratio)
    }

    /// As a ratio, so that 75 % is 0.75.
    #[must_use]
    pub const fn as_ratio(self) -> f64 {
        self.0
    }
}
