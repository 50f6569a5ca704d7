//! Keeping a book: is it whole, a copy of it, drawing it anew.

use std::path::Path;

use book::{Book, BookError, Hash, Progress, Report, Verdict, backup, verify};
use serde::Serialize;

use super::desk;
use crate::usecase::Trouble;
use crate::usecase::clock::Zone;

/// What a check found.
#[derive(Clone, Debug, Serialize)]
pub struct Checked {
    /// The book.
    pub book: String,
    /// Whether nothing at all is wrong.
    pub whole: bool,
    /// The same in a sentence, with what to do.
    pub verdict: &'static str,
    /// Entries that could be read.
    pub entries: u64,
    /// Entries from the first on that hold.
    pub good: u64,
    /// The last of those and its hash: the seal of what is good.
    pub seal: Option<String>,
    /// The first bad entry, and the next few.
    pub bad: Vec<Bad>,
    /// How many bad entries there are.
    pub bad_count: u64,
    /// Everything else that is not as it must be.
    pub problems: Vec<String>,
    /// Worth knowing, and no fault of the book.
    pub notes: Vec<String>,
}

/// An entry that is not what was written, as far as it can be read.
#[derive(Clone, Debug, Serialize)]
pub struct Bad {
    /// Its number.
    pub entry: u64,
    /// Its kind.
    pub kind: Option<String>,
    /// When it was written.
    pub recorded: Option<String>,
    /// Who made it.
    pub author: Option<String>,
    /// What is wrong with it.
    pub why: String,
}

/// Checks a book. `seal` is a number and a hash noted from it elsewhere, such as `412:e5337f9a63497798`.
pub fn check(
    path: &Path,
    seal: Option<&str>,
    progress: &mut dyn FnMut(Progress),
) -> Result<Checked, Trouble> {
    let seal = seal.map(|text| sealed(path, text)).transpose()?;
    let report = verify(path, seal, progress)?;
    Ok(checked(path, &report))
}

/// Brings a book of an earlier form up to date, or draws anew what is read from its entries.
pub fn redraw(path: &Path) -> Result<(), Trouble> {
    let mut pen = desk::write(path, "fillstead book verify --redraw")?;
    Ok(pen.redraw()?)
}

/// Brings a book of an earlier form up to date.
pub fn upgrade(path: &Path) -> Result<(), Trouble> {
    drop(desk::write(path, "fillstead book verify --upgrade")?);
    Ok(())
}

/// Copies a book to a file that is not there yet, and checks the copy.
pub fn copy(path: &Path, to: &Path) -> Result<Checked, Trouble> {
    let book = match Book::open(path) {
        Err(BookError::Older { .. }) => desk::read(path)?,
        other => other?,
    };
    let report = backup(&book, to)?;
    Ok(checked(to, &report))
}

fn checked(path: &Path, report: &Report) -> Checked {
    let zone = Book::open(path)
        .ok()
        .and_then(|book| desk::zone(&book).ok());
    let zone = zone.unwrap_or_else(Zone::of_this_machine);
    let verdict = report.verdict();
    Checked {
        book: path.display().to_string(),
        whole: verdict == Verdict::Whole,
        verdict: verdict.sentence(),
        entries: report.entries,
        good: report.good,
        seal: report
            .head
            .map(|(seq, hash)| format!("{seq}:{}", hash.short())),
        bad: report
            .bad
            .iter()
            .map(|bad| Bad {
                entry: bad.seq,
                kind: bad.kind.clone(),
                recorded: bad.recorded.map(|at| zone.exact(at)),
                author: bad.author.clone(),
                why: bad.why.clone(),
            })
            .collect(),
        bad_count: report.bad_count,
        problems: report.problems.iter().map(ToString::to_string).collect(),
        notes: report.notes.clone(),
    }
}

/// A seal as printed: the number, and at least the first sixteen digits of the hash.
fn sealed(path: &Path, text: &str) -> Result<(u64, Hash), Trouble> {
    let wrong = || {
        Trouble::new(
            format!("\"{text}\" is no seal"),
            "write the number, a colon and the sixteen digits, as on the printed sheet: \
             412:e5337f9a63497798",
        )
        .about("seal")
    };
    let (number, digits) = text.trim().split_once(':').ok_or_else(wrong)?;
    let number: u64 = number.trim().parse().map_err(|_| wrong())?;
    let digits = digits.trim().to_lowercase();
    let hex = digits.chars().all(|c| c.is_ascii_hexdigit());
    if !hex || !(16..=64).contains(&digits.len()) {
        return Err(wrong());
    }
    // Sixteen digits stand for the whole where the entry's own hash begins with them.
    let own = Book::open(path).and_then(|book| book.entry(number));
    let own = own.ok().flatten().map(|entry| entry.hash);
    let padded = format!("{digits:0<64}");
    match own.filter(|hash| hash.to_string().starts_with(&digits)) {
        Some(hash) => Ok((number, hash)),
        None => Ok((number, Hash::parse(&padded).ok_or_else(wrong)?)),
    }
}
