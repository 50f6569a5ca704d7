//! Editing a station file: what was typed into a form becomes the text a person would have written,
//! judged before it counts.
//!
//! Start at [`Edited::by_form`]. [`sheet`] is what a form shows, [`save`] puts a text in force,
//! [`history`] tells who changed what. Not here: how a text is changed ([`station::edit`]), what is
//! wrong with one ([`station::read`]).

pub mod diff;
pub mod disk;
pub mod history;
pub mod overview;
pub mod save;
pub mod sheet;
#[cfg(test)]
mod tests;

use crate::words::sentence;
use station::edit::{Change, edit};
use station::form::{Table, Written, is_value};
use station::{Problem, Severity};

pub use diff::{Line, lines};

/// What was typed, by paths of the file: `pmv.opens`, `gauge[2].span`.
pub type Typed = Vec<(String, String)>;

/// Before a path: this table is to go.
pub const REMOVE: &str = "remove:";

/// Something to say of a text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Told {
    /// Where; the first is the place itself.
    pub paths: Vec<String>,
    /// Whether it stops saving.
    pub error: bool,
    /// What is wrong, a part of a sentence.
    pub what: String,
    /// What to do, a part of a sentence.
    pub remedy: String,
}

impl Told {
    /// Cause and remedy as sentences.
    pub fn sentences(&self) -> String {
        [&self.what, &self.remedy]
            .iter()
            .filter(|text| !text.is_empty())
            .map(|text| sentence(&text.replace('`', "")))
            .collect::<Vec<_>>()
            .join(" ")
    }
}

/// A text before and after.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Edited {
    /// The text it began with.
    pub before: String,
    /// The text it became.
    pub after: String,
    /// Everything wrong or doubtful in it.
    pub told: Vec<Told>,
}

impl Edited {
    /// What a form makes of a text: only what was typed differently is changed.
    pub fn by_form(before: &str, typed: &Typed) -> Edited {
        let written = match Written::of(before) {
            Ok(written) => written,
            Err(_) => return Edited::by_text(before, before),
        };
        let removed: Vec<&str> = removed(typed).collect();
        let gone = |path: &str| {
            removed.iter().any(|table| {
                path.strip_prefix(table)
                    .is_some_and(|rest| rest.starts_with('.'))
            })
        };
        let wanted = typed
            .iter()
            .filter(|(path, _)| is_value(path) && !gone(path));
        let mut changes: Vec<Change> = wanted
            .filter_map(|(path, text)| change(&written, path, text.trim()))
            .collect();
        let there = removed.iter().filter(|table| written.has(table));
        changes.extend(there.map(|table| Change::Remove((*table).to_owned())));
        match edit(before, &changes) {
            Ok(after) => Edited::by_text(before, &after).with_numbers_of_before(&removed),
            Err(not) => Edited {
                before: before.to_owned(),
                after: before.to_owned(),
                told: vec![Told {
                    paths: vec![not.path],
                    error: true,
                    what: not.cause,
                    remedy: not.remedy,
                }],
            },
        }
    }

    /// A text written by hand.
    pub fn by_text(before: &str, after: &str) -> Edited {
        Edited {
            before: before.to_owned(),
            after: after.to_owned(),
            told: told(after),
        }
    }

    /// Whether it may not be put in force.
    pub fn wrong(&self) -> bool {
        self.told.iter().any(|told| told.error)
    }

    /// Whether anything is different.
    pub fn changed(&self) -> bool {
        self.before != self.after
    }

    /// The lines that differ, with two around them.
    pub fn lines(&self) -> Vec<Line> {
        lines(&self.before, &self.after)
    }

    /// The same with tables of lists numbered as they were before some went, as the form has them.
    fn with_numbers_of_before(mut self, removed: &[&str]) -> Edited {
        for path in self.told.iter_mut().flat_map(|told| &mut told.paths) {
            *path = number_before(path, removed);
        }
        self
    }
}

/// The tables that are to go.
fn removed(typed: &Typed) -> impl Iterator<Item = &str> {
    let asked = typed.iter().filter(|(_, text)| !text.is_empty());
    asked.filter_map(|(name, _)| name.strip_prefix(REMOVE))
}

/// The change a typed text asks for; none where it stands there already.
fn change(written: &Written<'_>, path: &str, typed: &str) -> Option<Change> {
    let stands = written.value(path);
    match (stands, typed) {
        (Some(stands), typed) if stands.trim() == typed => None,
        (None, "") => None,
        (Some(_), "") => Some(Change::Clear(path.to_owned())),
        (_, typed) => Some(Change::Set(path.to_owned(), typed.to_owned())),
    }
}

/// `gauge[1].span` is told of `gauge[2].span` where `gauge[1]` went.
fn number_before(path: &str, removed: &[&str]) -> String {
    let parted = || {
        let (list, rest) = path.split_once('[')?;
        let (number, rest) = rest.split_once(']')?;
        Some((list, number.parse::<usize>().ok()?, rest))
    };
    let Some((list, mut number, rest)) = parted() else {
        return path.to_owned();
    };
    let in_list = removed.iter().filter_map(|table| {
        let number = table.strip_prefix(list)?.strip_prefix('[')?;
        number.strip_suffix(']')?.parse::<usize>().ok()
    });
    let mut gone: Vec<usize> = in_list.collect();
    gone.sort_unstable();
    for gone in gone {
        number += usize::from(gone <= number);
    }
    format!("{list}[{number}]{rest}")
}

/// What reading has to say of a text.
pub fn told(text: &str) -> Vec<Told> {
    let written = Written::of(text).ok();
    let one = |problem: Problem| Told {
        paths: written
            .as_ref()
            .map(|written| written.paths_of(&problem))
            .unwrap_or_default(),
        error: problem.severity == Severity::Error,
        what: match &written {
            Some(_) => problem.message,
            None => format!(
                "{} ({})",
                problem.message,
                line_of(text, problem.labels.first())
            ),
        },
        remedy: problem.remedy,
    };
    station::read(text).problems.into_iter().map(one).collect()
}

/// `line 12`, for a text of which nothing more is known.
pub fn line_of(text: &str, label: Option<&station::Label>) -> String {
    let start = label.map_or(0, |label| label.span.start);
    let before = text.get(..start).unwrap_or(text);
    format!("line {}", before.matches('\n').count() + 1)
}

/// The table a path belongs to, at the top of the file.
pub fn table_of(path: &str) -> Option<&'static Table> {
    let top = path.split(['.', '[']).next().unwrap_or(path);
    station::form::table_named(top)
}

/// A text from a page: browsers end every line with two signs, the file keeps its own.
pub fn from_page(text: &str, before: &str) -> String {
    let plain = text.replace("\r\n", "\n");
    match before.contains("\r\n") {
        true => plain.replace('\n', "\r\n"),
        false => plain,
    }
}
