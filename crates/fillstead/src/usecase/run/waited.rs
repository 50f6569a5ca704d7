//! What waited in a page while the server was away: known again by the moment in which it was made.
//!
//! A page makes that moment unlike any other to the microsecond, and it becomes the moment of the
//! entry. So what is sent twice is found in the book itself, after a restart too.

use book::{Book, Kind, Moment};

use super::log::Log;
use crate::usecase::Trouble;
use crate::usecase::book::desk::Signed;

/// A page's clock may be this far ahead, s.
pub const AHEAD_S: f64 = 60.0;
/// A start that waited longer than this is no run to watch, s.
const OLDEST_S: f64 = 4.0 * 3600.0;

/// The entry of this kind and moment, from this number on.
pub fn made_before(
    book: &Book,
    from: u64,
    kind: Kind,
    made: Moment,
) -> Result<Option<u64>, Trouble> {
    let mut found = None;
    book.each_entry(from, |entry| {
        if entry.kind == kind.name() && entry.happened == made {
            found = Some(entry.seq);
        }
        found.is_none()
    })?;
    Ok(found)
}

/// When a machine was started: when the page said so, where it can mean that; else now. Never
/// before what is in the book, should the clock have gone back.
pub fn started_at(
    made: Option<Moment>,
    latest: Option<&Log>,
    signed: &Signed,
) -> Result<Moment, Trouble> {
    let after = latest.map_or(0, |log| log.last_happened.0 + 1);
    let fits = |at: &Moment| at.0 >= after && at.seconds_since(signed.recorded) < AHEAD_S;
    let Some(made) = made.filter(fits) else {
        return Ok(Moment(signed.happened.0.max(after)));
    };
    if signed.recorded.seconds_since(made) <= OLDEST_S {
        return Ok(made);
    }
    let what = format!(
        "this start is of {}: it waited too long to be watched",
        signed.zone.minute(made)
    );
    let remedy = "enter start and stop in the book, each with its own time";
    Err(Trouble::new(what, remedy))
}
