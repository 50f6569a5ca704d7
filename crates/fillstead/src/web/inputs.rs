//! A form of the book as inputs of a page, with what was typed and what is wrong with it.
//!
//! The fields come from the form's table ([`crate::usecase::book::form`]); the template is
//! `templates/web/inputs.html`.

use quantity::UnitSystem;

use crate::usecase::Trouble;
use crate::usecase::book::form::{Field, Type};
use crate::usecase::units::is_bare;
use crate::web::page::{in_sentences, sentence};

/// One input.
pub struct Input {
    /// Its name in the request.
    pub name: &'static str,
    /// What people call it, with a capital.
    pub label: String,
    /// What may be typed.
    pub example: String,
    /// The unit that may be left away; empty where none may.
    pub unit: &'static str,
    /// What was typed.
    pub value: String,
    /// Whether it must be given.
    pub needed: bool,
    /// What to choose from; empty where something is typed.
    pub choices: Vec<Choice>,
    /// What is wrong with what was typed, in sentences.
    pub error: Option<String>,
    /// Which keyboard a phone shows.
    pub keyboard: &'static str,
    /// Which names are offered: the id of their list; empty for none.
    pub offered: &'static str,
    /// What the last entry of this form says here; empty where nothing.
    pub last: String,
}

impl Input {
    /// Whether the unit stands beside the box: not beside a figure that has its own.
    pub fn unit_beside(&self) -> bool {
        !self.unit.is_empty() && (self.value.is_empty() || is_bare(&self.value))
    }
}

/// One thing to choose.
pub struct Choice {
    /// As it is sent.
    pub value: &'static str,
    /// As it is shown.
    pub label: String,
    /// Whether it is chosen.
    pub chosen: bool,
}

/// The inputs of these fields for a reader of these units, filled with what was typed.
pub fn inputs(
    units: Option<UnitSystem>,
    fields: &'static [Field],
    given: &[(String, String)],
    troubles: &[Trouble],
) -> Vec<Input> {
    fields
        .iter()
        .map(|field| input(units, field, given, troubles))
        .collect()
}

fn input(
    units: Option<UnitSystem>,
    field: &'static Field,
    given: &[(String, String)],
    troubles: &[Trouble],
) -> Input {
    let usual = units.and_then(|units| field.kind.usual(units, field.example));
    let (unit, example) = usual.unwrap_or_else(|| ("", field.example.to_owned()));
    let value = given.iter().rev().find(|(name, _)| name == field.name);
    let value = value.map(|(_, text)| text.clone()).unwrap_or_default();
    let wrong: Vec<String> = troubles
        .iter()
        .filter(|trouble| trouble.field == Some(field.name))
        .map(in_sentences)
        .collect();
    let names: &[&'static str] = match field.kind {
        Type::OneOf(names) => names,
        Type::YesNo => &["yes", "no"],
        _ => &[],
    };
    Input {
        name: field.name,
        label: sentence(field.label).trim_end_matches('.').to_owned(),
        example,
        unit,
        needed: field.needed,
        choices: names
            .iter()
            .map(|name| Choice {
                value: name,
                label: name.replace('_', " "),
                chosen: *name == value,
            })
            .collect(),
        error: (!wrong.is_empty()).then(|| wrong.join(" ")),
        keyboard: match field.kind {
            Type::Whole | Type::Number => "decimal",
            _ => "text",
        },
        offered: match field.name {
            "cylinder" | "with" | "from-bank" | "cylinders" => "l-cylinders",
            "person" => "l-persons",
            "cylinder-rule" => "l-rules",
            "air-standard" => "l-standards",
            _ => "",
        },
        last: String::new(),
        value,
    }
}

/// The same with what the last entry says, to be looked at and not to be sent again.
pub fn with_last(mut inputs: Vec<Input>, last: &[(String, String)]) -> Vec<Input> {
    for input in &mut inputs {
        if let Some((_, text)) = last.iter().find(|(name, _)| name == input.name) {
            input.last = text.clone();
        }
    }
    inputs
}

/// Troubles that are about no input of the form, in sentences.
pub fn about_none(troubles: &[Trouble], inputs: &[Input]) -> Vec<String> {
    let told = |trouble: &&Trouble| inputs.iter().all(|input| trouble.field != Some(input.name));
    troubles.iter().filter(told).map(in_sentences).collect()
}
