//! `[[bank]]`, `[[cylinder_kind]]`, `[[cylinder]]` and `[now]`.

use quantity::{GaugePressure, Typed};

use crate::facts::Facts;
use crate::fields::{DIAL, VESSEL_FOUND};
use crate::model::{Bank, Capacity, Cylinder, CylinderKind, Material, Now, Vessel};
use crate::problem::{Label, Problem, ProblemId};
use crate::section::{Notes, Section};
use crate::suggest::nearest;
use crate::syntax::Entry;

const MATERIALS: &[(&str, Material)] = &[
    ("steel", Material::Steel),
    ("aluminium", Material::Aluminium),
    ("aluminum", Material::Aluminium),
    ("composite", Material::Composite),
];

pub(super) fn banks(facts: &Facts<'_>, notes: &Notes) -> Vec<Bank> {
    let read = |s: &Section<'_>| {
        let (id, vessel) = (s.words("id"), vessel(s));
        Some(Bank {
            id: id?,
            vessel: vessel?,
        })
    };
    Section::each(facts, notes, "bank")
        .iter()
        .filter_map(read)
        .collect()
}

pub(super) fn kinds(facts: &Facts<'_>, notes: &Notes) -> Vec<CylinderKind> {
    let read = |s: &Section<'_>| {
        let (id, vessel) = (s.words("id"), vessel(s));
        Some(CylinderKind {
            id: id?,
            vessel: vessel?,
        })
    };
    Section::each(facts, notes, "cylinder_kind")
        .iter()
        .filter_map(read)
        .collect()
}

pub(super) fn cylinders(facts: &Facts<'_>, notes: &Notes) -> Vec<Cylinder> {
    Section::each(facts, notes, "cylinder")
        .iter()
        .filter_map(cylinder)
        .collect()
}

fn cylinder(section: &Section<'_>) -> Option<Cylinder> {
    let id = section.words("id");
    let kind = section.words("kind");
    let owner = section.words("owner");
    let serial = section.words("serial");
    let (made, tested, visual) = (
        section.day("made"),
        section.day("tested"),
        section.day("visual"),
    );
    let plus = section.flag("plus");
    let stamp = section.words("stamp");
    Some(Cylinder {
        id: id?,
        kind: kind?,
        owner,
        serial,
        made,
        tested,
        visual,
        plus,
        stamp,
    })
}

fn vessel(section: &Section<'_>) -> Option<Vessel> {
    let capacity = capacity(section);
    let working_pressure = working_pressure(section);
    let test_pressure = section.quantity("test_pressure");
    let material = section.choice("material", MATERIALS);
    let mass = section.value("mass");
    Some(Vessel {
        capacity: capacity?,
        working_pressure: working_pressure?,
        test_pressure,
        material: material?,
        mass,
    })
}

/// Water volume or nominal content: exactly one.
fn capacity(section: &Section<'_>) -> Option<Capacity> {
    let water = section.value("water_volume").map(Capacity::Water);
    let free = section.value("free_air").map(Capacity::FreeAir);
    one_of(section, ["water_volume", "free_air"])
        .then_some(water.or(free))
        .flatten()
}

/// Working or service pressure, which mean the same: exactly one.
fn working_pressure(section: &Section<'_>) -> Option<Typed<GaugePressure>> {
    let working = section.quantity("working_pressure");
    let service = section.quantity("service_pressure");
    one_of(section, ["working_pressure", "service_pressure"])
        .then_some(working.or(service))
        .flatten()
}

/// Whether exactly one of two keys is there; notes it if not.
fn one_of(section: &Section<'_>, keys: [&str; 2]) -> bool {
    let [one, other] = keys;
    let place = |key: &str| section.facts.said(&section.at(key)).map(|s| s.key.clone());
    match (place(one), place(other)) {
        (Some(_), None) | (None, Some(_)) => return true,
        (None, None) if keys.iter().any(|key| section.misspelt(key)) => {}
        (None, None) => section.note(Problem::new(
            ProblemId::Missing,
            format!("{} says neither `{one}` nor `{other}`", section.called()),
            Label::new(
                section.facts.heading(&section.path),
                "neither below this heading",
            ),
            format!("add {one} = \"...\" or {other} = \"...\" with its unit: {VESSEL_FOUND}"),
        )),
        (Some(a), Some(b)) => {
            let (first, second) = if a.start < b.start { (a, b) } else { (b, a) };
            let remedy = format!("keep one and take the other out; {VESSEL_FOUND}");
            let message = format!("{} gives both `{one}` and `{other}`", section.called());
            let again = Label::new(second, "and here again");
            section.note(
                Problem::new(ProblemId::SaidTwice, message, again, remedy)
                    .and(Label::new(first, "given here")),
            );
        }
    }
    false
}

pub(super) fn now(section: &Section<'_>) -> Now {
    Now {
        tower: section.value("tower"),
        line: section.value("line"),
        hours: section.value("hours"),
        banks: pressures(section, "banks", "bank"),
        cylinders: pressures(section, "cylinders", "cylinder"),
    }
}

/// A table of pressures by id, each id one of those in the list of that name.
fn pressures(section: &Section<'_>, key: &str, list: &str) -> Vec<(String, GaugePressure)> {
    let facts = section.facts;
    let ids: Vec<&str> = facts
        .each(list)
        .iter()
        .filter_map(|path| facts.words(&format!("{path}.id")).map(|(id, _)| id))
        .collect();
    let entries: &[Entry] = facts.table(&section.at(key)).unwrap_or_default();
    let mut read = Vec::new();
    for entry in entries {
        let typed = section.read_quantity(&entry.key, DIAL, &entry.value);
        if !ids.contains(&entry.key.as_str()) {
            section.note(unknown_id(entry, list, &ids));
        } else if let Some(Typed { value, .. }) = typed {
            read.push((entry.key.clone(), value));
        }
    }
    read
}

fn unknown_id(entry: &Entry, list: &str, ids: &[&str]) -> Problem {
    let key = &entry.key;
    let remedy = match (nearest(key, ids.iter().copied()), ids) {
        (Some(id), _) => format!("did you mean {id}?"),
        (None, []) => format!("describe it first, below a heading [[{list}]]"),
        (None, _) => format!(
            "use one of {}, or add a [[{list}]] with this id",
            ids.join(", ")
        ),
    };
    Problem::new(
        ProblemId::UnknownId,
        format!("no [[{list}]] has the id {key:?}"),
        Label::new(entry.place.clone(), "not known here"),
        remedy,
    )
}
