//! What bringing a list in would do, or did: told whole before anything is written.

use std::collections::BTreeSet;

use book::Draft;
use serde::Serialize;

/// Something in the sheet that cannot be brought in as it stands.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Problem {
    /// The row, as the spreadsheet numbers it.
    pub row: usize,
    /// The column: its letter and heading; none where the whole row is meant.
    pub column: Option<String>,
    /// What is wrong.
    pub what: String,
    /// What to do about it.
    pub remedy: String,
}

/// A row that is new to the book.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct New {
    /// The row.
    pub row: usize,
    /// What it says, in a line.
    pub line: String,
}

/// A row about something the book knows, with other content.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Changed {
    /// The row.
    pub row: usize,
    /// The cylinder.
    pub cylinder: String,
    /// Each field that changes.
    pub changes: Vec<Change>,
}

/// A field that changes.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Change {
    /// The field.
    pub field: &'static str,
    /// What the book says; nothing where it does not.
    pub old: Option<String>,
    /// What the sheet says.
    pub new: String,
}

/// What was written.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Written {
    /// The first entry.
    pub first: u64,
    /// The last.
    pub last: u64,
    /// The seal of the book up to there.
    pub seal: String,
}

/// How an import goes.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Plan {
    /// The file.
    pub file: String,
    /// What is brought in: `cylinders` or `fills`.
    pub list: &'static str,
    /// How the file was read.
    pub read_as: String,
    /// The row of headings; 0 where there is none.
    pub heading_row: usize,
    /// Each column understood, with its field and the unit of bare numbers.
    pub columns: Vec<(String, &'static str, Option<String>)>,
    /// Columns not understood: nothing of them is kept.
    pub not_understood: Vec<String>,
    /// Columns of an export that the program works out itself.
    pub worked_out: Vec<String>,
    /// Rows of the list looked at.
    pub rows: usize,
    /// New to the book.
    pub new: Vec<New>,
    /// Known, with other content.
    pub changed: Vec<Changed>,
    /// Rows that say what the book says already.
    pub same: usize,
    /// What cannot be brought in.
    pub problems: Vec<Problem>,
    /// Rows with problems.
    pub bad_rows: BTreeSet<usize>,
    /// What to think of.
    pub notes: Vec<String>,
    /// Nothing was to be written.
    pub dry_run: bool,
    /// What was written; none where nothing was.
    pub written: Option<Written>,
    /// What would be written.
    #[serde(skip)]
    pub drafts: Vec<Draft>,
}

impl Plan {
    /// Adds a problem.
    pub fn problem(
        &mut self,
        row: usize,
        column: Option<String>,
        what: impl Into<String>,
        remedy: impl Into<String>,
    ) {
        self.bad_rows.insert(row);
        let (what, remedy) = (what.into(), remedy.into());
        self.problems.push(Problem {
            row,
            column,
            what,
            remedy,
        });
    }
}
