//! The names by which a rule speaks of a cylinder.
//!
//! Not here: the facts behind them ([`super::facts`]).

use super::facts::{CylinderFacts, Use};
use super::when::When;
use station::{Date, Material};

/// Every name that is no specification.
const NAMES: [&str; 14] = [
    "steel",
    "aluminium",
    "composite",
    "diving",
    "rescue",
    "storage",
    "aircraft",
    "foreign",
    "permit",
    "star",
    "yearly",
    "assessed",
    "6351",
    "6351?",
];

/// Aluminium made before this year, of an alloy not known, may be 6351 (from memory).
const OTHER_ALLOYS_FROM: u16 = 1990;

/// Whether a rule may use this name: one of the list, or a specification such as 3AA.
pub(super) fn is_name(name: &str) -> bool {
    let specification = name.starts_with('3') && name.len() < 6;
    NAMES.contains(&name) || specification && name.chars().all(|c| c.is_ascii_alphanumeric())
}

/// The names that fit one cylinder.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Tags(Vec<String>);

impl Tags {
    pub fn of(facts: &CylinderFacts, today: Date) -> Tags {
        let mut tags = vec![facts.used_for.name().to_owned()];
        let mut add = |fits: bool, name: &str| {
            if fits {
                tags.push(name.to_owned());
            }
        };
        let specification = facts.specification.as_deref();
        let steel = facts.material == Some(Material::Steel);
        let aluminium = facts.material == Some(Material::Aluminium);
        add(steel, "steel");
        add(aluminium, "aluminium");
        add(facts.material == Some(Material::Composite), "composite");
        add(facts.permit.is_some(), "permit");
        add(facts.foreign, "foreign");
        add(
            facts.star && facts.star_holds == Some(true) && facts.used_for != Use::Diving,
            "star",
        );
        add(yearly(facts, today), "yearly");
        add(facts.risk_assessed, "assessed");
        let alloy = facts.alloy.as_deref();
        add(alloy == Some("6351"), "6351");
        let old = facts
            .made
            .is_some_and(|m| m.first_day().year() < OTHER_ALLOYS_FROM);
        add(aluminium && alloy.is_none() && old, "6351?");
        // a metric twin of a US specification (3AAM) is examined like it
        let plain = specification.map(|s| s.strip_suffix('M').unwrap_or(s));
        tags.extend(plain.map(str::to_owned));
        Tags(tags)
    }

    pub fn has(&self, name: &str) -> bool {
        self.0.iter().any(|tag| tag == name)
    }
}

/// Whether every yearly inspection since the last test is on record, and one at least.
fn yearly(facts: &CylinderFacts, today: Date) -> bool {
    let Some(mut last) = facts.tested.or(facts.commissioned).or(facts.made) else {
        return false;
    };
    let mut inspections: Vec<When> = facts.inspections.clone();
    inspections.retain(|when| when.first_day() > last.last_day());
    inspections.sort_by_key(|when| when.first_day());
    if inspections.is_empty() {
        return false;
    }
    for inspection in inspections {
        if inspection.first_day() > last.after_months(12).last_day() {
            return false;
        }
        if inspection.last_day() > last.last_day() {
            last = inspection;
        }
    }
    !last.after_months(12).is_over(today)
}
