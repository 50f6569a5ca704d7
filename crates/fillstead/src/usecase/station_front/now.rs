//! What is known of now: a line of figures, each with where it comes from.

use book::answer::runs::Run;
use book::body::{Body, Part};
use book::{Book, Kind, Measure, Wanted};
use insight::upkeep::{DueItem, State};
use quantity::{GaugePressure, Quantity, UnitSystem};
use station::Station;

use crate::usecase::Trouble;
use crate::usecase::book::due::due_of;
use crate::usecase::book::records::Records;
use crate::usecase::clock::{self, Zone};

/// A reading of the tower older than so many starts, stops and readings tells nothing of now.
const LOOKED_THROUGH: usize = 400;

/// One figure.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Cell {
    /// What it is.
    pub label: &'static str,
    /// The figure, or words.
    pub value: String,
    /// Its unit.
    pub unit: &'static str,
    /// Where it comes from, what it means.
    pub note: String,
    /// The symbol before it; none where nothing is out of the way.
    pub symbol: &'static str,
    /// Where it is put right: address and words.
    pub way: (&'static str, &'static str),
}

/// The figures, and what to think of; `read` is the tower as [`last_tower`] found it.
pub fn cells(
    book: &Book,
    zone: &Zone,
    station: &Station,
    read: Option<(GaugePressure, String)>,
    locked: bool,
) -> Result<(Vec<Cell>, Vec<String>), Trouble> {
    let records = Records::of(book, zone, clock::now())?;
    let due = due_of(book, zone, None)?;
    let cells = vec![
        hours(&records, zone),
        tower(read, station.units),
        filling(locked),
        cartridge(&records, zone),
        next(due.items.first()),
    ];
    Ok((cells, due.remarks))
}

fn hours(records: &Records, zone: &Zone) -> Cell {
    let last = records.runs.runs.last();
    let note = match last {
        Some(run) if run.open => format!("running since {}", zone.minute(run.started.happened)),
        Some(run) => format!(
            "last run {}{}",
            zone.day_text(run.started.happened),
            took(run)
        ),
        None => "no run in the book yet".to_owned(),
    };
    match records.hours.meter() {
        Some(meter) => Cell {
            label: "Hour meter",
            value: format!("{meter:.1}"),
            unit: "h",
            note,
            way: ("/book/add/reading", "Enter a reading"),
            ..Cell::default()
        },
        None => Cell {
            label: "Hours in the book",
            value: format!("{:.1}", records.hours.total().hours()),
            unit: "h",
            note: format!("the hour meter was never read; {note}"),
            way: ("/book/add/reading", "Enter a reading"),
            ..Cell::default()
        },
    }
}

fn took(run: &Run) -> String {
    let minutes = run.meter_minutes.or(run.minutes);
    minutes.map_or(String::new(), |minutes| format!(", {minutes:.0} min"))
}

/// The tower gauge as it was written down last, and when.
pub(super) fn last_tower(
    book: &Book,
    zone: &Zone,
) -> Result<Option<(GaugePressure, String)>, Trouble> {
    let wanted = Wanted {
        kinds: &[
            Kind::RunStarted,
            Kind::RunStopped,
            Kind::Parked,
            Kind::Reading,
        ],
        latest: Some(LOOKED_THROUGH),
        ..Wanted::default()
    };
    let read = |event: &book::Event| {
        let (pressure, when): (GaugePressure, &str) = match &event.body {
            Ok(Body::RunStarted(body)) => (value(body.tower.as_ref())?, "before a start"),
            Ok(Body::RunStopped(body)) => (value(body.tower.as_ref())?, "after a stop"),
            Ok(Body::Parked(body)) => (value(body.tower.as_ref())?, "parked"),
            Ok(Body::Reading(body)) if body.of.trim().eq_ignore_ascii_case("tower") => {
                (body.value.as_ref()?.pressure()?, "read")
            }
            _ => return None,
        };
        Some((pressure, format!("{when}, {}", zone.minute(event.happened))))
    };
    Ok(book.events(&wanted)?.iter().rev().find_map(read))
}

fn tower(read: Option<(GaugePressure, String)>, units: UnitSystem) -> Cell {
    let way = ("/book/add/reading", "Enter a reading");
    match read {
        Some((pressure, note)) => Cell {
            label: "Tower",
            value: number(pressure, units),
            unit: units.preferred::<GaugePressure>().symbol,
            note,
            way,
            ..Cell::default()
        },
        None => Cell {
            label: "Tower",
            value: "not read".to_owned(),
            note: "nothing in the book; an idle purifier is kept under pressure".to_owned(),
            way,
            ..Cell::default()
        },
    }
}

fn value<Q: Quantity>(measure: Option<&Measure<Q>>) -> Option<Q> {
    measure.map(Measure::value)
}

/// A pressure as a number in the unit preferred.
pub(super) fn number(pressure: GaugePressure, units: UnitSystem) -> String {
    let unit = units.preferred::<GaugePressure>();
    format!("{:.0}", unit.number(pressure.si()))
}

fn filling(locked: bool) -> Cell {
    let (value, note, symbol, way) = match locked {
        true => (
            "locked",
            "for everybody; the reason stands above",
            "m-danger",
            ("/book/add/cause", "Record a cause"),
        ),
        false => (
            "no lock",
            "the fill gate still looks at each cylinder",
            "",
            ("/book/add/fill", "Enter a fill"),
        ),
    };
    Cell {
        label: "Filling",
        value: value.to_owned(),
        note: note.to_owned(),
        symbol,
        way,
        ..Cell::default()
    }
}

/// Hours left of the life the maker states.
fn cartridge(records: &Records, zone: &Zone) -> Cell {
    let part = records.parts.part(Part::Cartridge);
    let replaced = part.and_then(|part| part.replaced.as_ref());
    let rated = records.station.purifier.rated_hours.map(|h| h.as_hour());
    let way = ("/book/add/replaced", "Enter a change");
    let label = "Cartridge";
    let Some(replaced) = replaced else {
        return Cell {
            label,
            value: "not known".to_owned(),
            note: "its change was never entered".to_owned(),
            symbol: "m-abnormal",
            way,
            ..Cell::default()
        };
    };
    let since = match (&replaced.body.hours, records.hours.meter()) {
        (Some(then), Some(now)) => now - then.value().as_hour(),
        _ => records.hours.since(replaced.happened).hours(),
    };
    let changed = format!("changed {}", zone.day_text(replaced.happened));
    match rated {
        Some(rated) => Cell {
            label,
            value: format!("{:.1}", (rated - since).max(0.0)),
            unit: "h left",
            note: format!("of {rated:.0} h the maker states; {changed}. Less in damp or hot air"),
            symbol: if since >= rated { "m-danger" } else { "" },
            way,
        },
        None => Cell {
            label,
            value: format!("{since:.1}"),
            unit: "h used",
            note: format!("no rated hours in the station file; {changed}"),
            way: ("/station/edit/purifier", "Write them down"),
            ..Cell::default()
        },
    }
}

/// What is due first.
fn next(item: Option<&DueItem>) -> Cell {
    let way = ("/book", "Book");
    let label = "Due next";
    let Some(item) = item else {
        return Cell {
            label,
            value: "nothing known".to_owned(),
            note: "no interval is written down".to_owned(),
            way: ("/book/add/interval", "Enter an interval"),
            ..Cell::default()
        };
    };
    let on = item.due.as_ref().map(|due| due.likely.as_str());
    let (note, symbol) = match (item.state, on) {
        (State::Over, _) => ("past its limit".to_owned(), "m-danger"),
        (State::Due, _) => ("now".to_owned(), "m-danger"),
        (State::NeverRecorded, _) => ("never recorded, so nobody knows".to_owned(), "m-abnormal"),
        (State::Soon, Some(on)) => (format!("soon, likely {on}"), "m-abnormal"),
        (State::Soon, None) => ("soon".to_owned(), "m-abnormal"),
        (_, Some(on)) => (format!("likely {on}"), ""),
        (_, None) => ("no interval is known".to_owned(), ""),
    };
    Cell {
        label,
        value: item.name.clone(),
        note,
        symbol,
        way,
        ..Cell::default()
    }
}
