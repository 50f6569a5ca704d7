//! Checks of cylinders: rules by their worked cases, stamps, the fill gate. Each with its source.

mod gate;
mod rules;
mod stamps;

use super::*;
use quantity::{GaugePressure, Typed, parse};
use station::{Date, Material};

fn day(text: &str) -> Date {
    Date::parse(text).unwrap()
}

fn when(text: &str) -> When {
    When::parse(text).unwrap()
}

fn pressure(text: &str) -> Typed<GaugePressure> {
    parse(text).unwrap()
}

fn rule(id: &str) -> &'static Rule {
    rule_named(id).unwrap()
}

/// Facts read from a stamp alone, for diving.
fn stamped(text: &str, today: &str) -> CylinderFacts {
    let mut facts = CylinderFacts::unknown("X");
    facts.add_stamp(&read_stamp(text, day(today)));
    facts
}

/// A steel diving cylinder of 232 bar.
fn steel(tested: &str) -> CylinderFacts {
    CylinderFacts {
        id: "S".into(),
        rated: Some(pressure("232 bar")),
        material: Some(Material::Steel),
        tested: Some(when(tested)),
        foreign: true,
        ..CylinderFacts::default()
    }
}

fn ask(facts: &CylinderFacts, id: &str, today: &str) -> FillAnswer {
    may_fill(facts, rule(id), day(today), &FillLine::default())
}

fn ids(answer: &FillAnswer) -> Vec<&str> {
    answer.refusals.iter().map(|r| r.id).collect()
}

fn until(answer: &FillAnswer) -> String {
    answer.until.map(|u| u.to_string()).unwrap_or_default()
}

fn to(answer: &FillAnswer) -> &str {
    answer.to.as_ref().map_or("", |to| to.stamped.as_str())
}

fn says(answer: &FillAnswer, words: &str) -> bool {
    answer.notes.iter().any(|note| note.text.contains(words))
}
