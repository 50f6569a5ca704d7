//! Putting an earlier entry right, or withdrawing it: what was written stays.

use std::path::Path;

use book::body::{Becomes, Correction, Packed};
use book::{Body, Book, Kind, Moment, Pen};

use super::add::{Added, agrees, settled, write};
use super::desk::{self, Signed, Who};
use super::form::{Form, Given, object_of};
use crate::usecase::Trouble;

/// What a correction changes.
pub struct Change<'a> {
    /// Number of the entry.
    pub of: u64,
    /// Why.
    pub why: &'a str,
    /// It did not happen at all.
    pub withdraw: bool,
    /// Fields that should have said something else; an empty text takes one away.
    pub given: Given,
}

/// Puts an earlier entry right. `who.at` is when it really happened, where that changes.
pub fn correct(path: &Path, change: &Change<'_>, who: &Who<'_>) -> Result<Added, Vec<Trouble>> {
    let (mut pen, signed) = desk::pen(path, "fillstead book correct", who)?;
    let moved = who.at.map(|_| signed.happened);
    let now = Signed {
        happened: signed.recorded,
        ..signed
    };
    correct_with(&mut pen, &now, change, moved)
}

/// The same with a pen at hand, signed with the moment in which it is corrected. `moved`: when the
/// entry really happened, where that changes.
pub fn correct_with(
    pen: &mut Pen,
    signed: &Signed,
    change: &Change<'_>,
    moved: Option<Moment>,
) -> Result<Added, Vec<Trouble>> {
    let one = |trouble: Trouble| vec![trouble];
    if change.why.trim().is_empty() {
        let remedy = "say what was wrong, like --why \"wrong cylinder\"";
        return Err(one(Trouble::new("no reason is given", remedy).about("why")));
    }
    let (becomes, changes) = match change.withdraw {
        true => (None, Vec::new()),
        false => {
            let (becomes, changes) = becomes(pen.book(), change, moved)?;
            (Some(becomes), changes)
        }
    };
    let body = Correction {
        of: change.of,
        why: change.why.trim().to_owned(),
        becomes,
    };
    let mut added = write(pen, signed, body.into())?;
    added.remarks.extend(changes);
    Ok(added)
}

/// What a form says differently of two bodies: `to: 232 bar becomes 230 bar`.
fn differences(form: &Form, old: &Body, new: &Body) -> Vec<String> {
    let (old, new) = (form.given(old), form.given(new));
    let text = |given: &Given, name: &str| {
        let found = given.iter().find(|(other, _)| other == name);
        found.map_or("nothing".to_owned(), |(_, text)| text.clone())
    };
    let names = form.fields.iter().map(|field| field.name);
    names
        .filter(|name| text(&old, name) != text(&new, name))
        .map(|name| format!("{name}: {} becomes {}", text(&old, name), text(&new, name)))
        .collect()
}

/// What the entry should have said, and what that changes.
fn becomes(
    book: &Book,
    change: &Change<'_>,
    at: Option<Moment>,
) -> Result<(Becomes, Vec<String>), Vec<Trouble>> {
    let one = |trouble: Trouble| vec![trouble];
    let event = book.event(change.of).map_err(|e| one(e.into()))?;
    let event = event.ok_or_else(|| {
        let remedy = "give the number of the entry itself, as the list of entries shows it";
        one(Trouble::new(
            format!("there is no entry {} to correct", change.of),
            remedy,
        )
        .about("entry"))
    })?;
    let old = event.body.map_err(|error| {
        one(Trouble::new(
            error.to_string(),
            "withdraw it, and enter it anew",
        ))
    })?;
    let kind = old.kind();
    let form = Form::of(kind).ok_or_else(|| no_form(kind))?;
    if change.given.is_empty() && at.is_none() {
        let remedy = "give the fields as they should have been, another time with --at, or \
                      --withdraw if it did not happen";
        return Err(one(Trouble::new("nothing is changed", remedy)));
    }
    let body = form.body_over(object_of(&old), &change.given)?;
    let body = settled(body).map_err(one)?;
    agrees(book, &body)?;
    let entry = Packed::of(&body)
        .map_err(|error| one(Trouble::new(error.to_string(), "check its figures")))?;
    let becomes = Becomes {
        happened: at.map(|at| at.0),
        entry,
    };
    Ok((becomes, differences(form, &old, &body)))
}

/// Why an entry of this kind is not changed field by field.
fn no_form(kind: Kind) -> Vec<Trouble> {
    let what = format!("a {} cannot be changed field by field", kind.called());
    vec![Trouble::new(
        what,
        "withdraw it with --withdraw, and enter it anew",
    )]
}

/// An entry as its form shows it, to be corrected.
pub struct AsTyped {
    /// Its form; none for kinds that are not changed field by field.
    pub form: Option<&'static Form>,
    /// What would have to be typed to get it as it counts today.
    pub given: Given,
}

/// An entry as its form shows it; trouble where there is nothing to correct.
pub fn as_typed(path: &Path, of: u64) -> Result<AsTyped, Trouble> {
    let book = desk::read(path)?;
    let event = book.event(of)?.ok_or_else(|| {
        let remedy = "a correction is corrected by correcting its entry again";
        Trouble::new(format!("there is no entry {of} to correct"), remedy)
    })?;
    let form = event
        .body
        .as_ref()
        .ok()
        .and_then(|body| Form::of(body.kind()));
    let given = match (&event.body, form) {
        (Ok(body), Some(form)) => form.given(body),
        _ => Given::new(),
    };
    Ok(AsTyped { form, given })
}

impl AsTyped {
    /// The fields in which something else was typed.
    pub fn changed(&self, typed: &[(String, String)]) -> Given {
        let was = |name: &str| {
            let found = self.given.iter().find(|(other, _)| other == name);
            found.map_or("", |(_, text)| text.trim())
        };
        let fields = self.form.map_or(&[][..], |form| form.fields);
        let known = typed
            .iter()
            .filter(|(name, _)| fields.iter().any(|f| f.name == name));
        known
            .filter(|(name, text)| text.trim() != was(name))
            .cloned()
            .collect()
    }
}
