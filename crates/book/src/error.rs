//! What can go wrong with a book, each with what to do about it.

use std::io;
use std::path::{Path, PathBuf};

use thiserror::Error;

use crate::body::BodyError;

/// Why the book did not do what was asked. The message is the cause; [`BookError::remedy`] is what
/// to do.
#[derive(Debug, Error)]
pub enum BookError {
    /// No such file.
    #[error("there is no book {}", .0.display())]
    Missing(PathBuf),
    /// Something is there already.
    #[error("{} is there already and is left as it is", .0.display())]
    Exists(PathBuf),
    /// Not a book.
    #[error("{} is not a book", .0.display())]
    NotABook(PathBuf),
    /// Begun and never finished: power went before the first entry was on the disk.
    #[error("{} was begun but holds no entry", .0.display())]
    Unfinished(PathBuf),
    /// Written by a later program.
    #[error("the book has form {found}, and this program knows forms up to {known}")]
    Newer {
        /// The book's.
        found: i64,
        /// The program's.
        known: i64,
    },
    /// Made by an earlier program and not yet brought up to date.
    #[error("the book has the older form {found}; this program reads form {known}")]
    Older {
        /// The book's.
        found: i64,
        /// The program's.
        known: i64,
    },
    /// Another process writes.
    #[error("the book is open for writing already: {holder}")]
    Busy {
        /// What the other process wrote down about itself.
        holder: String,
    },
    /// The disk is full.
    #[error("the disk is full: nothing was written, and the entry is not in the book")]
    DiskFull,
    /// The folder or the file may not be written.
    #[error("the book may not be written: {0}")]
    ReadOnly(String),
    /// The file may not even be read.
    #[error("{} may not be read", .0.display())]
    Unreadable(PathBuf),
    /// The disk did not do as it was told; whether the entry reached it is not known.
    #[error("the disk did not take it: {0}")]
    Disk(String),
    /// Another program holds the file's lock.
    #[error("another program keeps the book's file locked")]
    Locked,
    /// The file is damaged.
    #[error("the book's file is damaged: {0}")]
    Damaged(String),
    /// A guard is missing or changed.
    #[error("the book's guards were tampered with: {0}")]
    Guard(String),
    /// The chain does not hold.
    #[error("the book was altered: {0}")]
    Altered(String),
    /// A body that cannot be kept.
    #[error("the entry cannot be kept: {0}")]
    Body(#[from] BodyError),
    /// A correction that corrects nothing.
    #[error("{0}")]
    Correction(String),
    /// The disk or the system.
    #[error("{}: {error}", path.display())]
    Io {
        /// Which file.
        path: PathBuf,
        /// What the system said.
        error: io::Error,
    },
    /// What was to be written elsewhere, such as lines of an export, could not be.
    #[error("it could not be written out: {0}")]
    Written(io::Error),
    /// Anything else SQLite says.
    #[error("the book's file could not be used: {0}")]
    Sql(rusqlite::Error),
}

const RESTORE: &str = "keep this file as it is, run `fillstead book verify` on it to see the first \
                       bad entry, and go on with the last good backup; `fillstead book export` saves \
                       what still reads";

impl BookError {
    /// What to do about it.
    pub fn remedy(&self) -> String {
        match self {
            BookError::Missing(path) => format!(
                "check the name, or begin one with `fillstead book begin {}`",
                path.display()
            ),
            BookError::Exists(_) => "choose another name, or move the old file away first".into(),
            BookError::NotABook(_) => {
                "give the book's own file; a list of cylinders comes in with `fillstead book import`"
                    .into()
            }
            BookError::Unfinished(path) => format!(
                "nothing was recorded in it: move it away and begin anew with `fillstead book begin \
                 {}`",
                path.display()
            ),
            BookError::Newer { .. } => {
                "use the Fillstead that wrote it, or a later one; nothing was changed".into()
            }
            BookError::Older { .. } => {
                "open it once for writing: `fillstead book verify --upgrade` brings it up to date; its \
                 entries stay as they are"
                    .into()
            }
            BookError::Busy { .. } => {
                "enter it there, or end that program first; reading is possible meanwhile".into()
            }
            BookError::DiskFull => {
                "free a few megabytes on that disk, then enter it again; nothing already in the book \
                 has changed"
                    .into()
            }
            BookError::ReadOnly(_) => {
                "ask the folder's owner for leave to write, or copy the book to a folder of your own; \
                 it can be read as it is"
                    .into()
            }
            BookError::Unreadable(_) => "ask its owner for leave to read it".into(),
            BookError::Disk(_) => {
                "check the disk, its free space and its limits; then look at the last entry before \
                 entering it again"
                    .into()
            }
            BookError::Locked => {
                "close the other program (a database viewer, a backup or a synchronising folder), \
                 then try again"
                    .into()
            }
            BookError::Damaged(_) | BookError::Altered(_) | BookError::Guard(_) => RESTORE.into(),
            BookError::Body(_) => "check its figures and enter it again".into(),
            BookError::Correction(_) => {
                "give the number of the entry itself, as `fillstead book list` shows it".into()
            }
            BookError::Written(_) => "check where it goes, and its free space".into(),
            BookError::Io { .. } => "check the disk and the folder, then try again".into(),
            BookError::Sql(_) => {
                "run `fillstead book verify`; nothing was written by this command".into()
            }
        }
    }
}

impl BookError {
    /// What the system said of a file that was to be written.
    pub(crate) fn of_io(path: &Path, error: io::Error) -> BookError {
        match error.kind() {
            io::ErrorKind::PermissionDenied | io::ErrorKind::ReadOnlyFilesystem => {
                BookError::ReadOnly(format!("{}: {error}", path.display()))
            }
            io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => BookError::DiskFull,
            io::ErrorKind::AlreadyExists => BookError::Exists(path.to_owned()),
            _ => BookError::Io {
                path: path.to_owned(),
                error,
            },
        }
    }
}

impl From<rusqlite::Error> for BookError {
    fn from(error: rusqlite::Error) -> BookError {
        use rusqlite::ErrorCode as Code;
        let text = error.to_string();
        match error.sqlite_error_code() {
            Some(Code::DiskFull) => BookError::DiskFull,
            Some(Code::ReadOnly | Code::PermissionDenied | Code::CannotOpen) => {
                BookError::ReadOnly(text)
            }
            Some(Code::SystemIoFailure) => BookError::Disk(text),
            Some(Code::DatabaseBusy | Code::DatabaseLocked) => BookError::Locked,
            Some(Code::DatabaseCorrupt | Code::NotADatabase) => BookError::Damaged(text),
            Some(Code::ConstraintViolation) if text.contains("append-only") => {
                BookError::Altered(text)
            }
            _ => BookError::Sql(error),
        }
    }
}
