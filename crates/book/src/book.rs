//! Opening a book: to read it, or with the one pen to write in it.

use std::fs::{self, File};
use std::io::{self, Read};
use std::path::{Path, PathBuf};
use std::time::Duration;

use rusqlite::{Connection, OpenFlags};

use crate::append::{Draft, Written};
use crate::error::BookError;
use crate::lock::{Lock, beside};
use crate::{append, guard, project, schema, wal};

/// How long a statement waits for a lock of SQLite's own: a checkpoint, a viewer.
const PATIENCE: Duration = Duration::from_secs(5);

/// What every SQLite file begins with.
const MAGIC: &[u8] = b"SQLite format 3\0";

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
        is_book_file(path)?;
        wal::check(path)?;
        let book = Book {
            conn: connect_to_read(path)?,
            path: path.to_owned(),
        };
        book.check_form()?;
        Ok(book)
    }

    /// Opens whatever is there, damaged or old: for looking at it, never for going on with it.
    pub(crate) fn open_as_it_is(path: &Path) -> Result<Book, BookError> {
        is_book_file(path)?;
        Ok(Book {
            conn: connect_to_read(path)?,
            path: path.to_owned(),
        })
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
        if path.symlink_metadata().is_ok() {
            return Err(BookError::Exists(path.to_owned()));
        }
        folder_of(path)?;
        let lock = Lock::take(path, holder)?;
        let pen = Pen::make(path, lock, first);
        if pen.is_err() {
            // Nothing of worth is in it yet, and it was not there before.
            for tail in ["", "-wal", "-shm", "-writer"] {
                let _ = fs::remove_file(beside(path, tail));
            }
        }
        pen
    }

    fn make(path: &Path, lock: Lock, first: &Draft) -> Result<Pen, BookError> {
        let flags = OpenFlags::SQLITE_OPEN_READ_WRITE
            | OpenFlags::SQLITE_OPEN_CREATE
            | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        let mut conn = Connection::open_with_flags(path, flags)?;
        set_to_write(&conn)?;
        schema::migrate(&mut conn)?;
        append::append(&mut conn, std::slice::from_ref(first))?;
        let folder = folder_of(path)?;
        // The name itself must survive a power cut, not only what is in the file.
        let synced = File::open(&folder).and_then(|folder| folder.sync_all());
        synced.map_err(|error| BookError::Io {
            path: folder,
            error,
        })?;
        let path = path.to_owned();
        let book = Book { conn, path };
        Ok(Pen { book, _lock: lock })
    }

    /// Opens a book to write in it. An older form is brought up to date.
    ///
    /// # Errors
    /// As [`Book::open`]; another process writes; its guards or its end were tampered with.
    pub fn open(path: &Path, holder: &str) -> Result<Pen, BookError> {
        is_book_file(path)?;
        let lock = Lock::take(path, holder)?;
        wal::check(path)?;
        let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        let conn = Connection::open_with_flags(path, flags)?;
        let path = path.to_owned();
        let mut book = Book { conn, path };
        // Before anything is written: a strange file must stay as it is.
        match book.check_form() {
            Err(BookError::Older { .. }) => {}
            other => other?,
        }
        guard::check(&book.conn)?;
        set_to_write(&book.conn)?;
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

    /// Draws anew what is read from the ledger.
    ///
    /// # Errors
    /// The file cannot be read or written.
    pub fn redraw(&mut self) -> Result<(), BookError> {
        let tx = self.book.conn.transaction()?;
        project::rebuild(&tx)?;
        Ok(tx.commit()?)
    }
}

/// The durability of the book: every acknowledged entry is on the disk.
fn set_to_write(conn: &Connection) -> Result<(), BookError> {
    conn.busy_timeout(PATIENCE)?;
    conn.pragma_update(None, "journal_mode", "wal")?;
    conn.pragma_update(None, "synchronous", "full")?;
    conn.pragma_update(None, "trusted_schema", false)?;
    conn.pragma_update(None, "cell_size_check", true)?;
    Ok(())
}

fn connect_to_read(path: &Path) -> Result<Connection, BookError> {
    let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let conn = Connection::open_with_flags(path, flags)?;
    conn.busy_timeout(PATIENCE)?;
    let head: Result<i64, _> = conn.pragma_query_value(None, "schema_version", |row| row.get(0));
    if let Err(error) = head {
        let unwritable = error.sqlite_error_code() == Some(rusqlite::ErrorCode::CannotOpen);
        if !unwritable || beside(path, "-wal").exists() {
            return Err(error.into());
        }
        // A folder that may not be written, and nothing waiting beside the file: it is whole.
        return Ok(connect_unchanging(path)?);
    }
    conn.pragma_update(None, "trusted_schema", false)?;
    conn.pragma_update(None, "cell_size_check", true)?;
    Ok(conn)
}

/// A file on a medium that cannot be written.
fn connect_unchanging(path: &Path) -> Result<Connection, rusqlite::Error> {
    let escaped = path
        .to_string_lossy()
        .replace('%', "%25")
        .replace('?', "%3f")
        .replace('#', "%23");
    let flags = OpenFlags::SQLITE_OPEN_READ_ONLY
        | OpenFlags::SQLITE_OPEN_NO_MUTEX
        | OpenFlags::SQLITE_OPEN_URI;
    Connection::open_with_flags(format!("file:{escaped}?immutable=1"), flags)
}

/// Whether there is a file that looks like a book, told before SQLite touches it.
fn is_book_file(path: &Path) -> Result<(), BookError> {
    let io = |error: io::Error| match error.kind() {
        io::ErrorKind::NotFound => BookError::Missing(path.to_owned()),
        io::ErrorKind::PermissionDenied => BookError::ReadOnly(error.to_string()),
        _ => BookError::Io {
            path: path.to_owned(),
            error,
        },
    };
    let mut file = File::open(path).map_err(io)?;
    let about = file.metadata().map_err(io)?;
    if !about.is_file() {
        return Err(BookError::NotABook(path.to_owned()));
    }
    if about.len() == 0 {
        return Err(BookError::Unfinished(path.to_owned()));
    }
    let mut header = [0; 100];
    let read = file.read(&mut header).map_err(io)?;
    if read < MAGIC.len() || !header.starts_with(MAGIC) {
        return Err(BookError::NotABook(path.to_owned()));
    }
    match cut_short(&header, about.len()) {
        Some(text) => Err(BookError::Damaged(text)),
        None => Ok(()),
    }
}

/// Whether a file is shorter than its header says (SQLite file format, 1.3: page size at 16, pages
/// at 28, which counts where the numbers at 24 and 92 agree).
fn cut_short(header: &[u8; 100], length: u64) -> Option<String> {
    let word = |at: usize| {
        let bytes = header.get(at..at + 4).and_then(|b| b.try_into().ok());
        u64::from(u32::from_be_bytes(bytes.unwrap_or_default()))
    };
    let page = match u64::from(u16::from_be_bytes([header[16], header[17]])) {
        1 => 65_536,
        other => other,
    };
    let whole = page * word(28);
    (length < 100 || (word(24) == word(92) && length < whole))
        .then(|| format!("it was cut short: {length} bytes are there of {whole}"))
}

/// The folder a book is in.
fn folder_of(path: &Path) -> Result<PathBuf, BookError> {
    let folder = match path.parent() {
        Some(folder) if folder != Path::new("") => folder.to_owned(),
        _ => PathBuf::from("."),
    };
    match folder.is_dir() {
        true => Ok(folder),
        false => Err(BookError::Io {
            path: folder,
            error: io::Error::new(io::ErrorKind::NotFound, "the folder is not there"),
        }),
    }
}
