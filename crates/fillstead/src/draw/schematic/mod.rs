//! The air path of a station with symbols, in the order of its file.
//!
//! Start at [`wide()`] for 760 px and more, at [`list()`] for less. Both draw what [`parts`](parts::of)
//! tells: the same parts, in the same order, under the same numbers as ladder and findings.
//! Not here: whether the settings fit together.

mod list;
mod live;
mod parts;
mod row;
mod symbol;
mod wide;

use station::Station;

use super::figures::Figures;
use super::{Drawing, Table};
use parts::PathPart;

pub use live::{Live, live};

/// A finding at a part, marked beside its setting.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Mark {
    /// The part's number.
    pub part: u8,
    /// How grave.
    pub grave: Grave,
}

/// How grave a finding is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Grave {
    /// To be looked into.
    Abnormal,
    /// To be put right first.
    Danger,
}

/// The air path from left to right, in one row where it fits into `available` px, else in two.
pub fn wide(station: &Station, marks: &[Mark], available: f64) -> Drawing {
    wide::draw(station, marks, available)
}

/// The air path from top to bottom, 360 px wide, for telephones.
pub fn list(station: &Station, marks: &[Mark]) -> Drawing {
    list::draw(station, marks)
}

/// The air path as rows: number, part, setting.
pub fn table(station: &Station) -> Table {
    let mut table = Table::new(title(station), &["No.", "Part", "Setting"]);
    for part in parts::of(station) {
        let number = part.balloon.map_or(String::new(), |n| n.to_string());
        table.row([number, part.full_name(), part.values.join("; ")]);
    }
    table
}

fn title(station: &Station) -> String {
    format!("Air path of {}", station.name)
}

/// The unit of the settings, and that they were invented, where they were.
fn note(station: &Station) -> String {
    let figures = Figures {
        units: station.units,
    };
    let invented = if station.invented {
        " Invented demonstration data."
    } else {
        ""
    };
    format!(
        "Settings in {} gauge; stamps as stamped.{invented}",
        figures.unit()
    )
}

/// Everything the drawing says, in sentences.
fn described(station: &Station, parts: &[PathPart]) -> String {
    let one = |part: &PathPart| {
        let number = part.balloon.map(|n| format!(" ({n})")).unwrap_or_default();
        match part.values.is_empty() {
            true => format!("{}{number}", part.full_name()),
            false => format!("{}{number}: {}", part.full_name(), part.values.join("; ")),
        }
    };
    let parts: Vec<String> = parts.iter().map(one).collect();
    format!("As the air passes: {}. {}", parts.join(". "), note(station))
}

/// The mark of a part, the gravest of its findings.
fn mark_of(marks: &[Mark], part: &PathPart) -> Option<&'static str> {
    let here = marks.iter().filter(|m| Some(m.part) == part.balloon);
    let gravest = here.map(|m| m.grave).max()?;
    Some(match gravest {
        Grave::Abnormal => "m-abnormal",
        Grave::Danger => "m-danger",
    })
}
