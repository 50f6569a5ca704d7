//! What cannot be true of a cylinder, whoever wrote it down.
//!
//! Stamps are read as the fill gate reads them; pressures in columns are read as the same marks on
//! a shoulder would be. Not here: whether it may be filled (`insight::cylinder`).

use book::Measure;
use book::body::{CylinderRegistered, Use};
use insight::cylinder::{CylinderFacts, When, read_stamp};
use quantity::GaugePressure;
use station::{Date, Material};

use crate::usecase::Trouble;

/// Water volumes of cylinders people carry, litres (common practice, no source).
const CARRIED_L: std::ops::RangeInclusive<f64> = 0.1..=30.0;
/// Those of storage cylinders (common practice, no source).
const STORAGE_L: std::ops::RangeInclusive<f64> = 1.0..=300.0;

/// Everything that cannot be, with the field it is about.
pub fn troubles(body: &CylinderRegistered, today: Date) -> Vec<Trouble> {
    let mut troubles = stamps(body, today);
    troubles.extend(pressures(body, today));
    troubles.extend(volume(body));
    troubles.extend(dates(body, today));
    troubles
}

fn stamps(body: &CylinderRegistered, today: Date) -> Vec<Trouble> {
    let Some(text) = &body.stamp else {
        return Vec::new();
    };
    let stamp = read_stamp(text, today);
    let mut facts = CylinderFacts {
        rated: body.working_pressure.as_ref().and_then(Measure::with_unit),
        material: body.material.map(material),
        permit: body.permit.clone(),
        ..CylinderFacts::unknown(&body.cylinder)
    };
    facts.add_stamp(&stamp);
    let what = facts
        .implausible
        .into_iter()
        .map(|what| (what, "read the shoulder again and correct the row"));
    let condemned = facts
        .condemned
        .map(|what| (what, "leave the row out: what is condemned is not filled"));
    let all = what.chain(condemned);
    all.map(|(what, remedy)| Trouble::new(what, remedy).about("stamp"))
        .collect()
}

/// The pressures of the row, as marks on a shoulder.
fn pressures(body: &CylinderRegistered, today: Date) -> Vec<Trouble> {
    let mark = |name: &str, pressure: &Option<Measure<GaugePressure>>| {
        let typed = pressure.as_ref()?.with_unit()?;
        Some(match typed.unit.symbol {
            "psi" => format!("{name} {:.0} PSI", typed.number),
            _ => format!("{name} {:.1} BAR", typed.value.as_bar()),
        })
    };
    let marks = [
        mark("PW", &body.working_pressure),
        mark("PT", &body.test_pressure),
    ];
    let text: Vec<String> = marks.into_iter().flatten().collect();
    let stamp = read_stamp(&text.join(" "), today);
    let field = if body.working_pressure.is_some() {
        "working-pressure"
    } else {
        "test-pressure"
    };
    let told = stamp.implausible.into_iter();
    told.map(|what| {
        Trouble::new(
            what,
            "read the shoulder again, and check the unit in the heading",
        )
        .about(field)
    })
    .collect()
}

fn material(material: book::body::Material) -> Material {
    match material {
        book::body::Material::Steel => Material::Steel,
        book::body::Material::Aluminium => Material::Aluminium,
        book::body::Material::Composite => Material::Composite,
    }
}

/// A number meant as free air, or with another unit, makes a cylinder nobody could carry.
fn volume(body: &CylinderRegistered) -> Option<Trouble> {
    let volume = body.water_volume.as_ref()?;
    let litres = volume.value().as_litre();
    let usual = match body.used_for {
        Some(Use::Storage) => STORAGE_L,
        _ => CARRIED_L,
    };
    (!usual.contains(&litres)).then(|| {
        let what = format!("a water volume of {volume} ({litres:.1} L): nobody carries such a cylinder");
        let remedy = "check the unit; what it holds when full is free air: --columns \"HEADING=free-air\"; \
                      a storage cylinder needs \"storage\" in a column \"used for\"";
        Trouble::new(what, remedy).about("water-volume")
    })
}

fn dates(body: &CylinderRegistered, today: Date) -> Vec<Trouble> {
    let read = |text: &Option<String>| text.as_deref().and_then(When::parse);
    let made = read(&body.made);
    let past = [
        ("made", &body.made),
        ("commissioned", &body.commissioned),
        ("tested", &body.tested),
        ("visual", &body.visual),
        ("eddy-current", &body.eddy_current),
    ];
    let mut troubles = Vec::new();
    for (field, text) in past {
        let Some(when) = read(text) else { continue };
        if when.is_ahead(today) {
            let what = format!("{when} is still to come");
            let remedy = "give the last one; when the next is due follows from the rule";
            troubles.push(Trouble::new(what, remedy).about(field));
        }
        if made.is_some_and(|made| when.last_day() < made.first_day()) {
            let what = format!("{when} lies before the cylinder was made");
            troubles.push(Trouble::new(what, "read the stamps again").about(field));
        }
    }
    if let (Some(made), Some(ends)) = (made, read(&body.life_ends))
        && ends.last_day() < made.first_day()
    {
        let what = format!("its life ends in {ends}, before it was made");
        troubles.push(Trouble::new(what, "read the stamps again").about("life-ends"));
    }
    troubles
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(change: impl Fn(&mut CylinderRegistered)) -> Vec<String> {
        let mut body = CylinderRegistered {
            cylinder: "A1".into(),
            water_volume: Measure::parse("12 L").ok(),
            working_pressure: Measure::parse("232 bar").ok(),
            test_pressure: Measure::parse("348 bar").ok(),
            made: Some("2019-04".into()),
            tested: Some("2024-04".into()),
            ..CylinderRegistered::default()
        };
        change(&mut body);
        let today = Date::new(2026, 5, 20).unwrap();
        troubles(&body, today)
            .into_iter()
            .map(|t| t.field.unwrap_or_default().to_owned())
            .collect()
    }

    #[test]
    fn what_cannot_be_is_told_with_its_field() {
        assert_eq!(told(|_| ()), Vec::<String>::new());
        assert_eq!(
            told(|b| b.working_pressure = Measure::parse("232 psi").ok())[0],
            "working-pressure"
        );
        assert_eq!(
            told(|b| b.test_pressure = Measure::parse("232 bar").ok()),
            ["working-pressure"]
        );
        assert_eq!(
            told(|b| b.water_volume = Measure::parse("80 cu ft").ok()),
            ["water-volume"]
        );
        let large = |b: &mut CylinderRegistered| b.water_volume = Measure::parse("80 L").ok();
        assert_eq!(told(large), ["water-volume"]);
        let bank = |b: &mut CylinderRegistered| {
            large(b);
            b.used_for = Some(Use::Storage);
        };
        assert_eq!(told(bank), Vec::<String>::new());
        assert_eq!(told(|b| b.tested = Some("2028-04".into())), ["tested"]);
        assert_eq!(told(|b| b.made = Some("2025-01".into())), ["tested"]);
        assert_eq!(
            told(|b| b.life_ends = Some("2010-01".into())),
            ["life-ends"]
        );
        assert_eq!(told(|b| b.stamp = Some("PW 300 BAR".into())), ["stamp"]);
        assert_eq!(told(|b| b.stamp = Some("XXX".into())), ["stamp"]);
        let us = |b: &mut CylinderRegistered| {
            b.working_pressure = Measure::parse("3000 psi").ok();
            b.test_pressure = Measure::parse("5000 psi").ok();
            b.stamp = Some("3AL3000 04-24".into());
        };
        assert_eq!(told(us), Vec::<String>::new());
    }
}
