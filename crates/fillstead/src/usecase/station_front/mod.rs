//! The station at a glance: what is known of now, its drawings, what the audit finds, what stands in
//! the way.
//!
//! Start at [`front`]. What takes long to work out is in [`outlook`]. Not here: the rules
//! ([`insight::audit`]), the drawings ([`crate::draw`]), pages.

mod now;
pub mod outlook;
#[cfg(test)]
mod tests;

use std::path::Path;

use book::answer::quarantine;
use book::answer::station::{rules_in_force, station_text};
use book::answer::{locks, station::Station as InBook};
use insight::audit::{Audit, Finding, Severity, audit};
use insight::ladder;
use quantity::{GaugePressure, UnitSystem};
use station::Station;

use super::book::records::with_register;
use super::book::{desk, gate, list};
use crate::draw::schematic::{self, Grave, Mark};
use crate::draw::{Drawing, Table};
use crate::usecase::station_edit::{Told, told};
use crate::usecase::{Trouble, clock::Zone, units};

pub use now::Cell;

/// Width the air path is drawn for, px: the sheet without the ladder beside it.
const PATH_WIDTH: f64 = 920.0;

/// What the book knows of its station.
pub enum Front {
    /// No station file was ever entered.
    Nothing {
        /// What people call the station.
        name: String,
    },
    /// The file in force has errors.
    Broken {
        /// What people call the station.
        name: String,
        /// What is wrong.
        told: Vec<Told>,
    },
    /// The station.
    Whole(Box<Whole>),
}

/// The station with everything that is quickly told.
pub struct Whole {
    /// What is known of now.
    pub now: Vec<Cell>,
    /// Why nothing may be filled; empty where nothing stands against it.
    pub locked: Vec<Lock>,
    /// Cylinders set aside, by name.
    pub set_aside: Vec<String>,
    /// The air path, wide and as a list, and as rows.
    pub path: (Drawing, Drawing, Table),
    /// The pressure ladder.
    pub ladder: String,
    /// The ladder as rows: pressure, what, part.
    pub rungs: Vec<[String; 3]>,
    /// The unit of pressures.
    pub unit: &'static str,
    /// The audit.
    pub findings: Vec<Shown>,
    /// What was looked at and gave no reason to stop.
    pub fine: Vec<String>,
    /// What could not be looked at.
    pub silent: Vec<String>,
    /// The audit in one sentence.
    pub verdict: String,
    /// Doubts of the reader.
    pub doubts: Vec<Told>,
    /// Fields of the title block: name and text.
    pub block: Vec<(&'static str, String)>,
    /// What else to think of.
    pub remarks: Vec<String>,
}

/// Why nothing may be filled.
pub struct Lock {
    /// What stands against it.
    pub what: String,
    /// How it is opened again.
    pub way: &'static str,
    /// The entry whose cause is to be recorded.
    pub of: Option<u64>,
    /// Whether a new sample has to pass.
    pub sample: bool,
}

/// A finding as shown.
pub struct Shown {
    /// The finding.
    pub finding: Finding,
    /// Its severity in a word.
    pub word: &'static str,
    /// The symbol beside it.
    pub symbol: &'static str,
    /// The parts it is about: number, name, the table of the file.
    pub parts: Vec<(Option<u8>, String, &'static str)>,
    /// Document, edition, clause.
    pub source: String,
}

/// Reads what the book knows of its station now.
pub fn front(path: &Path) -> Result<Front, Trouble> {
    let book = desk::read(path)?;
    let zone = desk::zone(&book)?;
    let (name, _) = list::title(&book)?;
    let in_book = station_text(&book, None)?;
    let Some(text) = in_book.text() else {
        return Ok(Front::Nothing { name });
    };
    let reading = station::read(text);
    let Some(station) = reading.usable() else {
        let told = told(text).into_iter().filter(|told| told.error).collect();
        return Ok(Front::Broken { name, told });
    };
    let station = units::seen(station.clone());
    let units = station.units;
    let doubts = told(text);
    let block = block(&book, &in_book, &station, &zone)?;
    let tower = now::last_tower(&book, &zone)?;
    // The audit looks at the file as it is written, the register is judged by the fill gate; the
    // tower is where it was read last.
    let mut plain = station.clone();
    plain.now.tower = tower.as_ref().map(|(read, _)| *read).or(plain.now.tower);
    let station = with_register(station, &book, &zone)?;
    let begins = |text: &str| zone.begins(text);
    let locks = locks::in_book(&book, None, &begins)?;
    let aside = quarantine::in_book(&book, None, &begins)?;
    let locked: Vec<Lock> = locks.standing().map(|lock| in_words(lock, &zone)).collect();
    let (now, remarks) = now::cells(&book, &zone, &station, tower, !locked.is_empty())?;
    let found = audit(&plain);
    let marks = marks(&found);
    let drawn = drawn(&station);
    Ok(Front::Whole(Box::new(Whole {
        now,
        locked,
        set_aside: aside.cylinders().into_iter().map(str::to_owned).collect(),
        path: (
            schematic::wide(&drawn, &marks, PATH_WIDTH),
            schematic::list(&drawn, &marks),
            schematic::table(&drawn),
        ),
        ladder: ladder::inline(&found.ladder, units),
        rungs: rungs(&found, units),
        unit: units.preferred::<GaugePressure>().symbol,
        verdict: found.verdict.clone(),
        fine: said(&found.fine),
        silent: said(&found.silent),
        findings: found.findings.into_iter().map(shown).collect(),
        doubts,
        block,
        remarks,
    })))
}

fn said(said: &[insight::audit::Said]) -> Vec<String> {
    said.iter().map(|said| said.says.clone()).collect()
}

/// The drawing shows kinds of cylinders, not every cylinder of the register.
fn drawn(station: &Station) -> Station {
    let mut drawn = station.clone();
    let ids: Vec<&String> = station.cylinders.iter().map(|c| &c.id).collect();
    let kinds = &station.cylinder_kinds;
    drawn.cylinder_kinds = kinds
        .iter()
        .filter(|kind| !ids.contains(&&kind.id))
        .cloned()
        .collect();
    if drawn.cylinder_kinds.is_empty() {
        drawn.cylinder_kinds.clone_from(kinds);
    }
    drawn
}

/// A lock, with the way on as somebody at a page takes it.
fn in_words(lock: &locks::Lock, zone: &Zone) -> Lock {
    let way = match (lock.needs_cause(), lock.needs_pass()) {
        (true, true) => {
            "find the cause with a competent person and record it, then take a new sample: filling \
             opens again when it passes"
        }
        (true, false) => {
            "find the cause with a competent person, and record it: then filling opens again"
        }
        _ => "its cause is recorded; take a new sample: filling opens again when it passes",
    };
    Lock {
        what: gate::locked(lock, zone).what,
        way,
        of: lock.needs_cause().then(|| lock.reason.mark().seq),
        sample: lock.needs_pass(),
    }
}

fn marks(audit: &Audit) -> Vec<Mark> {
    let one = |finding: &Finding| {
        let grave = match finding.severity {
            Severity::Stop | Severity::FixBeforeNextRun => Grave::Danger,
            Severity::LookInto => Grave::Abnormal,
            Severity::Note => return Vec::new(),
        };
        let parts = finding.parts.iter().filter_map(|part| part.balloon);
        parts.map(|part| Mark { part, grave }).collect()
    };
    audit.findings.iter().flat_map(one).collect()
}

fn shown(finding: Finding) -> Shown {
    let (word, symbol) = match finding.severity {
        Severity::Stop => ("Stop", "m-danger"),
        Severity::FixBeforeNextRun => ("Fix first", "m-danger"),
        Severity::LookInto => ("Look into", "m-abnormal"),
        Severity::Note => ("Note", "m-note"),
    };
    let mut parts: Vec<(Option<u8>, String, &'static str)> = Vec::new();
    for part in &finding.parts {
        let one = (
            part.balloon,
            part.name.clone(),
            table_of(part.balloon, &part.name),
        );
        if !parts.contains(&one) {
            parts.push(one);
        }
    }
    let source = &finding.source;
    let said = [source.document, source.edition, source.clause];
    let said: Vec<&str> = said.into_iter().filter(|text| !text.is_empty()).collect();
    Shown {
        word,
        symbol,
        parts,
        source: said.join("; "),
        finding,
    }
}

/// The table of the file that describes a part, by the number of its balloon.
fn table_of(balloon: Option<u8>, name: &str) -> &'static str {
    match balloon {
        Some(1) => "intake",
        Some(2..=4) => "compressor",
        Some(5) => "separator",
        Some(6) if name == "cartridge" => "purifier",
        Some(6) => "tower",
        Some(7) => "pmv",
        Some(8) => "relief",
        Some(9) => "burst_disc",
        Some(11) => "whip",
        Some(12) => "cylinder_kind",
        _ if name.starts_with("bank") => "bank",
        _ if name.starts_with("gauge") => "gauge",
        _ => "compressor",
    }
}

/// The ladder as rows, from high to low.
fn rungs(audit: &Audit, units: UnitSystem) -> Vec<[String; 3]> {
    let unit = units.preferred::<GaugePressure>();
    let show = |bar: f64| {
        let value = unit.number(quantity::Quantity::si(GaugePressure::bar(bar)));
        format!("{value:.0} {}", unit.symbol)
    };
    let row = |rung: &ladder::Rung| {
        let figure = match rung.high_bar - rung.low_bar > 0.5 {
            true => format!(
                "{} ({} to {})",
                show(rung.bar),
                show(rung.low_bar),
                show(rung.high_bar)
            ),
            false => show(rung.bar),
        };
        let number = rung.part.balloon.map_or(String::new(), |n| format!("{n} "));
        [
            figure,
            rung.name.clone(),
            format!("{number}{}", rung.part.name),
        ]
    };
    audit.ladder.rungs.iter().rev().map(row).collect()
}

/// The title block of the sheet.
fn block(
    book: &book::Book,
    in_book: &InBook,
    station: &Station,
    zone: &Zone,
) -> Result<Vec<(&'static str, String)>, Trouble> {
    let revised = in_book.revised.as_ref();
    let revision = revised.map_or("none".to_owned(), |told| {
        format!(
            "entry {}, {}, {}",
            told.carrier,
            zone.day_text(told.happened),
            told.author
        )
    });
    let rules = rules_in_force(book, None)?;
    let rule = rules
        .cylinder_rule
        .map_or("none chosen".to_owned(), |c| c.name);
    let standard = rules
        .air_standard
        .map_or("none chosen".to_owned(), |c| c.name);
    let seal = book.head()?.map_or(String::new(), |(seq, hash)| {
        format!("{seq}:{}", hash.short())
    });
    let unit = station.units.preferred::<GaugePressure>().symbol;
    Ok(vec![
        (
            "Owner",
            station
                .owner
                .clone()
                .unwrap_or_else(|| station.name.clone()),
        ),
        (
            "Machine",
            format!(
                "{}, {} {unit}",
                station.name,
                now::number(station.compressor.working_pressure, station.units)
            ),
        ),
        ("Station file", revision),
        ("Rule, air standard", format!("{rule}; {standard}")),
        ("Units", format!("{unit} gauge unless marked abs")),
        ("Book", seal),
    ])
}
