//! The support-call sheet with this check on it.

use crate::print::html;
use crate::print::support::CheckPart;
use crate::usecase::Trouble;
use crate::usecase::book::desk;
use crate::usecase::book::sheet::{Room, support};
use crate::usecase::diagnose::check::Check;
use crate::usecase::diagnose::text::written;
use crate::web::App;

use super::found::Found;

/// The sheet as a page of its own.
pub fn sheet(app: &App, check: &Check) -> Result<String, Trouble> {
    let book = desk::read(&app.book)?;
    let room = Room::of(&book, None, None)?;
    let drift = app.drift(None).map(|page| {
        let trends = page.trends.iter();
        trends.map(|trend| trend.answer.sentence.clone()).collect()
    });
    let beside = support::Beside {
        check: part(check)?,
        drift: drift.unwrap_or_default(),
        ..support::Beside::default()
    };
    html(&support::sheet(&room, beside)?)
}

fn part(check: &Check) -> Result<Option<CheckPart>, Trouble> {
    let text = written(&check.sent.rows)?;
    let Some(found) = Found::of(check) else {
        // What cannot be worked out is still what was read.
        let headline = match check.sent.rows.is_empty() {
            true => return Ok(None),
            false => "These readings could not be worked out.".to_owned(),
        };
        return Ok(Some(CheckPart {
            headline,
            standing: String::new(),
            unit: "",
            readings: Vec::new(),
            noticed: Vec::new(),
            settings: Vec::new(),
            causes: Vec::new(),
            text,
        }));
    };
    let setting = |s: super::setting::SettingRow| {
        let found = match s.found.is_empty() {
            true => "no reading".to_owned(),
            false => s.found,
        };
        [s.name, s.specified, found, s.verdict.to_owned()]
    };
    Ok(Some(CheckPart {
        headline: found.headline,
        standing: found.standing,
        unit: crate::usecase::diagnose::sent::pressure_unit(check.station.units),
        readings: found.readings.rows,
        noticed: found.noticed,
        settings: found.settings.into_iter().map(setting).collect(),
        causes: found
            .causes
            .into_iter()
            .map(|cause| (cause.chance, cause.name))
            .collect(),
        text,
    }))
}
