//! One amount of water, CO, CO₂ or oil in every way people write it.
//!
//! Not here: the arithmetic ([`insight::convert`]), and any judgement.

use insight::convert::{ConvertError, Converted, Question, Substance, convert};
use quantity::{GaugePressure, Temperature, parse};

use crate::usecase::Trouble;
use crate::usecase::trouble::within;

/// What is asked, as typed.
#[derive(Clone, Debug, Default)]
pub struct Asked {
    /// The amount.
    pub amount: String,
    /// Of what; water unless given.
    pub of: Option<String>,
    /// A gauge pressure at which the points are wanted too.
    pub at: Option<String>,
    /// Air temperature for a relative humidity.
    pub temperature: Option<String>,
    /// Whether the amount is a point at `at`.
    pub point_at_pressure: bool,
}

/// The amount in every way people write it.
pub fn converted(asked: &Asked) -> Result<Converted, Trouble> {
    let question = question(asked)?;
    water_only(asked, question.of)?;
    if question.point_at_pressure && parse::<Temperature>(&question.amount).is_err() {
        let what = format!("\"{}\" is not a dew or frost point", question.amount);
        let remedy = "write the point as a temperature, such as \"-8 °C\", or leave this out";
        return Err(Trouble::new(what, remedy).about("point-at-pressure"));
    }
    let converted = convert(&question).map_err(|error| trouble(error, question.of))?;
    match converted.ppm {
        Some(ppm) if ppm > 1e6 => {
            let what = format!("\"{}\" is more than all of the air", asked.amount);
            Err(Trouble::new(
                what,
                "check the figure and its unit: 1000000 ppm is everything",
            ))
        }
        _ => Ok(converted),
    }
}

fn question(asked: &Asked) -> Result<Question, Trouble> {
    let (least, most) = (GaugePressure::bar(0.0), GaugePressure::bar(1000.0));
    let (cold, hot) = (Temperature::celsius(-60.0), Temperature::celsius(60.0));
    let at = asked.at.as_deref().map(|t| within("at", t, least, most));
    let air = asked.temperature.as_deref();
    let air = air.map(|t| within("temperature", t, cold, hot));
    Ok(Question {
        amount: asked.amount.clone(),
        of: asked
            .of
            .as_deref()
            .map_or(Ok(Substance::Water), substance)?,
        at: at.transpose()?.map(|typed| typed.value),
        temperature: air.transpose()?.map(|typed| typed.value),
        point_at_pressure: asked.point_at_pressure,
    })
}

fn substance(name: &str) -> Result<Substance, Trouble> {
    Substance::named(name).ok_or_else(|| {
        let what = format!("\"{name}\" is not among what can be converted");
        Trouble::new(what, "write water, co, co2 or oil").about("of")
    })
}

/// Only water has points and a humidity.
fn water_only(asked: &Asked, of: Substance) -> Result<(), Trouble> {
    let given = [
        ("at", asked.at.is_some()),
        ("temperature", asked.temperature.is_some()),
        ("point-at-pressure", asked.point_at_pressure),
    ];
    match given.into_iter().find(|(_, given)| *given) {
        Some((option, _)) if of != Substance::Water => {
            let what = "this matters for water only: ppm and mg/m³ are the same at any pressure";
            Err(Trouble::new(what, "leave it out, or ask --of water").about(option))
        }
        _ => Ok(()),
    }
}

fn trouble(error: ConvertError, of: Substance) -> Trouble {
    match error {
        ConvertError::NotAnAmount { text, what, forms } => Trouble::new(
            format!("\"{text}\" is not an amount of {what}"),
            format!("write it like {}", forms.replace('`', "\"")),
        ),
        ConvertError::PressureMissing => Trouble::new(
            "a point at a pressure needs that pressure",
            "add it, such as --at \"200 bar\"",
        )
        .about("point-at-pressure"),
        ConvertError::Negative { text } => Trouble::new(
            format!("\"{text}\" is below zero: there is no less than none"),
            "check the figure",
        ),
        ConvertError::Moist(cause) => Trouble::new(
            cause.to_string(),
            match of {
                Substance::Water => "check the figure, its unit, --at and --temperature",
                _ => "check the figure and its unit",
            },
        ),
    }
}
