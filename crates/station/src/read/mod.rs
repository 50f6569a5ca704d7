//! From what the file says to a [`Station`], table by table.
//!
//! Start at [`station`]. Each reader asks for its keys, all of them before it gives up, so that
//! every problem is noted. Not here: unknown keys ([`crate::keys`]) and contradictions
//! ([`crate::check`]).

mod compressor;
mod cylinders;
pub(crate) mod path;
mod protection;
mod site;
mod tower;

use crate::facts::Facts;
use crate::keys;
use crate::model::{Gauge, Reads, Station};
use crate::problem::{Label, Problem, ProblemId};
use crate::section::{Notes, Section};

/// The station, unless something required is missing or unusable.
pub(crate) fn station(facts: &Facts<'_>, notes: &Notes) -> Option<Station> {
    let open = |table| Section::open(facts, notes, table);
    let site = required(open("station")).and_then(|s| site::site(&s));
    let intake = site::intake(&open("intake"));
    let compressor = required(open("compressor")).and_then(|s| compressor::compressor(&s));
    let separator = tower::separator(&open("separator"));
    let purifier = tower::purifier(&open("purifier"));
    let tower = tower::tower(&open("tower"));
    let protection = protection::protection(facts, notes);
    let air_path = path::air_path(&open("air_path"));
    let whip = tower::whip(&open("whip"));
    let gauges = Section::each(facts, notes, "gauge")
        .iter()
        .filter_map(gauge)
        .collect();
    let banks = cylinders::banks(facts, notes);
    let cylinder_kinds = cylinders::kinds(facts, notes);
    let cylinders = cylinders::cylinders(facts, notes);
    let disc = protection.as_ref().and_then(|p| p.burst_disc.as_ref());
    let tolerances = site::tolerances(&open("tolerances"), disc.map(|d| d.tolerance));
    let now = cylinders::now(&open("now"));
    let (site, protection) = (site?, protection?);
    Some(Station {
        name: site.name,
        owner: site.owner,
        ambient_pressure: site.ambient_pressure,
        altitude: site.altitude,
        units: site.units,
        invented: site.invented,
        intake: intake?,
        compressor: compressor?,
        separator: separator?,
        purifier: purifier?,
        tower: tower?,
        air_path,
        pmv: protection.pmv,
        relief: protection.relief,
        burst_disc: protection.burst_disc,
        vent: protection.vent,
        whip: whip?,
        gauges,
        banks,
        cylinder_kinds,
        cylinders,
        tolerances: tolerances?,
        now,
    })
}

/// A required table; notes it if it is not there.
fn required(section: Section<'_>) -> Option<Section<'_>> {
    let (facts, table) = (section.facts, section.table);
    let misspelt = facts
        .top
        .iter()
        .any(|e| keys::meant("", &e.key) == Some(table));
    if !misspelt && facts.said(table).is_none() {
        section.note(Problem::new(
            ProblemId::Missing,
            format!("the file has no [{table}]"),
            Label::new(facts.end(), "the file ends without it"),
            required_remedy(table).to_owned(),
        ));
    }
    section.is_there().then_some(section)
}

fn required_remedy(table: &str) -> &'static str {
    match table {
        "station" => "add a line [station] and below it name = \"...\": what people call it",
        _ => {
            "add a line [compressor] and below it working_pressure = \"...\" and charging_rate = \
             \"...\", each with its unit: see the maker's manual or the plate"
        }
    }
}

fn gauge(section: &Section<'_>) -> Option<Gauge> {
    let name = section.words("name");
    let reads = connected(section);
    let span = section.value("span");
    let class = section.number("class");
    let resolution = section.value("resolution");
    Some(Gauge {
        name: name?,
        reads: reads?,
        span: span?,
        class: class?,
        resolution,
    })
}

/// What a gauge reads; notes a word that is not known.
fn connected(section: &Section<'_>) -> Option<Reads> {
    let text = section.words("reads")?;
    let found = reads(&text);
    if let (None, Some(said)) = (found, section.facts.said(&section.at("reads"))) {
        section.unknown_word("reads", said, &text, &["tower", "line", "stage 1"]);
    }
    found
}

/// `tower`, `line` or `stage 2`.
pub(crate) fn reads(text: &str) -> Option<Reads> {
    let plain = text.trim().to_lowercase();
    match plain.as_str() {
        "tower" => Some(Reads::Tower),
        "line" => Some(Reads::Line),
        _ => {
            let number = plain.strip_prefix("stage")?.trim().parse().ok()?;
            (1..=6).contains(&number).then_some(Reads::Stage(number))
        }
    }
}
