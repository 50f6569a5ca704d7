//! What waits beside the file after a crash: whether it is whole.
//!
//! SQLite keeps the latest commits in a file of their own until they are copied into the main one.
//! After a crash it takes them from there up to the first frame that does not add up, and drops the
//! rest without a word. Power lost in the middle of one commit looks like that and is no loss; a
//! whole commit *behind* a bad frame means that acknowledged entries are unreadable.
//!
//! Format: SQLite documentation, "Database File Format", section 4 (the WAL format).

use std::fs;
use std::path::Path;

use crate::error::BookError;
use crate::lock::beside;

const HEADER: usize = 32;
const FRAME: usize = 24;

/// What is found in a log.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Found {
    /// Frames that add up.
    pub good: usize,
    /// Whole commits behind the first frame that does not.
    pub commits_lost: usize,
}

/// Refuses a book whose log has lost a commit.
pub(crate) fn check(book: &Path) -> Result<(), BookError> {
    let path = beside(book, "-wal");
    let Ok(bytes) = fs::read(&path) else {
        return Ok(());
    };
    match scan(&bytes) {
        Some(Found { commits_lost, .. }) if commits_lost > 0 => {
            let what = format!(
                "{} holds {commits_lost} more commits behind a damaged place: the entries written last \
                 cannot be read",
                path.display()
            );
            Err(BookError::Damaged(what))
        }
        _ => Ok(()),
    }
}

/// Follows the checksums through a log; none where it is empty or has no readable header.
pub(crate) fn scan(bytes: &[u8]) -> Option<Found> {
    let header = bytes.get(..HEADER)?;
    let big = match word(header, 0)? {
        0x377f_0682 => false,
        0x377f_0683 => true,
        _ => return None,
    };
    let page = usize::try_from(word(header, 8)?).ok()?;
    if !(512..=65_536).contains(&page) {
        return None;
    }
    let mut sum = checksum((0, 0), header.get(..24)?, big);
    if sum != (word(header, 24)?, word(header, 28)?) {
        return None;
    }
    let salt = header.get(16..24)?;
    let mut found = Found {
        good: 0,
        commits_lost: 0,
    };
    let mut broken = false;
    for frame in bytes.get(HEADER..)?.chunks_exact(FRAME + page) {
        // Left from before the log was begun anew: not of this round.
        if frame.get(8..16)? != salt {
            if broken {
                continue;
            }
            broken = true;
            continue;
        }
        if broken {
            found.commits_lost += usize::from(word(frame, 4)? != 0);
            continue;
        }
        let next = checksum(
            checksum(sum, frame.get(..8)?, big),
            frame.get(FRAME..)?,
            big,
        );
        if next == (word(frame, 16)?, word(frame, 20)?) {
            sum = next;
            found.good += 1;
        } else {
            broken = true;
        }
    }
    // The commit that was being written when the power went may lie there in part.
    found.commits_lost = found.commits_lost.saturating_sub(1);
    Some(found)
}

fn word(bytes: &[u8], at: usize) -> Option<u32> {
    let four = bytes.get(at..at + 4)?.try_into().ok()?;
    Some(u32::from_be_bytes(four))
}

/// The checksum of the WAL format over pairs of words.
fn checksum((mut s0, mut s1): (u32, u32), bytes: &[u8], big: bool) -> (u32, u32) {
    let read = |four: &[u8]| {
        let four = four.try_into().unwrap_or_default();
        match big {
            true => u32::from_be_bytes(four),
            false => u32::from_le_bytes(four),
        }
    };
    for pair in bytes.chunks_exact(8) {
        let (one, two) = pair.split_at(4);
        s0 = s0.wrapping_add(read(one)).wrapping_add(s1);
        s1 = s1.wrapping_add(read(two)).wrapping_add(s0);
    }
    (s0, s1)
}
