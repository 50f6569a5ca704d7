//! Adding an entry: what was typed becomes a body, is held against what the book knows, is written.
//!
//! Not here: fills, which pass the gate first ([`super::gate`]).

use std::path::Path;

use book::body::{Becomes, Correction, Outcome, Packed, StationRevised};
use book::{Body, Book, Kind, Pen, Subject, Wanted, Written};

use super::begin::{known_rule, known_standard};
use super::desk::{self, Signed, Who, signed};
use super::form::{Form, Given, object_of};
use crate::usecase::Trouble;
use crate::usecase::station::StationFile;

/// An entry that is in the book.
pub struct Added {
    /// Its number.
    pub seq: u64,
    /// The seal of the book up to here.
    pub seal: String,
    /// What people call its kind.
    pub kind: &'static str,
    /// When it happened, in the station's zone.
    pub happened: String,
    /// Who made it.
    pub author: String,
    /// What to think of: the clock, a run never stopped.
    pub remarks: Vec<String>,
    /// What stands where the hand is.
    pub caution: &'static str,
}

/// Adds an entry of this form.
pub fn add(path: &Path, form: &Form, given: &Given, who: &Who<'_>) -> Result<Added, Vec<Trouble>> {
    let one = |trouble: Trouble| vec![trouble];
    let body = form.body(given);
    let mut pen = desk::write(path, "fillstead book add").map_err(one)?;
    let zone = desk::zone(pen.book()).map_err(one)?;
    let (body, signed) = both(body, signed(who, zone))?;
    let body = settled(body).map_err(one)?;
    let mut added = write(&mut pen, &signed, body)?;
    added.caution = form.caution;
    Ok(added)
}

/// Writes a body down once it agrees with what the book knows.
pub fn write(pen: &mut Pen, signed: &Signed, body: Body) -> Result<Added, Vec<Trouble>> {
    let one = |trouble: Trouble| vec![trouble];
    let remarks = agrees(pen.book(), &body)?;
    let kind = body.kind().called();
    let written = pen.append(&signed.draft(body)).map_err(|e| one(e.into()))?;
    Ok(told(&written, kind, signed, remarks))
}

/// What to say of an entry just written.
pub fn told(written: &Written, kind: &'static str, signed: &Signed, remarks: Vec<String>) -> Added {
    let clock = written.clock_behind.map(|behind| {
        format!(
            "this machine's clock stands {} behind the entry before: set the clock, and correct \
             the time with `book correct` if it is wrong",
            behind_text(behind.as_secs_f64())
        )
    });
    Added {
        seq: written.seq,
        seal: written.hash.short(),
        kind,
        happened: signed.zone.minute(signed.happened),
        author: signed.author.clone(),
        remarks: clock.into_iter().chain(remarks).collect(),
        caution: "",
    }
}

/// A span in its largest sensible unit: `3 min`.
pub fn behind_text(seconds: f64) -> String {
    match seconds {
        s if s < 90.0 => format!("{s:.0} s"),
        s if s < 5400.0 => format!("{:.0} min", s / 60.0),
        s if s < 129_600.0 => format!("{:.0} h", s / 3600.0),
        s => format!("{:.0} days", s / 86_400.0),
    }
}

/// Both, or everything that is wrong with either.
pub fn both<A, B>(
    a: Result<A, Vec<Trouble>>,
    b: Result<B, Vec<Trouble>>,
) -> Result<(A, B), Vec<Trouble>> {
    match (a, b) {
        (Ok(a), Ok(b)) => Ok((a, b)),
        (Err(mut a), Err(b)) => {
            a.extend(b);
            Err(a)
        }
        (Err(troubles), _) | (_, Err(troubles)) => Err(troubles),
    }
}

/// The same body with names written as the program knows them.
fn settled(body: Body) -> Result<Body, Trouble> {
    let Body::RulesChosen(mut rules) = body else {
        return Ok(body);
    };
    if rules.cylinder_rule.is_none() && rules.air_standard.is_none() {
        let remedy = "give --cylinder-rule or --air-standard";
        return Err(Trouble::new("no rule is named", remedy));
    }
    rules.cylinder_rule = rules.cylinder_rule.as_deref().map(known_rule).transpose()?;
    rules.air_standard = rules
        .air_standard
        .as_deref()
        .map(known_standard)
        .transpose()?;
    Ok(rules.into())
}

/// Whether an entry agrees with what the book knows: what does not go is trouble, what is only
/// strange is a remark.
fn agrees(book: &Book, body: &Body) -> Result<Vec<String>, Vec<Trouble>> {
    let one = |trouble: Trouble| vec![trouble];
    match body {
        Body::CylinderInspected(b) => on_register(book, &b.cylinder).map_err(one)?,
        Body::CylinderCondemned(b) => on_register(book, &b.cylinder).map_err(one)?,
        Body::CylinderLeft(b) => on_register(book, &b.cylinder).map_err(one)?,
        Body::SymptomReported(b) => {
            if let Some(id) = &b.cylinder {
                on_register(book, id).map_err(one)?;
            }
        }
        Body::CauseRecorded(b) => explains(book, b.of).map_err(one)?,
        Body::Released(b) => {
            explains(book, b.of).map_err(one)?;
            for id in &b.cylinders {
                on_register(book, id).map_err(one)?;
            }
        }
        _ => {}
    }
    remarks(book, body).map_err(one)
}

fn remarks(book: &Book, body: &Body) -> Result<Vec<String>, Trouble> {
    let last = |kind| book.latest(kind, None);
    Ok(match body {
        Body::RunStarted(_) | Body::RunStopped(_) => {
            let (start, stop) = (last(Kind::RunStarted)?, last(Kind::RunStopped)?);
            let running = start.filter(|start| {
                stop.is_none_or(|stop| (stop.happened, stop.seq) < (start.happened, start.seq))
            });
            match (body, running) {
                (Body::RunStarted(_), Some(run)) => vec![format!(
                    "the run of entry {} was never stopped: add its stop with its own time (--at)",
                    run.seq
                )],
                (Body::RunStopped(_), None) => {
                    vec!["no run was going on: add its start with its own time (--at)".to_owned()]
                }
                _ => Vec::new(),
            }
        }
        _ => Vec::new(),
    })
}

/// That a cylinder is on the register.
pub fn on_register(book: &Book, id: &str) -> Result<(), Trouble> {
    let subject = Subject::Cylinder(id.to_owned());
    let registered = book.events(&Wanted {
        kinds: &[Kind::CylinderRegistered],
        about: Some(&subject),
        latest: Some(1),
        ..Wanted::default()
    })?;
    if !registered.is_empty() {
        return Ok(());
    }
    let known = book.names(&Subject::Cylinder(String::new()))?;
    let known: Vec<&str> = known.iter().map(String::as_str).collect();
    let what = format!("there is no cylinder \"{id}\" on the register");
    let near = crate::usecase::near::nearest(id, known.iter().copied());
    let remedy = match near {
        Some(near) => {
            format!("did you mean {near}? else register it: `book add BOOK cylinder {id}`")
        }
        None => format!("register it with its stamps first: `book add BOOK cylinder {id}`"),
    };
    Err(Trouble::new(what, remedy).about("cylinder"))
}

/// That the entry of this number is one that needs a cause: a symptom, or an air test that did not
/// pass.
fn explains(book: &Book, of: u64) -> Result<(), Trouble> {
    let event = book.event(of)?;
    let fits = match event.as_ref().map(|event| &event.body) {
        Some(Ok(Body::SymptomReported(_))) => true,
        Some(Ok(Body::AirTest(test))) => test.outcome != Outcome::Passes,
        _ => false,
    };
    if fits {
        return Ok(());
    }
    let what = match event {
        Some(event) => format!(
            "entry {of} is no symptom and no failed air test, but a {}",
            event.kind
        ),
        None => format!("there is no entry {of}"),
    };
    let remedy = "give the number of the symptom or the failed air test, as `book due` shows it";
    Err(Trouble::new(what, remedy).about("of"))
}

/// The station file as it stands from here on.
pub fn revise_station(
    path: &Path,
    file: &StationFile,
    why: Option<&str>,
    who: &Who<'_>,
) -> Result<Added, Vec<Trouble>> {
    let one = |trouble: Trouble| vec![trouble];
    let Some(station) = file.station() else {
        let remedy = format!("correct it: `fillstead station check {}`", file.name);
        return Err(one(Trouble::new(
            format!("{} has errors", file.name),
            remedy,
        )));
    };
    let body = StationRevised {
        name: station.name.clone(),
        file: file.text.clone(),
        why: why.map(str::to_owned),
    };
    let mut pen = desk::write(path, "fillstead book add").map_err(one)?;
    let zone = desk::zone(pen.book()).map_err(one)?;
    let signed = signed(who, zone)?;
    write(&mut pen, &signed, body.into())
}

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
    let one = |trouble: Trouble| vec![trouble];
    let mut pen = desk::write(path, "fillstead book correct").map_err(one)?;
    let zone = desk::zone(pen.book()).map_err(one)?;
    let signed = signed(who, zone)?;
    if change.why.trim().is_empty() {
        let remedy = "say what was wrong, like --why \"wrong cylinder\"";
        return Err(one(Trouble::new("no reason is given", remedy).about("why")));
    }
    let (becomes, changes) = match change.withdraw {
        true => (None, Vec::new()),
        false => {
            let (becomes, changes) = becomes(pen.book(), change, &signed, who)?;
            (Some(becomes), changes)
        }
    };
    let body = Correction {
        of: change.of,
        why: change.why.trim().to_owned(),
        becomes,
    };
    let now = Signed {
        happened: signed.recorded,
        ..signed
    };
    let mut added = write(&mut pen, &now, body.into())?;
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
    signed: &Signed,
    who: &Who<'_>,
) -> Result<(Becomes, Vec<String>), Vec<Trouble>> {
    let one = |trouble: Trouble| vec![trouble];
    let event = book.event(change.of).map_err(|e| one(e.into()))?;
    let event = event.ok_or_else(|| {
        let remedy = "give the number of the entry itself, as `book list` shows it";
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
    if change.given.is_empty() && who.at.is_none() {
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
        happened: who.at.map(|_| signed.happened.0),
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
