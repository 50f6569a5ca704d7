//! Starting a run: what can be filled, what was typed, the gate asked for each cylinder, the entry.
//!
//! Not here: what is done in a run ([`super::act`]).

use std::path::Path;

use book::answer::register;
use book::body::{Planned, RunStarted};
use book::{Book, Kind, Measure, Moment};
use insight::cylinder::answer::Refusal;
use quantity::{Fraction, GaugePressure, Quantity, Temperature, TimeSpan, UnitSystem};
use station::Station;

use super::course::{Course, on_line};
use super::log::Log;
use super::look::job_of;
use super::steps::{Check, before_start};
use super::view::unit;
use super::waited::{made_before, started_at};
use crate::usecase::book::add;
use crate::usecase::book::desk::{self, Who, signed};
use crate::usecase::book::form::Given;
use crate::usecase::book::gate::{self, Asked, station_in_force};
use crate::usecase::book::records::with_register;
use crate::usecase::clock::Zone;
use crate::usecase::{Trouble, units};

/// A text somebody typed, or nothing.
pub type Typed = Option<String>;

/// No more cylinders of the register are offered with what the gate says of them.
const MOST_OFFERED: usize = 80;

/// A cylinder of the register, and what stands against filling it.
pub struct Offered {
    /// Its name.
    pub id: String,
    /// Whose it is, its size and rating.
    pub words: String,
    /// Every reason against it; empty: none found.
    pub refusals: Vec<Refusal>,
}

impl Offered {
    /// Whether it can be filled as it is.
    pub fn free(&self) -> bool {
        self.refusals.is_empty()
    }
}

/// What a run can be started with.
pub struct Offer {
    /// The cylinders of the register.
    pub cylinders: Vec<Offered>,
    /// What to look at first.
    pub checks: Vec<Check>,
    /// How many hang on the line at once.
    pub whips: usize,
    /// Time between drains in the station file.
    pub drain_every: String,
    /// The unit of pressures.
    pub unit: &'static str,
    /// The unit of temperatures.
    pub degree: &'static str,
    /// The air at the intake as the station file has it.
    pub intake: String,
    /// When air should arrive: where the PMV opens.
    pub pmv: Option<String>,
    /// Number of the latest start: a form made before it is an old form.
    pub latest: u64,
}

/// Why nothing was started.
pub enum NotStarted {
    /// Somebody else started it meanwhile.
    Meanwhile,
    /// What is wrong, and what the gate has against cylinders.
    Wrong(Vec<Trouble>, Vec<(String, Refusal)>),
}

impl From<Trouble> for NotStarted {
    fn from(trouble: Trouble) -> NotStarted {
        NotStarted::Wrong(vec![trouble], Vec::new())
    }
}

/// What a run can be started with; none where the book has no station that can be used.
pub fn offer(path: &Path) -> Result<Option<Offer>, Trouble> {
    let book = desk::read(path)?;
    let zone = desk::zone(&book)?;
    let Some(station) = station_in_force(&book, None)? else {
        return Ok(None);
    };
    let latest = Log::read(&book, None)?;
    let units = station.units;
    let pmv = station.pmv.as_ref().map(|pmv| {
        let bar = pmv.opens.as_bar();
        format!("{} {}", super::view::number(bar, units), unit(units))
    });
    let (degree, intake_c) = match units {
        UnitSystem::Metric => ("°C", station.intake.temperature.as_celsius()),
        UnitSystem::Us => ("°F", station.intake.temperature.as_celsius() * 1.8 + 32.0),
    };
    Ok(Some(Offer {
        cylinders: offered(&book, &zone)?,
        checks: before_start(&station),
        whips: station.whip.count.max(1),
        drain_every: format!("{:.0} min", station.separator.drain_interval.as_minute()),
        unit: unit(units),
        degree,
        intake: format!(
            "{intake_c:.0} {degree}, {:.0} %",
            station.intake.humidity.as_ratio() * 100.0
        ),
        pmv,
        latest: latest.as_ref().map_or(0, |log| log.started.seq),
    }))
}

fn offered(book: &Book, zone: &Zone) -> Result<Vec<Offered>, Trouble> {
    let begins = |text: &str| zone.begins(text);
    let mut all = Vec::new();
    for record in register::all_in_book(book, None, &begins)? {
        let Some(told) = record.registered.as_ref().filter(|_| record.left.is_none()) else {
            continue;
        };
        let body = &told.body;
        let words = [
            body.owner.clone(),
            body.water_volume.as_ref().map(ToString::to_string),
            body.working_pressure.as_ref().map(ToString::to_string),
        ];
        let asked = Asked {
            cylinder: body.cylinder.clone(),
            ..Asked::default()
        };
        let refusals = match all.len() < MOST_OFFERED {
            true => gate::ask(book, zone, &asked)?.refusals,
            false => Vec::new(),
        };
        all.push(Offered {
            id: body.cylinder.clone(),
            words: words.into_iter().flatten().collect::<Vec<_>>().join(", "),
            refusals,
        });
    }
    Ok(all)
}

/// Starts a run: asks the gate, computes what is expected, writes the entry. `given` holds the
/// fields `cylinder` (`A1@50 bar`, repeated) or `id`, `from` and `person` (repeated in step),
/// `tower`, `intake-temperature`, `humidity`, `drain-every`, `to`, `hours`, `checked` (repeated),
/// `override-ID`, `seq` and `at`, the moment of the start in microseconds, by which a form that is
/// sent again is known.
pub fn start(path: &Path, given: &Given, by: Option<&str>) -> Result<u64, NotStarted> {
    let mut pen = desk::write(path, "fillstead serve, the run page")?;
    let zone = desk::zone(pen.book())?;
    let latest = Log::read(pen.book(), None)?;
    let made = text(given, "at").and_then(|at| at.parse().ok()).map(Moment);
    let known: Option<u64> = text(given, "seq").and_then(|seq| seq.parse().ok());
    let before = made.map(|at| {
        let from = known.unwrap_or_default();
        made_before(pen.book(), from, Kind::RunStarted, at)
    });
    if let Some(seq) = before.transpose()?.flatten() {
        return Ok(seq);
    }
    let meanwhile =
        |log: &Log| log.stopped.is_none() || known.is_some_and(|known| known != log.started.seq);
    if latest.as_ref().is_some_and(meanwhile) {
        return Err(NotStarted::Meanwhile);
    }
    let station = station_in_force(pen.book(), None)?.ok_or_else(|| {
        let remedy = "enter it first: `book add BOOK station FILE`";
        Trouble::new("the book has no station file that can be used", remedy)
    })?;
    let mut troubles = Vec::new();
    let body = typed(given, station.units, &mut troubles);
    let who = Who {
        by,
        ..Who::default()
    };
    let signed = signed(&who, zone.clone()).map_err(|t| troubles.extend(t));
    let refusals = match body.planned.is_empty() {
        true => Vec::new(),
        false => refused(pen.book(), &zone, &station, &body, &mut troubles),
    };
    let station = with_register(station, pen.book(), &zone)?;
    if troubles.is_empty()
        && refusals.is_empty()
        && let Err(trouble) = Course::of(&station, &job_of(&body))
    {
        troubles.push(trouble);
    }
    match signed {
        Ok(signed) if troubles.is_empty() && refusals.is_empty() => {
            let happened = started_at(made, latest.as_ref(), &signed)?;
            let signed = desk::Signed { happened, ..signed };
            let added = add::write(&mut pen, &signed, body.into());
            added
                .map(|added| added.seq)
                .map_err(|troubles| NotStarted::Wrong(troubles, Vec::new()))
        }
        _ => Err(NotStarted::Wrong(troubles, refusals)),
    }
}

/// What the gate has against these cylinders that nobody answered for.
fn refused(
    book: &Book,
    zone: &Zone,
    station: &Station,
    body: &RunStarted,
    troubles: &mut Vec<Trouble>,
) -> Vec<(String, Refusal)> {
    let whips = on_line(station, &body.planned).len().max(1);
    let mut all = Vec::new();
    for group in body.planned.chunks(whips) {
        for p in group {
            let with = group.iter().map(|other| other.cylinder.clone());
            let asked = Asked {
                cylinder: p.cylinder.clone(),
                to: p.to.as_ref().map(|m| m.value()),
                with: with.filter(|other| *other != p.cylinder).collect(),
                ..Asked::default()
            };
            match gate::ask(book, zone, &asked) {
                Ok(answer) => {
                    let stands = |r: &Refusal| !(r.may_be_overridden && p.overridden.is_some());
                    let against = answer.refusals.into_iter().filter(stands);
                    all.extend(against.map(|refusal| (p.cylinder.clone(), refusal)));
                }
                Err(trouble) => troubles.push(trouble.about("cylinder")),
            }
        }
    }
    all
}

/// What was typed, with everything wrong with it.
fn typed(given: &Given, units: UnitSystem, troubles: &mut Vec<Trouble>) -> RunStarted {
    let planned = planned(given, units, troubles);
    if planned.is_empty() && troubles.is_empty() {
        let remedy = "choose one, with the pressure its gauge shows";
        troubles.push(Trouble::new("no cylinder is named", remedy).about("cylinder"));
    }
    RunStarted {
        hours: one(given, "hours", "h", troubles),
        tower: one::<GaugePressure>(given, "tower", unit(units), troubles),
        intake_temperature: one::<Temperature>(
            given,
            "intake-temperature",
            match units {
                UnitSystem::Metric => "°C",
                UnitSystem::Us => "°F",
            },
            troubles,
        ),
        humidity: one::<Fraction>(given, "humidity", "%", troubles),
        checked: texts(given, "checked").map(str::to_owned).collect(),
        planned,
        drain_every: one::<TimeSpan>(given, "drain-every", "min", troubles),
        continues: None,
    }
}

/// The cylinders typed, in order.
fn planned(given: &Given, units: UnitSystem, troubles: &mut Vec<Trouble>) -> Vec<Planned> {
    let to = one::<GaugePressure>(given, "to", unit(units), troubles);
    let whole = texts(given, "cylinder").map(|text| match text.rsplit_once('@') {
        Some((id, from)) => (id.trim(), from.trim(), ""),
        None => (text, "", ""),
    });
    let at = |name: &str, i: usize| {
        let mut all = given.iter().filter(|(n, _)| n == name);
        all.nth(i).map_or("", |(_, text)| text.trim())
    };
    let rows = given.iter().filter(|(name, _)| name == "id").enumerate();
    let rows = rows.map(|(i, (_, id))| (id.trim(), at("from", i), at("person", i)));
    let loose = rows
        .clone()
        .any(|(id, from, _)| id.is_empty() && !from.is_empty());
    if loose {
        let remedy = "choose the cylinder, or clear its gauge";
        let what = "a gauge is filled in and no cylinder chosen beside it";
        troubles.push(Trouble::new(what, remedy).about("cylinder"));
    }
    let mut all: Vec<Planned> = Vec::new();
    for (id, from, person) in whole.chain(rows).filter(|(id, ..)| !id.is_empty()) {
        if all.iter().any(|p| p.cylinder == id) {
            let what = format!("{id} is named twice");
            troubles.push(Trouble::new(what, "name each cylinder once").about("cylinder"));
            continue;
        }
        let from = match from.is_empty() {
            true => Err(Trouble::new(
                format!("the pressure in {id} is not given"),
                "open its valve and read the gauge: 0 where it is empty",
            )),
            false => with_unit::<GaugePressure>("cylinder", from, unit(units)),
        };
        let from = from.map_err(|trouble| troubles.push(trouble.about("cylinder")));
        all.push(Planned {
            cylinder: id.to_owned(),
            from: from.ok(),
            to: to.clone(),
            person: (!person.is_empty()).then(|| person.to_owned()),
            overridden: text(given, &format!("override-{id}")).map(str::to_owned),
        });
    }
    all
}

/// A field that may be empty, as a measure; a number alone has this unit.
fn one<Q: Quantity>(
    given: &Given,
    field: &'static str,
    unit: &str,
    troubles: &mut Vec<Trouble>,
) -> Option<Measure<Q>> {
    let text = text(given, field)?;
    with_unit(field, text, unit)
        .map_err(|trouble| troubles.push(trouble))
        .ok()
}

fn with_unit<Q: Quantity>(
    field: &'static str,
    text: &str,
    unit: &str,
) -> Result<Measure<Q>, Trouble> {
    let bare = text.ends_with(|c: char| c.is_ascii_digit());
    let text = match bare {
        true => format!("{text} {unit}"),
        false => text.to_owned(),
    };
    Measure::parse(&text).map_err(|error| Trouble::from(error).about(field))
}

/// A pressure on a gauge as typed; a number alone is in the unit of whoever asks.
pub fn pressure(field: &'static str, text: &str) -> Result<Measure<GaugePressure>, Trouble> {
    let text = &units::whole::<GaugePressure>(text);
    let (least, most) = (GaugePressure::bar(0.0), GaugePressure::bar(1000.0));
    crate::usecase::trouble::within(field, text, least, most)?;
    Measure::parse(text).map_err(|error| Trouble::from(error).about(field))
}

/// A temperature as typed; a number alone is in the unit of whoever asks, else in °C.
pub fn degrees(text: &str) -> String {
    let text = units::whole::<Temperature>(text);
    match units::is_bare(&text) {
        true => format!("{text} °C"),
        false => text,
    }
}

/// The text of a field, where there is one.
pub fn text<'g>(given: &'g Given, name: &str) -> Option<&'g str> {
    texts(given, name).next()
}

fn texts<'g>(given: &'g Given, name: &str) -> impl Iterator<Item = &'g str> {
    let of_name = move |pair: &&(String, String)| pair.0 == name;
    // The name is compared at once, so that the iterator borrows what was given alone.
    let found: Vec<&str> = given
        .iter()
        .filter(of_name)
        .map(|(_, t)| t.trim())
        .collect();
    found.into_iter().filter(|text| !text.is_empty())
}
