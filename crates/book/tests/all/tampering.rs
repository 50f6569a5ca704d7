//! Somebody with a database program and the file: refused, or noticed and named.

use std::path::Path;

use book::{Book, BookError, Entry, Hash, Part, Pen, Report, Verdict, verify};
use rusqlite::{Connection, params};

use crate::common::{entries, proved, raw, written};

const UNGUARDED: &str = "DROP TRIGGER entry_no_update; DROP TRIGGER entry_no_delete;
    DROP TRIGGER entry_next_only; DROP TRIGGER entry_chained;";

/// The triggers as the migration has them, put back by somebody careful.
fn guarded_again(conn: &Connection) {
    let ledger = include_str!("../../src/migrations/0001_ledger.sql");
    let triggers = ledger.split_once("CREATE TRIGGER").unwrap().1;
    conn.execute_batch(&format!("CREATE TRIGGER{triggers}"))
        .unwrap();
}

/// Does it with the guards off, and puts them back.
fn behind_the_guards(path: &Path, sql: &str) {
    let conn = raw(path);
    conn.execute_batch(UNGUARDED).unwrap();
    conn.execute_batch(sql).unwrap();
    guarded_again(&conn);
}

fn parts(report: &Report) -> Vec<Part> {
    let mut parts: Vec<Part> = report.problems.iter().map(|p| p.part).collect();
    parts.dedup();
    parts
}

#[test]
fn the_guards_refuse_every_statement_that_is_not_the_next_entry() {
    let path = written("guards_refuse", 12);
    let before = entries(&path);
    let conn = raw(&path);
    let columns = "recorded, happened, zone, author, kind, version, body, prev, hash";
    let copy = format!("SELECT {columns} FROM entry WHERE seq = 5");
    for sql in [
        "UPDATE entry SET body = '{}' WHERE seq = 5".to_owned(),
        "UPDATE entry SET seq = seq + 100".to_owned(),
        "UPDATE OR REPLACE entry SET seq = 7 WHERE seq = 5".to_owned(),
        "DELETE FROM entry WHERE seq = 12".to_owned(),
        "DELETE FROM entry".to_owned(),
        format!("INSERT OR REPLACE INTO entry SELECT 5, {columns} FROM entry WHERE seq = 6"),
        format!("REPLACE INTO entry SELECT 12, {columns} FROM entry WHERE seq = 6"),
        format!("INSERT OR IGNORE INTO entry SELECT 99, {columns} FROM entry WHERE seq = 6"),
        format!(
            "INSERT INTO entry SELECT 5, {columns} FROM entry WHERE seq = 6
             ON CONFLICT (seq) DO UPDATE SET body = '{{}}'"
        ),
        // A gap; the number of before; a wrong hash before it; no number given.
        format!("INSERT INTO entry SELECT 14, {columns} FROM entry WHERE seq = 12"),
        format!("INSERT INTO entry SELECT 0, {columns} FROM entry WHERE seq = 12"),
        format!("INSERT INTO entry SELECT 13, {columns} FROM entry WHERE seq = 5"),
        format!("INSERT INTO entry ({columns}) {copy}"),
    ] {
        let error = conn.execute(&sql, []).unwrap_err();
        assert!(error.to_string().contains("append-only"), "{sql}: {error}");
        assert!(matches!(BookError::from(error), BookError::Altered(_)));
    }
    drop(conn);
    assert_eq!(entries(&path), before);
    assert!(proved(&path).is_whole());
}

#[test]
fn an_altered_field_is_named() {
    for (name, sql, bad) in [
        (
            "body",
            r#"UPDATE entry SET body = '{"text":"other"}' WHERE seq = 6"#,
            6,
        ),
        (
            "author",
            "UPDATE entry SET author = 'another' WHERE seq = 7",
            7,
        ),
        (
            "recorded",
            "UPDATE entry SET recorded = recorded + 1 WHERE seq = 8",
            8,
        ),
        (
            "happened",
            "UPDATE entry SET happened = happened - 1 WHERE seq = 9",
            9,
        ),
        ("zone", "UPDATE entry SET zone = 'UTC' WHERE seq = 2", 2),
        ("kind", "UPDATE entry SET kind = 'reading' WHERE seq = 3", 3),
        ("version", "UPDATE entry SET version = 2 WHERE seq = 4", 4),
        (
            "hash",
            "UPDATE entry SET hash = zeroblob(32) WHERE seq = 11",
            11,
        ),
        (
            "prev",
            "UPDATE entry SET prev = zeroblob(32) WHERE seq = 10",
            10,
        ),
        (
            "first",
            "UPDATE entry SET author = 'another' WHERE seq = 1",
            1,
        ),
        (
            "last",
            "UPDATE entry SET author = 'another' WHERE seq = 12",
            12,
        ),
    ] {
        let path = written(&format!("altered_{name}"), 12);
        behind_the_guards(&path, sql);
        let report = proved(&path);
        assert_eq!(report.verdict(), Verdict::Broken, "{name}");
        let first = report.first_bad().unwrap();
        assert_eq!(first.seq, bad, "{name}: {first}");
        assert_eq!(report.good, bad - 1, "{name}");
        assert_eq!(report.entries, 12, "{name}: it goes on behind");
        assert!(first.kind.is_some() && first.author.is_some() && first.recorded.is_some());
    }
}

#[test]
fn what_was_taken_out_or_put_in_is_named() {
    for (name, sql, bad) in [
        ("middle", "DELETE FROM entry WHERE seq = 6", 6),
        ("first", "DELETE FROM entry WHERE seq = 1", 1),
        ("several", "DELETE FROM entry WHERE seq BETWEEN 4 AND 6", 4),
        ("end", "DELETE FROM entry WHERE seq > 9", 10),
        ("all", "DELETE FROM entry", 1),
        (
            "swapped",
            "UPDATE entry SET seq = -5 WHERE seq = 5; UPDATE entry SET seq = 5 WHERE seq = 6;
            UPDATE entry SET seq = 6 WHERE seq = -5",
            5,
        ),
        (
            "renumbered",
            "DELETE FROM entry WHERE seq = 6;
            UPDATE entry SET seq = seq - 1 WHERE seq > 6;",
            6,
        ),
        (
            "copied",
            "INSERT INTO entry SELECT 13, recorded, happened, zone, author, kind, version, body,
            prev, hash FROM entry WHERE seq = 12",
            13,
        ),
    ] {
        let path = written(&format!("taken_{name}"), 12);
        behind_the_guards(&path, sql);
        let report = proved(&path);
        assert_eq!(report.verdict(), Verdict::Broken, "{name}");
        let first = report.first_bad().unwrap();
        assert_eq!(first.seq, bad, "{name}: {first}");
        assert_eq!(report.good, bad - 1, "{name}");
    }
}

#[test]
fn an_end_cut_off_is_noticed_before_anything_is_written() {
    let path = written("end_cut_off", 12);
    behind_the_guards(&path, "DELETE FROM entry WHERE seq > 9");
    let error = Pen::open(&path, "a test").unwrap_err();
    assert!(matches!(error, BookError::Altered(_)), "{error}");
    let report = proved(&path);
    assert!(parts(&report).contains(&Part::End));
    assert_eq!(report.head.unwrap().0, 9);
}

#[test]
fn an_end_cut_off_with_its_number_shows_in_what_was_drawn_and_in_a_seal() {
    let path = written("end_cut_off_well", 12);
    let seal = Book::open(&path).unwrap().head().unwrap();
    let cut = "DELETE FROM entry WHERE seq > 9;
        UPDATE sqlite_sequence SET seq = 9 WHERE name = 'entry';";
    behind_the_guards(&path, cut);
    let report = proved(&path);
    assert_eq!(report.verdict(), Verdict::Redraw, "{:?}", report.problems);
    Pen::open(&path, "a test").unwrap().redraw().unwrap();
    assert!(proved(&path).is_whole(), "nothing inside tells it any more");
    let report = verify(&path, seal, &mut |_| {}).unwrap();
    assert_eq!(report.verdict(), Verdict::Broken);
    assert_eq!(parts(&report), [Part::Seal]);
    assert!(report.problems[0].what.contains("entry 12"), "{report:?}");
}

#[test]
fn the_highest_number_put_down_is_noticed() {
    for (name, sql) in [
        (
            "lower",
            "UPDATE sqlite_sequence SET seq = 3 WHERE name = 'entry'",
        ),
        ("gone", "DELETE FROM sqlite_sequence"),
        (
            "higher",
            "UPDATE sqlite_sequence SET seq = 40 WHERE name = 'entry'",
        ),
    ] {
        let path = written(&format!("highest_{name}"), 12);
        raw(&path).execute_batch(sql).unwrap();
        let report = proved(&path);
        assert!(parts(&report).contains(&Part::End), "{name}: {report:?}");
        assert_eq!(report.good, 12);
        assert!(Pen::open(&path, "a test").is_err(), "{name}");
    }
}

/// Every entry from one on written anew, numbers, links and hashes as they must be.
fn rewritten(path: &Path, from: u64) {
    let mut all = entries(path);
    let conn = raw(path);
    conn.execute_batch(UNGUARDED).unwrap();
    let mut prev = Hash::NONE;
    for entry in &mut all {
        if entry.seq == from {
            entry.author = "another".into();
        }
        entry.prev = prev;
        entry.hash = entry.computed_hash();
        prev = entry.hash;
        let Entry { seq, author, .. } = &*entry;
        conn.execute(
            "UPDATE entry SET author = ?2, prev = ?3, hash = ?4 WHERE seq = ?1",
            params![seq, author, entry.prev.0, entry.hash.0],
        )
        .unwrap();
    }
    guarded_again(&conn);
}

#[test]
fn only_a_seal_tells_a_chain_that_was_written_anew() {
    let path = written("written_anew", 12);
    let of = |seq| {
        Some((
            seq,
            Book::open(&path).unwrap().entry(seq).unwrap().unwrap().hash,
        ))
    };
    let (before, at, behind) = (of(4), of(5), of(12));
    rewritten(&path, 5);
    assert!(proved(&path).is_whole());
    let with = |seal| verify(&path, seal, &mut |_| {}).unwrap();
    let kept = with(before);
    assert!(kept.is_whole() && kept.notes.len() == 1, "{kept:?}");
    for seal in [at, behind] {
        let report = with(seal);
        assert_eq!(report.verdict(), Verdict::Broken);
        assert_eq!(parts(&report), [Part::Seal]);
    }
    let nowhere = with(Some((99, Hash::NONE)));
    assert_eq!(parts(&nowhere), [Part::Seal]);
}

#[test]
fn guards_that_were_touched_are_noticed_and_nothing_is_written() {
    for (name, sql, what) in [
        (
            "dropped",
            "DROP TRIGGER entry_no_update",
            "entry_no_update is missing",
        ),
        (
            "added",
            "CREATE TRIGGER extra AFTER INSERT ON entry BEGIN DELETE FROM event; END",
            "extra does not belong here",
        ),
        (
            "named_like_sqlite",
            "CREATE TRIGGER sqlitexextra AFTER INSERT ON entry BEGIN SELECT 1; END",
            "sqlitexextra does not belong here",
        ),
        (
            "table",
            "CREATE TABLE mine (x)",
            "mine does not belong here",
        ),
        (
            "view",
            "CREATE VIEW mine AS SELECT * FROM entry",
            "mine does not belong here",
        ),
        (
            "index",
            "DROP INDEX event_by_kind",
            "event_by_kind is missing",
        ),
        (
            "weaker",
            "DROP TRIGGER entry_no_delete;
            CREATE TRIGGER entry_no_delete BEFORE DELETE ON entry WHEN 0 BEGIN SELECT 1; END",
            "entry_no_delete was changed",
        ),
        (
            "schema",
            "PRAGMA writable_schema = ON;
            UPDATE sqlite_schema SET sql = replace(sql, 'append-only', 'open to all')
                WHERE name = 'entry_no_update'; PRAGMA writable_schema = RESET;",
            "entry_no_update was changed",
        ),
        (
            "schema_gone",
            "PRAGMA writable_schema = ON;
            DELETE FROM sqlite_schema WHERE type = 'trigger'; PRAGMA writable_schema = RESET;",
            "entry_chained is missing",
        ),
    ] {
        let path = written(&format!("guard_{name}"), 12);
        raw(&path).execute_batch(sql).unwrap();
        let error = Pen::open(&path, "a test").unwrap_err();
        assert!(matches!(&error, BookError::Guard(_)), "{name}: {error}");
        let report = proved(&path);
        assert_eq!(
            report.verdict(),
            Verdict::Renew,
            "{name}: {:?}",
            report.problems
        );
        let told = report
            .problems
            .iter()
            .any(|p| p.part == Part::Guards && p.what == what);
        assert!(told, "{name}: {:?}", report.problems);
        assert_eq!((report.good, report.bad_count), (12, 0), "{name}");
        assert_eq!(entries(&path).len(), 12, "{name}: it can still be read");
    }
}

#[test]
fn a_ledger_that_was_dropped_is_noticed() {
    let path = written("dropped_ledger", 12);
    raw(&path).execute_batch("DROP TABLE entry").unwrap();
    let report = proved(&path);
    assert_eq!(report.verdict(), Verdict::Broken);
    assert_eq!(report.first_bad().unwrap().seq, 1);
    assert_eq!((report.entries, report.good), (0, 0));
    assert!(Book::open(&path).is_err());
    assert!(Pen::open(&path, "a test").is_err());
}

#[test]
fn drawn_tables_that_were_touched_are_noticed_and_drawn_again() {
    for (name, sql) in [
        (
            "happened",
            "UPDATE event SET happened = happened + 1 WHERE seq = 5",
        ),
        ("withdrawn", "UPDATE event SET withdrawn = 1 WHERE seq = 5"),
        ("carrier", "UPDATE event SET carrier = 5 WHERE seq = 4"),
        ("kind", "UPDATE event SET kind = 'note' WHERE seq = 4"),
        (
            "uncorrected",
            "UPDATE event SET carrier = seq WHERE seq = 2",
        ),
        ("missing", "DELETE FROM event WHERE seq = 5"),
        ("last", "DELETE FROM event WHERE seq = 11"),
        ("extra", "INSERT INTO event VALUES (99, 99, 5, 'fill', 0)"),
        (
            "corrections",
            "INSERT INTO event VALUES (12, 12, 5, 'correction', 0)",
        ),
        ("about", "DELETE FROM about WHERE seq = 5"),
        (
            "about_name",
            "UPDATE about SET name = 'C77' WHERE seq = 5 AND subject = 'cylinder'",
        ),
        ("about_time", "UPDATE about SET happened = 5 WHERE seq = 5"),
        (
            "about_extra",
            "INSERT INTO about VALUES ('cylinder', 'C1', 5, 5)",
        ),
        (
            "about_swapped",
            "UPDATE about SET name = CASE name WHEN 'C4' THEN 'C0' ELSE 'C4' END
            WHERE seq IN (4, 5) AND subject = 'cylinder'",
        ),
        ("emptied", "DELETE FROM event; DELETE FROM about"),
    ] {
        let path = written(&format!("drawn_{name}"), 12);
        raw(&path).execute_batch(sql).unwrap();
        let report = proved(&path);
        assert_eq!(
            report.verdict(),
            Verdict::Redraw,
            "{name}: {:?}",
            report.problems
        );
        assert_eq!((report.good, report.bad_count), (12, 0), "{name}");
        Pen::open(&path, "a test").unwrap().redraw().unwrap();
        let report = proved(&path);
        assert!(report.is_whole(), "{name}: {:?}", report.problems);
    }
}

/// Long enough that several threads share it: what lies where they meet is seen too.
#[test]
fn a_long_book_is_checked_where_stretches_meet() {
    let path = written("long_book", 2_400);
    let seal = Book::open(&path).unwrap().head().unwrap();
    let mut done = 0;
    let report = verify(&path, seal, &mut |progress| {
        assert!(progress.done >= done && progress.total == 2_400);
        done = progress.done;
    });
    assert!(report.unwrap().is_whole());
    assert_eq!(done, 2_400);
    let whole = std::fs::read(&path).unwrap();
    for (sql, bad) in [
        ("UPDATE entry SET author = 'another' WHERE seq = 1200", 1200),
        (
            "UPDATE entry SET author = 'another' WHERE seq IN (1201, 2000)",
            1201,
        ),
        (
            "UPDATE entry SET author = 'another' WHERE seq IN (77, 2300)",
            77,
        ),
        ("DELETE FROM entry WHERE seq = 1200", 1200),
        ("DELETE FROM entry WHERE seq = 1201", 1201),
        ("DELETE FROM entry WHERE seq BETWEEN 1150 AND 1300", 1150),
        ("DELETE FROM entry WHERE seq > 1100", 1101),
    ] {
        std::fs::write(&path, &whole).unwrap();
        behind_the_guards(&path, sql);
        let report = proved(&path);
        assert_eq!(report.verdict(), Verdict::Broken, "{sql}");
        let first = report.first_bad().unwrap();
        assert_eq!(first.seq, bad, "{sql}: {first}");
        assert_eq!(
            (report.good, report.head.unwrap().0),
            (bad - 1, bad - 1),
            "{sql}"
        );
    }
}

/// A chain joined again behind a cut: each half holds, and they do not fit.
#[test]
fn two_histories_put_together_do_not_fit() {
    let path = written("two_histories", 2_400);
    let other = written("two_histories_other", 2_400);
    rewritten(&other, 900);
    let conn = raw(&path);
    conn.execute_batch(UNGUARDED).unwrap();
    conn.execute("ATTACH ?1 AS other", [other.to_string_lossy()])
        .unwrap();
    conn.execute_batch(
        "DELETE FROM entry WHERE seq > 1200;
         INSERT INTO entry SELECT * FROM other.entry WHERE seq > 1200;",
    )
    .unwrap();
    guarded_again(&conn);
    drop(conn);
    let report = proved(&path);
    let first = report.first_bad().unwrap();
    assert_eq!((first.seq, report.bad_count), (1201, 1), "{first}");
    assert!(first.why.contains("does not follow entry 1200"), "{first}");
}

#[test]
fn a_clock_that_went_back_is_a_note() {
    let (path, mut pen) = crate::common::begun("clock_went_back");
    for seconds in [3600, 3540, 3550, 10] {
        pen.append(&crate::common::draft(seconds, crate::common::note("a")))
            .unwrap();
    }
    drop(pen);
    let report = proved(&path);
    assert!(report.is_whole());
    assert_eq!(
        report.notes,
        ["the clock went back at 2 entries, first at 3 by 60.0 s"]
    );
}
