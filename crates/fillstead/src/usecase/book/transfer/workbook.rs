//! Reading a workbook: `.xlsx`, `.ods`, `.xls`.
//!
//! Formulas come as the value the spreadsheet stored last, a merged cell in its first place only.
//! Not here: what a cell means ([`super::value`]).

use std::io::Cursor;

use calamine::{Data, ExcelDateTime, Ods, Range, Reader, Xls, Xlsx};
use jiff::civil::{DateTime, Time};
use zip::ZipArchive;

use super::sheet::{Cell, Row, Sheet, fits};
use crate::usecase::Trouble;

/// No more is unpacked than this, bytes: a small file may claim to hold any amount.
const MOST_UNPACKED: u128 = 200_000_000;

type Bytes = Cursor<Vec<u8>>;

/// Whether these bytes are a workbook: a package, or the older compound file.
pub fn is_one(bytes: &[u8]) -> bool {
    bytes.starts_with(b"PK\x03\x04") || bytes.starts_with(b"\xd0\xcf\x11\xe0")
}

/// Reads the sheet of this name; without one the only sheet that holds anything.
pub fn read(bytes: Vec<u8>, wanted: Option<&str>) -> Result<Sheet, Trouble> {
    if bytes.starts_with(b"\xd0") {
        let mut book: Xls<Bytes> = Xls::new(Cursor::new(bytes)).map_err(|e| damaged(&e))?;
        return chosen(&book.sheet_names(), wanted, "xls", |name| {
            of_range(&book.worksheet_range(name).map_err(|e| damaged(&e))?)
        });
    }
    unpacks(&bytes)?;
    if let Ok(mut book) = Xlsx::new(Cursor::new(bytes.clone())) {
        return chosen(&book.sheet_names(), wanted, "xlsx", |name| {
            of_xlsx(&mut book, name)
        });
    }
    let mut book: Ods<Bytes> = Ods::new(Cursor::new(bytes)).map_err(|e| damaged(&e))?;
    chosen(&book.sheet_names(), wanted, "ods", |name| {
        of_range(&book.worksheet_range(name).map_err(|e| damaged(&e))?)
    })
}

fn damaged(error: &dyn std::error::Error) -> Trouble {
    Trouble::new(
        format!("the workbook cannot be read: {error}"),
        "open it in the spreadsheet and save it anew without a password, as .xlsx, .ods or .csv",
    )
}

/// That what is packed in it is not too much.
fn unpacks(bytes: &[u8]) -> Result<(), Trouble> {
    let package = ZipArchive::new(Cursor::new(bytes)).map_err(|e| damaged(&e))?;
    match package.decompressed_size() {
        Some(size) if size > MOST_UNPACKED => {
            let what = format!("it unpacks to {} MB", size / 1_000_000);
            Err(Trouble::new(what, "save the list alone, as .csv"))
        }
        _ => Ok(()),
    }
}

fn chosen(
    names: &[String],
    wanted: Option<&str>,
    form: &str,
    mut rows: impl FnMut(&str) -> Result<Vec<Row>, Trouble>,
) -> Result<Sheet, Trouble> {
    let list = names.join(", ");
    let (name, rows, others) = match wanted {
        Some(wanted) if names.iter().any(|name| name == wanted) => {
            (wanted.to_owned(), rows(wanted)?, Vec::new())
        }
        Some(wanted) => {
            let what = format!("there is no sheet \"{wanted}\"");
            return Err(Trouble::new(what, format!("write one of {list}")).about("sheet"));
        }
        None => {
            let mut filled = Vec::new();
            for name in names {
                let rows = rows(name)?;
                if !rows.is_empty() {
                    filled.push((name.clone(), rows));
                }
            }
            let mut filled = filled.into_iter();
            let Some((name, rows)) = filled.next() else {
                return Ok(Sheet::default());
            };
            (name, rows, filled.map(|(name, _)| name).collect())
        }
    };
    let mut notes = Vec::new();
    if !others.is_empty() {
        let others = others.join("\", \"");
        notes.push(format!(
            "other sheets are not read: \"{others}\" (--sheet names one)"
        ));
    }
    Ok(Sheet {
        rows,
        how: format!("{form} workbook, sheet \"{name}\""),
        notes,
    })
}

/// Cell by cell: two cells far apart must not make a table of everything between.
fn of_xlsx(book: &mut Xlsx<Bytes>, name: &str) -> Result<Vec<Row>, Trouble> {
    let mut reader = book.worksheet_cells_reader(name).map_err(|e| damaged(&e))?;
    let mut rows: Vec<Row> = Vec::new();
    while let Some(cell) = reader.next_cell().map_err(|e| damaged(&e))? {
        let (row, column) = cell.get_position();
        let value = cell_of(&Data::from(cell.get_value().clone()));
        if value == Cell::Empty {
            continue;
        }
        let number = row as usize + 1;
        if rows.last().is_none_or(|last| last.number != number) {
            rows.push(Row {
                number,
                cells: Vec::new(),
            });
        }
        fits(number, column as usize + 1)?;
        if let Some(last) = rows.last_mut() {
            last.cells
                .resize((column as usize + 1).max(last.cells.len()), Cell::Empty);
            if let Some(place) = last.cells.get_mut(column as usize) {
                *place = value;
            }
        }
    }
    rows.sort_by_key(|row| row.number);
    Ok(rows)
}

fn of_range(range: &Range<Data>) -> Result<Vec<Row>, Trouble> {
    let Some((first, left)) = range.start() else {
        return Ok(Vec::new());
    };
    let (first, left) = (first as usize, left as usize);
    fits(first + range.height(), left + range.width())?;
    let row = |(n, cells): (usize, &[Data])| {
        let blank = std::iter::repeat_n(Cell::Empty, left);
        Row {
            number: first + n + 1,
            cells: blank.chain(cells.iter().map(cell_of)).collect(),
        }
    };
    Ok(range
        .rows()
        .enumerate()
        .map(row)
        .filter(|row| !row.is_empty())
        .collect())
}

fn cell_of(data: &Data) -> Cell {
    match data {
        Data::Empty => Cell::Empty,
        Data::String(text) => Cell::text(text),
        Data::Int(number) => Cell::Number(*number as f64),
        Data::Float(number) => Cell::Number(*number),
        Data::Bool(yes) => Cell::YesNo(*yes),
        Data::Error(error) => Cell::Fault(error.to_string()),
        Data::DateTime(time) => of_serial(time),
        Data::DateTimeIso(text) => of_iso(text),
        Data::DurationIso(text) => match text.parse::<jiff::Span>() {
            Ok(span) => match span.total((
                jiff::Unit::Second,
                jiff::SpanRelativeTo::days_are_24_hours(),
            )) {
                Ok(seconds) => Cell::Span(seconds),
                Err(_) => Cell::text(text),
            },
            Err(_) => Cell::text(text),
        },
    }
}

fn of_serial(time: &ExcelDateTime) -> Cell {
    if time.is_duration() {
        return Cell::Span(time.as_f64() * 86_400.0);
    }
    let (year, month, day, hour, minute, second, milli) = time.to_ymd_hms_milli();
    let signed = u8::cast_signed;
    let clock = Time::new(
        signed(hour),
        signed(minute),
        signed(second),
        i32::from(milli) * 1_000_000,
    );
    if time.as_f64() < 1.0 {
        return clock.map_or(Cell::Number(time.as_f64()), Cell::Clock);
    }
    let whole = clock.and_then(|clock| {
        let year = i16::try_from(year).unwrap_or(i16::MAX);
        let day = jiff::civil::Date::new(year, signed(month), signed(day))?;
        Ok(Cell::Stamp(DateTime::from_parts(day, clock)))
    });
    whole.unwrap_or(Cell::Number(time.as_f64()))
}

fn of_iso(text: &str) -> Cell {
    let day = || {
        text.parse::<jiff::civil::Date>()
            .map(|day| day.at(0, 0, 0, 0))
    };
    match text.parse::<DateTime>().or_else(|_| day()) {
        Ok(stamp) => Cell::Stamp(stamp),
        Err(_) => Cell::text(text),
    }
}
