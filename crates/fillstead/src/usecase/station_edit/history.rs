//! Who changed the station file, when, why, and what.

use std::path::Path;

use book::{Body, Kind, Wanted};

use super::diff::{Line, lines};
use crate::usecase::Trouble;
use crate::usecase::book::desk;

/// One revision of the station file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Revised {
    /// The entry.
    pub seq: u64,
    /// When, in the station's zone.
    pub when: String,
    /// Who.
    pub author: String,
    /// The reason given.
    pub why: Option<String>,
    /// A correction whose text counts instead.
    pub corrected_by: Option<u64>,
    /// What differs from the revision before; none for the first.
    pub lines: Option<Vec<Line>>,
    /// How many lines came and went.
    pub count: (usize, usize),
}

/// Every revision, the latest first.
pub fn history(path: &Path) -> Result<Vec<Revised>, Trouble> {
    let book = desk::read(path)?;
    let zone = desk::zone(&book)?;
    let wanted = Wanted {
        kinds: &[Kind::StationRevised],
        ..Wanted::default()
    };
    let mut before: Option<String> = None;
    let mut all = Vec::new();
    for event in book.events(&wanted)? {
        let Ok(Body::StationRevised(body)) = event.body else {
            continue;
        };
        let lines = before.as_ref().map(|before| lines(before, &body.file));
        let count = |sign| {
            let lines = lines.iter().flatten();
            lines.filter(|line| line.sign == sign).count()
        };
        all.push(Revised {
            seq: event.seq,
            when: zone.minute(event.happened),
            author: event.author,
            why: body.why,
            corrected_by: (event.carrier != event.seq).then_some(event.carrier),
            count: (count('+'), count('-')),
            lines,
        });
        before = Some(body.file);
    }
    all.reverse();
    Ok(all)
}
