//! The form of the file: numbered migrations, never edited, and bringing a book up to date.

use rusqlite::{Connection, TransactionBehavior};

use crate::error::BookError;
use crate::project;

/// Every migration in order; the form of a file is how many of them it has had.
const MIGRATIONS: [&str; 2] = [include_str!("migrations/0001_ledger.sql"), DRAWN];

/// The tables that are drawn from the ledger, as they are today.
pub(crate) const DRAWN: &str = include_str!("migrations/0002_events.sql");

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

/// Name and text of everything a book of some form must have.
pub(crate) fn expected(form: i64) -> Result<Vec<(String, String)>, BookError> {
    let mut fresh = Connection::open_in_memory()?;
    migrate_to(&mut fresh, form)?;
    objects(&fresh)
}

/// Name and text of everything a file has, but what SQLite itself notes to plan its searches.
pub(crate) fn objects(conn: &Connection) -> Result<Vec<(String, String)>, BookError> {
    let mut statement = conn.prepare(
        "SELECT name, type || ' on ' || tbl_name || ': ' || coalesce(sql, '') FROM sqlite_schema
         WHERE NOT (type = 'table' AND name IN ('sqlite_stat1', 'sqlite_stat4')) ORDER BY name",
    )?;
    let rows = statement.query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?;
    Ok(rows.collect::<Result<_, _>>()?)
}

#[cfg(test)]
mod tests {
    use std::fs;
    use std::path::{Path, PathBuf};

    use super::*;
    use crate::append;
    use crate::body::{Body, Note};
    use crate::entry::{Entry, Moment};
    use crate::hash::Hash;
    use crate::{Book, BookError, Pen, Wanted, verify};

    /// A book of an earlier form with three notes in it, made by its own migrations.
    fn of_form(form: i64, name: &str) -> (PathBuf, Vec<Entry>) {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../target/tmp");
        fs::create_dir_all(&folder).unwrap();
        let path = folder.join(name);
        for tail in ["", "-wal", "-shm", "-writer"] {
            let _ = fs::remove_file(crate::lock::beside(&path, tail));
        }
        let mut conn = Connection::open(&path).unwrap();
        migrate_to(&mut conn, form).unwrap();
        let tx = conn.transaction().unwrap();
        let mut entries: Vec<Entry> = Vec::new();
        for seq in 1..=3 {
            let body: Body = Note {
                text: format!("note {seq}"),
                cylinder: Some("A1".into()),
            }
            .into();
            let mut entry = Entry {
                seq,
                recorded: Moment(1_779_264_000_000_000),
                happened: Moment(1_779_264_000_000_000),
                zone: "Europe/Dublin".into(),
                author: "MK".into(),
                kind: "note".into(),
                version: 1,
                text: body.json().unwrap(),
                prev: entries.last().map_or(Hash::NONE, |entry| entry.hash),
                hash: Hash::NONE,
            };
            entry.hash = entry.computed_hash();
            append::insert(&tx, &entry).unwrap();
            entries.push(entry);
        }
        tx.commit().unwrap();
        (path, entries)
    }

    #[test]
    fn every_earlier_form_is_brought_up_to_date_and_its_entries_stay() {
        for form in 1..FORM {
            let (path, entries) = of_form(form, "of_an_earlier_form.book");
            let refused = Book::open(&path).unwrap_err();
            assert!(matches!(refused, BookError::Older { .. }), "{refused}");
            let report = verify(&path, None, &mut |_| {}).unwrap();
            assert!(report.is_whole(), "{:?}", report.problems);
            assert!(report.notes.iter().any(|note| note.contains("older form")));
            let pen = Pen::open(&path, "a test").unwrap();
            let mut stayed = Vec::new();
            pen.book()
                .each_entry(1, |entry| {
                    stayed.push(entry);
                    true
                })
                .unwrap();
            assert_eq!(stayed, entries);
            assert_eq!(pen.book().events(&Wanted::default()).unwrap().len(), 3);
            drop(pen);
            let report = verify(&path, None, &mut |_| {}).unwrap();
            assert!(report.is_whole() && report.notes.is_empty(), "{report:?}");
        }
    }

    #[test]
    fn a_later_form_is_left_as_it_is() {
        let (path, _) = of_form(FORM, "of_a_later_form.book");
        let conn = Connection::open(&path).unwrap();
        conn.pragma_update(None, "user_version", FORM + 1).unwrap();
        drop(conn);
        let before = fs::read(&path).unwrap();
        let newer = |error: BookError| matches!(error, BookError::Newer { .. });
        assert!(newer(Book::open(&path).unwrap_err()));
        assert!(newer(Pen::open(&path, "a test").unwrap_err()));
        assert!(newer(verify(&path, None, &mut |_| {}).unwrap_err()));
        assert_eq!(fs::read(&path).unwrap(), before);
    }
}
