//! The log a page at a time: by day, person, cylinder and kind, latest first.
//!
//! Not here: the whole list in order ([`super::list`]).

use std::path::Path;

use book::body::{Body, Kind};
use book::{Event, Subject, Wanted};

use super::desk;
use super::list::{self, Row, period, row};
use crate::usecase::Trouble;
use crate::usecase::clock::Zone;
use crate::usecase::units::both;

/// So many lines on a page.
pub const LINES: usize = 40;
/// No page is further back: older ones are found by their day.
const MOST_PAGES: usize = 500;

/// Which entries, as typed.
#[derive(Clone, Debug, Default)]
pub struct Asked {
    /// Of this day, or from it on where `to` is given too.
    pub day: Option<String>,
    /// To the end of this day.
    pub to: Option<String>,
    /// About this person.
    pub person: Option<String>,
    /// About this cylinder.
    pub cylinder: Option<String>,
    /// `fills` where nothing is said; `everything`, or the name of a form or kind.
    pub kind: Option<String>,
    /// Which page, the latest being 0.
    pub page: usize,
}

/// A line of the log.
pub struct Line {
    /// The entry.
    pub row: Row,
    /// A fill, or a refusal, in columns.
    pub fill: Option<Fill>,
}

/// A fill in columns; what was not written down is empty.
#[derive(Default)]
pub struct Fill {
    /// The cylinder.
    pub cylinder: String,
    /// Gauge before.
    pub from: String,
    /// Gauge at the stop.
    pub to: String,
    /// Gauge once cold, and how warm it was then.
    pub settled: String,
    /// For whom.
    pub person: String,
    /// What else: refused, overridden, remark.
    pub note: String,
}

/// A page of the log.
pub struct Log {
    /// The lines, latest first.
    pub lines: Vec<Line>,
    /// Whether they are fills and refusals alone.
    pub fills: bool,
    /// The zone of its times.
    pub zone: String,
    /// Which page it is.
    pub page: usize,
    /// Whether there are older ones.
    pub older: bool,
}

/// The page asked for.
pub fn log(path: &Path, asked: &Asked) -> Result<Log, Trouble> {
    let book = desk::read(path)?;
    let zone = desk::zone(&book)?;
    let (kinds, fills) = kinds(asked.kind.as_deref())?;
    let to = asked.to.as_deref().or(asked.day.as_deref());
    let (from, until) = period(asked.day.as_deref(), to, &zone)?;
    let cylinder = asked.cylinder.clone().map(Subject::Cylinder);
    let person = asked.person.clone().map(Subject::Person);
    let both = cylinder.is_some() && person.is_some();
    let page = asked.page.min(MOST_PAGES);
    let wanted = Wanted {
        kinds: &kinds,
        about: cylinder.as_ref().or(person.as_ref()),
        from,
        until,
        withdrawn: true,
        // Where a second name chooses too, how many are needed cannot be known before.
        latest: (!both).then_some((page + 1) * LINES + 1),
    };
    let mut events = book.events(&wanted)?;
    if let (true, Some(person)) = (both, &asked.person) {
        events.retain(|event| of_person(event, person));
    }
    events.reverse();
    let older = events.len() > (page + 1) * LINES;
    let shown = events.iter().skip(page * LINES).take(LINES);
    Ok(Log {
        lines: shown.map(|event| line(event, &zone)).collect(),
        fills,
        zone: zone.name.clone(),
        page,
        older,
    })
}

fn kinds(name: Option<&str>) -> Result<(Vec<Kind>, bool), Trouble> {
    match name {
        None | Some("fills") => Ok((vec![Kind::Fill, Kind::FillRefused], true)),
        Some("everything") => Ok((Vec::new(), false)),
        other => Ok((list::kinds(other)?, false)),
    }
}

fn of_person(event: &Event, name: &str) -> bool {
    match &event.body {
        Ok(Body::Fill(fill)) => fill.person.as_deref() == Some(name),
        Ok(Body::FillRefused(refused)) => refused.person.as_deref() == Some(name),
        Ok(Body::SymptomReported(symptom)) => symptom.person.as_deref() == Some(name),
        _ => false,
    }
}

fn line(event: &Event, zone: &Zone) -> Line {
    let fill = match &event.body {
        Ok(Body::FillRefused(refused)) => Some(Fill {
            cylinder: refused.cylinder.clone(),
            to: refused.asked.as_ref().map(both).unwrap_or_default(),
            person: refused.person.clone().unwrap_or_default(),
            note: refusals(&refused.refusals),
            ..Fill::default()
        }),
        Ok(Body::Fill(fill)) => Some(in_columns(fill)),
        _ => None,
    };
    Line {
        row: row(event, zone),
        fill,
    }
}

fn refusals(of: &[book::body::Refusal]) -> String {
    let what: Vec<&str> = of.iter().map(|refusal| refusal.what.as_str()).collect();
    format!("not filled: {}", what.join("; "))
}

fn in_columns(fill: &book::body::Fill) -> Fill {
    let settled = fill.settled.as_ref().map(both).unwrap_or_default();
    let settled = match &fill.settled_at {
        None => settled,
        Some(at) => format!("{settled} at {}", both(at)),
    };
    let gate = fill.gate.as_ref();
    let over = gate.into_iter().flat_map(|gate| &gate.overridden);
    let mut note: Vec<String> = over
        .map(|over| {
            format!(
                "{} overridden by {}: {}",
                over.refusal, over.by, over.reason
            )
        })
        .collect();
    let against = gate.into_iter().flat_map(|gate| &gate.against);
    note.extend(against.map(|refusal| format!("filled although {}", refusal.what)));
    note.extend(
        fill.from_bank
            .as_ref()
            .map(|bank| format!("from bank {bank}")),
    );
    note.extend(fill.remark.clone());
    Fill {
        cylinder: fill.cylinder.clone(),
        from: fill.from.as_ref().map(both).unwrap_or_default(),
        to: fill.to.as_ref().map(both).unwrap_or_default(),
        settled,
        person: fill.person.clone().unwrap_or_default(),
        note: note.join("; "),
    }
}
