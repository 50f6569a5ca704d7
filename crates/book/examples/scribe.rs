//! A writer that is made to be killed: enters what comes to its mind as fast as it can, and says of
//! each entry that it is in the book, once it is.
//!
//! `scribe BOOK SEED`. One line for each call that came back: numbers and hashes of what it wrote.

#![allow(clippy::print_stdout, reason = "what it prints is what it is for")]

use std::env;
use std::error::Error;
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::thread;

use book::body::{Becomes, BookBegun, Correction, Fill, Note, Packed, Reading};
use book::{Amount, Body, Book, Draft, Measure, Moment, Pen, Wanted};

fn main() -> Result<(), Box<dyn Error>> {
    let mut args = env::args().skip(1);
    let path = PathBuf::from(args.next().ok_or("which book?")?);
    let seed: u64 = args.next().ok_or("which seed?")?.parse()?;
    let mut pen = match path.exists() {
        true => Pen::open(&path, "a scribe")?,
        false => Pen::begin(&path, "a scribe", &draft(begun()))?,
    };
    read_meanwhile(&path);
    let mut out = io::stdout().lock();
    for turn in seed.. {
        let last = pen.book().head()?.map_or(0, |(seq, _)| seq);
        let drafts = some(turn, last)?;
        let written = match drafts.as_slice() {
            [one] => vec![pen.append(one)?],
            more => pen.append_all(more)?,
        };
        let told: Vec<String> = written
            .iter()
            .map(|entry| format!("{} {}", entry.seq, entry.hash))
            .collect();
        writeln!(out, "{}", told.join(" "))?;
        out.flush()?;
    }
    Ok(())
}

/// Readers beside the writer, as the pages of a server are.
fn read_meanwhile(path: &Path) {
    let path = path.to_owned();
    thread::spawn(move || -> Result<(), book::BookError> {
        let book = Book::open(&path)?;
        loop {
            let wanted = Wanted {
                latest: Some(50),
                ..Wanted::default()
            };
            book.events(&wanted)?;
            thread::yield_now();
        }
    });
}

/// What is entered this time: one entry, or a batch that is there whole or not at all.
fn some(turn: u64, last: u64) -> Result<Vec<Draft>, Box<dyn Error>> {
    Ok(match turn % 7 {
        0 => (0..5).map(|n| draft(batch(turn, n, 5))).collect(),
        1 | 4 => vec![draft(fill(turn)?)],
        2 => vec![draft(Reading {
            of: "tower".into(),
            value: Some(Amount::parse("210 bar")?),
            observed: None,
        })],
        // Of the kind the first entry has: it is always there, and never a correction.
        3 => vec![draft(Correction {
            of: 1,
            why: "its name was misheard".into(),
            becomes: Some(Becomes {
                happened: None,
                entry: Packed::of(&begun())?,
            }),
        })],
        5 => vec![draft(long(turn, last))],
        _ => (0..40).map(|n| draft(batch(turn, n, 40))).collect(),
    })
}

fn begun() -> Body {
    BookBegun {
        station: "Invented slipway".into(),
        invented: true,
        remark: None,
    }
    .into()
}

fn fill(turn: u64) -> Result<Fill, Box<dyn Error>> {
    Ok(Fill {
        cylinder: format!("C{}", turn % 40),
        person: Some("a member".into()),
        to: Some(Measure::parse("232 bar").map_err(|error| error.to_string())?),
        ..Fill::default()
    })
}

/// Longer than a page, so that it is kept in several.
fn long(turn: u64, last: u64) -> Note {
    Note {
        text: format!("turn {turn} behind entry {last}: {}", "long ".repeat(2_000)),
        cylinder: None,
    }
}

fn batch(turn: u64, n: u64, of: u64) -> Note {
    Note {
        text: format!("batch {turn}: {n} of {of}"),
        cylinder: Some(format!("C{n}")),
    }
}

fn draft(body: impl Into<Body>) -> Draft {
    let at = Moment(1_779_264_000_000_000);
    Draft {
        recorded: at,
        happened: at,
        zone: "Europe/Dublin".into(),
        author: "MK".into(),
        body: body.into(),
    }
}
