//! What waits beside the file after a crash: whether it is whole.
//!
//! SQLite keeps the latest commits in a file of their own until they are copied into the main one.
//! After a crash it takes them from there up to the first frame that does not add up, and drops the
//! rest without a word. Power lost in the middle of one commit looks like that and is no loss; a
//! whole commit *behind* a bad frame means that acknowledged entries are unreadable, and so does a
//! header that does not read with anything behind it.
//! Cannot tell: whether the very last commit was torn by the power (never acknowledged) or damaged
//! later. Only a seal written down elsewhere tells that.
//!
//! Format: SQLite documentation, "Database File Format", section 4 (the WAL format).

use std::collections::HashSet;
use std::fs::File;
use std::io::{self, BufReader, Read};
use std::path::Path;

use crate::lock::beside;

const HEADER: usize = 32;
const FRAME: usize = 24;

/// What is found in a log.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Found {
    /// Pages in whole commits.
    pub pages: HashSet<u32>,
    /// Pages of the whole file after the last whole commit; 0 where there is none.
    pub size: u32,
    /// Whole commits behind the first frame that does not add up.
    pub commits_lost: usize,
    /// The header does not read, and something is behind it.
    pub header_lost: bool,
}

impl Found {
    /// What is wrong, in words.
    pub fn damage(&self) -> Option<String> {
        if self.header_lost {
            return Some(
                "its write-ahead log does not read: entries written last may be lost".into(),
            );
        }
        let lost = self.commits_lost;
        (lost > 0).then(|| {
            format!(
                "its write-ahead log holds {lost} more commits behind a damaged place: the entries \
                 written last cannot be read"
            )
        })
    }
}

/// Looks through the log beside a book; an empty finding where there is none.
pub(crate) fn look(book: &Path) -> io::Result<Found> {
    match File::open(beside(book, "-wal")) {
        Ok(file) => scan(BufReader::with_capacity(1 << 18, file)),
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(Found::default()),
        Err(error) => Err(error),
    }
}

/// Follows the checksums through a log.
pub(crate) fn scan(mut log: impl Read) -> io::Result<Found> {
    let mut found = Found::default();
    let mut header = [0; HEADER];
    if !filled(&mut log, &mut header)? {
        return Ok(found);
    }
    let Some(mut chain) = Chain::begin(&header) else {
        found.header_lost = anything(&mut log)?;
        return Ok(found);
    };
    let mut frame = vec![0; FRAME + chain.page];
    let mut commit = Vec::new();
    let mut behind: Option<Behind> = None;
    while filled(&mut log, &mut frame)? {
        let (number, size) = (word(&frame, 0), word(&frame, 4));
        if let Some(behind) = &mut behind {
            if chain.of_this_round(&frame) {
                behind.frame(number, size, &mut found);
            }
            continue;
        }
        if !chain.follows(&frame) {
            // What the bad frame says of its page may be what is bad about it.
            let ended = chain.of_this_round(&frame) && size != 0;
            let seen = commit.drain(..).collect();
            behind = Some(Behind { seen, ended });
            continue;
        }
        commit.push(number);
        if size != 0 {
            found.pages.extend(commit.drain(..));
            found.size = size;
        }
    }
    Ok(found)
}

/// What is told from frames behind the first bad one: the commit it was in ends at its commit
/// frame, or where a page comes up again, since SQLite writes each page once in a commit.
struct Behind {
    seen: HashSet<u32>,
    ended: bool,
}

impl Behind {
    fn frame(&mut self, number: u32, size: u32, found: &mut Found) {
        let commits = size != 0;
        if self.ended {
            found.commits_lost += usize::from(commits);
        } else {
            self.ended = commits || !self.seen.insert(number);
        }
    }
}

/// The running checksum of a log.
struct Chain {
    big: bool,
    page: usize,
    salt: (u32, u32),
    sum: (u32, u32),
}

impl Chain {
    /// None where the header does not read.
    fn begin(header: &[u8; HEADER]) -> Option<Chain> {
        let big = match word(header, 0) {
            0x377f_0682 => false,
            0x377f_0683 => true,
            _ => return None,
        };
        let page = usize::try_from(word(header, 8)).ok()?;
        let sum = checksum((0, 0), header.get(..24)?, big);
        let reads = sum == (word(header, 24), word(header, 28))
            && (512..=65_536).contains(&page)
            && page.is_power_of_two();
        reads.then(|| Chain {
            big,
            page,
            salt: (word(header, 16), word(header, 20)),
            sum,
        })
    }

    /// Whether a frame adds up; then the next is asked against it.
    fn follows(&mut self, frame: &[u8]) -> bool {
        let (head, page) = frame.split_at(FRAME);
        let sum = checksum(self.sum, head.get(..8).unwrap_or_default(), self.big);
        let sum = checksum(sum, page, self.big);
        let follows = self.salt == (word(frame, 8), word(frame, 12))
            && sum == (word(frame, 16), word(frame, 20));
        if follows {
            self.sum = sum;
        }
        follows
    }

    /// Whether a frame was written since the log was last begun anew. Both halves of the salt
    /// change then; damage at one place changes one.
    fn of_this_round(&self, frame: &[u8]) -> bool {
        self.salt.0 == word(frame, 8) || self.salt.1 == word(frame, 12)
    }
}

/// Fills the buffer; false where the log ends before.
fn filled(log: &mut impl Read, buffer: &mut [u8]) -> io::Result<bool> {
    match log.read_exact(buffer) {
        Ok(()) => Ok(true),
        Err(error) if error.kind() == io::ErrorKind::UnexpectedEof => Ok(false),
        Err(error) => Err(error),
    }
}

/// Whether anything but nothing follows.
fn anything(log: &mut impl Read) -> io::Result<bool> {
    let mut some = [0; 4096];
    loop {
        let read = log.read(&mut some)?;
        let some = some.get(..read).unwrap_or_default();
        if some.is_empty() || some.iter().any(|byte| *byte != 0) {
            return Ok(!some.is_empty());
        }
    }
}

/// Four bytes, most first; 0 behind the end.
fn word(bytes: &[u8], at: usize) -> u32 {
    let four = bytes.get(at..at + 4).and_then(|four| four.try_into().ok());
    u32::from_be_bytes(four.unwrap_or_default())
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

#[cfg(test)]
mod tests {
    use std::fs;
    use std::path::PathBuf;

    use rusqlite::Connection;

    use super::*;

    const PAGE: usize = 512;

    /// The log of a file of small pages after so many commits, and where each commit ends in it.
    fn log(name: &str, commits: usize) -> (Connection, PathBuf, Vec<usize>) {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../target/tmp");
        fs::create_dir_all(&path).unwrap();
        let path = path.join(name);
        for tail in ["", "-wal", "-shm"] {
            let _ = fs::remove_file(beside(&path, tail));
        }
        let conn = Connection::open(&path).unwrap();
        conn.execute_batch(
            "PRAGMA page_size = 512; PRAGMA journal_mode = WAL; PRAGMA wal_autocheckpoint = 0;
             CREATE TABLE a (x); CREATE TABLE b (x); PRAGMA wal_checkpoint(RESTART);",
        )
        .unwrap();
        let ends = add(&conn, &path, commits);
        (conn, path, ends)
    }

    fn add(conn: &Connection, path: &Path, commits: usize) -> Vec<usize> {
        let mut ends = Vec::new();
        for n in 0..commits {
            conn.execute_batch(&format!(
                "BEGIN; INSERT INTO a VALUES ({n}); INSERT INTO b VALUES (zeroblob(900)); COMMIT"
            ))
            .unwrap();
            // Grows only: the log was begun anew before.
            let bytes = fs::read(beside(path, "-wal")).unwrap();
            ends.push(frames_of_this_round(&bytes));
        }
        ends
    }

    fn frames_of_this_round(bytes: &[u8]) -> usize {
        let frames = bytes[HEADER..].chunks_exact(FRAME + PAGE);
        frames.take_while(|f| f[8..16] == bytes[16..24]).count()
    }

    #[test]
    fn a_log_that_adds_up_has_lost_nothing() {
        let (_conn, path, ends) = log("wal_adds_up.sqlite", 6);
        assert!(
            ends.windows(2).all(|pair| pair[1] > pair[0] + 1),
            "{ends:?}"
        );
        let found = look(&path).unwrap();
        assert_eq!(found.damage(), None);
        assert!(found.size > 0 && found.pages.contains(&found.size));
        let nothing = look(&path.with_extension("no")).unwrap();
        assert_eq!(nothing, Found::default());
    }

    /// Every bit of the frames' heads, and one in seven of their pages.
    #[test]
    fn a_flipped_bit_is_noticed_wherever_a_whole_commit_lies_behind() {
        let (_conn, path, ends) = log("wal_flipped.sqlite", 6);
        let whole = fs::read(beside(&path, "-wal")).unwrap();
        let whole = &whole[..HEADER + ends[5] * (FRAME + PAGE)];
        for bit in 0..whole.len() * 8 {
            let at = bit / 8;
            let frame = at.checked_sub(HEADER).map(|at| at / (FRAME + PAGE));
            let in_page = frame.is_some_and(|frame| at - HEADER - frame * (FRAME + PAGE) >= FRAME);
            if in_page && !bit.is_multiple_of(7) {
                continue;
            }
            let mut bytes = whole.to_vec();
            bytes[at] ^= 1 << (bit % 8);
            let found = scan(bytes.as_slice()).unwrap();
            let in_last_commit = frame.is_some_and(|frame| frame >= ends[4]);
            assert!(
                found.damage().is_some() || in_last_commit,
                "byte {at}: {found:?}"
            );
        }
    }

    #[test]
    fn a_torn_last_commit_is_no_damage() {
        let (_conn, path, ends) = log("wal_torn.sqlite", 4);
        let whole = fs::read(beside(&path, "-wal")).unwrap();
        for length in 0..=HEADER + ends[3] * (FRAME + PAGE) {
            let found = scan(&whole[..length]).unwrap();
            assert_eq!(found.damage(), None, "cut at {length}");
        }
        // Power lost: some blocks of the last commit reached the disk, in any order.
        for lost in ends[2]..ends[3] {
            let mut bytes = whole.clone();
            let at = HEADER + lost * (FRAME + PAGE);
            bytes[at..at + FRAME + PAGE].fill(0);
            assert_eq!(
                scan(bytes.as_slice()).unwrap().damage(),
                None,
                "frame {lost}"
            );
        }
    }

    #[test]
    fn frames_left_from_before_the_log_was_begun_anew_are_no_damage() {
        let (conn, path, before) = log("wal_anew.sqlite", 6);
        conn.query_row("PRAGMA wal_checkpoint(RESTART)", [], |_| Ok(()))
            .unwrap();
        let after = add(&conn, &path, 2);
        assert!(after[1] < before[5], "old frames lie behind");
        let whole = fs::read(beside(&path, "-wal")).unwrap();
        assert_eq!(scan(whole.as_slice()).unwrap().damage(), None);
        // Damage among the new ones is noticed all the same.
        let mut bytes = whole.clone();
        bytes[HEADER + FRAME + 9] ^= 1;
        let found = scan(bytes.as_slice()).unwrap();
        assert_eq!(found.commits_lost, 1, "{found:?}");
        // The last of the new ones torn, with old commits behind.
        let mut bytes = whole;
        bytes[HEADER + after[0] * (FRAME + PAGE) + FRAME + 9] ^= 1;
        assert_eq!(scan(bytes.as_slice()).unwrap().damage(), None);
    }
}
