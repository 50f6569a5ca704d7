//! What is drawn from the ledger to be read quickly: one event for each entry, and whom it is about.
//!
//! Drawn entry by entry as they are written, in the same transaction, and drawn anew from the whole
//! ledger by [`rebuild`]; both give the same rows. An entry that this program cannot read is kept
//! as an event about nobody.

use rusqlite::{Statement, Transaction, params};

use crate::append::{COLUMNS, entry_of};
use crate::body::{Body, Correction};
use crate::entry::{Entry, Moment};
use crate::error::BookError;
use crate::query::{self, Event};

/// Draws one entry; `body` where this program can read it.
pub(crate) fn add(
    tx: &Transaction<'_>,
    entry: &Entry,
    body: Option<&Body>,
) -> Result<(), BookError> {
    if let Some(Body::Correction(correction)) = body {
        return correct(tx, entry, correction);
    }
    let mut statement = tx.prepare_cached(
        "INSERT INTO event (seq, carrier, happened, kind, withdrawn) VALUES (?1, ?1, ?2, ?3, 0)",
    )?;
    statement.execute(params![entry.seq, entry.happened.0, entry.kind])?;
    match body {
        Some(body) => tell(tx, entry.seq, entry.happened, body),
        None => Ok(()),
    }
}

/// Whom and what an event is about.
fn tell(tx: &Transaction<'_>, seq: u64, happened: Moment, body: &Body) -> Result<(), BookError> {
    let mut statement = tx.prepare_cached(
        "INSERT OR IGNORE INTO about (subject, name, happened, seq) VALUES (?1, ?2, ?3, ?4)",
    )?;
    each_subject(&mut statement, seq, happened, body)
}

/// Takes that back.
fn untell(tx: &Transaction<'_>, seq: u64, happened: Moment, body: &Body) -> Result<(), BookError> {
    let mut statement = tx.prepare_cached(
        "DELETE FROM about WHERE subject = ?1 AND name = ?2 AND happened = ?3 AND seq = ?4",
    )?;
    each_subject(&mut statement, seq, happened, body)
}

fn each_subject(
    statement: &mut Statement<'_>,
    seq: u64,
    happened: Moment,
    body: &Body,
) -> Result<(), BookError> {
    for subject in body.subjects() {
        let (kind, name) = subject.key();
        statement.execute(params![kind, name, happened.0, seq])?;
    }
    Ok(())
}

/// Puts the event of an earlier entry right, or marks it as withdrawn: the last correction counts.
/// A correction of nothing, as only a foreign program can write one, changes nothing.
fn correct(tx: &Transaction<'_>, entry: &Entry, correction: &Correction) -> Result<(), BookError> {
    let Some(was) = query::event(tx, correction.of)? else {
        return Ok(());
    };
    if let Ok(body) = &was.body {
        untell(tx, was.seq, was.happened, body)?;
    }
    let becomes = correction.becomes.as_ref();
    let happened = becomes.and_then(|becomes| becomes.happened);
    tx.prepare_cached(
        "UPDATE event SET carrier = ?2, withdrawn = ?3, happened = coalesce(?4, happened)
         WHERE seq = ?1",
    )?
    .execute(params![was.seq, entry.seq, becomes.is_none(), happened])?;
    match query::event(tx, was.seq)? {
        Some(Event {
            seq,
            happened,
            body: Ok(body),
            ..
        }) => tell(tx, seq, happened, &body),
        _ => Ok(()),
    }
}

/// Draws everything anew from the ledger.
pub(crate) fn rebuild(tx: &Transaction<'_>) -> Result<(), BookError> {
    tx.execute_batch("DELETE FROM event; DELETE FROM about;")?;
    let mut statement = tx.prepare(&format!("SELECT {COLUMNS} FROM entry ORDER BY seq"))?;
    let mut rows = statement.query([])?;
    while let Some(row) = rows.next()? {
        let entry = entry_of(row)?;
        add(tx, &entry, entry.body().ok().as_ref())?;
    }
    Ok(())
}
