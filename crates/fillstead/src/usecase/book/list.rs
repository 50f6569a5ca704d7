//! Entries as a list, and one entry whole.

use std::path::Path;

use book::body::{Body, Kind};
use book::{Book, Event, Moment, Subject, Wanted};
use serde::Serialize;
use serde_json::Value;

use super::desk;
use super::form::object_of;
use super::words;
use crate::usecase::Trouble;
use crate::usecase::clock::{self, Zone, day_typed};
use crate::usecase::near::meant;

/// Which entries, as typed.
#[derive(Clone, Debug, Default)]
pub struct Asked {
    /// Of this kind: the name of a form or of a kind.
    pub kind: Option<String>,
    /// About this cylinder.
    pub cylinder: Option<String>,
    /// About this person.
    pub person: Option<String>,
    /// About this part.
    pub part: Option<String>,
    /// From this day on.
    pub from: Option<String>,
    /// To the end of this day.
    pub to: Option<String>,
    /// The latest so many.
    pub last: Option<usize>,
    /// Those withdrawn too.
    pub withdrawn: bool,
}

/// One line of a list.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Row {
    /// Number of the entry that told it first.
    pub seq: u64,
    /// When it happened, exactly, with the station's offset.
    pub happened: String,
    /// The same to the minute, for people.
    #[serde(skip)]
    pub minute: String,
    /// When it was first written down.
    pub recorded: String,
    /// Who told it.
    pub author: String,
    /// Its kind, as stored.
    pub kind: String,
    /// What people call it.
    #[serde(skip)]
    pub called: String,
    /// What it says, in a line.
    pub line: String,
    /// Its body as it counts today; null where this program cannot read it.
    pub body: Value,
    /// The correction that counts, where there is one.
    pub corrected_by: Option<u64>,
    /// Taken back: it did not happen.
    pub withdrawn: bool,
}

/// A list.
#[derive(Clone, Debug, Serialize)]
pub struct List {
    /// The station.
    pub station: String,
    /// Demonstration data.
    pub invented: bool,
    /// The zone of its times.
    pub zone: String,
    /// The lines, in the order of time.
    pub entries: Vec<Row>,
}

/// The entries asked for; the latest 50 where nothing limits them.
pub fn list(path: &Path, asked: &Asked) -> Result<List, Vec<Trouble>> {
    let one = |trouble: Trouble| vec![trouble];
    let book = desk::read(path).map_err(one)?;
    let zone = desk::zone(&book).map_err(one)?;
    let kinds = kinds(asked.kind.as_deref()).map_err(one)?;
    let subject = subject(asked).map_err(one)?;
    let (from, until) = period(asked.from.as_deref(), asked.to.as_deref(), &zone).map_err(one)?;
    let limited = asked.last.is_some() || from.is_some() || until.is_some() || subject.is_some();
    let wanted = Wanted {
        kinds: &kinds,
        about: subject.as_ref(),
        from,
        until,
        withdrawn: asked.withdrawn,
        latest: asked.last.or((!limited).then_some(50)),
    };
    let events = book.events(&wanted).map_err(|e| one(e.into()))?;
    let (station, invented) = title(&book).map_err(one)?;
    Ok(List {
        station,
        invented,
        zone: zone.name.clone(),
        entries: events.iter().map(|event| row(event, &zone)).collect(),
    })
}

/// The moments between which entries are wanted: from the first day's beginning to the last's end.
pub fn period(
    from: Option<&str>,
    to: Option<&str>,
    zone: &Zone,
) -> Result<(Option<Moment>, Option<Moment>), Trouble> {
    let limits = |text: Option<&str>, field: &'static str| {
        text.map(|text| {
            let day = day_typed(text).map_err(|trouble| trouble.about(field))?;
            zone.day_limits(day).ok_or_else(|| {
                Trouble::new(format!("{day} is outside the calendar"), "check the year")
                    .about(field)
            })
        })
        .transpose()
    };
    let (from, to) = (limits(from, "from")?, limits(to, "to")?);
    if let (Some((begin, _)), Some((_, end))) = (from, to)
        && end <= begin
    {
        let remedy = "give the earlier day as --from";
        return Err(Trouble::new("the last day lies before the first", remedy).about("to"));
    }
    Ok((from.map(|(begin, _)| begin), to.map(|(_, end)| end)))
}

pub(super) fn kinds(name: Option<&str>) -> Result<Vec<Kind>, Trouble> {
    let Some(name) = name else {
        return Ok(Vec::new());
    };
    if let Ok(form) = super::form::Form::named(name) {
        return Ok(vec![form.kind]);
    }
    let wanted = name.trim().replace(['-', ' '], "_");
    if let Some(kind) = Kind::named(&wanted) {
        return Ok(vec![kind]);
    }
    let names: Vec<&str> = Kind::ALL.iter().map(|kind| kind.name()).collect();
    let what = format!("there is no kind of entry called \"{name}\"");
    Err(Trouble::new(what, meant(name, &names)).about("kind"))
}

fn subject(asked: &Asked) -> Result<Option<Subject>, Trouble> {
    let subjects: Vec<Subject> = [
        asked.cylinder.clone().map(Subject::Cylinder),
        asked.person.clone().map(Subject::Person),
        asked
            .part
            .clone()
            .map(|part| Subject::Part(part.replace(['-', ' '], "_"))),
    ]
    .into_iter()
    .flatten()
    .collect();
    match subjects.as_slice() {
        [] => Ok(None),
        [one] => Ok(Some(one.clone())),
        _ => Err(Trouble::new(
            "a list is about one cylinder, one person or one part",
            "leave the others out",
        )),
    }
}

/// Whose book it is, and whether that is demonstration data.
pub fn title(book: &Book) -> Result<(String, bool), Trouble> {
    let first = book.entry(1)?;
    Ok(match first.map(|entry| entry.body()) {
        Some(Ok(Body::BookBegun(begun))) => (begun.station, begun.invented),
        _ => ("a station without a name".to_owned(), false),
    })
}

/// An event as a line.
pub fn row(event: &Event, zone: &Zone) -> Row {
    Row {
        seq: event.seq,
        happened: zone.exact(event.happened),
        minute: zone.minute(event.happened),
        recorded: zone.exact(event.recorded),
        author: event.author.clone(),
        kind: event.kind.clone(),
        called: called(&event.kind).to_owned(),
        line: words::line(event),
        body: event
            .body
            .as_ref()
            .map_or(Value::Null, |body| Value::Object(object_of(body))),
        corrected_by: (event.carrier != event.seq).then_some(event.carrier),
        withdrawn: event.withdrawn,
    }
}

/// What people call a kind; its stored name where this program does not know it.
fn called(kind: &str) -> &str {
    match Kind::named(kind) {
        Some(kind) => kind.called(),
        None => kind,
    }
}

/// One entry whole.
#[derive(Clone, Debug, Serialize)]
pub struct Shown {
    /// As it counts today; null for a correction, which counts in the entry it names.
    pub entry: Option<Row>,
    /// Everything written about it, in order: the entry itself, then its corrections.
    pub written: Vec<Written>,
}

/// An entry as it was written.
#[derive(Clone, Debug, Serialize)]
pub struct Written {
    /// Its number.
    pub seq: u64,
    /// When it was written, by the machine's clock.
    pub recorded: String,
    /// When it happened, as its author says.
    pub happened: String,
    /// Who.
    pub author: String,
    /// Its kind.
    pub kind: String,
    /// The version of its body's form.
    pub version: u32,
    /// What it says, in a line.
    pub line: String,
    /// Its body.
    pub body: Value,
    /// The hash of the entry before.
    pub prev: String,
    /// Its own.
    pub hash: String,
    /// Whether its hash is that of what stands there.
    pub whole: bool,
}

/// One entry with its corrections.
pub fn show(path: &Path, seq: u64) -> Result<Shown, Trouble> {
    let book = desk::read(path)?;
    let zone = desk::zone(&book)?;
    let entry = book.entry(seq)?.ok_or_else(|| {
        let last = book.head().ok().flatten().map_or(0, |(seq, _)| seq);
        Trouble::new(
            format!("there is no entry {seq}"),
            format!("numbers run from 1 to {last}: look it up in the list of entries"),
        )
    })?;
    let mut written = vec![as_written(&entry, &zone)];
    written.extend(book.corrections(seq)?.iter().map(|c| as_written(c, &zone)));
    Ok(Shown {
        entry: book.event(seq)?.map(|event| row(&event, &zone)),
        written,
    })
}

fn as_written(entry: &book::Entry, zone: &Zone) -> Written {
    let own = Zone::named(&entry.zone).unwrap_or_else(|_| zone.clone());
    Written {
        seq: entry.seq,
        recorded: own.exact(entry.recorded),
        happened: own.exact(entry.happened),
        author: entry.author.clone(),
        kind: entry.kind.clone(),
        version: entry.version,
        line: entry
            .body()
            .map_or_else(|e| e.to_string(), |b| words::of_body(&b)),
        body: serde_json::from_str(&entry.text).unwrap_or(Value::Null),
        prev: entry.prev.to_string(),
        hash: entry.hash.to_string(),
        whole: entry.computed_hash() == entry.hash,
    }
}

/// Today in the station's zone, as typed or by the clock; the later of clock and last entry, since
/// a clock that stands behind the book is not to be trusted.
pub fn today(
    book: &Book,
    zone: &Zone,
    typed: Option<&str>,
) -> Result<(station::Date, Vec<String>), Trouble> {
    let day = clock::today_in(typed, zone)?;
    let last = book.last_recorded()?.and_then(|last| zone.day(last));
    match last {
        Some(last) if typed.is_none() && last > day => {
            let text = format!(
                "this machine's clock shows {day}, and the last entry is of {last}: counted from {last}; \
                 set the clock"
            );
            Ok((last, vec![text]))
        }
        _ => Ok((day, Vec::new())),
    }
}
