//! Adding entries: numbered, chained, drawn into what is read, on the disk before it is said so.

use std::time::Duration;

use rusqlite::{Connection, OptionalExtension, Row, Transaction, TransactionBehavior, params};

use crate::body::{Body, BodyError, Packed};
use crate::entry::{Entry, Moment};
use crate::error::BookError;
use crate::hash::Hash;
use crate::{project, query};

/// An entry before it is written.
#[derive(Clone, Debug, PartialEq)]
pub struct Draft {
    /// By the machine's clock, now.
    pub recorded: Moment,
    /// When it happened; now, where its author does not say otherwise.
    pub happened: Moment,
    /// The station's time zone.
    pub zone: String,
    /// Who makes it.
    pub author: String,
    /// What it says.
    pub body: Body,
}

/// An entry that is in the book.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Written {
    /// Its number.
    pub seq: u64,
    /// Its hash: with the number, the seal of the book up to here.
    pub hash: Hash,
    /// How far the clock stood behind the entry before, where it went backwards.
    pub clock_behind: Option<Duration>,
}

/// Columns of an entry in the order [`entry_of`] reads them.
pub(crate) const COLUMNS: &str =
    "seq, recorded, happened, zone, author, kind, version, body, prev, hash";

/// An entry from a row of [`COLUMNS`].
pub(crate) fn entry_of(row: &Row<'_>) -> rusqlite::Result<Entry> {
    Ok(Entry {
        seq: row.get(0)?,
        recorded: Moment(row.get(1)?),
        happened: Moment(row.get(2)?),
        zone: row.get(3)?,
        author: row.get(4)?,
        kind: row.get(5)?,
        version: row.get(6)?,
        text: row.get(7)?,
        prev: Hash(row.get(8)?),
        hash: Hash(row.get(9)?),
    })
}

/// The last entry; none in a book just made.
pub(crate) fn last(conn: &Connection) -> Result<Option<Entry>, BookError> {
    let mut statement = conn.prepare_cached(
        "SELECT seq, recorded, happened, zone, author, kind, version, body, prev, hash
         FROM entry ORDER BY seq DESC LIMIT 1",
    )?;
    Ok(statement.query_row([], entry_of).optional()?)
}

/// Whether the end of the chain is what it was: its hash holds and nothing was cut off.
pub(crate) fn check_head(conn: &Connection) -> Result<(), BookError> {
    let Some(last) = last(conn)? else {
        return Ok(());
    };
    if last.computed_hash() != last.hash {
        return Err(BookError::Altered(format!(
            "{last} is not what was written"
        )));
    }
    let highest = highest_ever(conn)?;
    if highest != last.seq {
        return Err(BookError::Altered(format!(
            "entries up to {highest} were written, and the last one there is {}",
            last.seq
        )));
    }
    Ok(())
}

/// The highest number ever given.
pub(crate) fn highest_ever(conn: &Connection) -> Result<u64, BookError> {
    let mut statement =
        conn.prepare_cached("SELECT seq FROM sqlite_sequence WHERE name = 'entry'")?;
    Ok(statement
        .query_row([], |row| row.get(0))
        .optional()?
        .unwrap_or(0))
}

/// Writes all drafts or none, in one durable transaction.
pub(crate) fn append(conn: &mut Connection, drafts: &[Draft]) -> Result<Vec<Written>, BookError> {
    let texts: Vec<String> = drafts.iter().map(checked).collect::<Result<_, _>>()?;
    let tx = conn.transaction_with_behavior(TransactionBehavior::Immediate)?;
    let mut before = last(&tx)?;
    let mut written = Vec::with_capacity(drafts.len());
    for (draft, text) in drafts.iter().zip(texts) {
        let entry = sealed(draft, text, before.as_ref());
        stands(&tx, &draft.body)?;
        insert(&tx, &entry)?;
        project::add(&tx, &entry, Some(&draft.body))?;
        let behind = before.map_or(0, |before| before.recorded.0 - entry.recorded.0);
        written.push(Written {
            seq: entry.seq,
            hash: entry.hash,
            clock_behind: u64::try_from(behind)
                .ok()
                .filter(|&behind| behind > 0)
                .map(Duration::from_micros),
        });
        before = Some(entry);
    }
    tx.commit()?;
    Ok(written)
}

/// The body as text, once it is sure to read back as it is.
fn checked(draft: &Draft) -> Result<String, BodyError> {
    let text = draft.body.json()?;
    let kind = draft.body.kind();
    match Body::read(kind.name(), kind.version(), &text)? == draft.body {
        true => Ok(text),
        false => Err(BodyError::Damaged(
            "it does not read back as written".into(),
        )),
    }
}

/// The entry with its number, its place in the chain and its hash.
fn sealed(draft: &Draft, text: String, before: Option<&Entry>) -> Entry {
    let kind = draft.body.kind();
    let mut entry = Entry {
        seq: before.map_or(0, |before| before.seq) + 1,
        recorded: draft.recorded,
        happened: draft.happened,
        zone: draft.zone.clone(),
        author: draft.author.clone(),
        kind: kind.name().to_owned(),
        version: kind.version(),
        text,
        prev: before.map_or(Hash::NONE, |before| before.hash),
        hash: Hash::NONE,
    };
    entry.hash = entry.computed_hash();
    entry
}

/// A correction names an entry that can be corrected, with a body of its own kind.
pub(crate) fn stands(tx: &Transaction<'_>, body: &Body) -> Result<(), BookError> {
    let Body::Correction(correction) = body else {
        return Ok(());
    };
    let Some(entry) = query::entry(tx, correction.of)? else {
        let what = format!("there is no entry {}", correction.of);
        return Err(BookError::Correction(what));
    };
    if entry.kind == "correction" {
        let what = format!("{entry} is a correction itself: correct the entry it names");
        return Err(BookError::Correction(what));
    }
    let Some(becomes) = &correction.becomes else {
        return Ok(());
    };
    becomes.entry.unpack()?;
    let Packed { kind, .. } = &becomes.entry;
    if *kind != entry.kind {
        let what = format!("{entry} cannot become another kind of entry, {kind}");
        return Err(BookError::Correction(what));
    }
    Ok(())
}

/// One row, as it is.
pub(crate) fn insert(tx: &Transaction<'_>, entry: &Entry) -> Result<(), BookError> {
    let mut statement = tx.prepare_cached(
        "INSERT INTO entry (seq, recorded, happened, zone, author, kind, version, body, prev, hash)
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10)",
    )?;
    statement.execute(params![
        entry.seq,
        entry.recorded.0,
        entry.happened.0,
        entry.zone,
        entry.author,
        entry.kind,
        entry.version,
        entry.text,
        entry.prev.0,
        entry.hash.0,
    ])?;
    Ok(())
}
