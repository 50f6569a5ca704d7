//! The file itself, before SQLite touches it: whether it looks like a book and is not cut short;
//! and making a new one under another name first, so that it is there whole or not at all.

use std::fs::{self, File};
use std::io::{self, Read};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU64, Ordering};
use std::time::Duration;

use crate::error::BookError;
use crate::lock::{self, beside};
use crate::wal;

/// What every SQLite file begins with.
const MAGIC: &[u8] = b"SQLite format 3\0";

/// Looks again so often, so long apart, where a writer may have been caught in the middle.
const LOOKS: u32 = 8;
const PAUSE: Duration = Duration::from_millis(40);

/// Refuses what is not a book, was cut short, or whose log has lost a commit.
pub(crate) fn check(path: &Path) -> Result<(), BookError> {
    refused(damage(path)?)
}

/// The same for who holds the lock: nobody else writes.
pub(crate) fn check_alone(path: &Path) -> Result<(), BookError> {
    refused(looked_at(path)?)
}

fn refused(damage: Option<String>) -> Result<(), BookError> {
    match damage {
        Some(what) => Err(BookError::Damaged(what)),
        None => Ok(()),
    }
}

/// What is wrong with the file and its log; an error where it is no book at all.
pub(crate) fn damage(path: &Path) -> Result<Option<String>, BookError> {
    let mut found = looked_at(path)?;
    for _ in 1..LOOKS {
        // Where nobody writes, what is seen is what is there.
        if found.is_none() || !lock::held(path) {
            break;
        }
        std::thread::sleep(PAUSE);
        found = looked_at(path)?;
    }
    Ok(found)
}

fn looked_at(path: &Path) -> Result<Option<String>, BookError> {
    let (header, length) = header_of(path)?;
    let log = wal::look(path).map_err(|error| BookError::Io {
        path: beside(path, "-wal"),
        error,
    })?;
    Ok(log.damage().or_else(|| cut_short(&header, length, &log)))
}

fn header_of(path: &Path) -> Result<([u8; 100], u64), BookError> {
    let io = |error: io::Error| match error.kind() {
        io::ErrorKind::NotFound => BookError::Missing(path.to_owned()),
        io::ErrorKind::PermissionDenied => BookError::Unreadable(path.to_owned()),
        _ => BookError::Io {
            path: path.to_owned(),
            error,
        },
    };
    let file = File::open(path).map_err(io)?;
    let about = file.metadata().map_err(io)?;
    if !about.is_file() {
        return Err(BookError::NotABook(path.to_owned()));
    }
    if about.len() == 0 {
        return Err(BookError::Unfinished(path.to_owned()));
    }
    let mut begins = Vec::new();
    file.take(100).read_to_end(&mut begins).map_err(io)?;
    if !begins.starts_with(MAGIC) {
        return Err(BookError::NotABook(path.to_owned()));
    }
    let mut header = [0; 100];
    header
        .iter_mut()
        .zip(begins)
        .for_each(|(to, from)| *to = from);
    Ok((header, about.len()))
}

/// Whether a file is shorter than its header says (SQLite file format, 1.3: page size at 16, pages
/// at 28, which counts where the numbers at 24 and 92 agree). A writer that was killed while it
/// copied pages from the log leaves such a file, and the log holds what is missing.
fn cut_short(header: &[u8; 100], length: u64, log: &wal::Found) -> Option<String> {
    let word = |at: usize| {
        let four = header.get(at..at + 4).and_then(|b| b.try_into().ok());
        u32::from_be_bytes(four.unwrap_or_default())
    };
    let page = match u64::from(u16::from_be_bytes([header[16], header[17]])) {
        1 => 65_536,
        other => other.max(512),
    };
    let pages = match (log.size, word(24) == word(92)) {
        (0, false) => return None,
        (0, true) => word(28),
        (size, _) => size,
    };
    let there = u32::try_from(length / page).unwrap_or(u32::MAX);
    let missing = (there.saturating_add(1)..=pages).any(|page| !log.pages.contains(&page));
    (length < 100 || missing).then(|| {
        let whole = page * u64::from(pages);
        format!("it was cut short: {length} bytes are there of {whole}")
    })
}

/// The folder a book is in.
pub(crate) fn folder_of(path: &Path) -> Result<PathBuf, BookError> {
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

/// A file that is being made under a name of its own; gone again unless it is published.
#[derive(Debug)]
pub(crate) struct Making {
    path: PathBuf,
    to: PathBuf,
}

impl Making {
    /// Begins one that shall be called `to`, where nothing is.
    pub fn of(to: &Path) -> Result<Making, BookError> {
        static COUNT: AtomicU64 = AtomicU64::new(0);
        if to.symlink_metadata().is_ok() {
            return Err(BookError::Exists(to.to_owned()));
        }
        folder_of(to)?;
        let count = COUNT.fetch_add(1, Ordering::Relaxed);
        let tail = format!("-making-{}-{count}", std::process::id());
        let path = beside(to, &tail);
        File::create_new(&path).map_err(|error| BookError::of_io(&path, error))?;
        Ok(Making {
            path,
            to: to.to_owned(),
        })
    }

    /// Where it is meanwhile.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Gives it its name, on the disk. Never over another file.
    pub fn publish(self) -> Result<(), BookError> {
        let of_io = |error| BookError::of_io(&self.to, error);
        File::open(&self.path)
            .and_then(|file| file.sync_all())
            .map_err(of_io)?;
        if let Err(error) = fs::hard_link(&self.path, &self.to) {
            // A disk that knows no second names, as many sticks.
            if self.to.symlink_metadata().is_ok() {
                return Err(BookError::Exists(self.to.clone()));
            }
            fs::rename(&self.path, &self.to).map_err(|_| BookError::of_io(&self.to, error))?;
        }
        let _ = fs::remove_file(&self.path);
        // The name itself must survive a power cut, not only what is in the file.
        let folder = folder_of(&self.to)?;
        File::open(&folder)
            .and_then(|folder| folder.sync_all())
            .map_err(|error| BookError::of_io(&folder, error))
    }
}

impl Drop for Making {
    fn drop(&mut self) {
        for tail in ["", "-wal", "-shm", "-journal"] {
            let _ = fs::remove_file(beside(&self.path, tail));
        }
    }
}
