//! Books to try things on.

use std::fs;
use std::path::{Path, PathBuf};

use book::body::{BookBegun, Note};
use book::{Body, Draft, Moment, Pen};

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
