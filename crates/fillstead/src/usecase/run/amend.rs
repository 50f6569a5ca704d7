//! What is told later of something that is in the book: how much came out of a drain, where a
//! cylinder settled, a reading that was misread. Each is a correction of its entry.
//!
//! Like a tap, a correction that waited in a page while the network was away is known by the moment
//! in which it was made, and is written once; where the entry was corrected since, the later word
//! counts and nothing is written.

use std::path::Path;

use book::{Body, Event, Kind, Moment, Pen};

use super::act::Done;
use super::start::pressure;
use super::waited::{AHEAD_S, made_before};
use crate::usecase::Trouble;
use crate::usecase::book::correct::{self, Change};
use crate::usecase::book::desk::{self, Signed, Who};
use crate::usecase::book::form::{Form, Given};

/// Which entry is corrected, by whom, and when they said so.
#[derive(Clone, Copy, Debug)]
pub struct Told<'a> {
    /// The book.
    pub path: &'a Path,
    /// Number of the entry.
    pub of: u64,
    /// When it was said, microseconds since 1970-01-01 UTC, unlike any other; none: now.
    pub made: Option<i64>,
    /// Who.
    pub by: Option<&'a str>,
}

/// How much came out of a drain, told after it.
pub fn drained_volume(told: &Told<'_>, volume: &str) -> Result<Done, Vec<Trouble>> {
    let text = match volume.trim().ends_with(|c: char| c.is_ascii_digit()) {
        true => format!("{} mL", volume.trim()),
        false => volume.trim().to_owned(),
    };
    let given = vec![("volume".into(), text)];
    correct(told, "amount measured after the drain", given)
}

/// Settled pressures, read once the cylinders are cold.
pub fn settled(told: &Told<'_>, (pressure_text, at): (&str, &str)) -> Result<Done, Vec<Trouble>> {
    let settled = pressure("settled", pressure_text).map_err(|t| vec![t])?;
    let mut given: Given = vec![("settled".into(), settled.typed().to_owned())];
    if !at.trim().is_empty() {
        given.push(("settled-at".into(), super::start::degrees(at)));
    }
    correct(told, "settled pressure read once cold", given)
}

/// A reading put right, or taken back where no other value is given.
pub fn correct_reading(told: &Told<'_>, value: Option<&str>) -> Result<Done, Vec<Trouble>> {
    let value = value.map(|text| pressure("value", text)).transpose();
    let value = value.map_err(|trouble| vec![trouble])?;
    let given = value.map(|value| vec![("value".to_owned(), value.typed().to_owned())]);
    correct(told, "misread on the run page", given.unwrap_or_default())
}

/// Corrects an entry; nothing given takes it back. What it says already is not said again.
fn correct(told: &Told<'_>, why: &str, given: Given) -> Result<Done, Vec<Trouble>> {
    let one = |trouble: Trouble| vec![trouble];
    let who = Who {
        by: told.by,
        ..Who::default()
    };
    let (mut pen, signed) = desk::pen(told.path, "fillstead serve, the run page", &who)?;
    let event = pen.book().event(told.of).map_err(|e| one(e.into()))?;
    let made = made(told, event.as_ref(), signed.recorded);
    if let Some(event) = &event {
        let before = made.map(|at| made_before(pen.book(), told.of, Kind::Correction, at));
        if let Some(seq) = before.transpose().map_err(one)?.flatten() {
            return Ok(Done::Known(seq));
        }
        if says(event, &given) {
            return Ok(Done::Known(event.carrier));
        }
        if let Some(why) = corrected_since(&pen, event, made).map_err(one)? {
            return Ok(Done::Moot(why));
        }
    }
    let change = Change {
        of: told.of,
        why,
        withdraw: given.is_empty(),
        given,
    };
    let signed = Signed {
        happened: made.unwrap_or(signed.recorded),
        ..signed
    };
    let added = correct::correct_with(&mut pen, &signed, &change, None)?;
    Ok(Done::Written(vec![added.seq]))
}

/// The moment in which it was said, where a page can mean it: after the entry, not in the future.
fn made(told: &Told<'_>, event: Option<&Event>, now: Moment) -> Option<Moment> {
    let after = event.map_or(Moment(0), |event| event.happened);
    let fits = |at: &Moment| *at > after && at.seconds_since(now) < AHEAD_S;
    told.made.map(Moment).filter(fits)
}

/// Whether an entry says this already, or is withdrawn.
fn says(event: &Event, given: &Given) -> bool {
    let says = |body: &Body| {
        let form = Form::of(body.kind());
        let now = form.map(|form| form.given(body)).unwrap_or_default();
        !given.is_empty() && given.iter().all(|pair| now.contains(pair))
    };
    event.withdrawn || event.body.as_ref().is_ok_and(says)
}

/// Why a correction that waited says nothing any more, in a sentence.
fn corrected_since(
    pen: &Pen,
    event: &Event,
    made: Option<Moment>,
) -> Result<Option<String>, Trouble> {
    if event.carrier == event.seq {
        return Ok(None);
    }
    let last = pen.book().entry(event.carrier)?;
    let later = last.filter(|last| made.is_some_and(|made| last.happened > made));
    Ok(later.map(|last| {
        format!(
            "Nothing was written: entry {} was corrected since (entry {}, by {}). This is how it \
             stands now.",
            event.seq, last.seq, last.author
        )
    }))
}
