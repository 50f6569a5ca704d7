//! A book of a million entries: opened, asked, proved; and lines brought back into a book.
//!
//! Not here: whether the answers are right (see the tests), and adding (see `beside_raw`). The big book is made once and kept
//! beside the build; delete `target/tmp/million.book` to make it anew.

#![allow(clippy::unwrap_used, reason = "a bench that cannot go on may stop")]

use std::fs;
use std::path::{Path, PathBuf};

use book::body::{BookBegun, Fill, Note, Reading};
use book::{Amount, Body, Book, Draft, Measure, Moment, Pen, Subject, Wanted};
use divan::Bencher;

fn main() {
    divan::main();
}

const FULL_SIZE: u64 = 1_000_000;

fn draft(n: u64, body: impl Into<Body>) -> Draft {
    let at = Moment(1_779_264_000_000_000 + i64::try_from(n).unwrap() * 61_000_000);
    Draft {
        recorded: at,
        happened: at,
        zone: "Europe/Dublin".into(),
        author: "MK".into(),
        body: body.into(),
    }
}

fn begun() -> Draft {
    let begun = BookBegun {
        station: "Invented slipway".into(),
        invented: true,
        remark: None,
    };
    draft(0, begun)
}

fn fill(n: u64) -> Draft {
    let fill = Fill {
        cylinder: format!("C{}", n % 4000),
        person: Some(format!("member {}", n % 600)),
        from: Some(Measure::parse("40 bar").unwrap()),
        to: Some(Measure::parse("232 bar").unwrap()),
        ..Fill::default()
    };
    draft(n, fill)
}

/// What a busy station enters: fills mostly, readings, now and then a note.
fn mixed(n: u64) -> Draft {
    match n % 10 {
        0..6 => fill(n),
        6..9 => {
            let reading = Reading {
                of: "tower".into(),
                value: Some(Amount::parse("210 bar").unwrap()),
                observed: None,
            };
            draft(n, reading)
        }
        _ => {
            let note = Note {
                text: "intake moved to the lee side of the hut".into(),
                cylinder: None,
            };
            draft(n, note)
        }
    }
}

/// A book of a million entries, made once.
fn million() -> PathBuf {
    let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join("million.book");
    if path.exists() {
        return path;
    }
    let made = path.with_extension("making");
    for tail in ["", "-wal", "-shm", "-writer"] {
        let _ = fs::remove_file(format!("{}{tail}", made.display()));
    }
    let mut pen = Pen::begin(&made, "a bench", &begun()).unwrap();
    let numbers: Vec<u64> = (2..=FULL_SIZE).collect();
    for some in numbers.chunks(20_000) {
        let drafts: Vec<Draft> = some.iter().map(|&n| mixed(n)).collect();
        pen.append_all(&drafts).unwrap();
    }
    drop(pen);
    fs::rename(&made, &path).unwrap();
    path
}

/// Bringing in a hundred thousand entries from lines, every hash checked.
#[divan::bench(sample_count = 3)]
fn restore_100_000_lines(bencher: Bencher) {
    let mut lines = Vec::new();
    book::export(&Book::open(&million()).unwrap(), 1, &mut lines).unwrap();
    let ends = lines.iter().enumerate().filter(|(_, byte)| **byte == b'\n');
    let end = ends.map(|(at, _)| at).nth(99_999).unwrap();
    lines.truncate(end);
    let to = Path::new(env!("CARGO_TARGET_TMPDIR")).join("restored.book");
    bencher.bench_local(|| {
        let _ = fs::remove_file(&to);
        book::restore(lines.as_slice(), &to, "a bench").unwrap()
    });
}

/// Opening a book of a million entries and reading its seal.
#[divan::bench(sample_count = 20)]
fn open_million(bencher: Bencher) {
    let path = million();
    bencher.bench_local(|| Book::open(&path).unwrap().head().unwrap());
}

/// Everything one cylinder went through, out of a million entries.
#[divan::bench(sample_count = 20)]
fn cylinder_history_of_million(bencher: Bencher) {
    let book = Book::open(&million()).unwrap();
    let subject = Subject::Cylinder("C1234".into());
    let wanted = Wanted {
        about: Some(&subject),
        ..Wanted::default()
    };
    bencher.bench_local(|| book.events(&wanted).unwrap().len());
}

/// Proving a book of a million entries: every hash, every body, every drawn row, every page.
#[divan::bench(sample_count = 5)]
fn verify_million(bencher: Bencher) {
    let path = million();
    bencher.bench_local(|| {
        let report = book::verify(&path, None, &mut |_| {}).unwrap();
        assert!(report.is_whole());
        report.entries
    });
}
