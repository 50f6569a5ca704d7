//! From nothing to a book with its station: what a first owner gives, checked all at once.
//!
//! Start at [`begin()`]. The file is made only once everything fits. Not here: the questions
//! ([`super::questions`]), what stands in a new book ([`super::book::begin`]).

use std::path::Path;

use crate::usecase::Trouble;
use crate::usecase::book::begin::{self, NotBegun, known_rule, known_standard};
use crate::usecase::book::desk::Who;
use crate::usecase::clock::Zone;
use crate::usecase::draft::Draft;
use crate::usecase::file::must_be_free;
use crate::usecase::questions::QUESTIONS;
use crate::usecase::station_edit::line_of;

/// What was typed, by names.
pub type Given = [(String, String)];

/// Whether anything is there under the book's name.
pub fn is_there(book: &Path) -> bool {
    book.symlink_metadata().is_ok()
}

/// Whether a book may be begun there: the folder is there, and nothing in the way.
pub fn may_begin(book: &Path) -> Result<(), Trouble> {
    must_be_free(book)?;
    let folder = book
        .parent()
        .filter(|folder| !folder.as_os_str().is_empty());
    match folder.is_none_or(Path::is_dir) {
        true => Ok(()),
        false => Err(Trouble::new(
            format!("the folder for {} is not there", book.display()),
            "make the folder first, or choose another place",
        )),
    }
}

/// A text typed under a name; none where it is empty.
pub fn given<'g>(given: &'g Given, name: &str) -> Option<&'g str> {
    let found = given.iter().rev().find(|(other, _)| other == name)?;
    Some(found.1.trim()).filter(|text| !text.is_empty())
}

/// A rule or a standard to choose from.
pub struct Known {
    /// As it is chosen.
    pub name: String,
    /// As people call it.
    pub called: String,
    /// Where it is from, or what it is for.
    pub source: String,
}

/// Clauses told of a rule, at most.
const CLAUSES: usize = 3;

/// The requalification rules, with the documents they stand in.
pub fn rules() -> Vec<Known> {
    let known = |rule: &insight::cylinder::Rule| {
        let mut documents: Vec<&str> = Vec::new();
        for row in &rule.rows {
            let document = row.source.clause.split(';').next().unwrap_or_default();
            if !documents.contains(&document) && documents.len() < CLAUSES {
                documents.push(document);
            }
        }
        Known {
            name: rule.id.clone(),
            called: format!("{}: {}", rule.id, rule.title),
            source: documents.join("; "),
        }
    };
    insight::cylinder::known_rules().iter().map(known).collect()
}

/// The standards for air, with what each is for.
pub fn standards() -> Vec<Known> {
    let known = |standard: &insight::air::Standard| Known {
        name: standard.name.clone(),
        called: format!("{} ({})", standard.name, standard.edition),
        source: standard.purpose.clone(),
    };
    insight::air::standards().iter().map(known).collect()
}

/// Begins the book.
pub fn begin(book: &Path, typed: &Given) -> Result<(), Vec<Trouble>> {
    let mut troubles = Vec::new();
    let (by, zone) = (given(typed, "by"), given(typed, "zone"));
    let (rule, standard) = (given(typed, "rule"), given(typed, "standard"));
    if by.is_none() {
        let remedy = "give your name or initials: every entry of the book has its author";
        troubles.push(Trouble::new("nobody is named", remedy).about("by"));
    }
    troubles.extend(zone.and_then(|zone| Zone::named(zone).err()));
    troubles.extend(rule.and_then(|rule| known_rule(rule).err()));
    troubles.extend(standard.and_then(|standard| known_standard(standard).err()));
    let text = text(typed).map_err(|more| troubles.extend(more)).ok();
    let Some(text) = text.filter(|_| troubles.is_empty()) else {
        return Err(troubles);
    };
    let asked = begin::Asked {
        text: Some(&text),
        rule,
        standard,
        ..begin::Asked::default()
    };
    let who = Who { by, at: None, zone };
    match begin::begin(book, &asked, &who) {
        Ok(_) => Ok(()),
        Err(NotBegun::Troubles(troubles)) => Err(troubles),
        Err(NotBegun::Unusable(file)) => Err(wrong(&file.text)),
    }
}

/// The text of the station file: pasted whole, else from the answers to the questions.
pub fn text(typed: &Given) -> Result<String, Vec<Trouble>> {
    if let Some((_, file)) = typed
        .iter()
        .find(|(name, file)| name == "file" && !file.trim().is_empty())
    {
        let text = file.replace("\r\n", "\n");
        let wrong = wrong(&text);
        return if wrong.is_empty() {
            Ok(text)
        } else {
            Err(wrong)
        };
    }
    let mut draft = Draft::default();
    let mut troubles = Vec::new();
    for question in &QUESTIONS {
        if let Some(text) = given(typed, question.field) {
            troubles.extend(draft.set(question.field, text).err());
        }
    }
    for missing in draft.missing() {
        if troubles
            .iter()
            .all(|trouble: &Trouble| trouble.field != Some(missing))
        {
            let remedy = match missing {
                "charging-rate" => "give it, or the free air delivered below it",
                _ => "look at the plate, the tag or the stamp and write it down",
            };
            troubles.push(Trouble::new("this must be known", remedy).about(missing));
        }
    }
    match troubles.is_empty() {
        true => draft.text(),
        false => Err(troubles),
    }
}

/// What stops a pasted file, with the lines.
fn wrong(text: &str) -> Vec<Trouble> {
    let error = |problem: &station::Problem| problem.severity == station::Severity::Error;
    let problems = station::read(text).problems.into_iter().filter(error);
    let trouble = |problem: station::Problem| {
        let line = line_of(text, problem.labels.first());
        Trouble::new(format!("{line}: {}", problem.message), problem.remedy).about("file")
    };
    problems.map(trouble).collect()
}
