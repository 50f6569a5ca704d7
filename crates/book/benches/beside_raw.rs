//! One durable entry beside a plain SQLite insert of the same bytes with the same settings.
//!
//! Both take turns on the same disk, so that whatever else the machine does meets both alike.

#![allow(clippy::unwrap_used, reason = "a bench that cannot go on may stop")]
#![allow(clippy::print_stdout, reason = "what it prints is what it is for")]

use std::fs;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use book::body::{BookBegun, Fill};
use book::{Body, Draft, Measure, Moment, Pen};
use rusqlite::{Connection, params};

const TURNS: u64 = 3_000;

fn main() {
    let folder = fresh_folder();
    let mut pen = Pen::begin(&folder.join("append.book"), "a bench", &draft(0, begun())).unwrap();
    let raw = raw(&folder.join("raw.sqlite"));
    let (mut ours, mut theirs) = (Vec::new(), Vec::new());
    for n in 1..=TURNS {
        let one = draft(n, fill(n));
        let begin = Instant::now();
        pen.append(&one).unwrap();
        ours.push(begin.elapsed());
        let text = one.body.json().unwrap();
        let begin = Instant::now();
        insert(&raw, n, &one, &text);
        theirs.push(begin.elapsed());
    }
    let rate = |times: &[Duration]| {
        let all: Duration = times.iter().sum();
        TURNS as f64 / all.as_secs_f64()
    };
    let (our_rate, raw_rate) = (rate(&ours), rate(&theirs));
    println!("{TURNS} turns each");
    println!(
        "append  {our_rate:.0} entries/s, median {:?}",
        median(&mut ours)
    );
    println!(
        "raw     {raw_rate:.0} rows/s, median {:?}",
        median(&mut theirs)
    );
    println!(
        "append is {:.0} % of the raw rate",
        100.0 * our_rate / raw_rate
    );
}

fn fresh_folder() -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("beside_raw");
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    folder
}

fn raw(path: &Path) -> Connection {
    let conn = Connection::open(path).unwrap();
    conn.pragma_update(None, "journal_mode", "wal").unwrap();
    conn.pragma_update(None, "synchronous", "full").unwrap();
    conn.execute_batch(
        "CREATE TABLE entry (seq INTEGER PRIMARY KEY, recorded, happened, zone, author, kind,
         version, body, prev, hash)",
    )
    .unwrap();
    conn
}

fn insert(conn: &Connection, n: u64, draft: &Draft, text: &str) {
    let mut statement = conn
        .prepare_cached("INSERT INTO entry VALUES (?1, ?2, ?3, ?4, ?5, ?6, 1, ?7, ?8, ?9)")
        .unwrap();
    let (recorded, happened) = (draft.recorded.0, draft.happened.0);
    let kind = draft.body.kind().name();
    let (prev, hash) = ([7_u8; 32], [9_u8; 32]);
    let values = params![
        n,
        recorded,
        happened,
        draft.zone,
        draft.author,
        kind,
        text,
        prev,
        hash
    ];
    statement.execute(values).unwrap();
}

fn median(times: &mut [Duration]) -> Duration {
    times.sort_unstable();
    times.get(times.len() / 2).copied().unwrap_or_default()
}

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

fn begun() -> BookBegun {
    BookBegun {
        station: "Invented slipway".into(),
        invented: true,
        remark: None,
    }
}

fn fill(n: u64) -> Fill {
    Fill {
        cylinder: format!("C{}", n % 4000),
        person: Some(format!("member {}", n % 600)),
        from: Some(Measure::parse("40 bar").unwrap()),
        to: Some(Measure::parse("232 bar").unwrap()),
        ..Fill::default()
    }
}
