//! The cartridge tag: the latest change, and the hours since.
//!
//! Not here: what is due; that is given as a text.

use book::Moment;
use book::answer::{Told, hours, parts};
use book::body::{IntervalSet, Part, PartReplaced};
use quantity::TimeSpan;

use super::{Room, doubts, hours as in_hours, joined};
use crate::print::cartridge::{CartridgeTag, Change};
use crate::usecase::Trouble;

/// The tag; `next_due` in the words of whoever knows.
pub fn sheet(room: &Room<'_>, next_due: Option<String>) -> Result<CartridgeTag, Trouble> {
    let parts = parts::in_book(room.book, room.at)?;
    let hours = hours::in_book(room.book, room.now())?;
    let record = parts.part(Part::Cartridge);
    let replaced = record.and_then(|record| record.replaced.as_ref());
    let rated = room.station.as_ref().and_then(|s| s.purifier.rated_hours);
    let mut told: Vec<String> = Vec::new();
    if let Some(replaced) = replaced {
        told.extend(doubted(room, &hours, replaced.happened)?);
    }
    if !parts.unread.is_empty() || !hours.unread.is_empty() {
        told.push("The book holds entries this program cannot read.".to_owned());
    }
    Ok(CartridgeTag {
        head: room.head()?,
        day: room.today()?.to_string(),
        change: replaced.map(|replaced| change(room, replaced, &hours)),
        rated: rated.map(short),
        rated_end: replaced.zip(rated).and_then(|(r, rated)| end(r, rated)),
        interval: record.and_then(|r| r.interval.as_ref()).map(interval),
        next_due,
        doubts: told,
    })
}

fn change(room: &Room<'_>, told: &Told<PartReplaced>, hours: &hours::Hours) -> Change {
    let body = &told.body;
    Change {
        no: told.seq,
        on: room.zone.day_text(told.happened),
        by: body.by.clone().unwrap_or_else(|| told.author.clone()),
        at_hours: body.hours.as_ref().map(ToString::to_string),
        put_in: Some(joined([body.which.clone(), body.detail.clone()], ", "))
            .filter(|text| !text.is_empty()),
        since: since(hours.since(told.happened)),
        corrected: (told.carrier != told.seq).then_some(told.carrier),
    }
}

/// Doubts about the hours since a moment.
fn doubted(room: &Room<'_>, hours: &hours::Hours, since: Moment) -> Result<Vec<String>, Trouble> {
    let mut told = Vec::new();
    for doubt in &hours.doubts {
        let mut late = false;
        for entry in doubt.entries() {
            let event = room.book.event(entry)?;
            late |= event.is_some_and(|event| event.happened > since);
        }
        told.extend(late.then(|| doubts::sentence(doubt)));
    }
    Ok(told)
}

/// Hours with what they rest on: `19.5 h (18.0 h by the meter, 1.5 h by the clock)`.
pub(super) fn since(figure: hours::Figure) -> String {
    let (meter, clock) = (figure.by_meter_h, figure.by_clock_h);
    let all = in_hours(figure.hours());
    match (meter > 0.0, clock > 0.0) {
        (true, true) => format!(
            "{all} ({} by the meter, {} by the clock)",
            in_hours(meter),
            in_hours(clock)
        ),
        (true, false) => format!("{all} by the meter"),
        (false, true) => format!("{all} by the clock"),
        (false, false) => all,
    }
}

/// Hours without needless digits.
fn short(span: TimeSpan) -> String {
    format!("{} h", (span.as_hour() * 100.0).round() / 100.0)
}

/// What the meter shows when the rated hours are over.
fn end(replaced: &Told<PartReplaced>, rated: TimeSpan) -> Option<String> {
    let at = replaced.body.hours.as_ref()?.value();
    Some(short(TimeSpan::hour(at.as_hour() + rated.as_hour())))
}

/// The interval in force: `every 40 h or 12 months (maker's manual, section 5)`.
pub(super) fn interval(told: &Told<IntervalSet>) -> String {
    let body = &told.body;
    let every = joined(
        [
            body.hours.as_ref().map(ToString::to_string),
            body.months.map(|months| format!("{months} months")),
            body.free_air
                .as_ref()
                .map(|air| format!("{air} of free air")),
        ],
        " or ",
    );
    format!("every {every} ({})", body.source)
}
