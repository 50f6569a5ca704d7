//! Backups, exports and what comes back from them.

use std::fs;
use std::io::Cursor;
use std::sync::atomic::{AtomicBool, Ordering};
use std::thread;

use book::{Book, BookError, Pen, TransferError, backup, export, extend, restore};

use crate::common::{beside, draft, entries, fill, folder, note, proved, raw, written};

fn lines(path: &std::path::Path) -> String {
    let mut out = Vec::new();
    export(&Book::open(path).unwrap(), 1, &mut out).unwrap();
    String::from_utf8(out).unwrap()
}

fn restored(lines: &str, path: &std::path::Path) -> Result<(u64, book::Hash), TransferError> {
    restore(Cursor::new(lines), path, "a test")
}

#[test]
fn a_backup_is_made_while_somebody_writes() {
    let path = written("backup_meanwhile", 60);
    let mut pen = Pen::open(&path, "a test").unwrap();
    let ended = AtomicBool::new(false);
    thread::scope(|scope| {
        scope.spawn(|| {
            let mut n = 0;
            while !ended.load(Ordering::Relaxed) {
                n += 1;
                pen.append(&draft(9_000 + n, fill("C1", "232 bar")))
                    .unwrap();
            }
        });
        let book = Book::open(&path).unwrap();
        for n in 0..8 {
            let to = path.with_file_name(format!("copy {n}.book"));
            let (before, _) = book.head().unwrap().unwrap();
            let report = backup(&book, &to).unwrap();
            let (after, _) = book.head().unwrap().unwrap();
            let (seq, hash) = report.head.unwrap();
            assert!((before..=after).contains(&seq), "{before} {seq} {after}");
            assert!(!beside(&to, "-wal").exists());
            let copy = Book::open(&to).unwrap();
            assert_eq!(copy.head().unwrap(), Some((seq, hash)));
            assert_eq!(book.entry(seq).unwrap().unwrap().hash, hash);
        }
        ended.store(true, Ordering::Relaxed);
    });
    let left: Vec<_> = fs::read_dir(path.parent().unwrap())
        .unwrap()
        .map(|file| file.unwrap().file_name().into_string().unwrap())
        .filter(|name| name.contains("making"))
        .collect();
    assert_eq!(left, [""; 0]);
}

#[test]
fn a_backup_goes_on_as_a_book_of_its_own() {
    let path = written("backup_goes_on", 20);
    let to = path.with_file_name("copy.book");
    backup(&Book::open(&path).unwrap(), &to).unwrap();
    fs::remove_file(&path).unwrap();
    let mut pen = Pen::open(&to, "a test").unwrap();
    assert_eq!(pen.append(&draft(9_000, note("on"))).unwrap().seq, 21);
    drop(pen);
    assert!(proved(&to).is_whole());
}

#[test]
fn a_backup_is_never_written_over_a_file_and_never_made_of_a_damaged_book() {
    let path = written("backup_refused", 20);
    let to = path.with_file_name("letter.txt");
    fs::write(&to, "dear all").unwrap();
    let error = backup(&Book::open(&path).unwrap(), &to).unwrap_err();
    assert!(matches!(error, BookError::Exists(_)), "{error}");
    assert_eq!(fs::read_to_string(&to).unwrap(), "dear all");
    raw(&path)
        .execute_batch("DELETE FROM about WHERE seq = 5")
        .unwrap();
    let to = path.with_file_name("copy.book");
    let error = backup(&Book::open(&path).unwrap(), &to).unwrap_err();
    assert!(matches!(error, BookError::Damaged(_)), "{error}");
    assert!(!to.exists());
    assert_eq!(
        fs::read_dir(path.parent().unwrap())
            .unwrap()
            .filter(|file| {
                file.as_ref()
                    .unwrap()
                    .file_name()
                    .to_string_lossy()
                    .contains("making")
            })
            .count(),
        0
    );
}

#[test]
fn a_book_comes_back_from_its_lines_byte_for_byte() {
    let path = written("byte_for_byte", 40);
    let text = lines(&path);
    assert_eq!(text.lines().count(), 40);
    assert!(
        text.contains(r#""recorded_utc":"2026-05-20T08:00:00.000000Z""#),
        "{text}"
    );
    let again = path.with_file_name("again.book");
    let head = restored(&text, &again).unwrap();
    assert_eq!(Some(head), Book::open(&path).unwrap().head().unwrap());
    assert_eq!(entries(&again), entries(&path));
    assert_eq!(lines(&again), text);
    let report = proved(&again);
    assert!(report.is_whole(), "{:?}", report.problems);
}

/// Entries of a later program, with bodies in a writing of its own.
#[test]
fn bodies_come_back_as_they_were_written_whoever_wrote_them() {
    let path = written("strange_bodies", 3);
    let conn = raw(&path);
    let mut last = entries(&path).pop().unwrap();
    for text in [
        r#"{"b":1.0,"a":1e5 , "a":2,"long":12345678901234567890.123456789}"#,
        "{\n  \"over\": \"several lines\"\n}",
        " [1,2] ",
        r#""caf\u00e9 café""#,
        "{\"tab\":\t1}\r",
    ] {
        let mut next = last.clone();
        next.seq += 1;
        next.kind = "of_tomorrow".into();
        next.version = 7;
        next.text = text.into();
        next.prev = last.hash;
        next.hash = next.computed_hash();
        conn.execute(
            "INSERT INTO entry VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10)",
            rusqlite::params![
                next.seq,
                next.recorded.0,
                next.happened.0,
                next.zone,
                next.author,
                next.kind,
                next.version,
                next.text,
                next.prev.0,
                next.hash.0
            ],
        )
        .unwrap();
        last = next;
    }
    drop(conn);
    Pen::open(&path, "a test").unwrap().redraw().unwrap();
    let report = proved(&path);
    assert!(report.is_whole(), "{:?}", report.problems);
    assert!(
        report.notes[0].contains("5 entries of the kind of_tomorrow"),
        "{:?}",
        report.notes
    );
    let again = path.with_file_name("again.book");
    restored(&lines(&path), &again).unwrap();
    assert_eq!(entries(&again), entries(&path));
    assert!(proved(&again).is_whole());
}

#[test]
fn every_bad_line_is_told_and_no_book_is_made() {
    let path = written("bad_lines", 12);
    let text = lines(&path);
    let again = path.with_file_name("again.book");
    let told = |text: &str| match restored(text, &again).unwrap_err() {
        TransferError::Lines { told, .. } => told,
        other => panic!("{other}"),
    };
    let mut all: Vec<String> = text.lines().map(str::to_owned).collect();
    all[2] = all[2].replace("MK", "ML");
    all[5] = all[5].replace("\"version\":1", "\"version\":\"x\"");
    all[8] = all[8].replace("08:09:00", "08:09:01");
    let cut = all[11].len() / 2;
    all[11].truncate(cut);
    let faults = told(&all.join("\n"));
    let numbers: Vec<u64> = faults.iter().map(|fault| fault.line).collect();
    assert!(
        [3, 6, 9, 12].iter().all(|n| numbers.contains(n)),
        "{faults:#?}"
    );
    assert!(faults[0].what.contains("hash"), "{faults:#?}");
    assert!(
        faults.last().unwrap().what.contains("cut off"),
        "{faults:#?}"
    );
    assert!(!again.exists());

    let mut without: Vec<&str> = text.lines().collect();
    without.remove(4);
    assert_eq!(told(&without.join("\n"))[0].line, 5);
    let mut swapped: Vec<&str> = text.lines().collect();
    swapped.swap(4, 5);
    assert_eq!(told(&swapped.join("\n"))[0].line, 5);
    assert_eq!(told("dear all\n")[0].line, 1);
    assert_eq!(told("\u{0}\u{1}\n{}\n[]\nnull\n").len(), 4);
    assert!(matches!(
        restored("\n\n", &again),
        Err(TransferError::Empty)
    ));
    let behind: String = text.split_inclusive('\n').skip(3).collect();
    let error = restored(&behind, &again).unwrap_err();
    assert!(
        matches!(error, TransferError::Gap { first: 4, last: 0 }),
        "{error}"
    );
    assert!(!again.exists());
    assert!(restored(&text, &path).is_err(), "never over another file");
    restored(&text, &again).unwrap();
}

/// A chain that holds and whose correction corrects nothing.
#[test]
fn a_line_that_no_book_would_take_is_told() {
    let path = written("no_book_would_take", 5);
    let text = lines(&path);
    let mut last = entries(&path).pop().unwrap();
    last.text = r#"{"of":77,"why":"x","becomes":null}"#.into();
    last.hash = last.computed_hash();
    let mut all: Vec<&str> = text.lines().collect();
    let line = serde_json::json!({
        "seq": last.seq, "recorded": last.recorded.0, "happened": last.happened.0,
        "zone": last.zone, "author": last.author, "kind": last.kind, "version": last.version,
        "body_text": last.text, "prev": last.prev.to_string(), "hash": last.hash.to_string(),
    });
    let line = line.to_string();
    all[4] = &line;
    let again = path.with_file_name("again.book");
    match restored(&all.join("\n"), &again).unwrap_err() {
        TransferError::Lines { told, count: 1 } => {
            assert_eq!(told[0].line, 5);
            assert!(told[0].what.contains("no entry 77"), "{told:?}");
        }
        other => panic!("{other}"),
    }
}

#[test]
fn a_book_goes_on_with_the_lines_of_its_own_history_only() {
    let path = written("goes_on", 12);
    let there = lines(&path);
    let second = path.with_file_name("second.book");
    restored(&there, &second).unwrap();
    let mut pen = Pen::open(&path, "a test").unwrap();
    for n in 0..5 {
        pen.append(&draft(9_000 + n, fill("C1", "232 bar")))
            .unwrap();
    }
    drop(pen);
    let longer = lines(&path);
    let mut other = Pen::open(&second, "a test").unwrap();
    assert_eq!(extend(&mut other, Cursor::new(&there)).unwrap(), 0);
    assert_eq!(extend(&mut other, Cursor::new(&longer)).unwrap(), 5);
    assert_eq!(extend(&mut other, Cursor::new(&longer)).unwrap(), 0);
    assert_eq!(extend(&mut other, Cursor::new(&there)).unwrap(), 0);
    drop(other);
    assert_eq!(entries(&second), entries(&path));
    assert!(proved(&second).is_whole());

    // From here on each writes for itself.
    for (path, text) in [(&path, "here"), (&second, "there")] {
        let mut pen = Pen::open(path, "a test").unwrap();
        pen.append_all(&[draft(9_100, note(text)), draft(9_101, note("more"))])
            .unwrap();
    }
    let mut other = Pen::open(&second, "a test").unwrap();
    let before = other.book().head().unwrap();
    let parted = extend(&mut other, Cursor::new(lines(&path))).unwrap_err();
    assert!(
        matches!(parted, TransferError::Differs { seq: 18 }),
        "{parted}"
    );
    let behind: String = lines(&path).split_inclusive('\n').skip(18).collect();
    let parted = extend(&mut other, Cursor::new(behind)).unwrap_err();
    assert!(
        matches!(parted, TransferError::Differs { seq: 19 }),
        "{parted}"
    );
    assert_eq!(other.book().head().unwrap(), before);
}

#[test]
fn part_of_a_history_may_come_alone_but_not_with_a_gap() {
    let path = written("part_alone", 12);
    let text = lines(&path);
    let of = |from: usize, to: usize| -> String {
        text.split_inclusive('\n')
            .skip(from - 1)
            .take(to + 1 - from)
            .collect()
    };
    let second = folder("part_alone_second").join("second.book");
    restored(&of(1, 5), &second).unwrap();
    let mut pen = Pen::open(&second, "a test").unwrap();
    let gap = extend(&mut pen, Cursor::new(of(8, 12))).unwrap_err();
    assert!(
        matches!(gap, TransferError::Gap { first: 8, last: 5 }),
        "{gap}"
    );
    assert_eq!(extend(&mut pen, Cursor::new(of(6, 8))).unwrap(), 3);
    assert_eq!(extend(&mut pen, Cursor::new(of(7, 12))).unwrap(), 4);
    drop(pen);
    assert_eq!(entries(&second), entries(&path));
}
