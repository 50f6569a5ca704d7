//! Killed at any moment: what was acknowledged is there, nothing is there by half.
//!
//! A writer works at full speed while others read; it is killed, the book is proved, and the next
//! writer goes on in it. `FILLSTEAD_KILLS` sets how often.

#![allow(clippy::unwrap_used, reason = "helpers of tests may fail as tests do")]

use std::collections::{BTreeMap, HashMap};
use std::env;
use std::fs;
use std::io::Read;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::sync::atomic::{AtomicBool, Ordering};
use std::thread;
use std::time::Duration;

use book::{Body, Book, BookError, Pen, verify};
use rand::{RngExt, SeedableRng};
use rand_pcg::Pcg32;

/// Killed so often unless told otherwise.
const KILLS: u32 = 2_000;
/// So many writers work in one book, one after another; then a fresh one is begun.
const WRITERS_OF_A_BOOK: u32 = 12;
/// A writer lives no longer: microseconds.
const LIFE: u64 = 45_000;

fn scribe() -> PathBuf {
    let own = env::current_exe().unwrap();
    let built = own.parent().and_then(Path::parent).unwrap();
    let scribe = built
        .join("examples")
        .join(format!("scribe{}", env::consts::EXE_SUFFIX));
    assert!(
        scribe.exists(),
        "{} is not built: run `cargo test -p book`, or `cargo build -p book --examples` first",
        scribe.display()
    );
    scribe
}

#[test]
fn what_was_acknowledged_survives_every_kill() {
    let kills: u32 = env::var("FILLSTEAD_KILLS").map_or(KILLS, |text| text.parse().unwrap());
    let workers = 2;
    let counts: Vec<Tally> = thread::scope(|scope| {
        let running: Vec<_> = (0..workers)
            .map(|worker| scope.spawn(move || work(worker, kills / workers)))
            .collect();
        running.into_iter().map(|run| run.join().unwrap()).collect()
    });
    let acknowledged: u64 = counts.iter().map(|tally| tally.acknowledged).sum();
    let unacknowledged: u64 = counts.iter().map(|tally| tally.unacknowledged).sum();
    let unborn: u64 = counts.iter().map(|tally| tally.unborn).sum();
    println!(
        "{kills} kills, {acknowledged} entries acknowledged and all there, {unacknowledged} more \
         written and not yet acknowledged, {unborn} killed before the book was there"
    );
    assert!(acknowledged > u64::from(kills), "the writers hardly wrote");
}

#[derive(Default)]
struct Tally {
    acknowledged: u64,
    unacknowledged: u64,
    unborn: u64,
}

fn work(worker: u32, kills: u32) -> Tally {
    let scribe = scribe();
    let mut random = Pcg32::seed_from_u64(u64::from(worker) + 1);
    let mut tally = Tally::default();
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("kill_{worker}"));
    let mut known = BTreeMap::new();
    let mut before = 0;
    for kill in 0..kills {
        if kill % WRITERS_OF_A_BOOK == 0 {
            let _ = fs::remove_dir_all(&folder);
            fs::create_dir_all(&folder).unwrap();
            known.clear();
            before = 0;
        }
        let path = folder.join("club.book");
        let told = killed(&scribe, &path, &mut random);
        let acknowledged = told.len() as u64;
        known.extend(told);
        let there = check(&path, &known);
        tally.unborn += u64::from(there == 0);
        tally.acknowledged += acknowledged;
        tally.unacknowledged += there - before - acknowledged;
        before = there;
    }
    tally
}

/// Lets a writer work, kills it, and gives what it acknowledged.
fn killed(scribe: &Path, path: &Path, random: &mut Pcg32) -> Vec<(u64, String)> {
    let seed: u32 = random.random_range(0..1_000_000);
    let life = Duration::from_micros(random.random_range(0..LIFE));
    let mut child = Command::new(scribe)
        .arg(path)
        .arg(seed.to_string())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut out = child.stdout.take().unwrap();
    let mut complaints = child.stderr.take().unwrap();
    let reader = thread::spawn(move || {
        let mut text = String::new();
        out.read_to_string(&mut text).unwrap();
        text
    });
    let ended = AtomicBool::new(false);
    thread::scope(|scope| {
        scope.spawn(|| look_on(path, &ended));
        thread::sleep(life);
        child.kill().unwrap();
        child.wait().unwrap();
        ended.store(true, Ordering::Relaxed);
    });
    let mut said = String::new();
    complaints.read_to_string(&mut said).unwrap();
    assert_eq!(said, "", "the writer stopped by itself");
    let text = reader.join().unwrap();
    // A last line that was cut off was not acknowledged.
    let lines = text
        .split_inclusive('\n')
        .filter(|line| line.ends_with('\n'));
    let mut told = Vec::new();
    for line in lines {
        let mut words = line.split_whitespace();
        while let (Some(seq), Some(hash)) = (words.next(), words.next()) {
            told.push((seq.parse().unwrap(), hash.to_owned()));
        }
    }
    told
}

/// Another process that reads meanwhile: the end of the book only moves on.
fn look_on(path: &Path, ended: &AtomicBool) {
    let mut last = 0;
    while !ended.load(Ordering::Relaxed) {
        match Book::open(path) {
            Ok(book) => {
                let (seq, _) = book.head().unwrap().unwrap();
                assert!(seq >= last, "entry {last} was there, and then only {seq}");
                last = seq;
            }
            Err(error) => assert!(
                matches!(error, BookError::Missing(_)),
                "a reader beside the writer: {error:?}"
            ),
        }
        thread::sleep(Duration::from_millis(7));
    }
}

/// Proves the book; how many entries are in it.
fn check(path: &Path, known: &BTreeMap<u64, String>) -> u64 {
    if !path.exists() {
        assert!(known.is_empty(), "the book is gone");
        return 0;
    }
    let report = verify(path, None, &mut |_| {}).unwrap();
    assert!(report.is_whole(), "{:#?}", report.problems);
    let book = Book::open(path).unwrap();
    let mut batches: HashMap<String, (u64, u64)> = HashMap::new();
    let mut there = BTreeMap::new();
    book.each_entry(1, |entry| {
        let body = entry.body().unwrap();
        if let Body::Note(note) = &body
            && let Some((name, rest)) = note.text.split_once(": ")
            && let Some((_, of)) = rest.split_once(" of ")
            && name.starts_with("batch ")
        {
            let batch = batches.entry(name.to_owned()).or_default();
            *batch = (batch.0 + 1, of.parse().unwrap());
        }
        there.insert(entry.seq, entry.hash.to_string());
        true
    })
    .unwrap();
    for (seq, hash) in known {
        assert_eq!(there.get(seq), Some(hash), "entry {seq} was acknowledged");
    }
    for (batch, (there, of)) in batches {
        assert_eq!(there % of, 0, "{batch} is there by half");
    }
    there.len() as u64
}

#[test]
fn a_killed_writer_leaves_its_lock_free() {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("kill_lock");
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    let path = folder.join("club.book");
    let mut random = Pcg32::seed_from_u64(99);
    while !path.exists() {
        killed(&scribe(), &path, &mut random);
    }
    assert!(Pen::open(&path, "the next").is_ok());
}
