//! A result as written, in the one unit its limits are compared in.
//!
//! Start at [`reading`]. % by volume for oxygen and nitrogen, ppm by volume for
//! gases, mg per m³ of air at 20 °C and 1 atm for oil and water.
//! Not here: limits; the ways water is given ([`moisture`]).

mod moisture;

use physics::moist::MOLAR_VOLUME;
use quantity::{
    Concentration, Fraction, ParseError, Reason, Temperature, TemperatureDifference, parse,
};
use serde::Serialize;

use super::measurand::{Measurand, Measured, Scale};
use super::mistake::Mistake;
use moisture::{held, moisture};

/// A value with the band in which it lies.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Amount {
    /// Least it may be.
    pub low: f64,
    /// As measured; for `< 1 ppm` the 1.
    pub value: f64,
    /// Most it may be.
    pub high: f64,
    /// The unit of the three.
    pub unit: &'static str,
    /// Given as "less than".
    pub below: bool,
    /// False where no uncertainty was stated and the band is the value alone.
    pub uncertainty_stated: bool,
    /// How the text was understood.
    pub understood_as: String,
}

/// What somebody smelt or saw.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Seen {
    /// Nothing.
    None,
    /// A little.
    Slight,
    /// Plainly.
    Plain,
}

/// A result, read.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(untagged)]
pub enum Reading {
    /// Counted.
    Counted(Amount),
    /// Noticed.
    Noticed(Seen),
}

/// The result in the unit its limits are compared in.
pub(super) fn reading(measured: &Measured) -> Result<Reading, Mistake> {
    if measured.what.scale() == Scale::Noticed {
        return noticed(measured).map(Reading::Noticed);
    }
    let (text, below) = less_than(&measured.value);
    let single = single(measured.what, text)?;
    let mut amount = Amount {
        low: single.value,
        value: single.value,
        high: single.value,
        unit: measured.what.unit(),
        below,
        uncertainty_stated: measured.uncertainty.is_some(),
        understood_as: single.understood_as.clone(),
    };
    match (&measured.uncertainty, below) {
        (Some(_), true) => {
            return Err(Mistake::new(
                format!(
                    "`{}` is less than a value and has an uncertainty",
                    measured.as_given()
                ),
                "write `< 1 ppm` alone, or a value with its uncertainty",
            ));
        }
        (Some(off), false) => widen(&mut amount, measured.what, &single, off)?,
        (None, true) => amount.understood_as = format!("less than {}", amount.understood_as),
        (None, false) => {}
    }
    amount.low = (amount.low * (1.0 - single.conversion)).max(0.0);
    amount.high *= 1.0 + single.conversion;
    if single.conversion > 0.0 {
        let percent = (single.conversion * 100.0).ceil();
        amount.understood_as += &format!(", converting it adds ± {percent} %");
    }
    if below {
        amount.low = 0.0;
    }
    Ok(Reading::Counted(amount))
}

/// One number with its unit, as in a limit: `5 ppm`, `-50 °F`.
pub(super) fn bound(what: Measurand, text: &str) -> Result<f64, Mistake> {
    single(what, text).map(|single| single.value)
}

/// `< 1 ppm` and its like.
fn less_than(text: &str) -> (&str, bool) {
    let text = text.trim();
    for mark in ["<", "≤", "less than ", "below ", "under "] {
        if let Some(rest) = text.strip_prefix(mark) {
            return (rest.trim_start_matches('=').trim(), true);
        }
    }
    (text, false)
}

fn noticed(measured: &Measured) -> Result<Seen, Mistake> {
    match measured.value.trim().to_lowercase().as_str() {
        "none" | "no" | "nil" | "not noticeable" | "pass" => Ok(Seen::None),
        "slight" | "faint" | "a little" => Ok(Seen::Slight),
        "strong" | "yes" | "plain" | "marked" | "noticeable" => Ok(Seen::Plain),
        _ => Err(Mistake::new(
            format!(
                "`{}` does not say how much {} there was",
                measured.value,
                measured.what.name()
            ),
            format!("write {}", measured.what.examples()),
        )),
    }
}

/// One value in the unit compared.
struct Single {
    value: f64,
    /// Relative uncertainty that converting it adds, 1.
    conversion: f64,
    /// Given in %.
    in_percent: bool,
    /// Given as a dew or frost point at this absolute pressure, Pa.
    point: Option<(Temperature, f64)>,
    understood_as: String,
}

impl Single {
    fn new(value: f64, understood_as: String) -> Self {
        Self {
            value,
            conversion: 0.0,
            in_percent: false,
            point: None,
            understood_as,
        }
    }
}

fn single(what: Measurand, text: &str) -> Result<Single, Mistake> {
    unspoken(what, text)?;
    match what.scale() {
        Scale::Share => share(what, text),
        Scale::Gas(molar_mass) => gas(what, text, molar_mass),
        Scale::Mass => mass(what, text),
        Scale::Moisture => moisture(what, text),
        Scale::Noticed => Err(Mistake::new(
            format!("{} has no number", what.name()),
            format!("write {}", what.examples()),
        )),
    }
}

/// Words that say little without saying how little.
fn unspoken(what: Measurand, text: &str) -> Result<(), Mistake> {
    let word = text.trim().to_lowercase();
    if [
        "nd",
        "n.d.",
        "nil",
        "none",
        "not detected",
        "trace",
        "ok",
        "pass",
    ]
    .contains(&word.as_str())
    {
        let cause = format!(
            "`{text}` does not say how little {} there may still be",
            what.name()
        );
        let remedy = "write the least the tube or the laboratory can show, like `< 0.5 ppm` in \
                      the unit of the report";
        return Err(Mistake::new(cause, remedy));
    }
    Ok(())
}

fn share(what: Measurand, text: &str) -> Result<Single, Mistake> {
    let typed = parse::<Fraction>(&plain(text)).map_err(|e| refused(what, text, &e))?;
    let percent = part_of_whole(what, text, typed.value)?.as_percent();
    Ok(Single {
        in_percent: true,
        ..Single::new(percent, format!("{typed} by volume"))
    })
}

fn gas(what: Measurand, text: &str, molar_mass: f64) -> Result<Single, Mistake> {
    if let Ok(typed) = parse::<Concentration>(&plain(text)) {
        let mg = typed.value.as_milligram_per_cubic_metre();
        let share = Fraction::part_per_million(mg * MOLAR_VOLUME / molar_mass);
        let ppm = part_of_whole(what, text, share)?.as_part_per_million();
        return Ok(Single::new(ppm, format!("{typed} at 20 °C and 1 atm")));
    }
    let typed = parse::<Fraction>(&plain(text)).map_err(|e| refused(what, text, &e))?;
    let ppm = part_of_whole(what, text, typed.value)?.as_part_per_million();
    Ok(Single {
        in_percent: typed.unit.symbol == "%",
        ..Single::new(ppm, format!("{typed} by volume"))
    })
}

fn mass(what: Measurand, text: &str) -> Result<Single, Mistake> {
    let typed = parse::<Concentration>(text).map_err(|e| refused(what, text, &e))?;
    let mg = typed.value.as_milligram_per_cubic_metre();
    Ok(Single::new(mg, format!("{typed} at 20 °C and 1 atm")))
}

/// Takes the stated uncertainty into the band.
fn widen(amount: &mut Amount, what: Measurand, single: &Single, off: &str) -> Result<(), Mistake> {
    let text = off
        .trim()
        .trim_end_matches("of reading")
        .trim_end_matches("of value")
        .trim();
    let says_relative = text.len() < off.trim().len();
    if let Ok(share) = parse::<Fraction>(text)
        && share.unit.symbol == "%"
        && (says_relative || !single.in_percent)
    {
        let share = not_negative(share.value.as_ratio(), off)?;
        amount.low = single.value * (1.0 - share).max(0.0);
        amount.high = single.value * (1.0 + share);
        amount.understood_as += &format!(", ± {text} of that");
        return Ok(());
    }
    if let (Some((t, p_pa)), Ok(span)) = (single.point, parse::<TemperatureDifference>(text)) {
        let k = not_negative(span.value.as_kelvin(), off)?;
        amount.low = held(Temperature::kelvin(t.as_kelvin() - k), p_pa, what)?.0;
        amount.high = held(Temperature::kelvin(t.as_kelvin() + k), p_pa, what)?.0;
        amount.understood_as += &format!(", ± {span}");
        return Ok(());
    }
    let is_point = what == Measurand::Water && parse::<Temperature>(text).is_ok();
    if is_point || says_relative {
        return Err(Mistake::new(
            format!("`± {off}` does not go with `{}`", amount.understood_as),
            "give the uncertainty in the unit of the value, or as `10 % of value`",
        ));
    }
    let by = self::single(what, text)?.value;
    amount.low = (single.value - by).max(0.0);
    amount.high = single.value + by;
    let points = if single.in_percent { " (points)" } else { "" };
    amount.understood_as += &format!(", ± {text}{points}");
    Ok(())
}

/// A share of the whole: neither below nothing nor above all of it.
fn part_of_whole(what: Measurand, text: &str, share: Fraction) -> Result<Fraction, Mistake> {
    not_negative(share.as_ratio(), text)?;
    if share.as_ratio() > 1.0 {
        return Err(Mistake::new(
            format!("`{text}` of {} is more than the whole air", what.name()),
            "check the figure and its unit",
        ));
    }
    Ok(share)
}

fn not_negative(value: f64, text: &str) -> Result<f64, Mistake> {
    if value >= 0.0 {
        return Ok(value);
    }
    Err(below_zero(text))
}

fn below_zero(text: &str) -> Mistake {
    Mistake::new(
        format!("`{text}` is below zero: there is no less than none"),
        "check the sign; what the tube cannot show is written as `< 0.5 ppm`",
    )
}

/// Volume signs after the unit that laboratories write.
fn plain(text: &str) -> String {
    let text = text.trim();
    let short = ["v/v", "(v/v)", "by volume", "vol"]
        .iter()
        .find_map(|end| text.strip_suffix(end))
        .unwrap_or(text)
        .trim();
    short
        .strip_suffix("ppmv")
        .map_or(short.to_owned(), |number| format!("{number}ppm"))
}

/// Why the text is no such amount.
fn refused(what: Measurand, text: &str, error: &ParseError) -> Mistake {
    let write = format!("write {}", what.examples());
    match &error.reason {
        Reason::BelowLeast => below_zero(text),
        Reason::DecimalComma { .. } => Mistake::new(error.cause(), error.remedy()),
        Reason::UnknownUnit | Reason::WrongKind { .. } | Reason::NoNumber => {
            let cause = format!("`{text}` is not an amount of {}", what.name());
            Mistake::new(cause, write)
        }
        _ => Mistake::new(error.cause(), write),
    }
}
