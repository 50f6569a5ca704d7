//! One cylinder: may it be filled now, what the register says of it, and its history. And the
//! register as a whole.

use std::path::Path;

use book::answer::register::{self, Record};
use book::{Body, Book, Event, Kind, Subject, Wanted};
use insight::cylinder::{FillAnswer, FillLine, Rule, may_fill, rule_named};
use quantity::{GaugePressure, UnitSystem};
use serde::Serialize;
use station::Date;

use super::desk;
use super::facts;
use super::form::{FILL_LINE, Form};
use super::gate::{self, station_in_force};
use super::list::{Row, row, title, today};
use crate::draw::points::{self, Points, Value};
use crate::draw::{Drawing, Table};
use crate::usecase::Trouble;
use crate::usecase::clock::Zone;

/// What is asked, as typed.
#[derive(Clone, Debug, Default)]
pub struct Asked {
    /// The pressure wanted.
    pub to: Option<String>,
    /// What else hangs on the line.
    pub with: Vec<String>,
    /// Where this line alone is held.
    pub protected_at: Option<String>,
    /// The latest so many events of its history.
    pub last: Option<usize>,
}

/// A cylinder in the book.
#[derive(Clone, Debug, Serialize)]
pub struct CylinderPage {
    /// The station.
    pub station: String,
    /// Demonstration data.
    pub invented: bool,
    /// The zone of its times.
    pub zone: String,
    /// Whether it may be filled now.
    pub gate: FillAnswer,
    /// Whether its content is set aside, and by which entries.
    pub set_aside_by: Vec<u64>,
    /// Its history, in the order of time.
    pub history: Vec<Row>,
}

/// May it be filled now, and what happened to it.
pub fn one(path: &Path, id: &str, asked: &Asked) -> Result<CylinderPage, Trouble> {
    let book = desk::read(path)?;
    let zone = desk::zone(&book)?;
    let (station, invented) = title(&book)?;
    let pressure = |text: &Option<String>, field: &'static str| {
        let typed = text.as_deref().map(|text| {
            let kind = FILL_LINE
                .iter()
                .find(|f| f.name == "protected-at")
                .map(|f| f.kind);
            let value = kind.map(|kind| kind.value(&kind.whole(text))).transpose();
            value.map_err(|trouble| trouble.about(field))
        });
        Ok::<_, Trouble>(
            typed
                .transpose()?
                .flatten()
                .and_then(|value| value["si"].as_f64().map(quantity::Quantity::from_si)),
        )
    };
    let gate = gate::ask(
        &book,
        &zone,
        &gate::Asked {
            cylinder: id.to_owned(),
            to: pressure(&asked.to, "to")?,
            with: asked.with.clone(),
            protected_at: pressure(&asked.protected_at, "protected-at")?,
            at: None,
        },
    )?;
    let subject = Subject::Cylinder(id.to_owned());
    let history = book.events(&Wanted {
        about: Some(&subject),
        withdrawn: true,
        latest: Some(asked.last.unwrap_or(30)),
        ..Wanted::default()
    })?;
    let begins = |text: &str| zone.begins(text);
    Ok(CylinderPage {
        station,
        invented,
        zone: zone.name.clone(),
        set_aside_by: book::answer::quarantine::of_cylinder(&book, id, None, &begins)?,
        gate,
        history: history.iter().map(|event| row(event, &zone)).collect(),
    })
}

/// What the register says of a cylinder, and its pressures, settled where known.
pub struct Known {
    /// What people call each field, and its text.
    pub facts: Vec<(&'static str, String)>,
    /// Its last fills; none where no pressure is written down.
    pub fills: Option<(Drawing, Table)>,
    /// The entry of its registration.
    pub entry: Option<u64>,
}

/// So many fills are drawn.
const DRAWN: usize = 24;

/// What the register says of a cylinder, and how its fills went.
pub fn known(path: &Path, id: &str) -> Result<Known, Trouble> {
    let book = desk::read(path)?;
    let zone = desk::zone(&book)?;
    let begins = |text: &str| zone.begins(text);
    let told = register::in_book(&book, id, None, &begins)?.registered;
    let form = Form::of(Kind::CylinderRegistered);
    let given = form.zip(told.as_ref()).map(|(form, told)| {
        let given = form.given(&told.body.clone().into());
        let label = |name: &str| form.field(name).map_or("", |field| field.label);
        given
            .into_iter()
            .map(|(name, text)| (label(&name), text))
            .collect()
    });
    let us = station_in_force(&book, None)?.is_some_and(|s| s.units == UnitSystem::Us);
    let subject = Subject::Cylinder(id.to_owned());
    let fills = book.events(&Wanted {
        kinds: &[Kind::Fill],
        about: Some(&subject),
        latest: Some(DRAWN),
        ..Wanted::default()
    })?;
    let values: Vec<Value> = fills
        .iter()
        .filter_map(|fill| value(fill, us, &zone))
        .collect();
    let rated = told
        .as_ref()
        .and_then(|told| told.body.working_pressure.as_ref());
    let plot = Points {
        title: format!("Fills of {id}"),
        unit: format!(
            "pressure once cold, else at the stop, {}",
            if us { "psi" } else { "bar" }
        ),
        values,
        least: None,
        most: rated.map(|rated| shown(rated.value(), us)),
        level: None,
        today: None,
        ahead: None,
        from_nothing: true,
    };
    Ok(Known {
        facts: given.unwrap_or_default(),
        fills: (!plot.values.is_empty()).then(|| (points::draw(&plot), points::table(&plot))),
        entry: told.map(|told| told.seq),
    })
}

fn shown(pressure: GaugePressure, us: bool) -> f64 {
    if us {
        pressure.as_psi()
    } else {
        pressure.as_bar()
    }
}

fn value(event: &Event, us: bool, zone: &Zone) -> Option<Value> {
    let Ok(Body::Fill(fill)) = &event.body else {
        return None;
    };
    let pressure = fill.settled.as_ref().or(fill.to.as_ref())?;
    let value = shown(pressure.value(), us);
    Some(Value {
        day: super::records::day(event.happened),
        date: zone.day_text(event.happened),
        value,
        low: value,
        high: value,
    })
}

/// Every cylinder on the register by a rule: what the record says of it, the line and the air left
/// out.
pub fn judged(
    book: &Book,
    zone: &Zone,
    rule: &Rule,
    today: Date,
) -> Result<Vec<FillAnswer>, Trouble> {
    let begins = |text: &str| zone.begins(text);
    let records = register::all_in_book(book, None, &begins)?;
    let here = records
        .iter()
        .filter(|r| r.registered.is_some() && r.left.is_none());
    let of =
        |record: &Record| may_fill(&facts::of(record, today), rule, today, &FillLine::default());
    Ok(here.map(of).collect())
}

/// One line of the register.
#[derive(Clone, Debug, Serialize)]
pub struct RegisterRow {
    /// What the record and the rule say of it, the line and the air left out.
    pub gate: FillAnswer,
    /// Its size as typed, where known.
    pub size: Option<String>,
    /// Whose it is.
    pub owner: Option<String>,
    /// Its last fill: the minute, and what it says.
    pub last_fill: Option<(String, String)>,
    /// Entries that set its content aside.
    pub set_aside_by: Vec<u64>,
    /// Gone from the register.
    pub left: bool,
}

/// The register.
#[derive(Clone, Debug, Serialize)]
pub struct Register {
    /// The station.
    pub station: String,
    /// Demonstration data.
    pub invented: bool,
    /// The day it holds for.
    pub today: String,
    /// What to think of.
    pub remarks: Vec<String>,
    /// Why nothing is filled at all just now; empty where nothing stands against it.
    pub locked: Vec<String>,
    /// Every cylinder, by name.
    pub cylinders: Vec<RegisterRow>,
}

/// Every cylinder on the register, and whether it is in date.
pub fn all(path: &Path, typed: Option<&str>) -> Result<Register, Trouble> {
    let book = desk::read(path)?;
    let zone = desk::zone(&book)?;
    all_of(&book, &zone, typed)
}

/// The same of a book that is open.
pub(super) fn all_of(book: &Book, zone: &Zone, typed: Option<&str>) -> Result<Register, Trouble> {
    let (station, invented) = title(book)?;
    let (today, mut remarks) = today(book, zone, typed)?;
    let begins = |text: &str| zone.begins(text);
    let rule = book::answer::station::rules_in_force(book, None)?.cylinder_rule;
    let rule = rule.as_ref().and_then(|chosen| rule_named(&chosen.name));
    if rule.is_none() {
        remarks.push("no requalification rule is chosen: nothing can be told of dates".to_owned());
    }
    let line = match station_in_force(book, None)? {
        Some(station) => FillLine::of(&station),
        None => FillLine::default(),
    };
    let judged = |record: Record| {
        let answer = match rule {
            Some(rule) => may_fill(&facts::of(&record, today), rule, today, &line),
            None => gate::without_rule(&record.cylinder, today),
        };
        let fill = record.last_fill.as_ref();
        RegisterRow {
            gate: answer.with_refusals(gate::of_record(&record)),
            size: record.registered.as_ref().and_then(|told| {
                let water = told.body.water_volume.as_ref().map(ToString::to_string);
                water.or(told.body.free_air.as_ref().map(ToString::to_string))
            }),
            owner: record
                .registered
                .as_ref()
                .and_then(|told| told.body.owner.clone()),
            last_fill: fill.map(|told| {
                let line = super::words::of_body(&told.body.clone().into());
                (zone.minute(told.happened), line)
            }),
            left: record.left.is_some(),
            set_aside_by: record.held,
        }
    };
    let records = register::all_in_book(book, None, &begins)?;
    let locks = book::answer::locks::in_book(book, None, &begins)?;
    Ok(Register {
        locked: locks
            .standing()
            .map(|lock| gate::locked(lock, zone).what)
            .collect(),
        station,
        invented,
        today: today.to_string(),
        remarks,
        cylinders: records
            .into_iter()
            .filter(|record| record.registered.is_some())
            .map(judged)
            .collect(),
    })
}
