//! Computed figures in the units a person is used to, with no more digits than they deserve.
//!
//! Settings and ratings are shown to the last unit ([`Say::exact`]); what is computed is rounded
//! as a gauge is read ([`Say::number`]). Not here: reading.

use insight::forecast::answer::Band;
use quantity::{
    FreeVolume, GaugePressure, Mass, Quantity, Temperature, TimeSpan, Typed, UnitSystem, Volume,
    clock,
};

/// How figures are said to this person.
#[derive(Clone, Copy)]
pub struct Say {
    /// The units preferred.
    pub units: UnitSystem,
}

impl Say {
    /// The unit of pressure.
    pub fn pressure_unit(self) -> &'static str {
        self.units.preferred::<GaugePressure>().symbol
    }

    /// A pressure as the number in the preferred unit.
    pub fn value(self, bar: f64) -> f64 {
        self.units
            .preferred::<GaugePressure>()
            .number(GaugePressure::bar(bar).si())
    }

    /// A computed pressure without its unit.
    pub fn number(self, bar: f64) -> String {
        plain(rounded(self.units, self.value(bar)), 0)
    }

    /// A computed pressure on a stage's gauge, without its unit.
    pub fn stage_number(self, bar: f64) -> String {
        let small = self.units == UnitSystem::Metric && bar < 20.0;
        plain(self.value(bar), usize::from(small))
    }

    /// A computed pressure.
    pub fn pressure(self, bar: f64) -> String {
        format!("{} {}", self.number(bar), self.pressure_unit())
    }

    /// A computed pressure, and in brackets the same in the other system.
    pub fn both(self, bar: f64) -> String {
        format!("{} ({})", self.pressure(bar), self.other().pressure(bar))
    }

    /// A pressure that was set or stamped, to the nearest bar or psi.
    pub fn exact(self, bar: f64) -> String {
        format!("{} {}", plain(self.value(bar), 0), self.pressure_unit())
    }

    /// A pressure that was set or stamped, and in brackets the same in the other system.
    pub fn exact_both(self, bar: f64) -> String {
        format!("{} ({})", self.exact(bar), self.other().exact(bar))
    }

    /// `210 to 218`, without the unit.
    pub fn range(self, band: Band) -> String {
        let (low, high) = (self.number(band.low), self.number(band.high));
        if low == high {
            low
        } else {
            format!("{low} to {high}")
        }
    }

    /// A temperature.
    pub fn temperature(self, celsius: f64) -> String {
        whole(self.units, Temperature::celsius(celsius))
    }

    /// A mass of air.
    pub fn mass(self, kg: f64) -> String {
        let unit = self.units.preferred::<Mass>();
        let number = unit.number(kg);
        format!(
            "{} {}",
            plain(number, if number < 0.1 { 3 } else { 2 }),
            unit.symbol
        )
    }

    /// A volume of free air.
    pub fn free_air(self, litres: f64) -> String {
        let number = self.units.preferred::<FreeVolume>().number(litres * 1e-3);
        let number = if self.units == UnitSystem::Metric {
            (number / 10.0).round() * 10.0
        } else {
            number
        };
        format!(
            "{} {}",
            plain(number, 0),
            self.units.preferred::<FreeVolume>().symbol
        )
    }

    /// The water volume of a cylinder: litres to a tenth, or cubic inches.
    pub fn water_volume(self, litres: f64) -> String {
        match self.units {
            UnitSystem::Metric => format!("{} L", plain(litres, 1).trim_end_matches(".0")),
            UnitSystem::Us => format!("{} cu in", plain(Volume::litre(litres).as_cubic_inch(), 0)),
        }
    }

    /// The two temperatures at which settled pressures are given, the usual one first.
    pub fn in_usual_order<T>(self, at_15c: T, at_21c: T) -> [T; 2] {
        match self.units {
            UnitSystem::Metric => [at_15c, at_21c],
            UnitSystem::Us => [at_21c, at_15c],
        }
    }

    /// 15 °C, in both scales.
    pub fn at_15c(self) -> &'static str {
        match self.units {
            UnitSystem::Metric => "15 °C (59 °F)",
            UnitSystem::Us => "59 °F (15 °C)",
        }
    }

    /// 70 °F, in both scales.
    pub fn at_21c(self) -> &'static str {
        match self.units {
            UnitSystem::Metric => "21.1 °C (70 °F)",
            UnitSystem::Us => "70 °F (21.1 °C)",
        }
    }

    /// The reference temperature of a rating: 15 °C or 70 °F.
    pub fn at_reference(self, celsius: f64) -> &'static str {
        if celsius < 18.0 {
            self.at_15c()
        } else {
            self.at_21c()
        }
    }

    fn other(self) -> Say {
        let units = match self.units {
            UnitSystem::Metric => UnitSystem::Us,
            UnitSystem::Us => UnitSystem::Metric,
        };
        Say { units }
    }
}

/// Minutes and seconds.
pub fn time(seconds: f64) -> String {
    clock(TimeSpan::second(seconds))
}

/// A part of the whole as percent.
pub fn percent(share: f64) -> String {
    let percent = share * 100.0;
    let between = percent > 0.0 && percent < 100.0;
    match percent.round() {
        0.0 if between => "under 1 %".to_owned(),
        100.0 if between => "over 99 %".to_owned(),
        whole => format!("{whole:.0} %"),
    }
}

/// Water, with as many digits as it deserves; in grams in either system.
pub fn grams(g: f64) -> String {
    match g {
        none if none <= 0.0 => "0 g".to_owned(),
        trace if trace < 0.0005 => "under 0.001 g".to_owned(),
        small if small < 0.0995 => format!("{small:.3} g"),
        middle if middle < 0.995 => format!("{middle:.2} g"),
        large if large < 99.95 => format!("{large:.1} g"),
        huge => format!("{huge:.0} g"),
    }
}

/// Running hours, without their unit.
pub fn hours(h: f64) -> String {
    let decimals = usize::from(h < 9.95);
    plain(h, decimals)
}

/// To the nearest ten psi, the nearest bar.
fn rounded(units: UnitSystem, number: f64) -> f64 {
    match units {
        UnitSystem::Us if number.abs() >= 100.0 => (number / 10.0).round() * 10.0,
        _ => number,
    }
}

fn whole<Q: Quantity>(units: UnitSystem, q: Q) -> String {
    let typed = Typed::new(q, units.preferred::<Q>());
    format!("{} {}", plain(typed.number, 0), typed.unit.symbol)
}

/// So many decimals, never minus zero.
fn plain(number: f64, decimals: usize) -> String {
    let text = format!("{number:.decimals$}");
    let zero = text.chars().all(|c| matches!(c, '-' | '0' | '.'));
    if zero { "0".to_owned() } else { text }
}

#[cfg(test)]
mod tests {
    use super::*;

    const METRIC: Say = Say {
        units: UnitSystem::Metric,
    };
    const US: Say = Say {
        units: UnitSystem::Us,
    };

    /// 1 psi = 6.894757 kPa (NIST SP 811, B.8): 2216 psi is 152.79 bar.
    #[test]
    fn a_stamp_is_never_rounded_up() {
        assert_eq!(US.exact_both(152.7878), "2216 psi (153 bar)");
        assert_eq!(US.both(152.7878), "2220 psi (153 bar)");
        assert_eq!(METRIC.exact_both(232.0), "232 bar (3365 psi)");
    }

    #[test]
    fn small_figures_keep_a_digit_and_nothing_is_minus_zero() {
        assert_eq!(METRIC.stage_number(3.42), "3.4");
        assert_eq!(METRIC.stage_number(41.6), "42");
        assert_eq!(METRIC.number(-0.2), "0");
        assert_eq!(US.number(17.5), "250");
        assert_eq!(US.number(3.0), "44");
        assert_eq!(percent(0.999), "over 99 %");
        assert_eq!(percent(0.5), "50 %");
        assert_eq!(
            METRIC.range(Band {
                low: 209.6,
                median: 214.0,
                high: 218.2
            }),
            "210 to 218"
        );
    }

    /// 1 lb = 0.45359237 kg, 1 cu ft = 28.316846592 L (NIST SP 811, B.8); 212 °F boils water.
    #[test]
    fn us_units_throughout() {
        assert_eq!(US.temperature(100.0), "212 °F");
        assert_eq!(US.mass(0.453_592_37 * 2.0), "2.00 lb");
        assert_eq!(US.free_air(28.316_846_592 * 66.0), "66 cu ft");
    }
}
