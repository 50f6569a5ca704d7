//! What the register says of a cylinder, as facts that the fill gate can look at.

use book::answer::register::Record;
use book::body::{Check, CylinderRegistered, Material, Use as Used};
use insight::cylinder::{CylinderFacts, Use, When, read_stamp};
use station::Date;

/// The facts of a record: its last registration, and every examination since.
pub fn of(record: &Record, today: Date) -> CylinderFacts {
    let Some(registered) = record.registered.as_ref().map(|told| &told.body) else {
        return CylinderFacts::unknown(&record.cylinder);
    };
    let mut facts = stamped(registered, today);
    let tested = latest(facts.tested, record.days(Check::Test));
    if tested != facts.tested {
        // The plus mark that counts follows the date of the latest test.
        facts.plus = record
            .last_passed(Check::Test)
            .and_then(|told| told.body.plus);
    }
    facts.tested = tested;
    facts.visual = latest(facts.visual, record.days(Check::Visual));
    facts.eddy_current = latest(facts.eddy_current, record.days(Check::EddyCurrent));
    facts.inspections = days(&record.days(Check::Visual));
    if let Some(condemned) = &record.condemned {
        let day = &condemned.body.why;
        facts.condemned = Some(format!("it is condemned (entry {}): {day}", condemned.seq));
    }
    facts
}

/// What the registration itself says, stamps included.
pub fn stamped(registered: &CylinderRegistered, today: Date) -> CylinderFacts {
    let when = |text: &Option<String>| text.as_deref().and_then(When::parse);
    let mut facts = CylinderFacts {
        id: registered.cylinder.clone(),
        rated: registered
            .working_pressure
            .as_ref()
            .and_then(|p| p.with_unit()),
        material: registered.material.map(material),
        specification: registered.specification.clone(),
        permit: registered.permit.clone(),
        alloy: registered.alloy.clone(),
        made: when(&registered.made),
        commissioned: when(&registered.commissioned),
        tested: when(&registered.tested),
        visual: when(&registered.visual),
        eddy_current: when(&registered.eddy_current),
        life_ends: when(&registered.life_ends),
        plus: registered.plus,
        used_for: registered.used_for.map(used_for).unwrap_or_default(),
        ..CylinderFacts::default()
    };
    facts.plus_conditions.disc_fits = registered.disc_fits;
    if let Some(stamp) = &registered.stamp {
        facts.add_stamp(&read_stamp(stamp, today));
    }
    let in_psi = facts.rated.is_some_and(|p| p.unit.symbol == "psi");
    facts.foreign = facts.specification.is_none() && facts.permit.is_none() && !in_psi;
    if let (Some(working), Some(test)) = (&registered.working_pressure, &registered.test_pressure)
        && test.value().as_bar() <= working.value().as_bar()
    {
        facts.implausible.push(format!(
            "its test pressure, {test}, is not above its working pressure, {working}"
        ));
    }
    facts
}

/// The latest of a day and these days.
fn latest(registered: Option<When>, since: Vec<&str>) -> Option<When> {
    let all = registered.into_iter().chain(days(&since));
    all.max_by_key(|when| when.last_day())
}

fn days(texts: &[&str]) -> Vec<When> {
    texts.iter().filter_map(|text| When::parse(text)).collect()
}

fn material(material: Material) -> station::Material {
    match material {
        Material::Steel => station::Material::Steel,
        Material::Aluminium => station::Material::Aluminium,
        Material::Composite => station::Material::Composite,
    }
}

fn used_for(used: Used) -> Use {
    match used {
        Used::Diving => Use::Diving,
        Used::Rescue => Use::Rescue,
        Used::Storage => Use::Storage,
        Used::Aircraft => Use::Aircraft,
    }
}
