//! What is typed to set a bench up, read and checked.

use insight::bench::Setting;
use quantity::{Fraction, GaugePressure, Temperature, UnitSystem, display_as};
use station::Station;

use crate::usecase::Trouble;
use crate::usecase::book::form::Given;
use crate::usecase::trouble;

/// The fields, with what people call them.
pub const FIELDS: [(&str, &str); 4] = [
    ("intake", "Intake air"),
    ("humidity", "Humidity"),
    ("start", "Cylinder at start"),
    ("pmv", "PMV opens at"),
];

/// A setting as it would be typed.
pub fn typed(setting: &Setting, units: UnitSystem) -> Given {
    let pressure = |p: GaugePressure| match units {
        UnitSystem::Metric => format!("{:.0} bar", p.as_bar()),
        UnitSystem::Us => format!("{:.0} psi", p.as_psi()),
    };
    let c = setting.intake.as_celsius();
    let intake = match units {
        UnitSystem::Metric => format!("{c:.0} °C"),
        UnitSystem::Us => format!("{:.0} °F", c * 1.8 + 32.0),
    };
    let humidity = display_as(setting.humidity, "%");
    let mut given = vec![
        ("intake".to_owned(), intake),
        ("humidity".to_owned(), humidity.unwrap_or_default()),
        ("start".to_owned(), pressure(setting.start)),
        ("cylinder".to_owned(), setting.cylinder.clone()),
        ("hoses".to_owned(), setting.hoses.to_string()),
    ];
    if let Some(opens) = setting.pmv_opens {
        given.push(("pmv".to_owned(), pressure(opens)));
    }
    given
}

/// The station's own setting with what was typed instead.
///
/// **Errors** everything that cannot be read or does not fit.
pub fn set(station: &Station, given: &Given) -> Result<Setting, Vec<Trouble>> {
    let mut setting = Setting::of(station).map_err(|r| vec![super::told(r)])?;
    let mut troubles = Vec::new();
    let text = |name: &str| {
        let found = given.iter().rev().find(|(n, _)| n == name);
        found
            .map(|(_, text)| text.trim())
            .filter(|text| !text.is_empty())
    };
    let mut read = |done: Result<(), Trouble>| troubles.extend(done.err());
    if let Some(t) = text("intake") {
        read(trouble::typed::<Temperature>("intake", t).map(|t| setting.intake = t.value));
    }
    if let Some(t) = text("humidity") {
        read(trouble::typed::<Fraction>("humidity", t).map(|t| setting.humidity = t.value));
    }
    if let Some(t) = text("start") {
        read(trouble::typed::<GaugePressure>("start", t).map(|t| setting.start = t.value));
    }
    if let Some(t) = text("pmv").filter(|_| station.pmv.is_some()) {
        let opens = trouble::typed::<GaugePressure>("pmv", t);
        read(opens.map(|t| setting.pmv_opens = Some(t.value)));
    }
    if let Some(t) = text("hoses") {
        setting.hoses = t.parse().unwrap_or(0);
    }
    if let Some(id) = text("cylinder") {
        let known = station.cylinder_kinds.iter().any(|kind| kind.id == id);
        let trouble = || {
            let what = format!("no kind of cylinder here is called `{id}`");
            Trouble::new(what, "choose one from the list").about("cylinder")
        };
        read(if known { Ok(()) } else { Err(trouble()) });
        setting.cylinder = id.to_owned();
    }
    if let (Some(opens), Some(pmv)) = (setting.pmv_opens, &station.pmv) {
        // what the tower keeps follows the PMV
        let kept = pmv.closes.as_bar() / pmv.opens.as_bar().max(1.0) * opens.as_bar();
        setting.tower = GaugePressure::bar(kept);
    }
    let misfits = setting.troubles(station).into_iter();
    let misfits = misfits.map(|(field, refused)| super::told(refused).about(field));
    let seen: Vec<&str> = troubles.iter().filter_map(|t| t.field).collect();
    let misfits: Vec<Trouble> = misfits
        .filter(|t| t.field.is_none_or(|f| !seen.contains(&f)))
        .collect();
    troubles.extend(misfits);
    match troubles.is_empty() {
        true => Ok(setting),
        false => Err(troubles),
    }
}
