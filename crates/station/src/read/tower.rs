//! `[separator]`, `[purifier]`, `[tower]` and `[whip]`: whatever holds pressure.

use crate::model::{Bed, BedKind, Material, Purifier, Separator, Tower, Whip};
use crate::problem::{Label, Problem, ProblemId};
use crate::section::Section;
use crate::suggest::{nearest, or_list};

const TOWER_MATERIALS: &[(&str, Material)] = &[
    ("steel", Material::Steel),
    ("aluminium", Material::Aluminium),
    ("aluminum", Material::Aluminium),
];

const BEDS: &[(&str, BedKind)] = &[
    ("drying", BedKind::Drying),
    ("carbon", BedKind::Carbon),
    ("catalyst", BedKind::Catalyst),
];

/// Fillings by their general names.
const FILLINGS: &[(&str, BedKind)] = &[
    ("13X", BedKind::Drying),
    ("5A", BedKind::Drying),
    ("4A", BedKind::Drying),
    ("3A", BedKind::Drying),
    ("silica gel", BedKind::Drying),
    ("activated alumina", BedKind::Drying),
    ("activated carbon", BedKind::Carbon),
    ("copper-manganese oxide", BedKind::Catalyst),
];

pub(super) fn separator(section: &Section<'_>) -> Option<Separator> {
    let volume = section.value("volume");
    let sump_volume = section.value("sump_volume");
    let efficiency = section.value("efficiency");
    let drain_interval = section.value("drain_interval");
    let drain_bore = section.value("drain_bore");
    Some(Separator {
        volume: volume?,
        sump_volume: sump_volume?,
        efficiency: efficiency?,
        drain_interval: drain_interval?,
        drain_bore: drain_bore?,
    })
}

pub(super) fn purifier(section: &Section<'_>) -> Option<Purifier> {
    let volume = section.value("volume");
    let changed = section.day("changed");
    let changed_at_hours = section.value("changed_at_hours");
    let rated_hours = section.value("rated_hours");
    let flow_bore = section.value("flow_bore");
    let tables = Section::each(section.facts, section.notes, "purifier.bed");
    let beds: Vec<Option<Bed>> = tables.iter().map(bed).collect();
    if tables.is_empty() && !section.has("bed") {
        let reason = "the file has no [[purifier.bed]]: what it holds is not known";
        section.assume("bed", "none", reason);
    }
    let beds: Option<Vec<Bed>> = beds.into_iter().collect();
    Some(Purifier {
        volume: volume?,
        changed,
        changed_at_hours,
        rated_hours,
        flow_bore,
        beds: beds?,
    })
}

fn bed(section: &Section<'_>) -> Option<Bed> {
    let kind = section.choice("kind", BEDS);
    let adsorbent = section.words("adsorbent");
    let mass = section.value("mass");
    let diameter = section.value("diameter");
    let length = section.value("length");
    if let (Some(kind), Some(text)) = (kind, &adsorbent) {
        known_filling(section, kind, text);
    }
    Some(Bed {
        kind: kind?,
        adsorbent,
        mass: mass?,
        diameter,
        length,
    })
}

/// Notes a filling that is not known for this kind of bed.
fn known_filling(section: &Section<'_>, kind: BedKind, text: &str) {
    let known: Vec<&str> = FILLINGS
        .iter()
        .filter(|f| f.1 == kind)
        .map(|f| f.0)
        .collect();
    if known.iter().any(|k| k.eq_ignore_ascii_case(text)) {
        return;
    }
    let Some((_, place)) = section.facts.words(&section.at("adsorbent")) else {
        return;
    };
    let quoted: Vec<String> = known.iter().map(|k| format!("\"{k}\"")).collect();
    let remedy = match nearest(text, known.iter().copied()) {
        Some(word) => format!("did you mean \"{word}\"?"),
        None => format!(
            "known for this kind of bed: {}; with any other, what it holds is not computed",
            or_list(&quoted)
        ),
    };
    section.note(Problem::new(
        ProblemId::AdsorbentUnknown,
        format!("{text:?} is not a filling known for this kind of bed"),
        Label::new(place, "not known here"),
        remedy,
    ));
}

pub(super) fn tower(section: &Section<'_>) -> Option<Tower> {
    let rated_pressure = section.value("rated_pressure");
    let wall_mass = section.value("wall_mass");
    let material = section.choice("material", TOWER_MATERIALS);
    let leak = section.value("leak");
    Some(Tower {
        rated_pressure,
        wall_mass: wall_mass?,
        material: material?,
        leak,
    })
}

pub(super) fn whip(section: &Section<'_>) -> Option<Whip> {
    let volume = section.value("volume");
    let count = section.count("count");
    let bleed_bore = section.value("bleed_bore");
    let fill_bore = section.value("fill_bore");
    let rated_pressure = section.value("rated_pressure");
    Some(Whip {
        volume: volume?,
        count: count?,
        bleed_bore: bleed_bore?,
        fill_bore: fill_bore?,
        rated_pressure,
    })
}
