//! Problems with single values: what was written, what was wanted, what to write.
//!
//! Not here: values that are fine alone and contradict each other ([`crate::check`]).

use std::fmt::Display;
use std::ops::Range;

use quantity::{Quantity, Reason, Typed, parse};

use crate::problem::{Label, Problem, ProblemId};
use crate::syntax::Value;

/// Text that is not the quantity wanted; `unit` is the one probably meant where there is none.
pub(crate) fn quantity<Q: Quantity>(
    file: &str,
    key: &str,
    value: &Value,
    text: &str,
    unit: Option<&str>,
) -> Problem {
    let Err(error) = parse::<Q>(text) else {
        return not_text(key, value, None);
    };
    let id = match error.reason {
        Reason::MissingUnit => ProblemId::UnitMissing,
        _ => ProblemId::QuantityUnreadable,
    };
    let sentence = error.to_string();
    let (cause, general) = sentence
        .rsplit_once(": ")
        .unwrap_or((&sentence, &error.accepted));
    let remedy = match (&error.reason, unit) {
        (Reason::MissingUnit, Some(unit)) => {
            let text = text.trim();
            format!(
                "write {key} = \"{text} {unit}\" if {unit} is meant, or {}",
                error.accepted
            )
        }
        (Reason::DecimalComma { write }, _) => format!("write {key} = \"{write}\""),
        _ => general.to_owned(),
    };
    let place = inside(file, value.place.clone(), text, error.span.clone());
    Problem::new(
        id,
        format!("`{key}`: {cause}"),
        Label::new(place, what(&error.reason)),
        remedy,
    )
}

/// What is at the place at fault.
fn what(reason: &Reason) -> &'static str {
    match reason {
        Reason::MissingUnit => "a number without a unit",
        Reason::UnknownUnit => "not a unit known here",
        Reason::WrongKind { .. } => "another kind of quantity",
        Reason::DecimalComma { .. } => "a comma where a point belongs",
        Reason::NoNumber => "no number here",
        Reason::AbsoluteForGauge => "counted from vacuum, not as a gauge shows it",
        Reason::GaugeForAbsolute => "as a gauge shows it, not counted from vacuum",
        _ => "this cannot be read",
    }
}

/// The part of a quoted value at fault; the whole value where quoting hides the place.
fn inside(file: &str, value: Range<usize>, text: &str, fault: Range<usize>) -> Range<usize> {
    let written = file.get(value.clone()).unwrap_or_default();
    let plain = written.len() == text.len() + 2 && written.get(1..=text.len()) == Some(text);
    if !plain || fault.is_empty() || fault.end > text.len() {
        return value;
    }
    value.start + 1 + fault.start..value.start + 1 + fault.end
}

/// A value that is not text; with the number and the likely unit where it is a bare number.
pub(crate) fn not_text(key: &str, value: &Value, bare: Option<(f64, &str)>) -> Problem {
    let called = value.shape.called();
    let remedy = match bare {
        Some((number, unit)) => {
            format!("write {key} = \"{number} {unit}\" if that is the unit meant; keep the quotes")
        }
        None => format!("write {key} = \"...\", one value in quotes"),
    };
    let message = match bare {
        Some(_) => format!("`{key}` is {called}: no unit tells what it is"),
        None => format!("`{key}` is {called}, and text in quotes is wanted"),
    };
    Problem::new(
        ProblemId::WrongType,
        message,
        Label::new(value.place.clone(), called),
        remedy,
    )
}

/// Text with nothing in it.
pub(crate) fn empty(key: &str, value: &Value) -> Problem {
    Problem::new(
        ProblemId::Missing,
        format!("`{key}` is empty"),
        Label::new(value.place.clone(), "nothing between the quotes"),
        format!("write {key} = \"...\", or take the line out if it is not needed"),
    )
}

/// A quantity that no real station has.
pub(crate) fn out_of_range<Q: Quantity>(
    key: &str,
    value: &Value,
    typed: &Typed<Q>,
    low: &str,
    high: &str,
) -> Problem {
    let too_much = parse::<Q>(high).is_ok_and(|most| typed.value.si() > most.value.si());
    let side = if too_much { "too much" } else { "too little" };
    let (low, high) = (in_unit::<Q>(low, typed), in_unit::<Q>(high, typed));
    Problem::new(
        ProblemId::OutOfRange,
        format!("`{key}` cannot be {typed}"),
        Label::new(value.place.clone(), format!("{side} to be meant")),
        format!("write a value from {low} to {high}; check the decimal point and the unit"),
    )
}

/// A bound in the unit the person typed, or as it stands.
fn in_unit<Q: Quantity>(bound: &str, typed: &Typed<Q>) -> String {
    let shown = parse::<Q>(bound)
        .ok()
        .and_then(|b| quantity::display_as(b.value, typed.unit.symbol));
    shown.unwrap_or_else(|| bound.to_owned())
}

/// Something that is not a plain number within bounds.
pub(crate) fn not_number<T: Display>(
    key: &str,
    value: &Value,
    number: Option<f64>,
    low: &T,
    high: &T,
) -> Problem {
    let remedy = format!("write a plain number from {low} to {high}, without quotes or unit");
    let (id, message, label) = match number {
        Some(number) => (
            ProblemId::OutOfRange,
            format!("`{key}` cannot be {number}"),
            "not a possible number",
        ),
        None => {
            let called = value.shape.called();
            (
                ProblemId::WrongType,
                format!("`{key}` is {called}, and a number is wanted"),
                called,
            )
        }
    };
    Problem::new(id, message, Label::new(value.place.clone(), label), remedy)
}

/// Something that is not a calendar day.
pub(crate) fn not_date(key: &str, value: &Value, written: &str) -> Problem {
    Problem::new(
        ProblemId::NotADate,
        format!("`{key}`: {written} is not a date"),
        Label::new(value.place.clone(), "no such day, or not in this form"),
        format!("write {key} = \"2024-03-01\": year, month, day, from 1900 to 2199"),
    )
}

/// Something that is neither true nor false.
pub(crate) fn not_flag(key: &str, value: &Value) -> Problem {
    let called = value.shape.called();
    Problem::new(
        ProblemId::WrongType,
        format!("`{key}` is {called}, and true or false is wanted"),
        Label::new(value.place.clone(), called),
        format!("write {key} = true or {key} = false, without quotes"),
    )
}
