//! What helps somebody who fills in a form: names the book knows, and what was entered last time.
//!
//! What was read last time is told, not filled in: a figure nobody read is worse than none.

use std::path::Path;

use book::{Book, Subject};

use super::desk;
use super::form::{Form, Given};
use crate::usecase::Trouble;

/// So many persons are offered, those with most fills first.
const MOST: usize = 300;
/// So many cylinders are offered as buttons.
const BUTTONS: usize = 12;

/// What a form may offer.
#[derive(Default)]
pub struct Choices {
    /// Cylinders the book knows.
    pub cylinders: Vec<String>,
    /// Persons it knows.
    pub persons: Vec<String>,
    /// What the last entry of this form says, by field.
    pub last: Given,
    /// When that was.
    pub when: String,
}

/// What this form may offer.
pub fn choices(path: &Path, form: &Form) -> Result<Choices, Trouble> {
    let book = desk::read(path)?;
    let zone = desk::zone(&book)?;
    let last = book.latest(form.kind, None)?;
    let given = last
        .as_ref()
        .and_then(|event| Some(form.given(event.body.as_ref().ok()?)));
    let mut persons = book.names(&Subject::Person(String::new()))?;
    persons.truncate(MOST);
    Ok(Choices {
        cylinders: book.names(&Subject::Cylinder(String::new()))?,
        persons,
        last: given.unwrap_or_default(),
        when: last
            .map(|event| zone.minute(event.happened))
            .unwrap_or_default(),
    })
}

/// The cylinders filled or refused last, latest first, then others of the register.
pub fn at_hand(path: &Path) -> Result<Vec<String>, Trouble> {
    let book = desk::read(path)?;
    let mut names = lately(&book)?;
    for name in book.names(&Subject::Cylinder(String::new()))? {
        if names.len() >= BUTTONS {
            break;
        }
        if !names.contains(&name) {
            names.push(name);
        }
    }
    names.truncate(BUTTONS);
    Ok(names)
}

fn lately(book: &Book) -> Result<Vec<String>, Trouble> {
    let wanted = book::Wanted {
        kinds: &[book::Kind::Fill],
        latest: Some(4 * BUTTONS),
        ..book::Wanted::default()
    };
    let mut names: Vec<String> = Vec::new();
    for event in book.events(&wanted)?.into_iter().rev() {
        if let Ok(book::Body::Fill(fill)) = event.body
            && !names.contains(&fill.cylinder)
        {
            names.push(fill.cylinder);
        }
    }
    Ok(names)
}

/// Every cylinder on the register now.
pub fn registered(path: &Path) -> Result<Vec<String>, Trouble> {
    let register = super::cylinder::all(path, None)?;
    let here = register.cylinders.into_iter().filter(|row| !row.left);
    Ok(here.map(|row| row.gate.cylinder).collect())
}
