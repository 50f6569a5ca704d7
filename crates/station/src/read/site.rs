//! `[station]`, `[intake]` and `[tolerances]`.

use quantity::{AbsolutePressure, Fraction, Length, UnitSystem, display_as};

use crate::atmosphere::standard_pressure;
use crate::model::{Intake, Place, Tolerances};
use crate::section::Section;

/// What `[station]` says.
pub(super) struct Site {
    pub name: String,
    pub owner: Option<String>,
    pub ambient_pressure: AbsolutePressure,
    pub altitude: Option<Length>,
    pub units: UnitSystem,
    pub invented: bool,
}

const UNITS: &[(&str, UnitSystem)] = &[("metric", UnitSystem::Metric), ("us", UnitSystem::Us)];
const PLACES: &[(&str, Place)] = &[("outdoors", Place::Outdoors), ("indoors", Place::Indoors)];

pub(super) fn site(section: &Section<'_>) -> Option<Site> {
    let name = section.words("name");
    let owner = section.words("owner");
    let (ambient_pressure, altitude) = surroundings(section);
    let units = section.choice("units", UNITS);
    let invented = section.flag("invented");
    Some(Site {
        name: name?,
        owner,
        ambient_pressure,
        altitude,
        units: units?,
        invented: invented?,
    })
}

/// The pressure around the station, and the altitude it came from.
fn surroundings(section: &Section<'_>) -> (AbsolutePressure, Option<Length>) {
    let given: Option<AbsolutePressure> = section.value("ambient_pressure");
    let altitude: Option<Length> = section.value("altitude");
    let sea_level = AbsolutePressure::mbar(1013.25);
    match (given, altitude) {
        (Some(pressure), _) => (pressure, None),
        (None, Some(height)) => {
            let pressure = standard_pressure(height);
            let shown = display_as(pressure, "mbar").unwrap_or_default();
            section.assume(
                "ambient_pressure",
                shown,
                "standard atmosphere at this altitude, ISO 2533",
            );
            (pressure, Some(height))
        }
        (None, None) => {
            if !section.has("ambient_pressure") && !section.has("altitude") {
                section.assume(
                    "ambient_pressure",
                    "1013.25 mbar",
                    "standard atmosphere at sea level",
                );
            }
            (sea_level, None)
        }
    }
}

pub(super) fn intake(section: &Section<'_>) -> Option<Intake> {
    let temperature = section.value("temperature");
    let humidity = section.value("humidity");
    let coldest_month = section.value("coldest_month");
    let warmest_month = section.value("warmest_month");
    let place = section.choice("place", PLACES);
    Some(Intake {
        temperature: temperature?,
        humidity: humidity?,
        coldest_month,
        warmest_month,
        place,
    })
}

/// Tolerances; `disc` is the burst disc's own.
pub(super) fn tolerances(section: &Section<'_>, disc: Option<Fraction>) -> Option<Tolerances> {
    let delivery = section.value("delivery");
    let pmv = section.value("pmv");
    let relief = section.value("relief");
    let burst_disc = section
        .value("burst_disc")
        .or_else(|| own_tolerance(section, disc));
    let volume = section.value("volume");
    let heat_transfer = section.value("heat_transfer");
    let intake_temperature = section.value("intake_temperature");
    let start_pressure = section.value("start_pressure");
    Some(Tolerances {
        delivery: delivery?,
        pmv: pmv?,
        relief: relief?,
        burst_disc,
        volume: volume?,
        heat_transfer: heat_transfer?,
        intake_temperature: intake_temperature?,
        start_pressure,
    })
}

/// The burst disc's own tolerance, where there is a disc.
fn own_tolerance(section: &Section<'_>, disc: Option<Fraction>) -> Option<Fraction> {
    let shown = display_as(disc?, "%").unwrap_or_default();
    section.derive("burst_disc", shown, disc)
}
