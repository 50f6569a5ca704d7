//! Answers from a book of a million entries: invented fills of two thousand cylinders.

#![allow(
    clippy::unwrap_used,
    reason = "a bench that cannot make its book must stop"
)]

use std::fs;
use std::path::Path;
use std::sync::LazyLock;

use book::answer::trace::{self, Bound};
use book::answer::{day, earliest, fills, hours, locks, quarantine, register};
use book::body::{AirTest, BookBegun, CylinderRegistered, Fill, Outcome, RunStarted, RunStopped};
use book::{Body, Book, Draft, Moment, Pen, Subject, Wanted};
use divan::Bencher;

const ENTRIES: i64 = 1_000_000;
const CYLINDERS: i64 = 2000;
/// One entry in six minutes.
const STEP_US: i64 = 360_000_000;

static BOOK: LazyLock<std::path::PathBuf> = LazyLock::new(|| {
    let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join("a million answers.book");
    for tail in ["", "-wal", "-shm", "-writer"] {
        let _ = fs::remove_file(format!("{}{tail}", path.display()));
    }
    let begun = BookBegun {
        station: "Invented slipway".into(),
        invented: true,
        remark: None,
    };
    let mut pen = Pen::begin(&path, "a bench", &draft(0, begun.into())).unwrap();
    for chunk in 0..10 {
        let part = ENTRIES / 10;
        let drafts: Vec<Draft> = (chunk * part..(chunk + 1) * part).map(entry).collect();
        pen.append_all(&drafts).unwrap();
    }
    path
});

fn draft(i: i64, body: Body) -> Draft {
    Draft {
        recorded: Moment(i * STEP_US),
        happened: Moment(i * STEP_US),
        zone: "Europe/Dublin".into(),
        author: "MK".into(),
        body,
    }
}

/// A start, eight fills, a stop, and so on; a test that passes now and then, the last one fails.
fn entry(i: i64) -> Draft {
    let cylinder = format!("C{}", (i * 7) % CYLINDERS);
    let test = |outcome| AirTest {
        sampled: None,
        standard: "an invented standard, 1st edition".into(),
        outcome,
        sentence: "invented".into(),
        laboratory: None,
        cylinder: None,
        results: String::new(),
    };
    let body = match i {
        0..CYLINDERS => CylinderRegistered {
            cylinder: format!("C{i}"),
            ..CylinderRegistered::default()
        }
        .into(),
        990_005 => test(Outcome::Fails).into(),
        _ if i % 20_000 == 5 => test(Outcome::Passes).into(),
        _ if i % 10 == 0 => RunStarted::default().into(),
        _ if i % 10 == 9 => RunStopped::default().into(),
        _ => Fill {
            cylinder,
            person: Some(format!("P{}", i % 300)),
            ..Fill::default()
        }
        .into(),
    };
    draft(i, body)
}

fn book() -> Book {
    Book::open(&BOOK).unwrap()
}

fn main() {
    divan::main();
}

#[divan::bench]
fn history_of_one_cylinder(bencher: Bencher<'_, '_>) {
    let (book, about) = (book(), Subject::Cylinder("C7".into()));
    bencher.bench_local(|| {
        let wanted = Wanted {
            about: Some(&about),
            ..Wanted::default()
        };
        book.events(&wanted).unwrap().len()
    });
}

#[divan::bench]
fn record_of_one_cylinder(bencher: Bencher<'_, '_>) {
    let book = book();
    bencher.bench_local(|| register::in_book(&book, "C7", None, &earliest).unwrap());
}

#[divan::bench]
fn fills_of_one_cylinder(bencher: Bencher<'_, '_>) {
    let book = book();
    let asked = fills::Asked {
        cylinder: Some("C7"),
        ..fills::Asked::default()
    };
    bencher.bench_local(|| fills::in_book(&book, &asked).unwrap());
}

#[divan::bench(sample_count = 10)]
fn register_of_all(bencher: Bencher<'_, '_>) {
    let book = book();
    bencher.bench_local(|| register::all_in_book(&book, None, &earliest).unwrap().len());
}

#[divan::bench]
fn locks_of_all(bencher: Bencher<'_, '_>) {
    let book = book();
    bencher.bench_local(|| locks::in_book(&book, None, &earliest).unwrap());
}

#[divan::bench(sample_count = 10)]
fn quarantine_of_all(bencher: Bencher<'_, '_>) {
    let book = book();
    bencher.bench_local(|| quarantine::in_book(&book, None, &earliest).unwrap());
}

#[divan::bench(sample_count = 3)]
fn hours_of_all(bencher: Bencher<'_, '_>) {
    let book = book();
    let now = Moment(ENTRIES * STEP_US);
    bencher.bench_local(|| hours::in_book(&book, now).unwrap());
}

#[divan::bench(sample_count = 10)]
fn back_from_one_cylinder(bencher: Bencher<'_, '_>) {
    let (book, about) = (book(), Subject::Cylinder("C7".into()));
    bencher.bench_local(|| trace::back_in_book(&book, &about, &earliest).unwrap());
}

#[divan::bench(sample_count = 3)]
fn batch_between_two_tests(bencher: Bencher<'_, '_>) {
    let book = book();
    let bounds = (Some(Bound::Entry(960_007)), Some(Bound::Entry(980_007)));
    bencher.bench_local(|| trace::between_in_book(&book, bounds.0, bounds.1, &earliest).unwrap());
}

#[divan::bench]
fn a_day_in_the_middle(bencher: Bencher<'_, '_>) {
    let book = book();
    let (from, until) = (Moment(500_000 * STEP_US), Moment(500_240 * STEP_US));
    bencher.bench_local(|| day::in_book(&book, from, until).unwrap());
}
