//! The ledger as lines of JSON, out of a book and into one, byte for byte.
//!
//! Not here: the lines themselves (the crate `book`).

use std::fs::File;
use std::io::{self, BufRead, BufReader};
use std::path::Path;

use book::{Book, TransferError};

use crate::usecase::Trouble;
use crate::usecase::book::desk::{holder, write};

/// So many damaged lines are named.
const NAMED: usize = 5;

/// What came of bringing lines in.
#[derive(Clone, Debug, PartialEq)]
pub struct Brought {
    /// A new book was made of them.
    pub new: bool,
    /// How many entries were added.
    pub added: u64,
    /// The last entry.
    pub last: u64,
    /// The seal of the book up to there.
    pub seal: String,
}

/// Every entry, one a line.
pub fn lines(book: &Book) -> Result<String, Trouble> {
    let mut bytes = Vec::new();
    book::export(book, 1, &mut bytes).map_err(|error| trouble(&error))?;
    String::from_utf8(bytes).map_err(|error| {
        let what = format!("the entries are not text: {error}");
        Trouble::new(what, "run `fillstead book verify`")
    })
}

/// Brings lines in: into a new book, or behind the entries of a book of the same history.
pub fn bring(path: &Path, file: &Path) -> Result<Brought, Trouble> {
    const DOING: &str = "fillstead book import";
    let lines = open(file)?;
    if path.symlink_metadata().is_err() {
        let (last, hash) = book::restore(lines, path, &holder(DOING)).map_err(|e| trouble(&e))?;
        return Ok(Brought {
            new: true,
            added: last,
            last,
            seal: hash.short(),
        });
    }
    let mut pen = write(path, DOING)?;
    let added = book::extend(&mut pen, lines).map_err(|error| trouble(&error))?;
    let (last, seal) = match pen.book().head()? {
        Some((last, hash)) => (last, hash.short()),
        None => (0, String::new()),
    };
    Ok(Brought {
        new: false,
        added,
        last,
        seal,
    })
}

fn open(file: &Path) -> Result<Box<dyn BufRead>, Trouble> {
    if file == Path::new("-") {
        return Ok(Box::new(BufReader::new(io::stdin())));
    }
    let opened = File::open(file).map_err(|error| {
        let name = file.display();
        match error.kind() {
            io::ErrorKind::NotFound => Trouble::new(
                format!("there is no file {name}"),
                "check the name and the folder",
            ),
            _ => Trouble::new(
                format!("{name} cannot be read: {error}"),
                "check the disk and who may read it, or copy it elsewhere first",
            ),
        }
    })?;
    Ok(Box::new(BufReader::new(opened)))
}

fn trouble(error: &TransferError) -> Trouble {
    let what = match error {
        TransferError::Lines { told, count } => {
            let named: Vec<String> = told.iter().take(NAMED).map(ToString::to_string).collect();
            let first = if *count as usize > NAMED {
                ", first"
            } else {
                ""
            };
            format!(
                "{count} of the lines are not as they were written{first}: {}",
                named.join("; ")
            )
        }
        other => other.to_string(),
    };
    Trouble::new(what, error.remedy())
}
