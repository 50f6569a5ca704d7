//! Readings as comma-separated text: from a spreadsheet, a message, or the page's own copy.
//!
//! Columns `time, gauge, reading, observed` in any order; semicolons, tabs and a byte-order mark as
//! spreadsheets write them. Not here: what a line means ([`insight::diagnose::request::read`]).

use csv::{ReaderBuilder, StringRecord, WriterBuilder};
use insight::diagnose::request::Row;

use crate::usecase::Trouble;
use crate::usecase::near::nearest;

/// No run has so much to write down, bytes.
pub const MOST_BYTES: usize = 64 << 10;
/// No field is longer, letters.
pub const LONGEST: usize = 400;
/// So many lines are read.
pub const MOST_ROWS: usize = 300;

/// The columns, as they are called.
pub const COLUMNS: [&str; 4] = ["time", "gauge", "reading", "observed"];
const HEADER: &str = "begin with a line that names the columns: time,gauge,reading,observed";

/// Lines of a text, and what was passed over.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Lines {
    /// The lines that say something.
    pub rows: Vec<Row>,
    /// What is to be known about the rest, in parts of sentences.
    pub remarks: Vec<String>,
}

/// Reads a text of readings; everything about its form that is wrong.
pub fn rows(text: &str) -> Result<Lines, Vec<Trouble>> {
    let text = text.trim_start_matches('\u{feff}');
    let text = &text.replace("\r\n", "\n").replace('\r', "\n");
    if text.len() > MOST_BYTES {
        let what = format!("that is more than {} KiB of readings", MOST_BYTES >> 10);
        return Err(vec![Trouble::new(what, "send the readings of one run")]);
    }
    let head = text.lines().next().unwrap_or_default();
    let delimiter = delimiter(head);
    let mut reader = ReaderBuilder::new()
        .delimiter(delimiter)
        .has_headers(false)
        .flexible(true)
        .from_reader(text.as_bytes());
    let mut records = reader.records();
    let Some(first) = records.next() else {
        return Err(vec![Trouble::new("nothing is written here", HEADER)]);
    };
    let first = first.map_err(|error| vec![broken(&error)])?;
    let (columns, remarks) = columns(&first)?;
    let mut lines = Lines {
        remarks,
        ..Lines::default()
    };
    let mut troubles = Vec::new();
    for record in records {
        if lines.rows.len() >= MOST_ROWS {
            let what = format!("there are more than {MOST_ROWS} lines");
            troubles.push(Trouble::new(what, "send the readings of one run"));
            break;
        }
        match record.map_err(|error| broken(&error)) {
            Ok(record) => match columns.row(&record, line_of(text, &record), delimiter == b';') {
                Ok(row) => lines.rows.extend(row),
                Err(trouble) => troubles.push(trouble),
            },
            Err(trouble) => {
                troubles.push(trouble);
                break;
            }
        }
    }
    match troubles.is_empty() {
        true => Ok(lines),
        false => Err(troubles),
    }
}

/// The same rows as a text that [`rows`] reads.
pub fn written(rows: &[Row]) -> Result<String, Trouble> {
    let unwritable = |error: &dyn std::fmt::Display| {
        let what = format!("the readings cannot be written as text: {error}");
        Trouble::new(what, "print the page instead")
    };
    let mut writer = WriterBuilder::new().from_writer(Vec::new());
    let head = writer.write_record(COLUMNS);
    head.map_err(|error| unwritable(&error))?;
    for row in rows {
        let cells = [&row.time, &row.gauge, &row.reading, &row.observed];
        let line = writer.write_record(cells.map(|cell| plain(cell)));
        line.map_err(|error| unwritable(&error))?;
    }
    let bytes = writer.into_inner().map_err(|error| unwritable(&error))?;
    String::from_utf8(bytes).map_err(|error| unwritable(&error))
}

/// A text that no spreadsheet takes for a formula. A time before the start keeps its sign.
fn plain(cell: &str) -> String {
    let sign = cell.starts_with(['=', '+', '@']);
    let minus = cell.starts_with('-') && !cell.chars().nth(1).is_some_and(|c| c.is_ascii_digit());
    match sign || minus {
        true => format!("'{cell}"),
        false => cell.to_owned(),
    }
}

/// What parts the cells, by the line that names the columns.
fn delimiter(head: &str) -> u8 {
    let count = |sign: char| head.matches(sign).count();
    let signs = [(',', b','), (';', b';'), ('\t', b'\t')];
    let most = signs.into_iter().rev().max_by_key(|(sign, _)| count(*sign));
    most.map_or(b',', |(_, byte)| byte)
}

/// The line of a text on which a record begins, counted from 1; the reader itself passes over blank
/// lines without counting them.
fn line_of(text: &str, record: &StringRecord) -> usize {
    let from = record.position().map_or(0, csv::Position::byte) as usize;
    let rest = text.get(from..).unwrap_or_default();
    let blank = rest.len() - rest.trim_start_matches('\n').len();
    let before = text.get(..from + blank).unwrap_or_default();
    1 + before.matches('\n').count()
}

fn broken(error: &csv::Error) -> Trouble {
    let line = error.position().map_or(0, csv::Position::line);
    Trouble::new(
        format!("line {line} cannot be read: {error}"),
        "save the list again as comma-separated text (CSV)",
    )
}

/// Where each column stands, and the unit its heading gives.
#[derive(Debug, Default)]
struct Columns {
    at: [Option<usize>; 4],
    unit: String,
    count: usize,
}

/// Reads the line that names the columns.
fn columns(head: &StringRecord) -> Result<(Columns, Vec<String>), Vec<Trouble>> {
    let mut columns = Columns {
        count: head.len(),
        ..Columns::default()
    };
    let (mut troubles, mut remarks) = (Vec::new(), Vec::new());
    for (place, cell) in head.iter().enumerate() {
        let (name, unit) = heading(cell);
        let known = COLUMNS.iter().position(|column| *column == name);
        let Some(which) = known else {
            unknown(cell, &name, &mut troubles, &mut remarks);
            continue;
        };
        match columns.at.get_mut(which) {
            Some(slot @ None) => *slot = Some(place),
            _ => troubles.push(Trouble::new(
                format!("line 1: there are two columns called {name}"),
                "leave one of them out",
            )),
        }
        if name == "reading" {
            columns.unit = unit;
        }
    }
    columns.missing(&mut troubles, &mut remarks);
    match troubles.is_empty() {
        true => Ok((columns, remarks)),
        false => Err(troubles),
    }
}

/// `Reading (bar)` as its name and its unit.
fn heading(cell: &str) -> (String, String) {
    let cell = cell.trim().trim_start_matches('\'');
    let (name, rest) = match cell.split_once(['(', '[', ',']) {
        Some((name, rest)) => (name, rest.trim_end_matches([')', ']', ' '])),
        None => (cell, ""),
    };
    (name.trim().to_lowercase(), rest.trim().to_owned())
}

/// A column that is not read: told, and where its name is nearly one of ours, not let through.
fn unknown(cell: &str, name: &str, troubles: &mut Vec<Trouble>, remarks: &mut Vec<String>) {
    let shown: String = cell.trim().chars().take(40).collect();
    match nearest(name, COLUMNS) {
        Some(near) if !name.is_empty() => troubles.push(Trouble::new(
            format!("line 1: no column is called \"{shown}\""),
            format!("did you mean {near}?"),
        )),
        _ if shown.is_empty() => {}
        _ => remarks.push(format!("the column \"{shown}\" is not read")),
    }
}

impl Columns {
    fn missing(&self, troubles: &mut Vec<Trouble>, remarks: &mut Vec<String>) {
        let [time, gauge, reading, observed] = self.at.map(|place| place.is_some());
        if ![time, gauge, reading, observed].contains(&true) {
            troubles.clear();
            troubles.push(Trouble::new("line 1 names no column", HEADER));
            return;
        }
        let mut lacks = |name: &str| {
            let what = format!("line 1: there is no column {name}");
            troubles.push(Trouble::new(what, HEADER));
        };
        match (reading, gauge) {
            (true, false) => lacks("gauge"),
            (false, true) => lacks("reading"),
            _ => {}
        }
        if reading && !time {
            lacks("time");
        }
        if !reading && !gauge && !observed {
            lacks("reading");
        }
        if !observed {
            remarks.push("there is no column observed: nothing seen or heard is told".to_owned());
        }
    }

    /// A line; none where all of it is blank.
    fn row(
        &self,
        record: &StringRecord,
        line: usize,
        decimal_comma: bool,
    ) -> Result<Option<Row>, Trouble> {
        if record.iter().all(|cell| cell.trim().is_empty()) {
            return Ok(None);
        }
        let [time, gauge, reading, observed] = self.at;
        let cell = |place: Option<usize>| {
            let text = place.and_then(|place| record.get(place)).unwrap_or("");
            plain_letters(text.trim().trim_start_matches('\''))
        };
        let mut row = Row {
            line,
            time: cell(time),
            gauge: cell(gauge),
            reading: self.figure(&cell(reading), decimal_comma),
            observed: cell(observed),
        };
        let over: Vec<&str> = record.iter().skip(self.count).map(str::trim).collect();
        if over.iter().any(|cell| !cell.is_empty()) {
            if observed != Some(self.count - 1) {
                let (cells, columns) = (record.len(), self.count);
                let what = format!("line {line}: {cells} cells stand under {columns} columns");
                let remedy = "put a text with a comma between double quotes";
                return Err(Trouble::new(what, remedy));
            }
            row.observed = plain_letters(&format!("{}, {}", row.observed, over.join(", ")));
        }
        let cells = [&row.time, &row.gauge, &row.reading, &row.observed];
        if cells.iter().any(|cell| cell.chars().count() > LONGEST) {
            let what = format!("line {line}: a text is longer than {LONGEST} letters");
            return Err(Trouble::new(
                what,
                "shorten it; long stories belong in a note",
            ));
        }
        Ok(Some(row))
    }

    /// A figure with the unit of its heading, its decimal comma made a point.
    fn figure(&self, text: &str, decimal_comma: bool) -> String {
        let text = match text.split_once(',') {
            Some((whole, rest)) if decimal_comma && few_digits(rest) => format!("{whole}.{rest}"),
            _ => text.to_owned(),
        };
        let bare = text.ends_with(|c: char| c.is_ascii_digit());
        match bare && !self.unit.is_empty() {
            true => format!("{text} {}", self.unit),
            false => text,
        }
    }
}

/// A text on one line, without signs that nobody types.
fn plain_letters(text: &str) -> String {
    let letter = |c: char| if c.is_control() { ' ' } else { c };
    text.chars().map(letter).collect()
}

/// One or two digits, so no thousands.
fn few_digits(rest: &str) -> bool {
    (1..=2).contains(&rest.bytes().take_while(u8::is_ascii_digit).count())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn row(line: usize, cells: [&str; 4]) -> Row {
        let [time, gauge, reading, observed] = cells.map(str::to_owned);
        Row {
            line,
            time,
            gauge,
            reading,
            observed,
        }
    }

    fn told(text: &str) -> String {
        let troubles = rows(text).unwrap_err();
        let all: Vec<String> = troubles
            .iter()
            .map(|t| format!("{}: {}", t.what, t.remedy))
            .collect();
        all.join("\n")
    }

    #[test]
    fn columns_stand_in_any_order_and_blank_lines_say_nothing() {
        let text =
            "reading,Time , gauge,observed\n96 bar,1:00,tower,\n,,,\n\n,31,,\"hiss, loud\"\n";
        let lines = rows(text).unwrap();
        assert_eq!(
            lines.rows,
            [
                row(2, ["1:00", "tower", "96 bar", ""]),
                row(5, ["31", "", "", "hiss, loud"]),
            ]
        );
        assert_eq!(lines.remarks, [""; 0]);
    }

    #[test]
    fn spreadsheets_of_other_countries_are_read() {
        let text = "\u{feff}time;gauge;reading (bar);observed\r\n1:00;tower;96,5;\r\n2:00;tower;110 \
                    bar;air at the fill valve\r\n";
        let lines = rows(text).unwrap();
        assert_eq!(lines.rows[0], row(2, ["1:00", "tower", "96.5 bar", ""]));
        assert_eq!(lines.rows[1].reading, "110 bar");
        let tabs = rows("time\tgauge\treading\n1\tline\t1,900 psi\n").unwrap();
        assert_eq!(tabs.rows[0].reading, "1,900 psi");
        assert!(tabs.remarks[0].contains("no column observed"));
    }

    #[test]
    fn further_columns_are_told_and_missing_ones_too() {
        let lines = rows("time,gauge,reading,observed,who\n1,tower,9 bar,,MK\n").unwrap();
        assert_eq!(lines.remarks, ["the column \"who\" is not read"]);
        assert!(told("gauge,reading\ntower,9 bar\n").contains("no column time"));
        assert!(told("time,reading\n1,9 bar\n").contains("no column gauge"));
        assert!(told("time,guage,reading\n1,tower,9 bar\n").contains("did you mean gauge?"));
        assert!(told("time,time,gauge,reading\n").contains("two columns called time"));
        assert!(told("1:00,tower,96 bar\n").contains("names no column"));
        assert!(told("").contains("nothing is written here"));
        assert!(rows("time,observed\n3,hiss\n").is_ok());
    }

    #[test]
    fn a_comma_in_the_last_text_is_a_comma() {
        let lines = rows("time,gauge,reading,observed\n9,,,drained 40 mL, milky\n").unwrap();
        assert_eq!(lines.rows[0].observed, "drained 40 mL, milky");
        let wrong = told("observed,time,gauge,reading\ndrained, milky,9,tower,9 bar\n");
        assert!(
            wrong.contains("line 2: 5 cells stand under 4 columns"),
            "{wrong}"
        );
    }

    #[test]
    fn no_list_is_too_long_to_be_told() {
        let long = "time,observed\n".to_owned() + &"1,x\n".repeat(MOST_ROWS + 1);
        assert!(told(&long).contains("more than 300 lines"));
        let wordy = format!("time,observed\n1,{}\n", "x".repeat(LONGEST + 1));
        assert!(told(&wordy).contains("line 2: a text is longer than 400 letters"));
        let odd = rows("time,observed\n1,\"a\u{1b}[31mb\nc\"\n").unwrap();
        assert_eq!(odd.rows[0].observed, "a [31mb c");
        let large = "time,observed\n".to_owned() + &"x".repeat(MOST_BYTES);
        assert!(told(&large).contains("64 KiB"));
    }

    #[test]
    fn what_is_written_is_read_again() {
        let all = vec![
            row(2, ["1:00", "tower", "96 bar", ""]),
            row(3, ["-0:30", "", "", "=1+1, \"loud\", then -quiet"]),
        ];
        let text = written(&all).unwrap();
        assert!(text.starts_with("time,gauge,reading,observed\n"), "{text}");
        assert!(text.contains("'=1+1"), "{text}");
        let again = rows(&text).unwrap().rows;
        assert_eq!(again[0], all[0]);
        assert_eq!(again[1].observed, all[1].observed);
        assert_eq!(again[1].time, "-0:30");
    }
}
