//! Opening a book: to read it, or with the one pen to write in it.

use std::path::{Path, PathBuf};
use std::time::Duration;

use rusqlite::{Connection, ErrorCode, OpenFlags};

use crate::append::{Draft, Written};
use crate::error::BookError;
use crate::file::Making;
use crate::lock::{Lock, beside};
use crate::{append, file, guard, redraw, schema};

/// How long a statement waits for a lock of SQLite's own: a checkpoint, a viewer.
const PATIENCE: Duration = Duration::from_secs(5);

/// What the log is cut back to once a long reader has let it grow: bytes.
const LOG_KEPT: i64 = 16 << 20;

/// A book open for reading. Any number of processes may read while one writes.
#[derive(Debug)]
pub struct Book {
    pub(crate) conn: Connection,
    path: PathBuf,
}

/// The book open for writing: the only pen there is.
#[derive(Debug)]
pub struct Pen {
    book: Book,
    _lock: Lock,
}

impl Book {
    /// Opens a book to read it.
    ///
    /// # Errors
    /// No such file, not a book, an older or newer form, or a damaged file.
    pub fn open(path: &Path) -> Result<Book, BookError> {
        file::check(path)?;
        let book = Book {
            conn: connect_to_read(path)?,
            path: path.to_owned(),
        };
        book.check_form()?;
        Ok(book)
    }

    /// Where it is.
    pub fn path(&self) -> &Path {
        &self.path
    }

    fn check_form(&self) -> Result<(), BookError> {
        if !schema::is_book(&self.conn)? {
            return Err(match schema::form(&self.conn)? {
                0 => BookError::Unfinished(self.path.clone()),
                _ => BookError::NotABook(self.path.clone()),
            });
        }
        let (found, known) = (schema::form(&self.conn)?, schema::FORM);
        if found > known {
            return Err(BookError::Newer { found, known });
        }
        if found < known {
            return Err(BookError::Older { found, known });
        }
        if self.head()?.is_none() {
            return Err(BookError::Unfinished(self.path.clone()));
        }
        Ok(())
    }
}

impl Pen {
    /// Begins a book with its first entry, which tells whose it is. `holder` is what another
    /// process that wants to write is told meanwhile, such as `fillstead serve, process 4711`.
    ///
    /// # Errors
    /// Something is there already, or the place cannot be written.
    pub fn begin(path: &Path, holder: &str, first: &Draft) -> Result<Pen, BookError> {
        let (lock, making, mut conn) = making(path, holder)?;
        append::append(&mut conn, std::slice::from_ref(first))?;
        close_made(conn)?;
        making.publish()?;
        Pen::with_lock(path, lock)
    }

    /// Makes a whole book or none: `write` puts everything in while nobody knows the file, and only
    /// then is it put on the disk and given its name. For books made by a program in one go.
    ///
    /// # Errors
    /// As [`Pen::begin`], and whatever stopped `write`: then there is no book.
    pub fn make<T, E: From<BookError>>(
        path: &Path,
        holder: &str,
        first: &Draft,
        write: impl FnOnce(&mut Pen) -> Result<T, E>,
    ) -> Result<T, E> {
        let (lock, making, mut conn) = making(path, holder)?;
        append::append(&mut conn, std::slice::from_ref(first))?;
        let book = Book {
            conn,
            path: path.to_owned(),
        };
        let mut pen = Pen { book, _lock: lock };
        let told = write(&mut pen)?;
        close_made(pen.book.conn)?;
        making.publish()?;
        Ok(told)
    }

    /// Opens a book to write in it. An older form is brought up to date.
    ///
    /// # Errors
    /// As [`Book::open`]; another process writes; its guards or its end were tampered with.
    pub fn open(path: &Path, holder: &str) -> Result<Pen, BookError> {
        // Before the lock, so that no small file is left beside what is no book.
        file::damage(path)?;
        Pen::with_lock(path, Lock::take(path, holder)?)
    }

    fn with_lock(path: &Path, lock: Lock) -> Result<Pen, BookError> {
        file::check_alone(path)?;
        let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        let conn = Connection::open_with_flags(path, flags)?;
        let path = path.to_owned();
        let mut book = Book { conn, path };
        // Before anything is written: a strange file must stay as it is.
        match book.check_form() {
            Err(BookError::Older { .. }) => redraw::check(&book.conn)?,
            other => other?,
        }
        guard::check(&book.conn)?;
        set_to_write(&book.conn)?;
        empty_log(&book.conn)?;
        schema::migrate(&mut book.conn)?;
        append::check_head(&book.conn)?;
        Ok(Pen { book, _lock: lock })
    }

    /// The same book, to read.
    pub fn book(&self) -> &Book {
        &self.book
    }

    /// Adds an entry. It is on the disk when this returns.
    ///
    /// # Errors
    /// What stood against it; then nothing is written.
    pub fn append(&mut self, draft: &Draft) -> Result<Written, BookError> {
        let mut all = append::append(&mut self.book.conn, std::slice::from_ref(draft))?;
        all.pop()
            .ok_or_else(|| BookError::Altered("the entry just written is not there".into()))
    }

    /// Adds several entries: all of them, or none.
    ///
    /// # Errors
    /// As [`Pen::append`].
    pub fn append_all(&mut self, drafts: &[Draft]) -> Result<Vec<Written>, BookError> {
        append::append(&mut self.book.conn, drafts)
    }

    pub(crate) fn connection(&mut self) -> &mut Connection {
        &mut self.book.conn
    }

    /// Draws anew what is read from the ledger, on new pages where the old ones are damaged.
    ///
    /// # Errors
    /// The file cannot be read or written, or more than what is drawn is damaged: then its entries
    /// belong into a new file ([`export`](crate::export), [`restore`](crate::restore)).
    pub fn redraw(&mut self) -> Result<(), BookError> {
        redraw::redraw(&mut self.book.conn)
    }
}

/// The durability of the book: every acknowledged entry is on the disk.
fn set_to_write(conn: &Connection) -> Result<(), BookError> {
    conn.busy_timeout(PATIENCE)?;
    let mode: String =
        conn.pragma_update_and_check(None, "journal_mode", "wal", |row| row.get(0))?;
    if mode != "wal" {
        return Err(BookError::ReadOnly(format!(
            "its disk cannot keep a write-ahead log (it stays in mode {mode})"
        )));
    }
    conn.pragma_update(None, "synchronous", "full")?;
    conn.pragma_update(None, "journal_size_limit", LOG_KEPT)?;
    careful(conn)
}

/// Nothing in the file may make SQLite do more than read it.
fn careful(conn: &Connection) -> Result<(), BookError> {
    conn.pragma_update(None, "trusted_schema", false)?;
    conn.pragma_update(None, "cell_size_check", true)?;
    Ok(())
}

/// Copies what a killed writer left in the log into the file and begins the log anew, so that
/// nothing torn lies behind what is written next. Where a reader is in the way it stays.
fn empty_log(conn: &Connection) -> Result<(), BookError> {
    conn.busy_timeout(Duration::ZERO)?;
    let emptied = conn.query_row("PRAGMA wal_checkpoint(TRUNCATE)", [], |_| Ok(()));
    conn.busy_timeout(PATIENCE)?;
    match emptied.map_err(BookError::from) {
        Err(BookError::Locked) | Ok(()) => Ok(()),
        Err(other) => Err(other),
    }
}

/// Takes the lock of a book that is not there yet and makes its file, empty, under another name.
pub(crate) fn making(path: &Path, holder: &str) -> Result<(Lock, Making, Connection), BookError> {
    file::folder_of(path)?;
    if path.symlink_metadata().is_ok() {
        return Err(BookError::Exists(path.to_owned()));
    }
    // The lock's small file stays whatever happens: another process may be waiting on it.
    let lock = Lock::take(path, holder)?;
    let making = Making::of(path)?;
    let mut conn = connect_to_make(making.path())?;
    schema::migrate(&mut conn)?;
    Ok((lock, making, conn))
}

/// A file that nobody knows yet, made quickly: it is put on the disk before it gets its name.
pub(crate) fn connect_to_make(path: &Path) -> Result<Connection, BookError> {
    let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let conn = Connection::open_with_flags(path, flags)?;
    conn.pragma_update_and_check(None, "journal_mode", "memory", |_| Ok(()))?;
    conn.pragma_update(None, "synchronous", "off")?;
    careful(&conn)?;
    Ok(conn)
}

/// Closes such a file. It is in the mode of a book from the start: changing the mode later needs a
/// journal, and who only reads could not finish that for a writer killed meanwhile.
pub(crate) fn close_made(conn: Connection) -> Result<(), BookError> {
    conn.pragma_update_and_check(None, "journal_mode", "wal", |_| Ok(()))?;
    conn.close().map_err(|(_, error)| error.into())
}

pub(crate) fn connect_to_read(path: &Path) -> Result<Connection, BookError> {
    let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let conn = Connection::open_with_flags(path, flags)?;
    conn.busy_timeout(PATIENCE)?;
    let head: Result<i64, _> = conn.pragma_query_value(None, "schema_version", |row| row.get(0));
    if let Err(error) = head {
        let unwritable = matches!(
            error.sqlite_error_code(),
            Some(ErrorCode::CannotOpen | ErrorCode::ReadOnly)
        );
        let waiting = beside(path, "-wal")
            .metadata()
            .is_ok_and(|log| log.len() > 0);
        if !unwritable || waiting {
            return Err(error.into());
        }
        // A folder that may not be written, and nothing waiting beside the file: it is whole.
        return connect_unchanging(path);
    }
    careful(&conn)?;
    Ok(conn)
}

/// A file on a medium that cannot be written, or one that nobody else knows.
pub(crate) fn connect_unchanging(path: &Path) -> Result<Connection, BookError> {
    let mut name = String::from("file:");
    for byte in path.as_os_str().as_encoded_bytes() {
        match byte {
            b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' | b'-' | b'.' | b'_' => {
                name.push(char::from(*byte));
            }
            other => name.push_str(&format!("%{other:02x}")),
        }
    }
    let flags = OpenFlags::SQLITE_OPEN_READ_ONLY
        | OpenFlags::SQLITE_OPEN_NO_MUTEX
        | OpenFlags::SQLITE_OPEN_URI;
    let conn = Connection::open_with_flags(name + "?immutable=1", flags)?;
    careful(&conn)?;
    Ok(conn)
}

#[cfg(test)]
mod tests {
    use std::fs;

    use super::*;
    use crate::body::Note;
    use crate::entry::Moment;

    #[test]
    fn who_writes_waits_for_the_disk() {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../target/tmp");
        fs::create_dir_all(&path).unwrap();
        let path = path.join("who_writes_waits.book");
        for tail in ["", "-wal", "-shm", "-writer"] {
            let _ = fs::remove_file(beside(&path, tail));
        }
        let note = Note {
            text: "a".into(),
            cylinder: None,
        };
        let first = Draft {
            recorded: Moment(0),
            happened: Moment(0),
            zone: "UTC".into(),
            author: "MK".into(),
            body: note.into(),
        };
        for pen in [Pen::begin, |path: &Path, holder: &str, _: &Draft| {
            Pen::open(path, holder)
        }] {
            let pen = pen(&path, "a test", &first).unwrap();
            let conn = &pen.book().conn;
            let number = |name| -> i64 {
                conn.pragma_query_value(None, name, |row| row.get(0))
                    .unwrap()
            };
            // SQLite documentation, "PRAGMA synchronous": 2 is FULL.
            assert_eq!(number("synchronous"), 2);
            assert_eq!(number("trusted_schema"), 0);
            assert_eq!(number("journal_size_limit"), LOG_KEPT);
            let mode: String = conn
                .pragma_query_value(None, "journal_mode", |row| row.get(0))
                .unwrap();
            assert_eq!(mode, "wal");
        }
    }
}
