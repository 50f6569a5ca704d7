//! One field of a form: what it is called, what may be typed, and the value that gives.

use book::{Amount, Measure};
use insight::cylinder::When;
use quantity::{
    Fraction, FreeVolume, GaugePressure, Mass, Quantity, Temperature, TimeSpan, UnitSystem, Volume,
};
use serde::Serialize;
use serde_json::{Value, json};

use crate::usecase::Trouble;
use crate::usecase::near::meant;
use crate::usecase::trouble::within;
use crate::usecase::units;

/// One field.
#[derive(Debug)]
pub struct Field {
    /// Its name: in options, inputs and columns.
    pub name: &'static str,
    /// Its key in the body, where that is not its name; else empty.
    kept_as: &'static str,
    /// What people call it, without an article.
    pub label: &'static str,
    /// What may be typed, to show somebody; it must be accepted.
    pub example: &'static str,
    /// What kind of thing is typed.
    pub kind: Type,
    /// Whether it must be given.
    pub needed: bool,
    /// Whether the command line takes it without its name, first.
    pub first: bool,
}

/// What kind of thing is typed.
#[derive(Clone, Copy, Debug)]
pub enum Type {
    /// Words.
    Text,
    /// Gauge pressure.
    Pressure,
    /// Gauge pressure as it is stamped: never without its unit.
    Stamp,
    /// Temperature.
    Temperature,
    /// Time, or running hours.
    Time,
    /// Humidity.
    Share,
    /// Liquid, or a vessel's space.
    Volume,
    /// Free air.
    FreeAir,
    /// Mass.
    Mass,
    /// A figure of any kind, by its unit.
    Amount,
    /// A day or a month.
    When,
    /// One of these: what is typed is what is kept.
    OneOf(&'static [&'static str]),
    /// Yes or no.
    YesNo,
    /// A whole number.
    Whole,
    /// A number.
    Number,
    /// Several, parted by semicolons.
    Several,
}

/// A field that may be left out.
pub(super) const fn may(
    name: &'static str,
    label: &'static str,
    example: &'static str,
    kind: Type,
) -> Field {
    Field {
        name,
        kept_as: "",
        label,
        example,
        kind,
        needed: false,
        first: false,
    }
}

/// A field that must be given.
pub(super) const fn must(
    name: &'static str,
    label: &'static str,
    example: &'static str,
    kind: Type,
) -> Field {
    Field {
        needed: true,
        ..may(name, label, example, kind)
    }
}

/// A field that must be given, first.
pub(super) const fn first(
    name: &'static str,
    label: &'static str,
    example: &'static str,
    kind: Type,
) -> Field {
    Field {
        first: true,
        ..must(name, label, example, kind)
    }
}

impl Field {
    /// The same, kept under a key of its own: the name means something else beside a form.
    pub(super) const fn kept_as(self, key: &'static str) -> Field {
        Field {
            kept_as: key,
            ..self
        }
    }

    /// Its key in the body.
    pub fn key(&self) -> String {
        match self.kept_as {
            "" => self.name.replace('-', "_"),
            key => key.to_owned(),
        }
    }
}

/// No text of a field is longer: a remark, not a book.
const MOST: usize = 4000;

impl Type {
    /// What stands for it where a command is explained.
    pub fn mark(self) -> &'static str {
        match self {
            Type::Text => "TEXT",
            Type::Pressure | Type::Stamp => "P",
            Type::Temperature => "T",
            Type::Time => "TIME",
            Type::Share => "%",
            Type::Volume | Type::FreeAir => "VOLUME",
            Type::Mass => "MASS",
            Type::Amount => "FIGURE",
            Type::When => "DATE",
            Type::OneOf(_) => "NAME",
            Type::YesNo => "YES/NO",
            Type::Whole | Type::Number => "N",
            Type::Several => "TEXTS",
        }
    }

    /// The unit that whoever reads these units may leave away, and this example in it; none where a
    /// unit is needed, or there is none.
    pub fn usual(self, units: UnitSystem, example: &str) -> Option<(&'static str, String)> {
        match self {
            Type::Pressure => usual::<GaugePressure>(units, example),
            Type::Temperature => usual::<Temperature>(units, example),
            _ => None,
        }
    }

    /// What was typed; a number alone with that unit.
    pub fn whole(self, text: &str) -> String {
        match self {
            Type::Pressure => units::whole::<GaugePressure>(text),
            Type::Temperature => units::whole::<Temperature>(text),
            _ => text.to_owned(),
        }
    }

    /// The value of what was typed.
    pub fn value(self, text: &str) -> Result<Value, Trouble> {
        if text.len() > MOST {
            let what = format!("a text of {} bytes is too long", text.len());
            return Err(Trouble::new(what, format!("keep it under {MOST}")));
        }
        match self {
            Type::Text => Ok(json!(text)),
            Type::Pressure | Type::Stamp => {
                measure(text, GaugePressure::bar(0.0), GaugePressure::bar(1000.0))
            }
            Type::Temperature => measure(
                text,
                Temperature::celsius(-60.0),
                Temperature::celsius(300.0),
            ),
            Type::Time => measure(text, TimeSpan::second(0.0), TimeSpan::hour(1e6)),
            Type::Share => measure(text, Fraction::ratio(0.0), Fraction::ratio(1.0)),
            Type::Volume => measure(text, Volume::litre(0.0), Volume::litre(1e4)),
            Type::FreeAir => measure(text, FreeVolume::litre(0.0), FreeVolume::litre(1e12)),
            Type::Mass => measure(text, Mass::kilogram(0.0), Mass::kilogram(1e4)),
            Type::Amount => json_of(&Amount::parse(text).map_err(Trouble::from)?),
            Type::When => when(text),
            Type::OneOf(known) => one_of(text, known),
            Type::YesNo => yes_or_no(text),
            Type::Whole => whole(text),
            Type::Number => number(text),
            Type::Several => Ok(json!(parted(text))),
        }
    }
}

/// The text that was typed for a value of a body; none where nothing was.
pub(super) fn text(value: &Value) -> Option<String> {
    match value {
        Value::Null => None,
        Value::String(text) => Some(text.clone()),
        Value::Bool(yes) => Some(if *yes { "yes" } else { "no" }.to_owned()),
        Value::Number(number) => Some(number.to_string()),
        Value::Array(several) => {
            let texts: Vec<String> = several.iter().filter_map(text).collect();
            Some(texts.join("; "))
        }
        Value::Object(object) => match (object.get("typed"), object.get("ppm")) {
            (Some(typed), _) => text(typed),
            (None, Some(ppm)) => Some(format!("{ppm} ppm")),
            (None, None) => object.values().find_map(text),
        },
    }
}

fn usual<Q: Quantity>(units: UnitSystem, example: &str) -> Option<(&'static str, String)> {
    let unit = units.preferred::<Q>();
    let value = quantity::parse::<Q>(example).ok()?.value;
    Some((unit.symbol, quantity::show(value, unit, 0)))
}

/// A figure as typed, between what no machine, room or cylinder goes beyond.
fn measure<Q: Quantity>(text: &str, least: Q, most: Q) -> Result<Value, Trouble> {
    within("", text, least, most)?;
    json_of(&Measure::<Q>::parse(text).map_err(Trouble::from)?)
}

fn json_of(value: &impl Serialize) -> Result<Value, Trouble> {
    serde_json::to_value(value)
        .map_err(|error| Trouble::new(format!("this cannot be kept: {error}"), "check the figure"))
}

fn when(text: &str) -> Result<Value, Trouble> {
    match When::parse(text) {
        Some(when) => Ok(json!(when.to_string())),
        None => Err(Trouble::new(
            format!("\"{text}\" is no day or month"),
            "write year-month-day or year-month, like 2026-05-20 or 2026-05",
        )),
    }
}

fn one_of(text: &str, known: &[&str]) -> Result<Value, Trouble> {
    let same = |name: &&&str| plain(name) == plain(text);
    match known.iter().find(same) {
        Some(name) => Ok(json!(name)),
        None => Err(Trouble::new(
            format!("\"{text}\" is not known here"),
            meant(text, known),
        )),
    }
}

fn plain(name: &str) -> String {
    name.to_lowercase().replace([' ', '-'], "_")
}

fn yes_or_no(text: &str) -> Result<Value, Trouble> {
    match text.to_lowercase().as_str() {
        "yes" | "y" | "true" | "1" | "on" => Ok(json!(true)),
        "no" | "n" | "false" | "0" | "off" => Ok(json!(false)),
        _ => Err(Trouble::new(
            format!("\"{text}\" is neither yes nor no"),
            "write yes or no",
        )),
    }
}

fn whole(text: &str) -> Result<Value, Trouble> {
    let number = text.trim_start_matches('#').parse::<u32>();
    number.map(|number| json!(number)).map_err(|_| {
        Trouble::new(
            format!("\"{text}\" is not a whole number"),
            "write digits, such as 12",
        )
    })
}

fn number(text: &str) -> Result<Value, Trouble> {
    match text.parse::<f64>() {
        Ok(number) if number.is_finite() => Ok(json!(number)),
        _ => Err(Trouble::new(
            format!("\"{text}\" is not a number"),
            "write a number with a point, such as 0.25 or -0.5",
        )),
    }
}

fn parted(text: &str) -> Vec<&str> {
    text.split(';')
        .map(str::trim)
        .filter(|part| !part.is_empty())
        .collect()
}
