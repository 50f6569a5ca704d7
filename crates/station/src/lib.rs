//! The station file: TOML a person writes at the machine, read into a [`Station`].
//!
//! Start at [`read()`]. It never stops at the first problem: a [`Reading`] holds the station
//! if nothing required is missing, every [`Problem`] with its place, cause and remedy, and every
//! default [`Assumed`]. [`new_file`] writes a commented file to begin with.
//! Not here: files and disks (the caller gives the text), carets and colours, any physics beyond
//! the pressure of the air at an altitude, and any judgement of rules and standards.

mod atmosphere;
mod check;
mod date;
pub mod edit;
mod facts;
mod fields;
pub mod form;
mod keys;
pub mod model;
mod problem;
mod read;
mod section;
mod suggest;
mod syntax;
mod unreadable;
mod write;

pub use date::Date;
pub use model::*;
pub use problem::{Assumed, Label, Problem, ProblemId, Reading, Severity};
pub use write::{AnsweredDelivery, AnsweredKind, AnsweredPmv, AnsweredSize, Answers, new_file};

/// Reads a station file.
///
/// All problems are found, not only the first; where the text is not TOML nothing behind that
/// place can be judged. Spans are bytes of `text`, a leading byte-order mark included.
pub fn read(text: &str) -> Reading {
    let entries = match syntax::parse(text) {
        Ok(entries) if entries.is_empty() => return nothing(vec![empty_file(text)]),
        Ok(entries) => entries,
        Err(problems) => return nothing(problems),
    };
    let facts = facts::Facts::new(text, &entries);
    let notes = section::Notes::default();
    let station = read::station(&facts, &notes);
    let mut problems = keys::look(&entries);
    problems.append(&mut notes.problems.borrow_mut());
    problems.extend(check::all(&facts));
    problems.sort_by_key(|p| p.labels.first().map(|l| l.span.start));
    Reading {
        station,
        problems,
        assumed: notes.assumed.into_inner(),
    }
}

/// A reading without a station.
fn nothing(problems: Vec<Problem>) -> Reading {
    Reading {
        station: None,
        problems,
        assumed: Vec::new(),
    }
}

fn empty_file(text: &str) -> Problem {
    Problem::new(
        ProblemId::EmptyFile,
        "the file says nothing".into(),
        Label::new(0..text.trim_end().len(), "no table in it"),
        "begin with [station] and name = \"...\", or let the program write a file to begin with"
            .into(),
    )
}
