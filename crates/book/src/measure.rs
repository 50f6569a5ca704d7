//! A figure as somebody typed it, with its SI value beside it.
//!
//! Both are kept: the text is what a person wrote and what is shown again; the number is what is
//! computed with. Where they disagree the record is damaged, and reading it says so.

use std::fmt;
use std::marker::PhantomData;

use quantity::{
    Concentration, Fraction, FreeVolume, GaugePressure, Mass, ParseError, Quantity, Temperature,
    TimeSpan, Typed, Volume, parse,
};
use serde::de::Error as _;
use serde::{Deserialize, Deserializer, Serialize, Serializer};

/// Relative difference between text and number that rounding can explain.
const ROUNDING: f64 = 1e-9;

/// A quantity as typed.
#[derive(Clone, Debug, PartialEq)]
pub struct Measure<Q> {
    typed: String,
    si: f64,
    of: PhantomData<Q>,
}

/// How it stands in a body.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Stored {
    typed: String,
    si: f64,
}

impl<Q: Quantity> Measure<Q> {
    /// Reads what was typed, such as `3300 psi`.
    ///
    /// # Errors
    /// What is wrong with the text, and what is accepted.
    pub fn parse(text: &str) -> Result<Measure<Q>, ParseError> {
        let typed = parse::<Q>(text)?;
        Ok(Measure {
            typed: text.trim().to_owned(),
            si: typed.value.si(),
            of: PhantomData,
        })
    }

    /// A quantity with its unit, written out.
    pub fn of(typed: Typed<Q>) -> Measure<Q> {
        Measure {
            typed: typed.to_string(),
            si: typed.value.si(),
            of: PhantomData,
        }
    }

    /// The quantity.
    pub fn value(&self) -> Q {
        Q::from_si(self.si)
    }

    /// The text as typed.
    pub fn typed(&self) -> &str {
        &self.typed
    }

    /// The quantity with the unit typed; none where the text no longer reads.
    pub fn with_unit(&self) -> Option<Typed<Q>> {
        parse(&self.typed).ok()
    }
}

impl<Q> fmt::Display for Measure<Q> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.typed)
    }
}

impl<Q> Serialize for Measure<Q> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let stored = Stored {
            typed: self.typed.clone(),
            si: self.si,
        };
        stored.serialize(serializer)
    }
}

impl<'de, Q: Quantity> Deserialize<'de> for Measure<Q> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let stored = Stored::deserialize(deserializer)?;
        let read = Measure::<Q>::parse(&stored.typed).map_err(|error| {
            D::Error::custom(format!("\"{}\": {}", stored.typed, error.cause()))
        })?;
        let apart = (read.si - stored.si).abs();
        if apart > ROUNDING * stored.si.abs().max(read.si.abs()) {
            return Err(D::Error::custom(format!(
                "\"{}\" and its SI value {} do not agree",
                stored.typed, stored.si
            )));
        }
        Ok(Measure {
            si: stored.si,
            ..read
        })
    }
}

/// A figure of a kind that is not fixed: what a gauge, a thermometer or an analyser showed.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Amount {
    /// Gauge pressure.
    Pressure(Measure<GaugePressure>),
    /// Temperature.
    Temperature(Measure<Temperature>),
    /// Running hours, or a time.
    Time(Measure<TimeSpan>),
    /// Humidity, or a share such as 20.9 % oxygen.
    Share(Measure<Fraction>),
    /// Liquid.
    Volume(Measure<Volume>),
    /// Mass, such as a cartridge on the scale.
    Mass(Measure<Mass>),
    /// Free air.
    FreeAir(Measure<FreeVolume>),
    /// Mass in a volume of air.
    Concentration(Measure<Concentration>),
    /// Parts in a million by volume: carbon monoxide on an analyser.
    Ppm(f64),
}

impl Amount {
    /// Reads a figure of any kind by its unit. Litres are read as liquid.
    ///
    /// # Errors
    /// That of a pressure where no kind fits: it is what gauges show.
    pub fn parse(text: &str) -> Result<Amount, ParseError> {
        if let Some(number) = text.trim().strip_suffix("ppm")
            && let Ok(ppm) = number.trim().parse::<f64>()
            && ppm.is_finite()
            && ppm >= 0.0
        {
            return Ok(Amount::Ppm(ppm));
        }
        let pressure = match Measure::parse(text) {
            Ok(pressure) => return Ok(Amount::Pressure(pressure)),
            Err(error) => error,
        };
        let others = [
            Measure::parse(text).map(Amount::Temperature),
            Measure::parse(text).map(Amount::Time),
            Measure::parse(text).map(Amount::Share),
            Measure::parse(text).map(Amount::Volume),
            Measure::parse(text).map(Amount::Mass),
            Measure::parse(text).map(Amount::FreeAir),
            Measure::parse(text).map(Amount::Concentration),
        ];
        others.into_iter().flatten().next().ok_or(pressure)
    }

    /// The pressure, where it is one.
    pub fn pressure(&self) -> Option<GaugePressure> {
        match self {
            Amount::Pressure(pressure) => Some(pressure.value()),
            _ => None,
        }
    }
}

impl fmt::Display for Amount {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Amount::Pressure(m) => m.fmt(f),
            Amount::Temperature(m) => m.fmt(f),
            Amount::Time(m) => m.fmt(f),
            Amount::Share(m) => m.fmt(f),
            Amount::Volume(m) => m.fmt(f),
            Amount::Mass(m) => m.fmt(f),
            Amount::FreeAir(m) => m.fmt(f),
            Amount::Concentration(m) => m.fmt(f),
            Amount::Ppm(ppm) => write!(f, "{ppm} ppm"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// NIST SP 811 (2008), appendix B.9: 1 psi = 6.894757 E+03 Pa.
    #[test]
    fn keeps_the_text_and_the_si_value() {
        let m = Measure::<GaugePressure>::parse(" 3300 psi ").unwrap();
        assert_eq!(m.to_string(), "3300 psi");
        let json = serde_json::to_string(&m).unwrap();
        let back: Measure<GaugePressure> = serde_json::from_str(&json).unwrap();
        assert_eq!(back, m);
        assert!((m.value().as_bar() - 3300.0 * 0.06894757).abs() < 1e-4);
    }

    #[test]
    fn text_and_number_that_disagree_are_noticed() {
        let json = r#"{"typed":"232 bar","si":2.0e7}"#;
        let error = serde_json::from_str::<Measure<GaugePressure>>(json).unwrap_err();
        assert!(error.to_string().contains("do not agree"), "{error}");
    }

    #[test]
    fn the_unit_says_what_kind_it_is() {
        let is = |text: &str| Amount::parse(text).unwrap();
        assert!(matches!(is("150 bar"), Amount::Pressure(_)));
        assert!(matches!(is("75 °F"), Amount::Temperature(_)));
        assert!(matches!(is("431.5 h"), Amount::Time(_)));
        assert!(matches!(is("20.9 %"), Amount::Share(_)));
        assert!(matches!(is("40 mL"), Amount::Volume(_)));
        assert!(matches!(is("3 ppm"), Amount::Ppm(p) if p == 3.0));
        let error = Amount::parse("40").unwrap_err();
        assert!(error.cause().contains("no unit"), "{}", error.cause());
    }
}
