//! The text of a standard: rows of commas, one limit a row.
//!
//! ```text
//! # A remark. Text with a comma stands in quotes.
//! standard,Our club
//! edition,2026
//! for,air for our own cylinders
//! quantity,at_most,unit,point,cylinder
//! oxygen,,%,,
//! water,30,mg/m3,cylinder,over 200 bar
//! odour,none significant
//! interval,3,months
//! ```
//!
//! | column | says |
//! |---|---|
//! | quantity | a name of [`Measurand`], or `interval` |
//! | at_least, at_most | bounds; for odour and liquid water `none` or `none significant`; for an interval the usual and the latest |
//! | unit | of the bounds: %, ppm, mg/m3, °C or °F (dew or frost point at 1 atm), months |
//! | point | `outlet` or `cylinder`; empty for either |
//! | cylinder | `40 to 200 bar`, `to 225 bar`, `over 200 bar`, `300 bar`; empty for any |
//! | unless | `oil-free`: not asked of machines without oil |
//! | note, source, certainty | words; certainty is one of [`Certainty::WORDS`] |
//!
//! Only quantity, at_most and unit are needed. Every mistake is told, not only
//! the first. Not here: how cells become limits is in [`row`].

mod cells;
mod row;

use super::mistake::{At, Mistake};
use super::standard::Standard;
use cells::{Columns, cells};

#[cfg(doc)]
use super::{measurand::Measurand, standard::Certainty};

impl Standard {
    /// Reads the text of a standard, the owner's own for instance.
    pub fn read(text: &str) -> Result<Standard, Vec<Mistake>> {
        let mut mistakes = Vec::new();
        let mut standard = Standard {
            name: String::new(),
            edition: String::new(),
            purpose: String::new(),
            limits: Vec::new(),
            interval: None,
        };
        let mut columns = None;
        for (number, line) in (1..).zip(text.trim_start_matches('\u{feff}').lines()) {
            if line.trim().is_empty() || line.trim_start().starts_with('#') {
                continue;
            }
            let done = match (cells(line), &columns) {
                (Err(mistake), _) => Err(mistake),
                (Ok(cells), None) => head(&mut standard, &mut columns, &cells),
                (Ok(cells), Some(columns)) => row::add(&mut standard, columns, &cells),
            };
            mistakes.extend(done.err().map(|mistake| mistake.at(At::Line(number))));
        }
        mistakes.extend(missing(&standard));
        match mistakes.is_empty() {
            true => Ok(standard),
            false => Err(mistakes),
        }
    }
}

/// A line above the table: what the standard is called, or the table's heading.
fn head(
    standard: &mut Standard,
    columns: &mut Option<Columns>,
    cells: &[String],
) -> Result<(), Mistake> {
    let (key, value) = match cells {
        [key, value, ..] => (key.as_str(), value.clone()),
        [key] => (key.as_str(), String::new()),
        [] => ("", String::new()),
    };
    match key {
        "standard" => standard.name = value,
        "edition" => standard.edition = value,
        "for" => standard.purpose = value,
        "quantity" => *columns = Some(Columns::new(cells)?),
        _ => {
            let cause = format!("`{key}` does not belong above the table");
            let remedy = "write standard, edition and for, then a heading that begins with \
                          quantity, then one limit a line";
            return Err(Mistake::new(cause, remedy));
        }
    }
    Ok(())
}

/// What no standard can be without: there is no verdict without name and edition.
fn missing(standard: &Standard) -> Vec<Mistake> {
    let lacks = [
        (
            standard.name.is_empty(),
            "has no name",
            "begin with a line `standard,NAME`",
        ),
        (
            standard.edition.is_empty(),
            "has no edition",
            "add a line `edition,YEAR`",
        ),
        (
            standard.limits.is_empty(),
            "limits nothing",
            "add limits, one a line",
        ),
    ];
    lacks
        .iter()
        .filter(|(lacking, ..)| *lacking)
        .map(|(_, what, remedy)| Mistake::new(format!("the standard {what}"), *remedy))
        .collect()
}
