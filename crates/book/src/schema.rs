//! The form of the file: numbered migrations, never edited, and bringing a book up to date.

use rusqlite::{Connection, TransactionBehavior};

use crate::error::BookError;
use crate::project;

/// Every migration in order; the form of a file is how many of them it has had.
const MIGRATIONS: [&str; 2] = [
    include_str!("migrations/0001_ledger.sql"),
    include_str!("migrations/0002_events.sql"),
];

/// The form this program reads and writes.
pub(crate) const FORM: i64 = MIGRATIONS.len() as i64;

/// What stands in the file's header so that it is known as a book: `FSbk`.
pub(crate) const APPLICATION: i64 = 0x4653_626b;

/// The form of a file.
pub(crate) fn form(conn: &Connection) -> Result<i64, BookError> {
    Ok(conn.pragma_query_value(None, "user_version", |row| row.get(0))?)
}

/// Whether the file says that it is a book.
pub(crate) fn is_book(conn: &Connection) -> Result<bool, BookError> {
    let id: i64 = conn.pragma_query_value(None, "application_id", |row| row.get(0))?;
    Ok(id == APPLICATION)
}

/// Brings a file to the form of this program, in one piece or not at all. What is drawn from the
/// ledger is drawn anew.
pub(crate) fn migrate(conn: &mut Connection) -> Result<(), BookError> {
    migrate_to(conn, FORM)
}

/// The same up to an earlier form: for tests of books that earlier programs made.
pub(crate) fn migrate_to(conn: &mut Connection, form_wanted: i64) -> Result<(), BookError> {
    let found = form(conn)?;
    if found > FORM {
        return Err(BookError::Newer { found, known: FORM });
    }
    if found >= form_wanted {
        return Ok(());
    }
    let tx = conn.transaction_with_behavior(TransactionBehavior::Immediate)?;
    for migration in (found..form_wanted).filter_map(|n| MIGRATIONS.get(usize::try_from(n).ok()?)) {
        tx.execute_batch(migration)?;
    }
    tx.pragma_update(None, "user_version", form_wanted)?;
    tx.pragma_update(None, "application_id", APPLICATION)?;
    if form_wanted == FORM {
        project::rebuild(&tx)?;
    }
    Ok(tx.commit()?)
}

/// Name and text of every table, index and trigger a book of some form must have.
pub(crate) fn expected(form: i64) -> Result<Vec<(String, String)>, BookError> {
    let mut fresh = Connection::open_in_memory()?;
    migrate_to(&mut fresh, form)?;
    objects(&fresh)
}

/// Name and text of every table, index and trigger a file has, but those of SQLite itself.
pub(crate) fn objects(conn: &Connection) -> Result<Vec<(String, String)>, BookError> {
    let mut statement = conn.prepare(
        "SELECT name, coalesce(sql, '') FROM sqlite_schema WHERE name NOT LIKE 'sqlite_%' ORDER BY name",
    )?;
    let rows = statement.query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?;
    Ok(rows.collect::<Result<_, _>>()?)
}
