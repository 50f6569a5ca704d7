//! Books to try things on.

use std::fs;
use std::path::{Path, PathBuf};

use book::body::{Becomes, BookBegun, Correction, Fill, Note, Packed};
use book::{Body, Book, Draft, Entry, Measure, Moment, Pen, Report, verify};
use rusqlite::Connection;

/// 2026-05-20 08:00 UTC.
pub const MORNING: Moment = Moment(1_779_264_000_000_000);

/// An empty folder for this test alone.
pub fn folder(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    folder
}

/// An entry made so many seconds after that morning began.
pub fn draft(seconds: i64, body: impl Into<Body>) -> Draft {
    let at = Moment(MORNING.0 + seconds * 1_000_000);
    Draft {
        recorded: at,
        happened: at,
        zone: "Europe/Dublin".into(),
        author: "MK".into(),
        body: body.into(),
    }
}

/// A note.
pub fn note(text: &str) -> Note {
    Note {
        text: text.into(),
        cylinder: None,
    }
}

/// The first entry.
pub fn first() -> Draft {
    let begun = BookBegun {
        station: "Invented slipway".into(),
        invented: true,
        remark: None,
    };
    draft(0, begun)
}

/// A book just begun in a folder of its own.
pub fn begun(name: &str) -> (PathBuf, Pen) {
    let path = folder(name).join("club.book");
    let pen = Pen::begin(&path, "a test", &first()).unwrap();
    (path, pen)
}

/// A fill of a cylinder for somebody.
pub fn fill(cylinder: &str, to: &str) -> Fill {
    Fill {
        cylinder: cylinder.into(),
        person: Some("a member".into()),
        to: Some(Measure::parse(to).unwrap()),
        ..Fill::default()
    }
}

/// A book of some fills, notes and a correction: so many entries, all in the file, no log beside it.
pub fn written(name: &str, entries: u64) -> PathBuf {
    let (path, mut pen) = begun(name);
    let mut drafts: Vec<Draft> = (2..=entries)
        .map(|n| {
            let seconds = i64::try_from(n).unwrap() * 60;
            match n % 3 {
                0 => draft(seconds, note(&format!("note {n}"))),
                _ => draft(seconds, fill(&format!("C{}", n % 5), "232 bar")),
            }
        })
        .collect();
    let correction = Correction {
        of: 2,
        why: "it was the other one".into(),
        becomes: Some(Becomes {
            happened: Some(MORNING.0 - 5),
            entry: Packed::of(&Body::Fill(fill("C9", "230 bar"))).unwrap(),
        }),
    };
    if let Some(last) = drafts.last_mut() {
        *last = draft(last.recorded.seconds_since(MORNING) as i64, correction);
    }
    pen.append_all(&drafts).unwrap();
    drop(pen);
    assert!(!beside(&path, "-wal").exists());
    path
}

/// The file beside a book with this at the end of its name.
pub fn beside(path: &Path, tail: &str) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(tail);
    name.into()
}

/// Every entry as it is stored.
pub fn entries(path: &Path) -> Vec<Entry> {
    let mut entries = Vec::new();
    let book = Book::open(path).unwrap();
    book.each_entry(1, |entry| {
        entries.push(entry);
        true
    })
    .unwrap();
    entries
}

/// What a check finds.
pub fn proved(path: &Path) -> Report {
    verify(path, None, &mut |_| {}).unwrap()
}

/// A connection that any other program could open, with nothing of ours in it.
pub fn raw(path: &Path) -> Connection {
    Connection::open(path).unwrap()
}
