//! The whole ledger as lines of JSON, one entry each, and back into a book.
//!
//! Start at [`export`], [`restore`] and [`extend`]. Numbers, times, texts and hashes come back byte
//! for byte: a restored book has the seal of the one it came from.
//! Lines are checked all the way, and every fault is told with its line; a book is made of all of
//! them or of none.
//! Not here: any other form of export, and drawing (see `project`).

mod line;
mod utc;

use std::io::{self, BufRead, Write};
use std::path::Path;

use rusqlite::{Transaction, TransactionBehavior};
use thiserror::Error;

use crate::append::{self, insert};
use crate::body::Body;
use crate::book::{Book, Pen, close_made, making};
use crate::entry::Entry;
use crate::error::BookError;
use crate::hash::Hash;
use crate::{project, query};

/// So many faults are told one by one.
const TOLD: usize = 50;
/// No line is longer: bytes. A station file or a laboratory's report fits many times over.
const LONGEST: usize = 16 << 20;

/// What is wrong with one line.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
#[error("line {line}: {what}")]
pub struct LineError {
    /// Which, from 1.
    pub line: u64,
    /// What is wrong with it.
    pub what: String,
}

/// Why lines did not come into a book. Nothing was changed.
#[derive(Debug, Error)]
pub enum TransferError {
    /// The lines themselves.
    #[error("{count} lines are not as they were written; the first is {}", told.first().map(ToString::to_string).unwrap_or_default())]
    Lines {
        /// The first few faults.
        told: Vec<LineError>,
        /// How many there are.
        count: u64,
    },
    /// The lines are another history than the book's.
    #[error("entry {seq} of the lines is not entry {seq} of the book: they are two histories")]
    Differs {
        /// The first number where they differ.
        seq: u64,
    },
    /// The lines begin behind the end of the book.
    #[error("the lines begin with entry {first}, and the book ends with entry {last}")]
    Gap {
        /// The first number of the lines.
        first: u64,
        /// The last number of the book.
        last: u64,
    },
    /// No line at all.
    #[error("there is no entry in it")]
    Empty,
    /// The lines cannot be read.
    #[error("the lines cannot be read: {0}")]
    Read(io::Error),
    /// The book.
    #[error(transparent)]
    Book(#[from] BookError),
}

impl TransferError {
    /// What to do about it.
    pub fn remedy(&self) -> String {
        match self {
            TransferError::Lines { .. } => {
                "take the file as it was exported, unopened by other programs; or export it again \
                 from the book or another copy"
                    .into()
            }
            TransferError::Differs { .. } => {
                "both were written to after they were parted: keep both, go on with one, and enter \
                 what only the other has"
                    .into()
            }
            TransferError::Gap { .. } => "bring what is between first".into(),
            TransferError::Empty | TransferError::Read(_) => {
                "give the file that `fillstead book export` wrote".into()
            }
            TransferError::Book(error) => error.remedy(),
        }
    }
}

impl From<rusqlite::Error> for TransferError {
    fn from(error: rusqlite::Error) -> TransferError {
        TransferError::Book(error.into())
    }
}

/// Writes every entry from a number on as a line of JSON; tells how many.
///
/// # Errors
/// The book cannot be read, or the lines cannot be written.
pub fn export(book: &Book, from: u64, out: &mut impl Write) -> Result<u64, TransferError> {
    let mut count = 0;
    let mut failed = None;
    book.each_entry(from, |entry| {
        let line = line::write(&entry).map_err(io::Error::from);
        match line.and_then(|line| writeln!(out, "{line}")) {
            Ok(()) => count += 1,
            Err(error) => failed = Some(error),
        }
        failed.is_none()
    })?;
    match failed.map_or_else(|| out.flush().err(), Some) {
        None => Ok(count),
        Some(error) => Err(BookError::Written(error).into()),
    }
}

/// Makes a new book of lines; tells its seal. `holder` as in [`Pen::begin`].
///
/// # Errors
/// Any line that is not as it was written, something that is there already, a place that cannot be
/// written. Then there is no book.
pub fn restore(
    lines: impl BufRead,
    path: &Path,
    holder: &str,
) -> Result<(u64, Hash), TransferError> {
    let (_lock, making, mut conn) = making(path, holder)?;
    let tx = conn.transaction()?;
    let taken = take(lines, &tx, None)?;
    tx.commit()?;
    close_made(conn)?;
    making.publish()?;
    Ok(taken.head)
}

/// Adds the entries a book does not have yet from lines of the same history; tells how many were
/// added. The lines may begin anywhere up to the end of the book.
///
/// # Errors
/// As [`restore`]; or the lines are another history than the book's.
pub fn extend(pen: &mut Pen, lines: impl BufRead) -> Result<u64, TransferError> {
    let conn = pen.connection();
    let tx = conn.transaction_with_behavior(TransactionBehavior::Immediate)?;
    let last = append::last(&tx)?;
    let taken = take(lines, &tx, last)?;
    tx.commit()?;
    Ok(taken.added)
}

struct Taken {
    head: (u64, Hash),
    added: u64,
}

/// Reads all lines and writes what is new, until the first fault; then only reads on.
fn take(
    mut lines: impl BufRead,
    tx: &Transaction<'_>,
    last: Option<Entry>,
) -> Result<Taken, TransferError> {
    let mut faults = Faults::default();
    let mut reader = Reader::default();
    let own = last.as_ref().map_or(0, |entry| entry.seq);
    let mut head = last.map(|entry| (entry.seq, entry.hash));
    let mut added = 0;
    while let Some((number, read)) = reader.next(&mut lines)? {
        let entry = match read {
            Ok(entry) => entry,
            Err(what) => {
                faults.add(number, what);
                continue;
            }
        };
        if entry.seq <= own {
            same(tx, &entry)?;
            continue;
        }
        if faults.count > 0 {
            continue;
        }
        let (before, hash) = head.unwrap_or((0, Hash::NONE));
        if entry.seq != before + 1 {
            return Err(TransferError::Gap {
                first: entry.seq,
                last: before,
            });
        }
        if entry.prev != hash {
            return Err(TransferError::Differs { seq: before });
        }
        if let Some(what) = write(tx, &entry)? {
            faults.add(number, what);
            continue;
        }
        head = Some((entry.seq, entry.hash));
        added += 1;
    }
    faults.none()?;
    match head {
        Some(head) if reader.any => Ok(Taken { head, added }),
        _ => Err(TransferError::Empty),
    }
}

/// Whether the book has this very entry.
fn same(tx: &Transaction<'_>, entry: &Entry) -> Result<(), TransferError> {
    let differs = TransferError::Differs { seq: entry.seq };
    match query::entry(tx, entry.seq)? {
        Some(own) if own.hash == entry.hash => Ok(()),
        _ => Err(differs),
    }
}

/// Writes one entry and draws it; what stands against it, where something does.
fn write(tx: &Transaction<'_>, entry: &Entry) -> Result<Option<String>, BookError> {
    let body = entry.body();
    if let Ok(body @ Body::Correction(_)) = &body {
        match append::stands(tx, body) {
            Err(error @ (BookError::Correction(_) | BookError::Body(_))) => {
                return Ok(Some(error.to_string()));
            }
            other => other?,
        }
    }
    insert(tx, entry)?;
    project::add(tx, entry, body.as_ref().ok())?;
    Ok(None)
}

#[derive(Default)]
struct Faults {
    told: Vec<LineError>,
    count: u64,
}

impl Faults {
    fn add(&mut self, line: u64, what: String) {
        self.count += 1;
        if self.told.len() < TOLD {
            self.told.push(LineError { line, what });
        }
    }

    fn none(self) -> Result<(), TransferError> {
        match self.count {
            0 => Ok(()),
            count => Err(TransferError::Lines {
                told: self.told,
                count,
            }),
        }
    }
}

/// A line's number, and its entry or what is wrong with it.
type Read = (u64, Result<Entry, String>);

/// Reads entries from lines, each against the one before.
#[derive(Default)]
struct Reader {
    line: u64,
    any: bool,
    before: Option<(u64, Hash)>,
    buffer: Vec<u8>,
}

impl Reader {
    /// The next line that is not empty.
    fn next(&mut self, lines: &mut impl BufRead) -> Result<Option<Read>, TransferError> {
        loop {
            self.buffer.clear();
            let mut most = io::Read::take(&mut *lines, LONGEST as u64);
            let read = most.read_until(b'\n', &mut self.buffer);
            if read.map_err(TransferError::Read)? == 0 {
                return Ok(None);
            }
            self.line += 1;
            if self.buffer.trim_ascii().is_empty() {
                continue;
            }
            if self.buffer.len() == LONGEST {
                let what = format!("line {} is longer than {LONGEST} bytes", self.line);
                return Err(TransferError::Read(io::Error::other(what)));
            }
            self.any = true;
            let entry = std::str::from_utf8(self.buffer.trim_ascii())
                .map_err(|error| format!("it is not text: {error}"))
                .and_then(line::read)
                .and_then(|entry| self.follows(entry));
            return Ok(Some((self.line, entry)));
        }
    }

    fn follows(&mut self, entry: Entry) -> Result<Entry, String> {
        let before = self.before.replace((entry.seq, entry.hash));
        match before {
            Some((seq, _)) if entry.seq != seq + 1 => Err(format!(
                "entry {} stands behind entry {seq}: lines are missing or out of order",
                entry.seq
            )),
            Some((_, hash)) if entry.prev != hash => {
                Err(format!("{entry} does not follow the one before it"))
            }
            None if entry.seq == 1 && entry.prev != Hash::NONE => {
                Err(format!("{entry} is not the first of a book"))
            }
            _ => Ok(entry),
        }
    }
}
