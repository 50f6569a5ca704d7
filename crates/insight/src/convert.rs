//! One amount of water (or CO, CO₂, oil) in every way people write it.
//!
//! Start at [`convert`]. mg/m³ always means per cubic metre of air at 20 °C and
//! 1 atm, ppm parts of volume. Not here: whether it passes a standard.

use physics::gas::{Composition, Gas};
use physics::moist::{Moist, MoistError, Phase, Trace, oil_mg_per_kg, relative_uncertainty};
use quantity::{AbsolutePressure, Concentration, Fraction, GaugePressure, Temperature, parse};
use serde::Serialize;
use thiserror::Error;

/// What is being converted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Substance {
    /// Water vapour.
    Water,
    /// Carbon monoxide.
    Co,
    /// Carbon dioxide.
    Co2,
    /// Oil mist and vapour: mg/m³ only, as it has no molar mass.
    Oil,
}

impl Substance {
    /// Reads `water`, `co`, `co2` or `oil`.
    pub fn named(name: &str) -> Option<Substance> {
        match name.trim().to_lowercase().as_str() {
            "water" | "h2o" => Some(Substance::Water),
            "co" => Some(Substance::Co),
            "co2" => Some(Substance::Co2),
            "oil" => Some(Substance::Oil),
            _ => None,
        }
    }

    fn trace(self) -> Option<Trace> {
        match self {
            Substance::Water => Some(Trace::Water),
            Substance::Co => Some(Trace::CarbonMonoxide),
            Substance::Co2 => Some(Trace::CarbonDioxide),
            Substance::Oil => None,
        }
    }
}

/// What to convert, and under which conditions.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// The amount as typed: `25 mg/m3`, `67 ppm`, `-50 °F`, `40 %`.
    pub amount: String,
    /// Of what.
    pub of: Substance,
    /// A gauge pressure at which dew and frost point are wanted too.
    pub at: Option<GaugePressure>,
    /// Air temperature for a relative humidity; 20 °C unless given.
    pub temperature: Option<Temperature>,
    /// Whether a temperature given as the amount is a point at `at` instead of 1 atm.
    pub point_at_pressure: bool,
}

/// The answer, in both unit systems.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Converted {
    /// What was converted.
    pub of: Substance,
    /// How the text was understood.
    pub understood_as: String,
    /// Parts per million by volume; none for oil.
    pub ppm: Option<f64>,
    /// mg per m³ of air at 20 °C and 1 atm.
    pub mg_m3: f64,
    /// mg per kg of air; oil only.
    pub mg_kg: Option<f64>,
    /// At 1 atm; water only.
    pub at_1_atm: Option<Points>,
    /// At the pressure asked for; water only.
    pub at_pressure: Option<Points>,
    /// What to keep in mind.
    pub notes: Vec<String>,
}

/// Dew and frost point at one pressure.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Points {
    /// Gauge pressure, bar.
    pub gauge_bar: f64,
    /// Where liquid (supercooled below 0 °C) appears, °C.
    pub dew_c: Option<f64>,
    /// The same, °F.
    pub dew_f: Option<f64>,
    /// Where ice appears, °C; below 0 °C only.
    pub frost_c: Option<f64>,
    /// The same, °F.
    pub frost_f: Option<f64>,
    /// Uncertainty of the points, K.
    pub plus_minus_k: Option<f64>,
    /// Relative humidity at the air temperature, %; none where the air would be more than saturated.
    pub relative_humidity_percent: Option<f64>,
    /// That air temperature, °C.
    pub air_c: f64,
    /// Relative uncertainty of a water content at this pressure.
    pub relative_uncertainty: f64,
}

/// Why it cannot be converted.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum ConvertError {
    /// The text is no amount.
    #[error("`{text}` is not an amount of {what}. Write it like {forms}")]
    NotAnAmount {
        /// What was typed.
        text: String,
        /// Of what.
        what: &'static str,
        /// How to write it.
        forms: &'static str,
    },
    /// The moisture model refuses.
    #[error("{0}")]
    Moist(#[from] MoistError),
    /// A negative amount.
    #[error("`{text}` is below zero: there is no less than none")]
    Negative {
        /// What was typed.
        text: String,
    },
    /// A pressure is needed.
    #[error("a point at a pressure needs that pressure: add --at, for example --at \"200 bar\"")]
    PressureMissing,
}

const ATMOSPHERE: AbsolutePressure = AbsolutePressure::pascal(101_325.0);

/// Converts an amount as the question asks.
pub fn convert(question: &Question) -> Result<Converted, ConvertError> {
    let mut notes = vec!["mg/m³ is per m³ of air at 20 °C and 1 atm; ppm is by volume".to_owned()];
    let Some(trace) = question.of.trace() else {
        return oil(question, notes);
    };
    if question.of != Substance::Water {
        let (ppm, understood_as) = trace_ppm(question, trace)?;
        return Ok(Converted {
            of: question.of,
            understood_as,
            ppm: Some(ppm),
            mg_m3: trace.mg_per_m3(ppm),
            mg_kg: None,
            at_1_atm: None,
            at_pressure: None,
            notes,
        });
    }
    let gas = Gas::new(Composition::dry_air());
    let moist = Moist::new(&gas)?;
    let (y, understood_as) = water(question, &moist)?;
    let air = question.temperature.unwrap_or(Temperature::celsius(20.0));
    let at = |gauge: GaugePressure| points(&moist, gauge, y, air);
    if question.at.is_some() {
        notes.push(
            "points at pressure use the enhancement of real air: the ideal law would put them \
             several degrees higher; beyond 50 bar the factor is extrapolated"
                .into(),
        );
    }
    Ok(Converted {
        of: question.of,
        understood_as,
        ppm: Some(y * 1e6),
        mg_m3: trace.mg_per_m3(y * 1e6),
        mg_kg: None,
        at_1_atm: Some(at(GaugePressure::bar(0.0))),
        at_pressure: question.at.map(at),
        notes,
    })
}

fn oil(question: &Question, mut notes: Vec<String>) -> Result<Converted, ConvertError> {
    let text = &question.amount;
    let forms = "`0.5 mg/m3`";
    let typed = parse::<Concentration>(text).map_err(|_| ConvertError::NotAnAmount {
        text: text.clone(),
        what: "oil",
        forms,
    })?;
    let mg_m3 = not_negative(typed.value.as_milligram_per_cubic_metre(), text)?;
    notes.push(
        "oil has no molar mass, so no ppm by volume; tubes and laboratories give mg/m³".into(),
    );
    Ok(Converted {
        of: Substance::Oil,
        understood_as: format!("{typed} of oil"),
        ppm: None,
        mg_m3,
        mg_kg: Some(oil_mg_per_kg(mg_m3)),
        at_1_atm: None,
        at_pressure: None,
        notes,
    })
}

/// CO or CO₂ in ppm or mg/m³.
fn trace_ppm(question: &Question, trace: Trace) -> Result<(f64, String), ConvertError> {
    let text = &question.amount;
    if let Some(ppm) = ppm(text) {
        return Ok((not_negative(ppm, text)?, format!("{ppm} ppm by volume")));
    }
    match parse::<Concentration>(text) {
        Ok(typed) => {
            let mg = not_negative(typed.value.as_milligram_per_cubic_metre(), text)?;
            Ok((trace.ppm(mg), typed.to_string()))
        }
        Err(_) => Err(ConvertError::NotAnAmount {
            text: text.clone(),
            what: "this gas",
            forms: "`5 ppm` or `6 mg/m3`",
        }),
    }
}

/// The mole fraction of water meant by the text.
fn water(question: &Question, moist: &Moist) -> Result<(f64, String), ConvertError> {
    let text = &question.amount;
    if let Some(ppm) = ppm(text) {
        let ppm = not_negative(ppm, text)?;
        return Ok((ppm * 1e-6, format!("{ppm} ppm by volume")));
    }
    if let Ok(typed) = parse::<Concentration>(text) {
        let mg = not_negative(typed.value.as_milligram_per_cubic_metre(), text)?;
        return Ok((Trace::Water.ppm(mg) * 1e-6, typed.to_string()));
    }
    let air = question.temperature.unwrap_or(Temperature::celsius(20.0));
    if let Ok(typed) = parse::<Fraction>(text) {
        let p = ATMOSPHERE.as_pascal();
        let y = moist.mole_fraction(p, air.as_kelvin(), typed.value.as_ratio(), Phase::Liquid)?;
        let what = format!(
            "{typed} relative humidity at {:.1} °C and 1 atm",
            air.as_celsius()
        );
        return Ok((y, what));
    }
    let Ok(typed) = parse::<Temperature>(text) else {
        return Err(ConvertError::NotAnAmount {
            text: text.clone(),
            what: "water",
            forms: "`25 mg/m3`, `67 ppm`, `-50 °F` (a dew or frost point) or `60 %` (humidity)",
        });
    };
    let (p, place) = match (question.point_at_pressure, question.at) {
        (true, None) => return Err(ConvertError::PressureMissing),
        (true, Some(gauge)) => (
            gauge.above(ATMOSPHERE).as_pascal(),
            format!("{:.0} bar", gauge.as_bar()),
        ),
        (false, _) => (ATMOSPHERE.as_pascal(), "1 atm".into()),
    };
    let t_k = typed.value.as_kelvin();
    let (phase, word) = if t_k < 273.16 {
        (Phase::Ice, "frost")
    } else {
        (Phase::Liquid, "dew")
    };
    if question.temperature.is_some() {
        moist.mole_fraction_at_point(p, air.as_kelvin(), t_k, phase)?;
    }
    let y = moist.saturated(p, t_k, phase)?.mole_fraction;
    Ok((y, format!("{word} point {typed} at {place}")))
}

/// A number followed by `ppm` (or `ppmv`).
fn ppm(text: &str) -> Option<f64> {
    let lower = text.trim().to_lowercase();
    let number = lower
        .strip_suffix("ppmv")
        .or_else(|| lower.strip_suffix("ppm"))?;
    number.trim().parse().ok().filter(|n: &f64| n.is_finite())
}

fn not_negative(value: f64, text: &str) -> Result<f64, ConvertError> {
    if value >= 0.0 {
        Ok(value)
    } else {
        Err(ConvertError::Negative {
            text: text.to_owned(),
        })
    }
}

fn points(moist: &Moist, gauge: GaugePressure, y: f64, air: Temperature) -> Points {
    let p = gauge.above(ATMOSPHERE).as_pascal();
    let dew = moist.dew_point(p, y).ok();
    let frost = moist
        .frost_point(p, y)
        .ok()
        .filter(|point| point.t_k < 273.16);
    let celsius = |t_k: f64| t_k - 273.15;
    let fahrenheit = |t_k: f64| Temperature::kelvin(t_k).as_fahrenheit();
    let uncertain = frost.as_ref().or(dew.as_ref());
    let humidity = moist.relative_humidity(p, air.as_kelvin(), y, Phase::Liquid);
    Points {
        gauge_bar: gauge.as_bar(),
        dew_c: dew.as_ref().map(|d| celsius(d.t_k)),
        dew_f: dew.as_ref().map(|d| fahrenheit(d.t_k)),
        frost_c: frost.as_ref().map(|f| celsius(f.t_k)),
        frost_f: frost.as_ref().map(|f| fahrenheit(f.t_k)),
        plus_minus_k: uncertain.map(|u| u.uncertainty_k),
        relative_humidity_percent: humidity.ok().map(|share| share * 100.0),
        air_c: air.as_celsius(),
        relative_uncertainty: relative_uncertainty(p, uncertain.map_or(273.15, |u| u.t_k)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ask(amount: &str, of: Substance) -> Question {
        Question {
            amount: amount.into(),
            of,
            at: Some(GaugePressure::bar(200.0)),
            temperature: None,
            point_at_pressure: false,
        }
    }

    fn near(got: Option<f64>, want: f64, within: f64) -> bool {
        got.is_some_and(|got| (got - want).abs() < within)
    }

    /// 25, 35 and 50 mg/m³ at 20 °C and 1 atm are 33.38, 46.73, 66.76 ppm and
    /// frost at -51.22, -48.50, -45.53 °C (derived independently; 67 ppm =
    /// -50 °F is the pair US documents print, 24 ppm = -65 °F).
    #[test]
    fn water_limits_of_the_standards() {
        for (mg, ppm, frost) in [
            (25.0, 33.38, -51.22),
            (35.0, 46.73, -48.50),
            (50.0, 66.76, -45.53),
        ] {
            let c = convert(&ask(&format!("{mg} mg/m3"), Substance::Water)).unwrap();
            assert!(
                near(c.ppm, ppm, 0.02),
                "{mg}: {:?} ppm, source {ppm}",
                c.ppm
            );
            let at = c.at_1_atm.unwrap();
            assert!(
                near(at.frost_c, frost, 0.08),
                "{mg}: {:?} °C, source {frost}",
                at.frost_c
            );
        }
        let us = convert(&ask("-50 °F", Substance::Water)).unwrap();
        assert!(near(us.ppm, 66.6, 0.4), "{:?} ppm, CGA prints 67", us.ppm);
        let cold = convert(&ask("-65 °F", Substance::Water)).unwrap();
        assert!(near(cold.ppm, 23.8, 0.2), "{:?} ppm, printed 24", cold.ppm);
    }

    /// Pressure frost point of 25 mg/m³ at 200-330 bar is about -8 °C with real
    /// air's enhancement (ideal law: +1 to +8): independent calculation.
    #[test]
    fn pressure_frost_point() {
        let c = convert(&ask("25 mg/m3", Substance::Water)).unwrap();
        let at = c.at_pressure.unwrap();
        assert!(near(at.frost_c, -8.0, 1.0), "{:?}", at.frost_c);
        assert!(at.relative_uncertainty > 0.03 && at.relative_uncertainty < 0.06);
    }

    /// 1 ppm of CO is 1.164 mg/m³, of CO₂ 1.830 mg/m³ at 20 °C and 1 atm.
    #[test]
    fn gases_between_ppm_and_mg() {
        let co = convert(&ask("5 ppm", Substance::Co)).unwrap();
        assert!((co.mg_m3 / 5.822 - 1.0).abs() < 1e-3, "{}", co.mg_m3);
        let co2 = convert(&ask("915 mg/m3", Substance::Co2)).unwrap();
        assert!(near(co2.ppm, 500.0, 0.5), "{:?}", co2.ppm);
        let oil = convert(&ask("0.5 mg/m3", Substance::Oil)).unwrap();
        assert_eq!((oil.ppm, oil.mg_m3), (None, 0.5));
    }

    #[test]
    fn there_and_back() {
        for text in ["3 ppm", "250 ppm", "15000 ppm"] {
            let there = convert(&ask(text, Substance::Water)).unwrap();
            let at = there.at_1_atm.unwrap();
            let frost = at.frost_c.or(at.dew_c).unwrap();
            let back = convert(&ask(&format!("{frost} °C"), Substance::Water)).unwrap();
            assert!(
                near(back.ppm, there.ppm.unwrap(), 1e-6 * there.ppm.unwrap()),
                "{text}"
            );
        }
    }

    #[test]
    fn wrong_amounts_are_named() {
        let message = |text: &str, of| convert(&ask(text, of)).unwrap_err().to_string();
        assert!(message("25", Substance::Water).starts_with("`25` is not an amount of water"));
        assert!(message("120 %", Substance::Water).contains("120.0 % relative humidity"));
        assert_eq!(
            message("-3 ppm", Substance::Co),
            "`-3 ppm` is below zero: there is no less than none"
        );
        assert!(message("5 ppm", Substance::Oil).contains("is not an amount of oil"));
        let warm = Question {
            temperature: Some(Temperature::celsius(-20.0)),
            ..ask("-10 °C", Substance::Water)
        };
        let text = convert(&warm).unwrap_err().to_string();
        assert!(text.contains("above the air temperature"), "{text}");
        let lost = Question {
            point_at_pressure: true,
            at: None,
            ..ask("-10 °C", Substance::Water)
        };
        assert_eq!(convert(&lost).unwrap_err(), ConvertError::PressureMissing);
    }
}
