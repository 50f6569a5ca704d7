//! What a check of a book found, and what can be done.

use std::fmt;

use crate::entry::{Entry, Moment};
use crate::hash::Hash;

/// So many bad entries are told one by one; the rest are counted.
const TOLD: usize = 20;

/// What was checked.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Part {
    /// The file's length, and the log beside it.
    File,
    /// Tables, indexes and triggers.
    Guards,
    /// Numbers, hashes and bodies of the entries.
    Entries,
    /// The highest number ever given.
    End,
    /// The number and hash noted elsewhere.
    Seal,
    /// What is drawn from the entries.
    Drawn,
    /// How SQLite keeps it all in pages.
    Pages,
}

impl Part {
    /// What people call it.
    pub fn called(self) -> &'static str {
        match self {
            Part::File => "file",
            Part::Guards => "guards",
            Part::Entries => "entries",
            Part::End => "end",
            Part::Seal => "seal",
            Part::Drawn => "drawn tables",
            Part::Pages => "pages",
        }
    }
}

/// Something that is not as it must be.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problem {
    /// Where.
    pub part: Part,
    /// What is wrong.
    pub what: String,
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}", self.part.called(), self.what)
    }
}

/// An entry that is not what was written, as far as it can be read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BadEntry {
    /// Its number.
    pub seq: u64,
    /// Its kind.
    pub kind: Option<String>,
    /// When it was written.
    pub recorded: Option<Moment>,
    /// Who made it.
    pub author: Option<String>,
    /// What is wrong with it.
    pub why: String,
}

impl BadEntry {
    /// One of which nothing reads.
    pub(super) fn unread(seq: u64, why: impl Into<String>) -> BadEntry {
        BadEntry {
            seq,
            kind: None,
            recorded: None,
            author: None,
            why: why.into(),
        }
    }

    /// One that reads and does not hold.
    pub(super) fn of(entry: &Entry, why: impl Into<String>) -> BadEntry {
        BadEntry {
            seq: entry.seq,
            kind: Some(entry.kind.clone()),
            recorded: Some(entry.recorded),
            author: Some(entry.author.clone()),
            why: why.into(),
        }
    }
}

impl fmt::Display for BadEntry {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "entry {}", self.seq)?;
        if let Some(kind) = &self.kind {
            write!(f, " ({kind})")?;
        }
        if let Some(author) = &self.author {
            write!(f, " by {author}")?;
        }
        write!(f, ": {}", self.why)
    }
}

/// Bad entries: the first few, and how many there are.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct BadEntries {
    pub told: Vec<BadEntry>,
    pub count: u64,
}

impl BadEntries {
    pub fn add(&mut self, bad: BadEntry) {
        self.count += 1;
        if self.told.len() < TOLD {
            self.told.push(bad);
        }
    }

    /// Takes in those of a later stretch.
    pub fn extend(&mut self, later: BadEntries) {
        self.count += later.count;
        self.told.extend(later.told);
        self.told.truncate(TOLD);
    }
}

/// How far a check has come.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Progress {
    /// Entries checked.
    pub done: u64,
    /// Entries to check, as far as is known.
    pub total: u64,
}

/// What follows from a check.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// Everything is as it was written.
    Whole,
    /// Every entry is whole; what is drawn from them is not.
    Redraw,
    /// Every entry is whole; the file around them is not.
    Renew,
    /// Entries are gone or altered.
    Broken,
}

impl Verdict {
    /// The same in a sentence, with what to do.
    pub fn sentence(self) -> &'static str {
        match self {
            Verdict::Whole => "the book is whole",
            Verdict::Redraw => {
                "every entry is whole, but what is drawn from them is not: draw it again with \
                 `fillstead book verify --redraw`"
            }
            Verdict::Renew => {
                "every entry is whole, but the file around them is not: keep it as it is, save the \
                 entries with `fillstead book export`, and make a new book of them with `fillstead \
                 book restore`"
            }
            Verdict::Broken => {
                "entries are gone or altered: keep this file as it is, and go on with the last good \
                 backup; `fillstead book export` saves what still reads"
            }
        }
    }
}

/// What a check of a book found.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Report {
    /// Entries that could be read.
    pub entries: u64,
    /// Entries from the first on that hold, up to the first bad one.
    pub good: u64,
    /// The last of those: the seal of what is good.
    pub head: Option<(u64, Hash)>,
    /// Bad entries, the lowest number first; no more than the first few.
    pub bad: Vec<BadEntry>,
    /// How many bad entries there are.
    pub bad_count: u64,
    /// Everything that is not as it must be.
    pub problems: Vec<Problem>,
    /// What is worth knowing and no fault of the book.
    pub notes: Vec<String>,
    /// The drawn tables alone are damaged, as far as pages tell.
    pub(super) pages_of_drawn_only: bool,
}

impl Report {
    /// The first bad entry.
    pub fn first_bad(&self) -> Option<&BadEntry> {
        self.bad.first()
    }

    /// Whether nothing at all is wrong.
    pub fn is_whole(&self) -> bool {
        self.verdict() == Verdict::Whole
    }

    /// What follows.
    pub fn verdict(&self) -> Verdict {
        let has = |part| self.problems.iter().any(|problem| problem.part == part);
        let gone = [Part::File, Part::Entries, Part::End, Part::Seal];
        if self.bad_count > 0 || gone.into_iter().any(has) {
            return Verdict::Broken;
        }
        if has(Part::Guards) || (has(Part::Pages) && !self.pages_of_drawn_only) {
            return Verdict::Renew;
        }
        match has(Part::Drawn) || has(Part::Pages) {
            true => Verdict::Redraw,
            false => Verdict::Whole,
        }
    }

    pub(super) fn problem(&mut self, part: Part, what: impl Into<String>) {
        let what = what.into();
        self.problems.push(Problem { part, what });
    }
}
