//! What is told later of something that is in the book: how much came out of a drain, where a
//! cylinder settled, a reading that was misread. Each is a correction of its entry.

use std::path::Path;

use book::Body;

use super::start::pressure;
use crate::usecase::Trouble;
use crate::usecase::book::correct::{self, Change};
use crate::usecase::book::desk::{self, Who};
use crate::usecase::book::form::Given;

/// How much came out of a drain, told after it: a correction of its entry.
pub fn drained_volume(
    path: &Path,
    of: u64,
    volume: &str,
    by: Option<&str>,
) -> Result<(), Vec<Trouble>> {
    let text = match volume.trim().ends_with(|c: char| c.is_ascii_digit()) {
        true => format!("{} mL", volume.trim()),
        false => volume.trim().to_owned(),
    };
    correct(
        path,
        of,
        "amount measured after the drain",
        vec![("volume".into(), text)],
        by,
    )
}

/// Settled pressures, read once the cylinders are cold: corrections of their fills.
pub fn settled(
    path: &Path,
    of: u64,
    (pressure_text, at): (&str, &str),
    by: Option<&str>,
) -> Result<(), Vec<Trouble>> {
    let settled = pressure("settled", pressure_text).map_err(|t| vec![t])?;
    let mut given: Given = vec![("settled".into(), settled.typed().to_owned())];
    if !at.trim().is_empty() {
        given.push(("settled-at".into(), super::start::degrees(at)));
    }
    correct(path, of, "settled pressure read once cold", given, by)
}

/// A reading put right, or taken back where no other value is given.
pub fn correct_reading(
    path: &Path,
    of: u64,
    value: Option<&str>,
    by: Option<&str>,
) -> Result<(), Vec<Trouble>> {
    let given = match value {
        Some(text) => vec![(
            "value".to_owned(),
            pressure("value", text)
                .map_err(|t| vec![t])?
                .typed()
                .to_owned(),
        )],
        None => Vec::new(),
    };
    correct(path, of, "misread on the run page", given, by)
}

/// Corrects an entry; nothing given takes it back. What it says already is not said again.
fn correct(
    path: &Path,
    of: u64,
    why: &str,
    given: Given,
    by: Option<&str>,
) -> Result<(), Vec<Trouble>> {
    let event = desk::read(path)
        .and_then(|book| Ok(book.event(of)?))
        .map_err(|t| vec![t])?;
    if let Some(event) = event {
        let says = |body: &Body| {
            let form = crate::usecase::book::form::Form::of(body.kind());
            let now = form.map(|form| form.given(body)).unwrap_or_default();
            !given.is_empty() && given.iter().all(|pair| now.contains(pair))
        };
        if event.withdrawn || event.body.as_ref().is_ok_and(says) {
            return Ok(());
        }
    }
    let change = Change {
        of,
        why,
        withdraw: given.is_empty(),
        given,
    };
    let who = Who {
        by,
        ..Who::default()
    };
    correct::correct(path, &change, &who).map(drop)
}
