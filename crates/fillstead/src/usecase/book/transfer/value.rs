//! What a cell says, as the text a person would have typed into the form.
//!
//! Not here: what the form takes ([`crate::usecase::book::form`]).

use super::columns::has_unit;
use super::days::{self, Order};
use super::figures::{self, Decimal};
use super::means;
use super::sheet::Cell;
use super::tables;
use crate::usecase::Trouble;
use crate::usecase::book::form::{Field, Type};

/// How cells are to be read.
#[derive(Clone, Copy, Debug, Default)]
pub struct Reading {
    /// Which number of a date comes first.
    pub order: Option<Order>,
    /// Which sign parts whole and fraction.
    pub decimal: Option<Decimal>,
    /// The sheet is an export of the book: everything stands as typed.
    pub own: bool,
}

impl Reading {
    /// The text for this field; none where the cell says nothing.
    pub fn text(
        &self,
        cell: &Cell,
        field: &Field,
        unit: Option<&str>,
    ) -> Result<Option<String>, Trouble> {
        let text = match self.words(cell)? {
            None => return Ok(None),
            Some(text) => text,
        };
        if self.own {
            return Ok(Some(text));
        }
        match field.kind {
            Type::When => self.day(cell, &text),
            Type::Time if text.contains(':') => Ok(text),
            Type::OneOf(_) | Type::YesNo => Ok(means::known(&text).to_owned()),
            Type::Number => match figures::parted(&text, self.decimal) {
                Some(Ok((number, ""))) => Ok(number),
                Some(Err(trouble)) => Err(trouble),
                _ => Ok(text),
            },
            kind if has_unit(kind) => self.figure(&text, field, unit),
            _ => Ok(text),
        }
        .map(Some)
    }

    /// The words of any cell; none where it says nothing.
    pub fn words(&self, cell: &Cell) -> Result<Option<String>, Trouble> {
        Ok(match cell {
            Cell::Empty => None,
            Cell::Fault(error) => return Err(fault(error)),
            Cell::Text(text) if self.own => Some(tables::unguarded(text).to_owned()),
            Cell::Text(text) if FAULTS.contains(&text.as_str()) => return Err(fault(text)),
            Cell::Text(text) if means::nothing(text) => None,
            Cell::Text(text) => Some(clean(text)?),
            Cell::Number(number) => Some(figures::shown(*number)),
            Cell::Stamp(stamp) => Some(stamp.strftime("%Y-%m-%d %H:%M:%S").to_string()),
            Cell::Clock(time) => Some(time.strftime("%H:%M").to_string()),
            Cell::Span(seconds) => Some(format!("{} s", figures::shown(*seconds))),
            Cell::YesNo(yes) => Some(if *yes { "yes" } else { "no" }.to_owned()),
        })
    }

    fn day(&self, cell: &Cell, text: &str) -> Result<String, Trouble> {
        match cell {
            Cell::Stamp(stamp) => Ok(stamp.date().strftime("%Y-%m-%d").to_string()),
            _ => Ok(days::read(text, self.order)?.iso()),
        }
    }

    fn figure(&self, text: &str, field: &Field, unit: Option<&str>) -> Result<String, Trouble> {
        let (number, own_unit) = match figures::parted(text, self.decimal) {
            Some(parted) => parted?,
            // The form tells what is wrong with it.
            None => return Ok(text.to_owned()),
        };
        match (own_unit, unit) {
            ("", Some(unit)) => Ok(format!("{number} {unit}")),
            ("", None) => Err(Trouble::new(
                "a number without a unit",
                format!(
                    "write the unit in the heading or give it, like --columns \"HEADING={} {}\"{}",
                    field.name,
                    unit_like(field),
                    match field.name {
                        "water-volume" => "; what it holds when full is \"HEADING=free-air cu ft\"",
                        _ => "",
                    }
                ),
            )),
            (own, _) => Ok(format!("{number} {own}")),
        }
    }
}

/// The unit in a field's example.
fn unit_like(field: &Field) -> &str {
    field
        .example
        .trim_start_matches(|c: char| c.is_ascii_digit() || c == '.')
        .trim()
}

/// What spreadsheets show where a formula fails, in a text they saved.
const FAULTS: &[&str] = &[
    "#REF!", "#N/A", "#VALUE!", "#DIV/0!", "#NAME?", "#NULL!", "#NUM!", "#BEZUG!", "#WERT!", "#NV",
];

fn fault(error: &str) -> Trouble {
    let what = format!("the spreadsheet shows the error {error}");
    Trouble::new(what, "put its formula right, or type the value")
}

/// Text without stray signs of the spreadsheet; what no person typed is told.
fn clean(text: &str) -> Result<String, Trouble> {
    if let Some(odd) = text
        .chars()
        .find(|c| c.is_control() && !matches!(c, '\n' | '\r' | '\t'))
    {
        let what = format!("it holds the control sign U+{:04X}", odd as u32);
        return Err(Trouble::new(what, "type the cell anew"));
    }
    let lines = text
        .lines()
        .map(|line| line.split_whitespace().collect::<Vec<_>>().join(" "));
    Ok(lines
        .filter(|line| !line.is_empty())
        .collect::<Vec<_>>()
        .join("\n"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::usecase::book::form::Form;

    fn read(cell: Cell, field: &str, unit: Option<&str>) -> Result<Option<String>, Trouble> {
        let field = Form::named("cylinder").unwrap().field(field).unwrap();
        Reading::default().text(&cell, field, unit)
    }

    #[test]
    fn cells_become_what_a_person_would_type() {
        let text = |text: &str| Cell::Text(text.to_owned());
        for (cell, field, unit, typed) in [
            (
                Cell::Number(232.0),
                "working-pressure",
                Some("bar"),
                "232 bar",
            ),
            (text("12,5"), "water-volume", Some("L"), "12.5 L"),
            (text("200 bar"), "working-pressure", Some("psi"), "200 bar"),
            (Cell::Number(4711.0), "serial", None, "4711"),
            (Cell::Number(0.1 + 0.2), "mass", Some("kg"), "0.3 kg"),
            (Cell::Number(45_361.0), "tested", None, "2024-03-10"),
            (text("Stahl"), "material", None, "steel"),
            (Cell::YesNo(true), "plus", None, "yes"),
            (text("  new \n\n valve "), "remark", None, "new\nvalve"),
        ] {
            assert_eq!(read(cell, field, unit), Ok(Some(typed.to_owned())));
        }
        assert_eq!(read(text("–"), "owner", None), Ok(None));
    }

    #[test]
    fn what_a_cell_does_not_say_is_not_made_up() {
        let bare = read(Cell::Number(232.0), "working-pressure", None).unwrap_err();
        assert!(
            bare.remedy.contains("working-pressure bar"),
            "{}",
            bare.remedy
        );
        let error = read(Cell::Fault("#REF!".into()), "owner", None).unwrap_err();
        assert!(error.what.contains("#REF!"), "{}", error.what);
        let nul = read(Cell::Text("a\0b".into()), "owner", None).unwrap_err();
        assert!(nul.what.contains("U+0000"), "{}", nul.what);
        let year = read(Cell::Number(2019.0), "made", None).unwrap_err();
        assert!(year.what.contains("without its month"), "{}", year.what);
    }
}
