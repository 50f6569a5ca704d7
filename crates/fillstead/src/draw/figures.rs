//! Figures in the units a person is used to.

use quantity::{GaugePressure, Quantity as _, Temperature, TimeSpan, Typed, UnitSystem, clock};

/// How figures are shown.
#[derive(Debug, Clone, Copy)]
pub struct Figures {
    /// The units preferred.
    pub units: UnitSystem,
}

impl Figures {
    /// Symbol of the pressure unit.
    pub fn unit(self) -> &'static str {
        self.units.preferred::<GaugePressure>().symbol
    }

    /// The number in that unit.
    pub fn value(self, bar: f64) -> f64 {
        let unit = self.units.preferred::<GaugePressure>();
        unit.number(GaugePressure::bar(bar).si())
    }

    /// That many of the unit, in bar.
    pub fn bar(self, number: f64) -> f64 {
        number / self.value(1.0)
    }

    /// A set pressure: to the last unit, a tenth below ten.
    pub fn set(self, bar: f64) -> String {
        let value = self.value(bar);
        match value.abs() < 9.95 {
            true => short(value, 1),
            false => short(value, 0),
        }
    }

    /// A computed pressure, as a gauge is read: to the bar, or to ten psi.
    pub fn read(self, bar: f64) -> String {
        let value = self.value(bar);
        match self.units {
            UnitSystem::Us if value.abs() >= 100.0 => short((value / 10.0).round() * 10.0, 0),
            _ => short(value, 0),
        }
    }

    /// `207 ± 2`: the middle, and half the band, a step of reading at least. A band that lies on
    /// one side mostly is given by its ends.
    pub fn give_or_take(self, middle: f64, low: f64, high: f64) -> String {
        let (under, over) = (middle - low, high - middle);
        let step = match self.units {
            UnitSystem::Metric => 1.0,
            UnitSystem::Us => 10.0,
        };
        let lopsided = under.max(over) > 2.0 * under.min(over) + 2.0 * self.bar(step);
        if lopsided || !under.is_finite() || !over.is_finite() {
            return format!(
                "{} ({} to {})",
                self.read(middle),
                self.read(low),
                self.read(high)
            );
        }
        let half = self.value(under.max(over));
        let half = ((half / step).ceil() * step).max(step);
        format!("{} ± {}", self.read(middle), short(half, 0))
    }

    /// The strokes of a dial up to a pressure, above nothing: where each is, bar, and whether it is
    /// one of the long ones.
    pub fn strokes(self, top_bar: f64) -> impl Iterator<Item = (f64, bool)> {
        let top = self.value(top_bar);
        let step = round_step(top / 40.0);
        (1..)
            .map(move |i| (f64::from(i) * step, i % 5 == 0))
            .take_while(move |(number, _)| *number <= top)
            .map(move |(number, long)| (self.bar(number), long))
    }

    /// The step between the long strokes of a dial of this span, in the unit shown: a fifth of it
    /// or more, rounded.
    pub fn dial_step(self, span_bar: f64) -> f64 {
        round_step(self.value(span_bar) / 5.0)
    }

    /// A temperature, to the degree.
    pub fn temperature(self, celsius: f64) -> String {
        let unit = self.units.preferred::<Temperature>();
        let typed = Typed::new(Temperature::celsius(celsius), unit);
        format!("{} {}", short(typed.number, 0), unit.symbol)
    }
}

/// Minutes and seconds.
pub fn time(seconds: f64) -> String {
    clock(TimeSpan::second(seconds))
}

/// Water in grams, with the digits it deserves.
pub fn grams(g: f64) -> String {
    match g {
        none if none.is_nan() || none <= 0.0 => "0".to_owned(),
        trace if trace < 0.0005 => "under 0.001".to_owned(),
        small if small < 0.0995 => format!("{small:.3}"),
        middle if middle < 0.995 => format!("{middle:.2}"),
        large if large < 99.95 => format!("{large:.1}"),
        huge => format!("{huge:.0}"),
    }
}

/// At most so many decimals, without trailing zeros, never minus zero.
pub fn short(number: f64, decimals: usize) -> String {
    if !number.is_finite() {
        return "not known".to_owned();
    }
    let text = format!("{number:.decimals$}");
    let text = match text.contains('.') {
        true => text.trim_end_matches('0').trim_end_matches('.'),
        false => &text,
    };
    if text == "-0" { "0" } else { text }.to_owned()
}

/// Three digits, none of them idle.
pub fn three_digits(number: f64) -> String {
    if number == 0.0 {
        return "0".to_owned();
    }
    let places = (2.0 - number.abs().log10().floor()).clamp(0.0, 4.0) as usize;
    let text = format!("{number:.places$}");
    match text.contains('.') {
        true => text.trim_end_matches('0').trim_end_matches('.').to_owned(),
        false => text,
    }
}

/// The least of 1, 2 and 5 times a power of ten that is not below `least`.
pub fn round_step(least: f64) -> f64 {
    let power = 10f64.powf(least.max(1e-9).log10().floor());
    let steps = [1.0, 2.0, 5.0].map(|n| n * power);
    let fits = steps.into_iter().find(|step| *step >= least * (1.0 - 1e-9));
    fits.unwrap_or(10.0 * power)
}
