//! One writer: a lock on a small file beside the book, with a line about who holds it.
//!
//! The system frees the lock when its holder ends, however it ends; the file may stay.

use std::ffi::OsString;
use std::fs::{File, OpenOptions, TryLockError};
use std::io::{Read, Seek, Write};
use std::path::{Path, PathBuf};
use std::time::Duration;

use crate::error::BookError;

/// A short command waits so long for another to end.
const PATIENCE: Duration = Duration::from_millis(1500);
const PAUSE: Duration = Duration::from_millis(25);
/// No line about a holder is longer.
const MOST: u64 = 400;

/// The right to write, while it lives.
#[derive(Debug)]
pub(crate) struct Lock {
    _file: File,
}

impl Lock {
    /// Takes the lock of this book; `holder` is what another process is told meanwhile.
    pub fn take(book: &Path, holder: &str) -> Result<Lock, BookError> {
        let path = beside(book, "-writer");
        let file = OpenOptions::new()
            .read(true)
            .write(true)
            .create(true)
            .truncate(false)
            .open(&path);
        let mut file = file.map_err(|error| BookError::of_io(&path, error))?;
        let mut waited = Duration::ZERO;
        loop {
            match file.try_lock() {
                Ok(()) => break,
                Err(TryLockError::Error(error)) => return Err(BookError::of_io(&path, error)),
                Err(TryLockError::WouldBlock) if waited < PATIENCE => {
                    std::thread::sleep(PAUSE);
                    waited += PAUSE;
                }
                Err(TryLockError::WouldBlock) => {
                    return Err(BookError::Busy {
                        holder: told(&mut file),
                    });
                }
            }
        }
        // The line is a courtesy: where it cannot be written the lock still holds.
        let _ = file
            .set_len(0)
            .and_then(|()| file.rewind())
            .and_then(|()| file.write_all(holder.as_bytes()));
        Ok(Lock { _file: file })
    }
}

/// Whether somebody writes just now.
pub(crate) fn held(book: &Path) -> bool {
    File::open(beside(book, "-writer"))
        .is_ok_and(|file| matches!(file.try_lock_shared(), Err(TryLockError::WouldBlock)))
}

/// What the holder says of itself.
fn told(file: &mut File) -> String {
    let mut text = String::new();
    let read = file
        .rewind()
        .and_then(|()| file.take(MOST).read_to_string(&mut text));
    match (read, text.trim()) {
        (Err(_), _) | (_, "") => "by another process".to_owned(),
        (Ok(_), text) => text.to_owned(),
    }
}

/// The path with this after it: `club.book` and `-wal`.
pub(crate) fn beside(book: &Path, tail: &str) -> PathBuf {
    let mut name = OsString::from(book);
    name.push(tail);
    PathBuf::from(name)
}
