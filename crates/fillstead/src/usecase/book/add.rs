//! Adding an entry: what was typed becomes a body, is held against what the book knows, is written.
//!
//! Not here: fills, which pass the gate first ([`super::gate`]), and corrections
//! ([`super::correct`]).

use std::path::Path;

use book::body::{Outcome, StationRevised};
use book::{Body, Book, Kind, Pen, Subject, Wanted, Written};

use super::begin::{known_rule, known_standard};
use super::desk::{self, Signed, Who, signed};
use super::form::{Form, Given};
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
pub(super) fn settled(body: Body) -> Result<Body, Trouble> {
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
pub(super) fn agrees(book: &Book, body: &Body) -> Result<Vec<String>, Vec<Trouble>> {
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
    let (mut pen, signed) = desk::pen(path, "fillstead book add", who)?;
    write(&mut pen, &signed, body.into())
}
