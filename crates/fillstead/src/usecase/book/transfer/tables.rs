//! Tables out of the book: stable columns, figures as typed and worked out, and their text.
//!
//! A cell that a spreadsheet would take for a formula is guarded by an apostrophe in front;
//! [`unguarded`] takes it away again. Not here: which records ([`super::export`]).

use std::error::Error;

use book::Body;
use quantity::{FreeVolume, GaugePressure, Mass, Quantity, Temperature, Volume};
use serde::Serializer;
use serde_json::{Number, Value};

use super::headings::List;
use crate::usecase::Trouble;
use crate::usecase::book::form::{Field, Form, Type, object_of};

/// A cell of a table.
pub type Cell = Value;

/// A table.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Table {
    /// Names of the columns.
    pub columns: Vec<String>,
    /// The rows.
    pub rows: Vec<Vec<Cell>>,
}

impl Table {
    /// CSV (RFC 4180): one row of names, then the rows, lines ended by CR and LF.
    pub fn csv(&self) -> Result<String, Trouble> {
        let mut writer = csv::WriterBuilder::new()
            .terminator(csv::Terminator::CRLF)
            .from_writer(Vec::new());
        writer.write_record(&self.columns).map_err(|e| broken(&e))?;
        for row in &self.rows {
            writer
                .write_record(row.iter().map(shown))
                .map_err(|e| broken(&e))?;
        }
        let bytes = writer.into_inner().map_err(|e| broken(&e))?;
        String::from_utf8(bytes).map_err(|e| broken(&e))
    }

    /// One JSON object a line, in the order of the columns; what is not known is left out.
    pub fn lines(&self) -> Result<String, Trouble> {
        let mut bytes = Vec::new();
        for row in &self.rows {
            let named = self.columns.iter().zip(row);
            let known = named.filter(|(_, cell)| !cell.is_null());
            let line = serde_json::Serializer::new(&mut bytes).collect_map(known);
            line.map_err(|error| broken(&error))?;
            bytes.push(b'\n');
        }
        String::from_utf8(bytes).map_err(|error| broken(&error))
    }
}

fn broken(error: &dyn Error) -> Trouble {
    let remedy = "run `fillstead book verify`";
    Trouble::new(format!("the table cannot be written: {error}"), remedy)
}

fn shown(cell: &Cell) -> String {
    match cell {
        Value::Null => String::new(),
        Value::Bool(yes) => if *yes { "yes" } else { "no" }.to_owned(),
        Value::String(text) => guarded(text),
        Value::Number(number) => number.to_string(),
        other => other.to_string(),
    }
}

/// Whether a spreadsheet would take a text for a formula, or an apostrophe for a guard.
fn is_risky(text: &str) -> bool {
    text.starts_with(['=', '+', '-', '@', '\t', '\r', '\'', '＝', '＋', '－', '＠'])
}

/// A text no spreadsheet takes for a formula.
pub fn guarded(text: &str) -> String {
    match is_risky(text) {
        true => format!("'{text}"),
        false => text.to_owned(),
    }
}

/// The text that was guarded.
pub fn unguarded(text: &str) -> &str {
    match text.strip_prefix('\'') {
        Some(rest) if is_risky(rest) => rest,
        _ => text,
    }
}

/// The figure of an SI value.
pub type OfSi = fn(f64) -> f64;

/// The unit in which figures of a kind are worked out, as it stands in names of columns, and the
/// figure of an SI value in it.
pub fn worked_out(kind: Type) -> Option<(&'static str, OfSi)> {
    Some(match kind {
        Type::Pressure | Type::Stamp => ("bar", |si| GaugePressure::from_si(si).as_bar()),
        Type::Temperature => ("c", |si| Temperature::from_si(si).as_celsius()),
        Type::Time => ("s", |si| si),
        Type::Share => ("percent", |si| si * 100.0),
        Type::Volume => ("l", |si| Volume::from_si(si).as_litre()),
        Type::FreeAir => ("l", |si| FreeVolume::from_si(si).as_litre()),
        Type::Mass => ("kg", |si| Mass::from_si(si).as_kilogram()),
        _ => return None,
    })
}

/// The columns of a form's fields.
pub fn columns_of(form: &Form) -> Vec<String> {
    form.fields.iter().flat_map(names).collect()
}

fn names(field: &Field) -> Vec<String> {
    let key = field.key();
    match worked_out(field.kind) {
        Some((unit, _)) => vec![format!("{key}_typed"), format!("{key}_{unit}")],
        None => vec![key],
    }
}

/// The cells of a body in these columns.
pub fn cells_of(form: &Form, body: &Body) -> Vec<Cell> {
    let object = object_of(body);
    let typed = form.given(body);
    let text = |name: &str| {
        let given = typed.iter().find(|(given, _)| given == name);
        given.map_or(Value::Null, |(_, text)| Value::String(text.clone()))
    };
    let cells = form.fields.iter().map(|field| {
        let si = object.get(&field.key()).and_then(|value| value.get("si"));
        match worked_out(field.kind) {
            Some((_, of)) => {
                let figure = si
                    .and_then(Value::as_f64)
                    .map_or(Value::Null, |si| figure(of(si)));
                vec![text(field.name), figure]
            }
            None => vec![text(field.name)],
        }
    });
    cells.flatten().collect()
}

/// A figure to eleven digits: more than any gauge shows, fewer than conversions spoil.
pub fn figure(value: f64) -> Value {
    let rounded: f64 = format!("{value:.10e}").parse().unwrap_or(value);
    match (
        rounded.fract() == 0.0 && rounded.abs() < 1e15,
        Number::from_f64(rounded),
    ) {
        (true, _) => Value::Number(Number::from(rounded as i64)),
        (false, Some(number)) => Value::Number(number),
        (false, None) => Value::Null,
    }
}

/// Columns of the cylinders beside those of the form.
pub const OF_CYLINDERS: [&str; 8] = [
    "seq",
    "registered",
    "author",
    "status",
    "tested_in_book",
    "visual_in_book",
    "eddy_current_in_book",
    "invented",
];
/// Columns of fills before those of the form, and after.
pub const OF_FILLS: [&[&str]; 2] = [
    &["happened", "author"],
    &[
        "seq",
        "gate_rule",
        "gate_verdict",
        "gate_overridden",
        "gate_against",
        "corrected_by",
        "invented",
    ],
];

/// The columns of an export that can be brought in again, each with the field it gives; none where
/// the program works it out.
pub fn own_columns(list: List) -> Vec<(String, Option<&'static str>)> {
    let mut columns: Vec<(String, Option<&'static str>)> = Vec::new();
    let (name, extra): (&str, Vec<&str>) = match list {
        List::Cylinders => ("cylinder", OF_CYLINDERS.to_vec()),
        List::Fills => ("fill", OF_FILLS.concat()),
    };
    if let Ok(form) = Form::named(name) {
        for field in form.fields {
            let mut names = names(field).into_iter();
            columns.extend(names.next().map(|first| (first, Some(field.name))));
            columns.extend(names.map(|other| (other, None)));
        }
    }
    let field = |name: &str| match (list, name) {
        (List::Fills, "happened") => Some("date"),
        (List::Fills, "author") => Some("by"),
        _ => None,
    };
    columns.extend(extra.into_iter().map(|name| (name.to_owned(), field(name))));
    columns
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Beginnings that spreadsheets take for formulas: OWASP, CSV Injection.
    #[test]
    fn no_cell_is_a_formula() {
        for text in ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "＝1"] {
            assert_eq!(guarded(text), format!("'{text}"));
        }
        assert_eq!(guarded("it's 5 - 3 = 2"), "it's 5 - 3 = 2");
        assert_eq!(unguarded("'tis"), "'tis");
    }

    #[test]
    fn figures_are_short() {
        let bar = worked_out(Type::Pressure).unwrap().1;
        assert_eq!(figure(bar(23_200_000.0)).to_string(), "232");
        assert_eq!(figure(0.1 + 0.2).to_string(), "0.3");
        assert_eq!(figure(-18.5).to_string(), "-18.5");
    }

    /// RFC 4180, section 2: fields with line breaks, quotes and commas are quoted, quotes doubled,
    /// lines end with CRLF.
    #[test]
    fn csv_is_that_of_rfc_4180() {
        let table = Table {
            columns: vec!["a".into(), "b".into()],
            rows: vec![
                vec!["x,\"y\"".into(), "one\ntwo".into()],
                vec![Value::Null, figure(1.5)],
            ],
        };
        assert_eq!(
            table.csv().unwrap(),
            "a,b\r\n\"x,\"\"y\"\"\",\"one\ntwo\"\r\n,1.5\r\n"
        );
        assert_eq!(
            table.lines().unwrap(),
            "{\"a\":\"x,\\\"y\\\"\",\"b\":\"one\\ntwo\"}\n{\"b\":1.5}\n"
        );
    }

    proptest! {
        #[test]
        fn a_guard_is_taken_away_again(text in "['=+@\t-]{0,3}.{0,5}") {
            let safe = guarded(&text);
            prop_assert_eq!(unguarded(&safe), text.as_str());
            prop_assert!(!guarded(&text).starts_with(['=', '+', '-', '@']));
        }
    }
}
