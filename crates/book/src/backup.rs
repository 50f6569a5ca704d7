//! A copy of a book, made while somebody writes in it: whole and checked, or not there.

use std::path::Path;
use std::time::Duration;

use rusqlite::backup::{Backup, StepResult};

use crate::book::{Book, close_made, connect_to_make};
use crate::error::BookError;
use crate::file::Making;
use crate::verify::{Report, verify_unpublished};

/// Tries so often, so long apart, where another program keeps the file locked.
const TRIES: u32 = 50;
const PAUSE: Duration = Duration::from_millis(100);

/// Copies a book to a file that is not there yet. The copy holds everything acknowledged before,
/// opens by itself, and was verified; the report is about it.
///
/// It is made under another name in the same folder and gets its own once it is on the disk.
///
/// # Errors
/// Something is there already; the folder cannot be written; the book itself is damaged: a damaged
/// copy would only replace a good one.
pub fn backup(book: &Book, to: &Path) -> Result<Report, BookError> {
    let making = Making::of(to)?;
    copy(book, making.path())?;
    let report = verify_unpublished(making.path())?;
    if let Some(problem) = report.problems.first() {
        return Err(BookError::Damaged(format!(
            "no copy was made of it: {problem}"
        )));
    }
    making.publish()?;
    Ok(report)
}

/// Every page in one go: readers do not stand in a writer's way, nor the other way round, and what
/// is copied is one state of the book.
fn copy(book: &Book, to: &Path) -> Result<(), BookError> {
    let mut copy = connect_to_make(to)?;
    {
        let backup = Backup::new(&book.conn, &mut copy)?;
        let mut tries = 0;
        while backup.step(-1)? != StepResult::Done {
            tries += 1;
            if tries == TRIES {
                return Err(BookError::Locked);
            }
            std::thread::sleep(PAUSE);
        }
    }
    close_made(copy)
}
