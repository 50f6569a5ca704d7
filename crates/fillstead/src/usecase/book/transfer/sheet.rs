//! A sheet of cells, whatever file it comes from, and reading one from a text.
//!
//! Start at [`read`]. Not here: workbooks ([`super::workbook`]), what a cell means
//! ([`super::value`]).

use std::fs::File;
use std::io::{self, Read};
use std::path::Path;

use csv::{ReaderBuilder, StringRecord};
use jiff::civil::{DateTime, Time};

use super::letters;
use super::workbook;
use crate::usecase::Trouble;

/// No list a station keeps comes near this many bytes.
const MOST_BYTES: u64 = 10_000_000;
/// Nor this many rows.
pub const MOST_ROWS: usize = 1_000_000;
/// Nor this many columns.
pub const MOST_COLUMNS: usize = 500;

/// A cell as the file gives it.
#[derive(Clone, Debug, Default, PartialEq)]
pub enum Cell {
    /// Nothing.
    #[default]
    Empty,
    /// Words.
    Text(String),
    /// A number without a unit.
    Number(f64),
    /// A day, with the time of day.
    Stamp(DateTime),
    /// A time of day.
    Clock(Time),
    /// A span of time, seconds.
    Span(f64),
    /// Yes or no.
    YesNo(bool),
    /// An error of the spreadsheet's own, such as `#REF!`.
    Fault(String),
}

impl Cell {
    /// Words, or nothing where there are none.
    pub fn text(text: &str) -> Cell {
        match text.trim() {
            "" => Cell::Empty,
            text => Cell::Text(text.to_owned()),
        }
    }
}

/// A row.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// Its number, as the spreadsheet shows it.
    pub number: usize,
    /// Its cells from column A on.
    pub cells: Vec<Cell>,
}

impl Row {
    /// The cell of this column; empty beyond the last.
    pub fn cell(&self, column: usize) -> &Cell {
        self.cells.get(column).unwrap_or(&Cell::Empty)
    }

    /// Whether nothing stands in it.
    pub fn is_empty(&self) -> bool {
        self.cells.iter().all(|cell| *cell == Cell::Empty)
    }
}

/// A sheet without its empty rows.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Sheet {
    /// Its rows.
    pub rows: Vec<Row>,
    /// How it was read.
    pub how: String,
    /// What to think of.
    pub notes: Vec<String>,
}

/// Reads a file: a text with commas, semicolons or tabs, or a workbook.
pub fn read(path: &Path, sheet: Option<&str>) -> Result<Sheet, Trouble> {
    let name = path.display().to_string();
    let bytes = bytes(path, &name)?;
    let place = |trouble: Trouble| Trouble {
        what: format!("{name}: {}", trouble.what),
        ..trouble
    };
    let sheet = match (workbook::is_one(&bytes), sheet) {
        (true, sheet) => workbook::read(bytes, sheet).map_err(place)?,
        (false, Some(_)) => {
            let trouble = Trouble::new("a text has no sheets", "leave --sheet out");
            return Err(place(trouble).about("sheet"));
        }
        (false, None) => of_text(&bytes).map_err(place)?,
    };
    match sheet.rows.is_empty() {
        true => Err(Trouble::new(
            format!("{name} holds nothing"),
            "give the file with the list in it",
        )),
        false => Ok(sheet),
    }
}

fn bytes(path: &Path, name: &str) -> Result<Vec<u8>, Trouble> {
    let mut bytes = Vec::new();
    let read = match path == Path::new("-") {
        true => io::stdin()
            .lock()
            .take(MOST_BYTES + 1)
            .read_to_end(&mut bytes),
        false => File::open(path).and_then(|f| f.take(MOST_BYTES + 1).read_to_end(&mut bytes)),
    };
    read.map_err(|error| match error.kind() {
        io::ErrorKind::NotFound => Trouble::new(
            format!("there is no file {name}"),
            "check the name and the folder",
        ),
        io::ErrorKind::IsADirectory => {
            Trouble::new(format!("{name} is a folder"), "name the file in it")
        }
        _ => Trouble::new(
            format!("{name} cannot be read: {error}"),
            "check the disk and who may read it, or copy it elsewhere first",
        ),
    })?;
    match bytes.len() as u64 > MOST_BYTES {
        true => Err(Trouble::new(
            format!("{name} is larger than {} MB", MOST_BYTES / 1_000_000),
            "take pictures and other sheets out, or bring it in in parts",
        )),
        false => Ok(bytes),
    }
}

/// That a sheet is not too large.
pub fn fits(rows: usize, columns: usize) -> Result<(), Trouble> {
    let what = match (rows > MOST_ROWS, columns > MOST_COLUMNS) {
        (true, _) => format!("it has more than {MOST_ROWS} rows"),
        (_, true) => format!("it has more than {MOST_COLUMNS} columns"),
        _ => return Ok(()),
    };
    Err(Trouble::new(
        what,
        "bring it in in parts, or take away what is not the list",
    ))
}

fn of_text(bytes: &[u8]) -> Result<Sheet, Trouble> {
    let (text, letters) = letters::text_of(bytes)?;
    // Line breaks of old machines, and of nothing else.
    let text = match text.contains('\n') {
        true => text,
        false => text.replace('\r', "\n"),
    };
    let (skip, delimiter) = match hinted(&text) {
        Some(hinted) => hinted,
        None => (0, delimiter(&text)),
    };
    let rows = rows_of(&text, skip, delimiter)?;
    let marks = match delimiter {
        b'\t' => "tabs",
        b';' => "semicolons",
        _ => "commas",
    };
    Ok(Sheet {
        rows,
        how: format!("text in {letters}, cells parted by {marks}"),
        notes: Vec::new(),
    })
}

/// The rows with something in them. The spreadsheet counts rows, the text lines: a cell may hold
/// several, and empty lines are rows.
fn rows_of(text: &str, skip: usize, delimiter: u8) -> Result<Vec<Row>, Trouble> {
    let mut rows: Vec<Row> = Vec::new();
    let body = text.get(skip..).unwrap_or_default();
    let (mut lines, mut counted, mut inside) = (usize::from(skip > 0), 0, 0);
    for record in reader(body, delimiter).into_records() {
        let record = record.map_err(|error| {
            Trouble::new(
                format!("it cannot be read: {error}"),
                "save it again as .csv",
            )
        })?;
        let at = record
            .position()
            .map_or(0, |p| usize::try_from(p.byte()).unwrap_or(0));
        let rest = body.get(at..).unwrap_or_default();
        let start = body.len() - rest.trim_start_matches(['\r', '\n']).len();
        lines += breaks(body.get(counted..start).unwrap_or_default());
        counted = start.max(counted);
        let cells: Vec<Cell> = record.iter().map(Cell::text).collect();
        fits(rows.len() + 1, cells.len())?;
        let row = Row {
            number: lines + 1 - inside.min(lines),
            cells,
        };
        inside += record.iter().map(breaks).sum::<usize>();
        if !row.is_empty() {
            rows.push(row);
        }
    }
    Ok(rows)
}

fn breaks(text: &str) -> usize {
    text.bytes().filter(|byte| *byte == b'\n').count()
}

fn reader(text: &str, delimiter: u8) -> csv::Reader<&[u8]> {
    ReaderBuilder::new()
        .delimiter(delimiter)
        .has_headers(false)
        .flexible(true)
        .from_reader(text.as_bytes())
}

/// Some spreadsheets write `sep=;` as the first line.
fn hinted(text: &str) -> Option<(usize, u8)> {
    let first = text.lines().next()?;
    let mark = first.trim_matches('"').strip_prefix("sep=")?;
    let delimiter = *mark.as_bytes().first()?;
    let length = text.find('\n').map_or(text.len(), |at| at + 1);
    matches!(delimiter, b',' | b';' | b'\t').then_some((length, delimiter))
}

/// The delimiter that gives the most cells in rows of the same length.
fn delimiter(text: &str) -> u8 {
    let score = |delimiter: u8| {
        let records = reader(text, delimiter).into_records().take(50).flatten();
        let lengths: Vec<usize> = records.map(|record: StringRecord| record.len()).collect();
        let of_length = |n: usize| lengths.iter().filter(|length| **length == n).count() * (n - 1);
        lengths
            .iter()
            .map(|n| of_length((*n).max(1)))
            .max()
            .unwrap_or(0)
    };
    let scores = [b';', b'\t', b','].map(|delimiter| (score(delimiter), delimiter));
    scores
        .into_iter()
        .max_by_key(|(score, _)| *score)
        .map_or(b',', |(_, delimiter)| delimiter)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rows(text: &str) -> Vec<(usize, Vec<String>)> {
        let shown = |cell: &Cell| match cell {
            Cell::Text(text) => text.clone(),
            other => format!("{other:?}"),
        };
        let sheet = of_text(text.as_bytes()).unwrap();
        let one = |row: &Row| (row.number, row.cells.iter().map(shown).collect());
        sheet.rows.iter().map(one).collect()
    }

    #[test]
    fn the_delimiter_is_found_among_decimal_commas() {
        let text = "id;volume;mass\nA1;12,5;14,1\nA2;10,0;12,2\n";
        assert_eq!(rows(text)[1].1, ["A1", "12,5", "14,1"]);
        assert_eq!(rows("id\tname\nA1\tSmith, J\n")[1].1, ["A1", "Smith, J"]);
        assert_eq!(
            rows("sep=;\nid;x\nA1;b\n")[1],
            (3, vec!["A1".into(), "b".into()])
        );
    }

    #[test]
    fn rows_are_numbered_as_the_spreadsheet_does() {
        let text = "id,remark\n\nA1,\"two\nlines\"\n,\nA2,x\n";
        let numbers: Vec<usize> = rows(text).iter().map(|(number, _)| *number).collect();
        assert_eq!(numbers, [1, 3, 5]);
    }
}
