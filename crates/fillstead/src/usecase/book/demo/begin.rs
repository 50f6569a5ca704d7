//! The first pages: whose book it is, the station, the rules, the register, intervals and prices.

use book::Draft;
use book::body::{BookBegun, StationRevised};
use jiff::ToSpan as _;
use jiff::civil::Date;
use station::{Capacity, Material, Station};

use super::calendar::{UNSEEN_FROM, UNTESTED_FROM, Year};
use super::people::{CYLINDERS, Cylinder, UNSEEN, UNTESTED};
use super::scribe::{Scribe, Typed, moment};
use super::telling::of_simulation;
use crate::usecase::Trouble;
use crate::usecase::book::desk::Signed;
use crate::usecase::clock::Zone;

/// Who begins it, and when on the first day.
const BY: &str = "EM";
const NINE: i32 = 9 * 3600;
/// Months for which an examination holds by the rule chosen.
const TEST_MONTHS: i32 = 60;
const VISUAL_MONTHS: i32 = 30;
/// A cylinder's first test and the one that counts lie so many days apart.
const FIVE_YEARS: i32 = 1826;

const MANUAL: &str = "invented maker's manual, section 5";

/// Part, and how often it is due by hours and months.
const INTERVALS: [(&str, &str, &str); 6] = [
    ("oil", "100 h", "12"),
    ("intake_filter", "150 h", "12"),
    ("hose", "", "60"),
    ("relief", "", "12"),
    ("cartridge", "40 h", "6"),
    ("air_sample", "", "3"),
];

const PRICES: [(&str, &str); 3] = [
    ("kilowatt_hour", "0.34"),
    ("cartridge", "58"),
    ("running_hour", "4.5"),
];

/// The first page, which says that all of it is invented.
pub fn first_page(
    station: &Station,
    zone: &Zone,
    year: &Year,
    seed: u64,
) -> Result<Draft, Trouble> {
    let at = moment(zone, year.first, (0, NINE))?;
    let signed = Signed {
        author: BY.into(),
        zone: zone.clone(),
        recorded: at,
        happened: at,
    };
    let remark = format!(
        "INVENTED demonstration data. No such place, machine, sample or person exists. Pressures, times \
         and water are those of simulated runs (seed {seed}); what goes wrong is a story"
    );
    Ok(signed.draft(BookBegun {
        station: station.name.clone(),
        invented: true,
        remark: Some(remark),
    }))
}

/// The other first pages.
pub fn begun(scribe: &mut Scribe<'_>, station: &Station, year: &Year) -> Result<(), Vec<Trouble>> {
    let at = (0, NINE + 60);
    let revised = StationRevised {
        name: station.name.clone(),
        file: super::STATION.to_owned(),
        why: None,
    };
    scribe.body(BY, at, revised.into())?;
    let rules = [
        ("cylinder-rule", "uk".to_owned()),
        ("air-standard", "EN 12021".to_owned()),
    ];
    scribe.enter(BY, at, "rules", &rules)?;
    for cylinder in &CYLINDERS {
        scribe.enter(BY, at, "cylinder", &registration(cylinder, station, year)?)?;
    }
    for (part, hours, months) in INTERVALS {
        let typed = [
            ("part", part.to_owned()),
            ("hours", hours.to_owned()),
            ("months", months.to_owned()),
            ("source", MANUAL.to_owned()),
        ];
        scribe.enter(BY, at, "interval", &typed)?;
    }
    for (of, amount) in PRICES {
        let typed = [
            ("of", of.to_owned()),
            ("amount", amount.to_owned()),
            ("currency", "EUR".to_owned()),
        ];
        scribe.enter(BY, at, "price", &typed)?;
    }
    parts(scribe)
}

/// What is known of the parts on the first day.
fn parts(scribe: &mut Scribe<'_>) -> Result<(), Vec<Trouble>> {
    let hours = format!("{:.1} h", super::METER_H);
    for (part, detail) in [
        ("cartridge", "13X 420 g and carbon 120 g, from sealed bag"),
        ("oil", "0.4 L, breathing-air grade"),
        ("intake_filter", "new element"),
    ] {
        let typed = [
            ("part", part.to_owned()),
            ("hours", hours.clone()),
            ("detail", detail.to_owned()),
            ("done-by", BY.to_owned()),
        ];
        scribe.enter(BY, (0, NINE + 1800), "replaced", &typed)?;
    }
    Ok(())
}

fn registration(
    cylinder: &Cylinder,
    station: &Station,
    year: &Year,
) -> Result<Vec<Typed<'static>>, Vec<Trouble>> {
    let kind = station
        .cylinder_kinds
        .iter()
        .find(|kind| kind.id == cylinder.kind);
    let vessel = &kind
        .ok_or_else(|| of_simulation("its station knows no such cylinder"))?
        .vessel;
    let (tested, visual) = examined(cylinder, year);
    let made = tested.saturating_sub(FIVE_YEARS.days());
    let litres = match vessel.capacity {
        Capacity::Water(volume) => volume.as_litre(),
        Capacity::FreeAir(_) => 0.0,
    };
    let mut typed = vec![
        ("cylinder", cylinder.id.to_owned()),
        ("owner", cylinder.owner.to_owned()),
        ("serial", cylinder.serial.to_owned()),
        ("water-volume", format!("{litres} L")),
        ("working-pressure", vessel.working_pressure.to_string()),
        ("made", made.to_string()),
        ("tested", tested.to_string()),
        ("visual", visual.to_string()),
    ];
    if let Some(test) = vessel.test_pressure {
        typed.push(("test-pressure", test.to_string()));
    }
    let (material, used_for) = match vessel.material {
        Material::Steel => ("steel", "diving"),
        Material::Aluminium => ("aluminium", "diving"),
        Material::Composite => ("composite", "rescue"),
    };
    typed.extend([
        ("material", material.to_owned()),
        ("used-for", used_for.to_owned()),
    ]);
    Ok(typed)
}

/// Days of the last pressure test and visual inspection. Two run out in the year.
fn examined(cylinder: &Cylinder, year: &Year) -> (Date, Date) {
    let before = |days: i32| year.first.saturating_sub(days.days());
    let runs_out = |share: f64, months: i32| {
        let last = &year.sessions[year.at(share)].date;
        last.saturating_sub(3.days())
            .saturating_sub(months.months())
    };
    let (tested, visual) = (before(cylinder.tested), before(cylinder.visual));
    match cylinder.id {
        UNTESTED => (runs_out(UNTESTED_FROM, TEST_MONTHS), visual),
        UNSEEN => (tested, runs_out(UNSEEN_FROM, VISUAL_MONTHS)),
        _ => (tested, visual),
    }
}
