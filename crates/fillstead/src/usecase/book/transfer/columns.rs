//! Which column of a sheet is which field of a form.
//!
//! Columns are known by their headings ([`super::headings`]) or named by the person; a unit in a
//! heading holds for the bare numbers under it. The row of headings is the one among the first rows
//! in which most is understood: titles may stand above it. Not here: the cells below.

use super::headings::{List, plain};
use super::named::{self, Named, by_name, same};
use super::sheet::{Cell, Row, Sheet};
use super::tables;
use crate::usecase::Trouble;
use crate::usecase::book::form::{Field, Form, Type};

/// So many rows may stand above the headings.
const TITLES: usize = 30;

/// A column that is understood.
#[derive(Clone, Debug, PartialEq)]
pub struct Column {
    /// Its place, from 0.
    pub index: usize,
    /// As it is told: `D "Volume [L]"`.
    pub label: String,
    /// The field.
    pub field: &'static str,
    /// The unit of bare numbers.
    pub unit: Option<String>,
}

/// The columns of a sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct Columns {
    /// Number of the row of headings; 0 where there is none.
    pub row: usize,
    /// Those understood.
    pub known: Vec<Column>,
    /// Those not understood.
    pub unknown: Vec<String>,
    /// Those the program works out itself.
    pub worked_out: Vec<String>,
    /// The sheet is an export of the book: everything stands as typed.
    pub own: bool,
}

impl Columns {
    /// The column of this field.
    pub fn of(&self, field: &str) -> Option<&Column> {
        self.known.iter().find(|column| column.field == field)
    }
}

/// Finds the headings of a sheet.
pub fn find(
    sheet: &Sheet,
    list: List,
    form: &Form,
    named: &[String],
) -> Result<Columns, Vec<Trouble>> {
    let named = named::read(named, list, form)?;
    let head: Vec<&Row> = sheet.rows.iter().take(TITLES).collect();
    if let Some(row) = head.iter().find(|row| is_own(row, list)) {
        return Ok(own(row, list));
    }
    let blank = Row {
        number: 0,
        cells: Vec::new(),
    };
    let row = match most_understood(&head, list, form, &named) {
        Some(row) => row,
        None if named.is_empty() => return Err(vec![no_headings(list)]),
        None => &blank,
    };
    let mut columns = Columns {
        row: row.number,
        known: Vec::new(),
        unknown: Vec::new(),
        worked_out: Vec::new(),
        own: false,
    };
    let width = sheet
        .rows
        .iter()
        .map(|row| row.cells.len())
        .max()
        .unwrap_or(0);
    for index in 0..width {
        take(&mut columns, row.cell(index), index, &named, list, form);
    }
    let headings: Vec<&str> = row.cells.iter().filter_map(heading).collect();
    let mut troubles = named::unused(&named, columns.row, &headings, width);
    prefer_typed(&mut columns);
    troubles.extend(twice(&columns));
    if columns.of("cylinder").is_none() {
        troubles.push(no_cylinder(&columns, list));
    }
    if list == List::Fills && columns.of("date").is_none() {
        let remedy = "name it, like --columns \"Filled on=date\"";
        troubles.push(Trouble::new("no column says when it was filled", remedy).about("columns"));
    }
    match troubles.is_empty() {
        true => Ok(columns),
        false => Err(troubles),
    }
}

/// The row in which most headings are understood, the first of several; none where none is.
fn most_understood<'a>(
    head: &[&'a Row],
    list: List,
    form: &Form,
    named: &[Named],
) -> Option<&'a Row> {
    let known =
        |name: &&str| of_heading(name, list, form).is_some() || by_name(named, name).is_some();
    let score = |row: &Row| row.cells.iter().filter_map(heading).filter(known).count();
    let scored = head.iter().rev().map(|row| (score(row), *row));
    let best = scored.max_by_key(|(score, _)| *score);
    best.filter(|(score, _)| *score > 0).map(|(_, row)| row)
}

/// One column into those understood, or not.
fn take(
    columns: &mut Columns,
    cell: &Cell,
    index: usize,
    named: &[Named],
    list: List,
    form: &Form,
) {
    let heading = heading(cell);
    let letter = letter(index);
    let label = match heading {
        Some(heading) => format!("{letter} \"{}\"", short(heading)),
        None => letter.clone(),
    };
    let said: Vec<&Named> = named
        .iter()
        .filter(|n| n.name == letter || heading.is_some_and(|h| same(&n.name, h)))
        .collect();
    if !said.is_empty() {
        for named in said {
            let Some(field) = named.field else { continue };
            let from_heading = heading.and_then(|h| unit_of(h, form.field(field)));
            let unit = named.unit.clone().or(from_heading);
            columns.known.push(Column {
                index,
                label: label.clone(),
                field,
                unit,
            });
        }
        return;
    }
    match heading.map(|heading| of_heading(heading, list, form)) {
        Some(Some((field, unit))) => columns.known.push(Column {
            index,
            label,
            field,
            unit,
        }),
        Some(None) => columns.unknown.push(label),
        None => {}
    }
}

/// What a heading says: the field, and the unit.
fn of_heading(heading: &str, list: List, form: &Form) -> Option<(&'static str, Option<String>)> {
    let whole = plain(heading);
    let whole = whole.strip_suffix(" typed").unwrap_or(&whole);
    if let Some(field) = list.meant(whole) {
        return Some((field, unit_of(heading, form.field(field))));
    }
    heads(heading).find_map(|(name, _)| {
        let field = list.meant(&plain(name))?;
        Some((field, unit_of(heading, form.field(field))))
    })
}

/// The unit in a heading, where it is one of the field.
fn unit_of(heading: &str, field: Option<&Field>) -> Option<String> {
    let kind = field?.kind;
    let is_unit = |unit: &str| has_unit(kind) && kind.value(&format!("1 {unit}")).is_ok();
    heads(heading)
        .map(|(_, unit)| unit)
        .find(|unit| is_unit(unit))
        .map(str::to_owned)
}

/// Whether numbers of this kind need a unit.
pub fn has_unit(kind: Type) -> bool {
    matches!(
        kind,
        Type::Pressure
            | Type::Stamp
            | Type::Temperature
            | Type::Time
            | Type::Share
            | Type::Volume
            | Type::FreeAir
            | Type::Mass
            | Type::Amount
    )
}

/// Ways to part a heading into a name and a unit: by brackets, then at each gap from the right.
fn heads(heading: &str) -> impl Iterator<Item = (&str, &str)> {
    let open = heading.find(['(', '[']);
    let bracket = open.and_then(|at| {
        let (name, rest) = heading.split_at(at);
        let inner = rest.get(1..)?.trim_end().trim_end_matches([')', ']']);
        Some((name, inner.trim()))
    });
    let gaps = heading
        .char_indices()
        .rev()
        .filter(|(_, c)| matches!(c, ' ' | ',' | '/' | '_'));
    let parted = gaps.filter_map(|(at, c)| {
        let name = heading.get(..at)?.trim_end();
        let name = name
            .strip_suffix(" in")
            .or_else(|| name.strip_suffix(" en"))
            .unwrap_or(name);
        Some((name, heading.get(at + c.len_utf8()..)?.trim()))
    });
    bracket.into_iter().chain(parted)
}

/// The text of a heading.
fn heading(cell: &Cell) -> Option<&str> {
    match cell {
        Cell::Text(text) => Some(text),
        _ => None,
    }
}

fn short(heading: &str) -> String {
    let one_line = heading.split_whitespace().collect::<Vec<_>>().join(" ");
    match one_line.char_indices().nth(40) {
        Some((at, _)) => format!("{}…", one_line.get(..at).unwrap_or_default()),
        None => one_line,
    }
}

/// The letters over a column: A to Z, AA and so on.
pub fn letter(index: usize) -> String {
    let last = char::from(b'A' + u8::try_from(index % 26).unwrap_or(0));
    match index / 26 {
        0 => last.to_string(),
        more => letter(more - 1) + &last.to_string(),
    }
}

/// An export keeps each figure as typed and worked out: the typed one counts.
fn prefer_typed(columns: &mut Columns) {
    let typed = |column: &Column| column.label.ends_with("_typed\"");
    let fields: Vec<&str> = columns
        .known
        .iter()
        .filter(|c| typed(c))
        .map(|c| c.field)
        .collect();
    let (keep, drop): (Vec<Column>, Vec<Column>) = std::mem::take(&mut columns.known)
        .into_iter()
        .partition(|column| typed(column) || !fields.contains(&column.field));
    columns.known = keep;
    columns
        .worked_out
        .extend(drop.into_iter().map(|column| column.label));
}

fn twice(columns: &Columns) -> Vec<Trouble> {
    let mut troubles = Vec::new();
    for (n, column) in columns.known.iter().enumerate() {
        let before = columns
            .known
            .iter()
            .take(n)
            .find(|other| other.field == column.field);
        if let Some(before) = before {
            let what = format!(
                "columns {} and {} both mean {}",
                before.label, column.label, column.field
            );
            let letter = column.label.split(' ').next().unwrap_or_default();
            let remedy =
                format!("say which counts, like --columns \"{letter}=-\" to leave one out");
            troubles.push(Trouble::new(what, remedy).about("columns"));
        }
    }
    troubles
}

fn no_headings(list: List) -> Trouble {
    let what = format!(
        "no row of headings for {} is found in the first {TITLES} rows",
        list.called()
    );
    let fields = list.fields().join(", ");
    let remedy = format!(
        "name the columns by their letters, like --columns \"A=cylinder\"; fields are {fields}"
    );
    Trouble::new(what, remedy).about("columns")
}

fn no_cylinder(columns: &Columns, list: List) -> Trouble {
    let what = format!(
        "no column in row {} says what each cylinder is called",
        columns.row
    );
    let other = match list {
        List::Cylinders => columns.of("serial").map(|c| (c.label.as_str(), "cylinder")),
        List::Fills => None,
    };
    let first = other.or(columns
        .unknown
        .first()
        .map(|label| (label.as_str(), "cylinder")));
    let remedy = match first {
        Some((label, field)) => {
            let letter = label.split(' ').next().unwrap_or_default();
            format!("name it: if it is {label}, give --columns \"{letter}={field}\"")
        }
        None => "name it, like --columns \"A=cylinder\"".to_owned(),
    };
    Trouble::new(what, remedy).about("columns")
}

/// Whether a row holds the headings of an export, all of them known and untouched.
fn is_own(row: &Row, list: List) -> bool {
    let names = tables::own_columns(list);
    let headings: Vec<&str> = row.cells.iter().filter_map(heading).collect();
    headings.contains(&"cylinder")
        && headings.iter().any(|h| h.ends_with("_typed"))
        && headings.iter().any(|h| h.ends_with("_bar"))
        && headings
            .iter()
            .all(|h| names.iter().any(|(name, _)| name == h))
}

fn own(row: &Row, list: List) -> Columns {
    let names = tables::own_columns(list);
    let mut columns = Columns {
        row: row.number,
        known: Vec::new(),
        unknown: Vec::new(),
        worked_out: Vec::new(),
        own: true,
    };
    for (index, cell) in row.cells.iter().enumerate() {
        let Some(name) = heading(cell) else { continue };
        let label = format!("{} \"{name}\"", letter(index));
        match names
            .iter()
            .find(|(known, _)| known == name)
            .and_then(|(_, field)| *field)
        {
            Some(field) => columns.known.push(Column {
                index,
                label,
                field,
                unit: None,
            }),
            None => columns.worked_out.push(label),
        }
    }
    columns
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sheet(rows: &[&[&str]]) -> Sheet {
        let row = |(n, cells): (usize, &&[&str])| Row {
            number: n + 1,
            cells: cells.iter().map(|text| Cell::text(text)).collect(),
        };
        Sheet {
            rows: rows.iter().enumerate().map(row).collect(),
            ..Sheet::default()
        }
    }

    fn cylinders(rows: &[&[&str]], named: &[&str]) -> Result<Columns, Vec<Trouble>> {
        let named: Vec<String> = named.iter().map(|n| (*n).to_owned()).collect();
        find(
            &sheet(rows),
            List::Cylinders,
            Form::named("cylinder").unwrap(),
            &named,
        )
    }

    #[test]
    fn headings_are_known_with_their_units() {
        let row: &[&str] = &[
            "Flaschen-Nr.",
            "Volumen [L]",
            "WP (psi)",
            "Prüfdruck in bar",
            "Hydro (date)",
            "Weight, kg",
            "Colour",
        ];
        let columns = cylinders(&[&["Club list 2024"], row], &[]).unwrap();
        let found: Vec<_> = columns
            .known
            .iter()
            .map(|c| (c.field, c.unit.as_deref()))
            .collect();
        assert_eq!(
            found,
            [
                ("cylinder", None),
                ("water-volume", Some("L")),
                ("working-pressure", Some("psi")),
                ("test-pressure", Some("bar")),
                ("tested", None),
                ("mass", Some("kg")),
            ]
        );
        assert_eq!(
            (columns.row, columns.unknown),
            (2, vec!["G \"Colour\"".to_owned()])
        );
    }

    #[test]
    fn what_is_not_known_is_asked_for() {
        let what = |rows: &[&[&str]], named: &[&str]| cylinders(rows, named).unwrap_err().remove(0);
        let none = what(&[&["a", "b"]], &[]);
        assert!(none.what.starts_with("no row of headings"), "{}", none.what);
        let serial = what(&[&["Serial no.", "Owner"]], &[]);
        assert!(serial.remedy.contains("A=cylinder"), "{}", serial.remedy);
        let two = what(&[&["Cylinder", "Tank"]], &[]);
        assert!(two.what.contains("both mean cylinder"), "{}", two.what);
        let field = what(&[&["Cylinder"]], &["Cylinder=cylindr"]);
        assert_eq!(field.remedy, "did you mean cylinder?");
        let unit = what(&[&["Cylinder", "Size"]], &["Size=water-volume bar"]);
        assert!(unit.what.contains("no unit"), "{}", unit.what);
        let missing = what(&[&["Cylinder"]], &["Sise=water-volume L"]);
        assert!(
            missing.what.contains("no column \"Sise\""),
            "{}",
            missing.what
        );
    }

    #[test]
    fn the_person_has_the_last_word() {
        let columns = cylinders(
            &[&["Cylinder", "Tank", "Druck"]],
            &["B=-, Druck=working-pressure bar"],
        )
        .unwrap();
        let found: Vec<_> = columns
            .known
            .iter()
            .map(|c| (c.index, c.field, c.unit.as_deref()))
            .collect();
        assert_eq!(
            found,
            [(0, "cylinder", None), (2, "working-pressure", Some("bar"))]
        );
        let letters = cylinders(&[&["A1", "x"]], &["A=cylinder"]).unwrap();
        assert_eq!((letters.row, letters.known[0].field), (0, "cylinder"));
        assert_eq!(
            (letter(25), letter(26), letter(701), letter(702)),
            ("Z".into(), "AA".into(), "ZZ".into(), "AAA".into())
        );
    }
}
