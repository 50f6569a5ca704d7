//! Disks that are full, folders that may not be written, files that somebody else holds.

use std::env;
use std::fs;
use std::io::Write;
use std::path::Path;
use std::process::{Command, Output};

use book::{Book, BookError, Pen, verify};

use crate::common::{beside, draft, entries, folder, note, proved, raw, written};

/// This test's own work in a process of its own, with less leave than the one that runs the tests.
const PLACE: &str = "FILLSTEAD_TEST_PLACE";

fn in_a_shell(script: &str, test: &str, path: &Path) -> Output {
    Command::new("sh")
        .args(["-c", script, "sh"])
        .arg(env::current_exe().unwrap())
        .args(["--exact", test, "--nocapture"])
        .env(PLACE, path)
        .output()
        .unwrap()
}

fn said(output: &Output) -> String {
    let text = [output.stdout.as_slice(), output.stderr.as_slice()].concat();
    String::from_utf8_lossy(&text).into_owned()
}

#[test]
fn a_full_disk_takes_nothing_and_loses_nothing() {
    let path = written("full_disk", 30);
    let before = entries(&path);
    // SQLite says of a file that may not grow what it says of a disk that is full.
    let conn = raw(&path);
    let pages: i64 = conn
        .query_row("PRAGMA page_count", [], |row| row.get(0))
        .unwrap();
    conn.pragma_update(None, "max_page_count", pages).unwrap();
    let long = "x".repeat(50_000);
    let error = conn
        .execute("INSERT INTO about VALUES ('person', ?1, 1, 1)", [long])
        .unwrap_err();
    assert!(matches!(BookError::from(error), BookError::DiskFull));
    drop(conn);
    assert_eq!(entries(&path), before);
    assert!(proved(&path).is_whole());
}

/// A limit on the size of files stands for the end of the disk: the write comes back undone.
#[cfg(target_os = "linux")]
#[test]
fn a_write_that_the_system_refuses_takes_nothing_and_loses_nothing() {
    if let Some(path) = env::var_os(PLACE) {
        write_until_refused(Path::new(&path));
        return;
    }
    let path = written("refused_write", 30);
    let test = "places::a_write_that_the_system_refuses_takes_nothing_and_loses_nothing";
    // Blocks of 512 bytes in some shells, of 1024 in others: 200 or 400 kB.
    let output = in_a_shell("trap '' XFSZ; ulimit -f 400; exec \"$@\"", test, &path);
    let text = said(&output);
    assert!(output.status.success(), "{text}");
    assert!(text.contains("refused after"), "{text}");
    let report = proved(&path);
    assert!(report.is_whole(), "{:?}", report.problems);
    let there = report.entries;
    assert!(
        text.contains(&format!("refused after {there} entries")),
        "{there}: {text}"
    );
    let mut pen = Pen::open(&path, "a test").unwrap();
    assert_eq!(
        pen.append(&draft(9_000, note("on"))).unwrap().seq,
        there + 1
    );
}

#[cfg(target_os = "linux")]
fn write_until_refused(path: &Path) {
    let mut pen = Pen::open(path, "a test").unwrap();
    let mut last = 30;
    let refused = (0..2_000).find_map(|n| {
        let written = pen.append(&draft(9_000 + n, note(&"long ".repeat(2_000))));
        written.map(|written| last = written.seq).err()
    });
    let error = refused.unwrap();
    assert!(
        matches!(error, BookError::Disk(_) | BookError::DiskFull),
        "{error:?}"
    );
    assert_eq!(pen.book().head().unwrap().unwrap().0, last);
    println!("refused after {last} entries");
}

#[cfg(target_os = "linux")]
#[test]
fn in_a_folder_that_may_not_be_written_a_book_is_read() {
    if let Some(path) = env::var_os(PLACE) {
        read_only(Path::new(&path));
        return;
    }
    let path = written("read_only", 30);
    // A name that SQLite could take for more than a name.
    let odd = path.with_file_name("club? 100%#1.book");
    fs::rename(&path, &odd).unwrap();
    fs::remove_file(beside(&path, "-writer")).unwrap();
    let folder = path.parent().unwrap();
    let set = |mode: &str| {
        let set = Command::new("chmod")
            .arg(mode)
            .arg(folder)
            .arg(&odd)
            .status();
        assert!(set.unwrap().success());
    };
    set("a-w");
    let test = "places::in_a_folder_that_may_not_be_written_a_book_is_read";
    // Whoever runs as root may write anywhere unless that leave is given up first.
    let drop = "if [ \"$(id -u)\" = 0 ]; then exec setpriv --bounding-set=-dac_override \
                --inh-caps=-dac_override \"$@\"; fi; exec \"$@\"";
    let output = in_a_shell(drop, test, &odd);
    set("u+w");
    let text = said(&output);
    if text.contains("setpriv: ") {
        // Past the harness, which keeps back what is printed.
        let notice = format!("\nNOT CHECKED HERE: no way to give up root's leave: {text}\n");
        std::io::stderr().write_all(notice.as_bytes()).unwrap();
        return;
    }
    assert!(output.status.success(), "{text}");
    assert!(text.contains("read 30 entries"), "{text}");
}

#[cfg(target_os = "linux")]
fn read_only(path: &Path) {
    println!("read {} entries", entries(path).len());
    assert!(verify(path, None, &mut |_| {}).unwrap().is_whole());
    for error in [
        Pen::open(path, "a test").unwrap_err(),
        Pen::begin(
            &path.with_file_name("new.book"),
            "a test",
            &crate::common::first(),
        )
        .unwrap_err(),
        book::backup(
            &Book::open(path).unwrap(),
            &path.with_file_name("copy.book"),
        )
        .unwrap_err(),
    ] {
        assert!(matches!(error, BookError::ReadOnly(_)), "{error:?}");
    }
}

#[test]
fn a_file_that_another_program_holds_is_told() {
    let path = written("held", 5);
    let mut pen = Pen::open(&path, "a test").unwrap();
    let other = raw(&path);
    other.execute_batch("BEGIN IMMEDIATE").unwrap();
    let error = pen.append(&draft(9_000, note("a"))).unwrap_err();
    assert!(matches!(error, BookError::Locked), "{error:?}");
    assert_eq!(
        Book::open(&path).unwrap().head().unwrap().unwrap().0,
        5,
        "reading goes on"
    );
    other.execute_batch("ROLLBACK").unwrap();
    assert_eq!(pen.append(&draft(9_000, note("a"))).unwrap().seq, 6);
}

#[test]
fn a_file_that_another_program_holds_alone_is_told() {
    let path = written("held_alone", 5);
    let other = raw(&path);
    other
        .execute_batch("PRAGMA locking_mode = EXCLUSIVE; BEGIN EXCLUSIVE")
        .unwrap();
    let error = Book::open(&path).unwrap_err();
    assert!(matches!(error, BookError::Locked), "{error:?}");
}

/// However long a reader looks at an old state, and once it ends the log is cut back.
#[test]
fn a_long_reader_does_not_keep_the_log_large_for_ever() {
    let path = written("long_reader", 5);
    let mut pen = Pen::open(&path, "a test").unwrap();
    let reader = raw(&path);
    reader.execute_batch("BEGIN; SELECT * FROM entry;").unwrap();
    let long = "long ".repeat(100_000);
    for n in 0..60 {
        pen.append(&draft(9_000 + n, note(&long))).unwrap();
    }
    let size = || fs::metadata(beside(&path, "-wal")).unwrap().len();
    assert!(size() > 24 << 20, "{}", size());
    reader.execute_batch("COMMIT").unwrap();
    for n in 0..3 {
        pen.append(&draft(9_900 + n, note(&long))).unwrap();
    }
    assert!(size() <= 17 << 20, "{}", size());
    drop(reader);
    drop(pen);
    assert!(
        !beside(&path, "-wal").exists(),
        "copied into the file at the end"
    );
    assert_eq!(entries(&path).len(), 68);
}

#[test]
fn two_that_begin_the_same_book_do_not_write_into_one_another() {
    for round in 0..8 {
        let path = folder(&format!("begun_twice_{round}")).join("club.book");
        let begin = || Pen::begin(&path, "a test", &crate::common::first()).map(drop);
        let results = std::thread::scope(|scope| {
            let both = [scope.spawn(begin), scope.spawn(begin)];
            both.map(|one| one.join().unwrap())
        });
        let begun = results.iter().filter(|one| one.is_ok()).count();
        assert_eq!(begun, 1, "{results:?}");
        assert_eq!(entries(&path).len(), 1);
        assert!(proved(&path).is_whole());
    }
}

#[test]
fn a_book_that_could_not_be_begun_leaves_nothing_that_looks_like_one() {
    let path = folder("not_begun_at_all").join("club.book");
    let mut wrong = crate::common::first();
    wrong.author = String::new();
    assert!(Pen::begin(&path, "a test", &wrong).is_err());
    let left: Vec<String> = fs::read_dir(path.parent().unwrap())
        .unwrap()
        .map(|file| file.unwrap().file_name().into_string().unwrap())
        .collect();
    assert_eq!(left, ["club.book-writer"], "only the lock's small file");
}
