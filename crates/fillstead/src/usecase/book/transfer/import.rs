//! Bringing a list in from a spreadsheet: planned whole, told whole, written whole or not at all.
//!
//! Start at [`import`]. Not here: what each row becomes ([`super::cylinders`], [`super::fills`]).

use std::collections::BTreeMap;
use std::path::Path;

use book::Book;

use super::columns::{self, Columns};
use super::days::Order;
use super::figures::Decimal;
pub use super::headings::List;
use super::headings::plain;
use super::plan::{Plan, Written};
use super::sheet::{self, Cell, Row};
use super::value::Reading;
use super::{cylinders, fills};
use crate::usecase::Trouble;
use crate::usecase::book::desk::{self, Signed, Who, signed};
use crate::usecase::book::form::{Form, Given};

/// What is asked, as typed.
#[derive(Clone, Debug)]
pub struct Asked<'a> {
    /// The file.
    pub file: &'a Path,
    /// What it lists.
    pub list: List,
    /// The sheet of a workbook.
    pub sheet: Option<&'a str>,
    /// What the person says of columns.
    pub columns: &'a [String],
    /// `day-first` or `month-first`.
    pub dates: Option<&'a str>,
    /// `point` or `comma`.
    pub decimal: Option<&'a str>,
    /// Nothing is to be written.
    pub dry_run: bool,
    /// Rows with problems are left out, the others brought in.
    pub skip_bad_rows: bool,
}

/// A sheet ready to be gone through.
pub(super) struct Source<'a> {
    pub columns: Columns,
    pub reading: Reading,
    pub form: &'static Form,
    pub rows: Vec<&'a Row>,
}

/// What stands in front of sums at the end of a list.
const SUMS: &[&str] = &[
    "total", "totals", "sum", "summe", "gesamt", "somme", "totaux", "suma", "totales", "count",
    "anzahl",
];

/// Brings a list in, or tells what that would do. Where rows have problems and are not to be left
/// out, nothing is written: [`Plan::written`] is none.
pub fn import(book: &Path, asked: &Asked<'_>, who: &Who<'_>) -> Result<Plan, Vec<Trouble>> {
    let one = |trouble: Trouble| vec![trouble];
    let order = asked.dates.map(Order::named).transpose().map_err(one)?;
    let decimal = asked.decimal.map(Decimal::named).transpose().map_err(one)?;
    let form = Form::named(match asked.list {
        List::Cylinders => "cylinder",
        List::Fills => "fill",
    })
    .map_err(one)?;
    let sheet = sheet::read(asked.file, asked.sheet).map_err(one)?;
    let columns = columns::find(&sheet, asked.list, form, asked.columns)?;
    let mut plan = begun(asked, &columns, &sheet);
    let reading = Reading {
        order,
        decimal,
        own: columns.own,
    };
    let rows = listed(&sheet.rows, &columns, &mut plan);
    let source = Source {
        columns,
        reading,
        form,
        rows,
    };
    if asked.dry_run {
        let book = desk::read(book).map_err(one)?;
        let who = Who {
            by: who.by.or(Some("nobody")),
            ..*who
        };
        let signed = signed(&who, desk::zone(&book).map_err(one)?)?;
        planned(&book, asked.list, &source, &signed, &mut plan).map_err(one)?;
        return Ok(plan);
    }
    let (mut pen, signed) = desk::pen(book, "fillstead book import", who)?;
    planned(pen.book(), asked.list, &source, &signed, &mut plan).map_err(one)?;
    if plan.drafts.is_empty() || !(plan.problems.is_empty() || asked.skip_bad_rows) {
        return Ok(plan);
    }
    let written = pen.append_all(&plan.drafts).map_err(|e| one(e.into()))?;
    plan.written = match (written.first(), written.last()) {
        (Some(first), Some(last)) => Some(Written {
            first: first.seq,
            last: last.seq,
            seal: last.hash.short(),
        }),
        _ => None,
    };
    Ok(plan)
}

fn begun(asked: &Asked<'_>, columns: &Columns, sheet: &sheet::Sheet) -> Plan {
    let known = columns.known.iter();
    Plan {
        file: asked.file.display().to_string(),
        list: asked.list.called(),
        read_as: sheet.how.clone(),
        heading_row: columns.row,
        columns: known
            .map(|c| (c.label.clone(), c.field, c.unit.clone()))
            .collect(),
        not_understood: columns.unknown.clone(),
        worked_out: columns.worked_out.clone(),
        notes: sheet.notes.clone(),
        dry_run: asked.dry_run,
        ..Plan::default()
    }
}

fn planned(
    book: &Book,
    list: List,
    source: &Source<'_>,
    signed: &Signed,
    plan: &mut Plan,
) -> Result<(), Trouble> {
    plan.rows = source.rows.len();
    match list {
        List::Cylinders => cylinders::plan(book, source, signed, plan)?,
        List::Fills => fills::plan(book, source, signed, plan)?,
    }
    let places: BTreeMap<&str, usize> = source
        .columns
        .known
        .iter()
        .map(|column| (column.label.as_str(), column.index))
        .collect();
    let place = |column: &Option<String>| column.as_deref().and_then(|label| places.get(label));
    plan.problems
        .sort_by_key(|problem| (problem.row, place(&problem.column)));
    Ok(())
}

/// The rows of the list itself: without what stands above the headings, the headings repeated on
/// each page, sums, and rows with nothing in a column that is understood.
fn listed<'a>(rows: &'a [Row], columns: &Columns, plan: &mut Plan) -> Vec<&'a Row> {
    let headings = rows.iter().find(|row| row.number == columns.row);
    let below = rows.iter().filter(|row| row.number > columns.row);
    let mut kept = Vec::new();
    for row in below {
        let says = |column: &columns::Column| *row.cell(column.index) != Cell::Empty;
        if headings.is_some_and(|headings| headings.cells == row.cells)
            || !columns.known.iter().any(says)
        {
            continue;
        }
        match is_sum(row) {
            true => plan.notes.push(format!(
                "row {} looks like a sum and is left out",
                row.number
            )),
            false => kept.push(row),
        }
    }
    kept
}

fn is_sum(row: &Row) -> bool {
    let first = row.cells.iter().find(|cell| **cell != Cell::Empty);
    match first {
        Some(Cell::Text(text)) => {
            let plain = plain(text);
            SUMS.iter().any(|sum| {
                plain == *sum
                    || plain
                        .strip_prefix(sum)
                        .is_some_and(|rest| rest.starts_with(' '))
            })
        }
        _ => false,
    }
}

impl Source<'_> {
    /// What a row would be typed as; everything that does not read becomes a problem.
    pub fn given(&self, row: &Row, plan: &mut Plan) -> Given {
        let mut given = Given::new();
        for column in &self.columns.known {
            let Some(field) = self.form.field(column.field) else {
                continue;
            };
            match self
                .reading
                .text(row.cell(column.index), field, column.unit.as_deref())
            {
                Ok(Some(text)) => given.push((field.name.to_owned(), text)),
                Ok(None) => {}
                Err(trouble) => self.tell(row, trouble.about(field.name), plan),
            }
        }
        given
    }

    /// A trouble as a problem of its row and column.
    pub fn tell(&self, row: &Row, trouble: Trouble, plan: &mut Plan) {
        let column = trouble.field.and_then(|field| self.columns.of(field));
        let label = column.map(|column| column.label.clone());
        // A trouble about a field without a column names the field.
        let what = match (trouble.field, &label) {
            (Some(field), None) => format!("{field}: {}", trouble.what),
            _ => trouble.what,
        };
        let remedy = match &column {
            Some(column) => {
                let letter = column.label.split(' ').next().unwrap_or_default();
                trouble.remedy.replace("HEADING=", &format!("{letter}="))
            }
            None => trouble.remedy,
        };
        plan.problem(row.number, label, what, remedy);
    }
}
