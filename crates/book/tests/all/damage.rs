//! Files that were cut, flipped and overwritten: noticed, or nothing was lost.

use std::fs;
use std::path::Path;

use book::{Book, BookError, Entry, Event, Pen, Verdict, Wanted, verify};
use rand::{RngExt, SeedableRng};
use rand_pcg::Pcg32;

use crate::common::{begun, beside, draft, entries, fill, folder, note, proved, raw, written};

const PAGE: usize = 4096;

fn events(path: &Path) -> Result<Vec<Event>, BookError> {
    let all = Wanted {
        withdrawn: true,
        ..Wanted::default()
    };
    Book::open(path)?.events(&all)
}

/// The entries, where every one of them can be read.
fn readable(path: &Path) -> Result<Vec<Entry>, BookError> {
    let mut entries = Vec::new();
    Book::open(path)?.each_entry(1, |entry| {
        entries.push(entry);
        true
    })?;
    Ok(entries)
}

fn lay(path: &Path, bytes: &[u8]) {
    for tail in ["-wal", "-shm", "-writer"] {
        let _ = fs::remove_file(beside(path, tail));
    }
    fs::write(path, bytes).unwrap();
}

#[test]
fn a_file_cut_short_anywhere_is_noticed() {
    let path = written("cut_short", 200);
    let whole = fs::read(&path).unwrap();
    let before = entries(&path);
    let lengths = (1..whole.len()).step_by(1013);
    let pages = (1..whole.len() / PAGE).flat_map(|n| [n * PAGE, n * PAGE + 1, n * PAGE - 1]);
    let mut saved = 0;
    for length in lengths.chain(pages) {
        lay(&path, &whole[..length]);
        assert!(Book::open(&path).is_err(), "{length}");
        assert!(Pen::open(&path, "a test").is_err(), "{length}");
        let Ok(report) = verify(&path, None, &mut |_| {}) else {
            assert!(length < PAGE, "{length}: it can be looked into");
            continue;
        };
        assert_eq!(report.verdict(), Verdict::Broken, "{length}");
        let first = report.first_bad().map(|bad| bad.seq);
        assert!(
            first.is_none_or(|seq| seq == report.good + 1),
            "{length}: {report:?}"
        );
        let head = report.good.checked_sub(1).map(|n| {
            let entry = &before[usize::try_from(n).unwrap()];
            (entry.seq, entry.hash)
        });
        assert_eq!(report.head, head, "{length}");
        saved = saved.max(report.entries);
        assert_eq!(
            fs::read(&path).unwrap(),
            whole[..length],
            "{length}: left as it is"
        );
    }
    assert!(saved > 50, "what still reads is told: {saved}");
}

/// One flipped bit: either it is told, or every entry and event reads as it was written. What is
/// told as drawn wrong is whole once it is drawn again.
#[test]
fn a_flipped_bit_is_told_or_changes_nothing() {
    let path = written("flipped_bit", 120);
    let whole = fs::read(&path).unwrap();
    let (before, events_before) = (entries(&path), events(&path).unwrap());
    let mut random = Pcg32::seed_from_u64(7);
    let header = (0..100).map(|at| at * 8 + 3);
    let anywhere: Vec<usize> = (0..300)
        .map(|_| random.random_range(0..whole.len() * 8))
        .collect();
    let heads = (0..whole.len() / PAGE)
        .flat_map(|page| (0..12).map(move |n| (page * PAGE + n) * 8 + (n + page) % 8));
    let (mut broken, mut redrawn) = (0, 0);
    for bit in header.chain(heads).chain(anywhere) {
        let mut bytes = whole.clone();
        bytes[bit / 8] ^= 1 << (bit % 8);
        lay(&path, &bytes);
        let place = format!("bit {} of byte {}", bit % 8, bit / 8);
        let Ok(report) = verify(&path, None, &mut |_| {}) else {
            continue;
        };
        match report.verdict() {
            Verdict::Whole => {
                assert_eq!(readable(&path).unwrap(), before, "{place}");
                assert_eq!(events(&path).unwrap(), events_before, "{place}");
            }
            Verdict::Redraw => {
                redrawn += 1;
                let mut pen = Pen::open(&path, "a test").unwrap();
                pen.redraw()
                    .unwrap_or_else(|error| panic!("{place}: {error} {report:?}"));
                drop(pen);
                let report = proved(&path);
                assert!(report.is_whole(), "{place}: {:?}", report.problems);
                assert_eq!(entries(&path), before, "{place}");
                assert_eq!(events(&path).unwrap(), events_before, "{place}");
            }
            Verdict::Renew => {}
            Verdict::Broken => {
                broken += 1;
                let bad = report.first_bad().map(|bad| bad.seq);
                assert!(
                    bad.is_none_or(|seq| seq == report.good + 1),
                    "{place}: {report:?}"
                );
            }
        }
    }
    assert!(
        broken > 100 && redrawn > 50,
        "{broken} broken, {redrawn} drawn again"
    );
}

#[test]
fn behind_a_page_that_cannot_be_read_it_goes_on() {
    let path = written("page_gone", 200);
    let conn = raw(&path);
    let root: usize = conn
        .query_row(
            "SELECT rootpage FROM sqlite_schema WHERE name = 'entry'",
            [],
            |row| row.get(0),
        )
        .unwrap();
    drop(conn);
    let whole = fs::read(&path).unwrap();
    let before = entries(&path);
    let mut tried = 0;
    for page in 0..whole.len() / PAGE {
        // A leaf of the ledger holds a hash of an entry from its middle.
        let bytes = &whole[page * PAGE..(page + 1) * PAGE];
        let hash = before[110].hash.0;
        if page + 1 == root || bytes.first() != Some(&13) || !bytes.windows(32).any(|w| w == hash) {
            continue;
        }
        tried += 1;
        let mut bytes = whole.clone();
        bytes[page * PAGE..(page + 1) * PAGE].fill(0);
        lay(&path, &bytes);
        let report = proved(&path);
        assert_eq!(report.verdict(), Verdict::Broken);
        let first = report.first_bad().unwrap();
        assert!((90..=111).contains(&first.seq), "{first}");
        assert!(first.why.contains("cannot be read"), "{first}");
        assert_eq!(report.good, first.seq - 1);
        assert!(
            report.entries > 160,
            "those behind were read: {}",
            report.entries
        );
        assert_eq!(
            report.entries + report.bad_count,
            200 + 1,
            "and the first behind lost its link"
        );
    }
    assert!(tried >= 1);
}

/// The file and its log as a writer leaves them that is killed after these commits.
fn left_by_a_killed_writer(name: &str) -> (std::path::PathBuf, Vec<u8>, Vec<u8>, Vec<Entry>) {
    let (path, mut pen) = begun(name);
    for n in 0..6 {
        let at = 60 * (n + 1);
        match n % 2 {
            0 => pen
                .append(&draft(at, fill("A1", "232 bar")))
                .map(|_| ())
                .unwrap(),
            _ => {
                let batch = [draft(at, note("a")), draft(at, fill("A2", "230 bar"))];
                pen.append_all(&batch).map(|_| ()).unwrap();
            }
        }
    }
    let file = fs::read(&path).unwrap();
    let log = fs::read(beside(&path, "-wal")).unwrap();
    let before = entries(&path);
    drop(pen);
    (path, file, log, before)
}

#[test]
fn a_killed_writers_log_is_read_and_a_torn_last_commit_is_no_error() {
    let (path, file, log, before) = left_by_a_killed_writer("torn_log");
    for length in (0..log.len()).step_by(1511).chain([log.len()]) {
        lay(&path, &file);
        fs::write(beside(&path, "-wal"), &log[..length]).unwrap();
        let report = proved(&path);
        assert!(report.is_whole(), "{length}: {:?}", report.problems);
        let there = readable(&path).unwrap();
        assert_eq!(there, before[..there.len()], "{length}");
        let mut pen = Pen::open(&path, "a test").unwrap();
        let next = pen.append(&draft(9_000, note("on"))).unwrap();
        assert_eq!(next.seq, there.len() as u64 + 1);
        drop(pen);
        assert!(proved(&path).is_whole());
    }
}

#[test]
fn a_flipped_bit_in_the_log_is_told_or_only_the_last_commit_is_not_there() {
    let (path, file, log, before) = left_by_a_killed_writer("flipped_log");
    let mut random = Pcg32::seed_from_u64(11);
    let header = (0..32 * 8).step_by(3);
    let anywhere: Vec<usize> = (0..300)
        .map(|_| random.random_range(0..log.len() * 8))
        .collect();
    let mut told = 0;
    for bit in header.chain(anywhere) {
        let mut bytes = log.clone();
        bytes[bit / 8] ^= 1 << (bit % 8);
        lay(&path, &file);
        fs::write(beside(&path, "-wal"), &bytes).unwrap();
        let place = format!("bit {} of byte {}", bit % 8, bit / 8);
        let report = proved(&path);
        if !report.is_whole() {
            told += 1;
            assert!(Book::open(&path).is_err(), "{place}");
            assert!(Pen::open(&path, "a test").is_err(), "{place}");
            assert_eq!(fs::read(&path).unwrap(), file, "{place}: left as it is");
            continue;
        }
        let there = readable(&path).unwrap();
        // The last commit was a batch of two.
        let lost = before.len() - there.len();
        assert!(
            lost == 0 || lost == 2,
            "{place}: {lost} entries gone and not told"
        );
        assert_eq!(there, before[..there.len()], "{place}");
    }
    assert!(told > 250, "{told}");
}

/// A writer killed while it copied pages from the log: the file is shorter than its header says,
/// and the log holds what is missing.
#[test]
fn a_copying_of_the_log_cut_off_halfway_is_no_damage() {
    let path = written("halfway", 60);
    let whole = fs::read(&path).unwrap();
    let mut pen = Pen::open(&path, "a test").unwrap();
    for n in 0..40 {
        pen.append(&draft(9_000 + n, note(&"long ".repeat(300))))
            .unwrap();
    }
    let log = fs::read(beside(&path, "-wal")).unwrap();
    let before = entries(&path);
    drop(pen);
    let copied = fs::read(&path).unwrap();
    assert!(copied.len() > whole.len() + 8 * PAGE);
    let mut halfway = copied[..whole.len() + 3 * PAGE].to_vec();
    lay(&path, &halfway);
    fs::write(beside(&path, "-wal"), &log).unwrap();
    assert_eq!(entries(&path), before);
    assert!(proved(&path).is_whole());
    drop(Pen::open(&path, "a test").unwrap());
    assert_eq!(entries(&path), before);
    // Without its log the same file is cut short.
    halfway.truncate(whole.len() + 3 * PAGE);
    lay(&path, &halfway);
    assert!(matches!(Book::open(&path), Err(BookError::Damaged(_))));
}

type Is = fn(&BookError) -> bool;

#[test]
fn what_is_no_book_is_told_and_left_alone() {
    let folder = folder("no_book");
    let path = folder.join("club.book");
    let kinds: [(&str, &[u8], Is); 4] = [
        ("nothing in it", b"", |e| {
            matches!(e, BookError::Unfinished(_))
        }),
        ("a text", b"dear all, the compressor is back", |e| {
            matches!(e, BookError::NotABook(_))
        }),
        ("a list", b"cylinder,stamp\nA1,232 bar\n", |e| {
            matches!(e, BookError::NotABook(_))
        }),
        ("only a beginning", b"SQLite format 3\0", |e| {
            matches!(e, BookError::Damaged(_))
        }),
    ];
    for (name, bytes, is) in kinds {
        lay(&path, bytes);
        for error in refusals(&path) {
            assert!(is(&error), "{name}: {error}");
            assert!(!error.remedy().is_empty());
        }
        assert_eq!(fs::read(&path).unwrap(), bytes, "{name}");
    }
    for error in refusals(&folder) {
        assert!(matches!(error, BookError::NotABook(_)), "{error}");
    }
    for error in refusals(&folder.join("nowhere.book")) {
        assert!(matches!(error, BookError::Missing(_)), "{error}");
    }
    let other = folder.join("other.sqlite");
    raw(&other)
        .execute_batch("PRAGMA user_version = 2; CREATE TABLE entry (seq INTEGER PRIMARY KEY)")
        .unwrap();
    let before = fs::read(&other).unwrap();
    for error in refusals(&other) {
        assert!(matches!(error, BookError::NotABook(_)), "{error}");
    }
    assert_eq!(fs::read(&other).unwrap(), before);
}

/// What opening, opening to write and proving say.
fn refusals(path: &Path) -> Vec<BookError> {
    let mut refusals = vec![
        Book::open(path).unwrap_err(),
        Pen::open(path, "a test").unwrap_err(),
    ];
    match verify(path, None, &mut |_| {}) {
        Ok(report) => assert!(!report.is_whole()),
        Err(error) => refusals.push(error),
    }
    refusals
}
