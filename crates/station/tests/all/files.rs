//! The station files that come with the program, defaults, units, and what editors add to files.

use crate::common::{BASE, all};
use quantity::{GaugePressure, Quantity, UnitSystem, display_as};
use station::{Capacity, Date, Element, Output, Reads, Station, read};

const BOATHOUSE: &str = include_str!("../../../../stations/boathouse.toml");
const ENGINE_HOUSE: &str = include_str!("../../../../stations/engine-house.toml");
const SMALLEST: &str = include_str!("../../../../stations/smallest.toml");

fn station(text: &str) -> Station {
    read(text).station.expect(text)
}

fn psi(pressure: GaugePressure) -> String {
    display_as(pressure, "psi").expect("psi is a unit of pressure")
}

#[test]
fn shipped_files_with_gauges_have_no_problems() {
    assert_eq!(all(BOATHOUSE), "");
    assert_eq!(all(ENGINE_HOUSE), "");
    assert_eq!(all(SMALLEST), "");
}

#[test]
fn shipped_files_say_that_they_are_invented() {
    for text in [BOATHOUSE, ENGINE_HOUSE, SMALLEST] {
        assert!(station(text).invented);
        assert!(text.to_lowercase().contains("# invented") || text.contains("INVENTED"));
    }
    assert!(SMALLEST.lines().count() <= 10);
}

#[test]
fn boathouse() {
    let station = station(BOATHOUSE);
    assert_eq!(station.compressor.stage_count, 3);
    assert_eq!(station.units, UnitSystem::Metric);
    assert!(station.air_path.one_housing());
    assert!(station.air_path.is_before(Element::Relief, Element::Pmv));
    assert_eq!(station.gauges[3].reads, Reads::Stage(2));
    assert_eq!(station.cylinders.len(), 4);
    assert_eq!(station.cylinders[0].tested, Date::new(2024, 4, 10));
    assert_eq!(
        station.now.cylinders[1],
        ("A2".to_owned(), GaugePressure::bar(60.0))
    );
    assert_eq!(station.purifier.beds.len(), 2);
    assert!((station.separator.volume.as_litre() - 0.6).abs() < 1e-12);
}

/// Stamps keep the unit they were typed in.
#[test]
fn engine_house() {
    let station = station(ENGINE_HOUSE);
    let stamps: Vec<String> = station
        .cylinder_kinds
        .iter()
        .map(|k| k.vessel.working_pressure.to_string())
        .collect();
    assert_eq!(stamps, ["4500 psi", "4500 psi", "2216 psi"]);
    assert!(matches!(
        station.cylinder_kinds[0].vessel.capacity,
        Capacity::FreeAir(_)
    ));
    assert!(matches!(
        station.cylinder_kinds[2].vessel.capacity,
        Capacity::Water(_)
    ));
    assert!(!station.air_path.one_housing());
    assert!(
        station
            .air_path
            .check_between(Element::Separator, Element::Purifier)
    );
    assert!(matches!(station.compressor.output, Output::ChargingRate(_)));
    assert_eq!(station.now.banks.len(), 2);
    assert!((station.intake.temperature.as_fahrenheit() - 75.0).abs() < 1e-9);
}

/// The defaults as they were laid down when the file format was decided.
const DEFAULTS: [&str; 36] = [
    "station.ambient_pressure = 1013.25 mbar",
    "station.units = metric",
    "intake.temperature = 20 °C",
    "intake.humidity = 60 %",
    "compressor.clearance = 5 %",
    "compressor.polytropic_exponent = 1.3",
    "compressor.cooler_approach = 10 K",
    "compressor.stage_count = 3",
    "separator.volume = 0.5 L",
    "separator.sump_volume = 90 mL",
    "separator.efficiency = 98 %",
    "separator.drain_interval = 15 min",
    "separator.drain_bore = 2 mm",
    "purifier.volume = 1.5 L",
    "purifier.bed = none",
    "tower.wall_mass = 10 kg",
    "tower.material = aluminium",
    "pmv = not fitted",
    "relief.action = proportional",
    "relief.bore = 3 mm",
    "relief.full_lift_above = 22.5 bar",
    "relief.reseats = 202.5 bar",
    "burst_disc = not fitted",
    "vent = not fitted",
    "air_path.order = check, separator, purifier, relief",
    "whip.volume = 0.05 L",
    "whip.count = 1",
    "whip.bleed_bore = 1 mm",
    "whip.fill_bore = 1.5 mm",
    "cylinder_kind[1].material = steel",
    "tolerances.delivery = 5 %",
    "tolerances.pmv = 5 %",
    "tolerances.relief = 3 %",
    "tolerances.volume = 3 %",
    "tolerances.heat_transfer = 30 %",
    "tolerances.intake_temperature = 2 K",
];

/// Everything the smallest file leaves out, with the value taken.
#[test]
fn defaults_are_listed() {
    let assumed = read(SMALLEST).assumed;
    let listed: Vec<String> = assumed
        .iter()
        .map(|a| format!("{} = {}", a.key, a.value))
        .collect();
    assert_eq!(listed, DEFAULTS);
    assert!(assumed.iter().all(|a| !a.reason.is_empty()));
}

#[test]
fn derived_defaults_are_listed() {
    let text = BASE.to_owned()
        + "[pmv]\nopens = \"2000 psi\"\ncloses = \"1800 psi\"\n[burst_disc]\nbursts = \"300 bar\"\n";
    let reading = read(&text);
    let value = |key: &str| {
        let found = reading.assumed.iter().find(|a| a.key == key);
        found.map(|a| a.value.clone()).unwrap_or_default()
    };
    assert_eq!(value("pmv.full_open_above"), "200 psi");
    assert_eq!(value("relief.reseats"), "229.5 bar");
    assert_eq!(value("tolerances.burst_disc"), "5 %");
    assert_eq!(value("vent"), "not fitted");
    assert_eq!(
        value("air_path.order"),
        "check, separator, purifier, relief, burst_disc, pmv"
    );
    assert_eq!(value("compressor.stage_count"), "3");
    let station = reading.station.expect("only defaults are missing");
    let pmv = station.pmv.expect("the file has [pmv]");
    assert_eq!(
        psi(GaugePressure::from_si(pmv.full_open_above.si())),
        "200 psi"
    );
}

/// The same station in three units (1 bar = 100 kPa; 1 psi = 6894.757 Pa, NIST SP 811, B.8).
#[test]
fn units_do_not_change_the_station() {
    let bar = station(BASE);
    for (unit, factor) in [("MPa", 0.1), ("kPa", 100.0), ("psi", 1e5 / 6894.757)] {
        let mut text = BASE.to_owned();
        for pressure in [232.0, 255.0] {
            let other = format!("\"{} {unit}\"", pressure * factor);
            text = text.replace(&format!("\"{pressure} bar\""), &other);
        }
        assert!(!text.contains(" bar\""), "{text}");
        let other = station(&text);
        let pairs = [
            (
                bar.compressor.working_pressure,
                other.compressor.working_pressure,
            ),
            (
                bar.relief.as_ref().expect("relief").lifts,
                other.relief.as_ref().expect("relief").lifts,
            ),
            (
                bar.cylinder_kinds[0].vessel.working_pressure.value,
                other.cylinder_kinds[0].vessel.working_pressure.value,
            ),
        ];
        for (one, other) in pairs {
            assert!(
                (one.si() / other.si() - 1.0).abs() < 1e-6,
                "{unit}: {one:?}, {other:?}"
            );
        }
    }
}

/// A gauge on a fourth stage means there is one, where the file does not count the stages.
#[test]
fn stages_follow_the_gauges() {
    let gauge = "[[gauge]]\nname = \"g\"\nreads = \"stage 4\"\nspan = \"100 bar\"\n";
    assert_eq!(station(BASE).compressor.stage_count, 3);
    assert_eq!(
        station(&(BASE.to_owned() + gauge)).compressor.stage_count,
        4
    );
    assert_eq!(
        station(&BASE.replace("232 bar", "251 bar"))
            .compressor
            .stage_count,
        4
    );
}

/// Some editors begin a file with a byte-order mark and end lines with CR LF.
#[test]
fn marks_and_line_ends() {
    let crlf = BASE.replace('\n', "\r\n");
    let marked = format!("\u{feff}{crlf}");
    assert_eq!(read(&crlf).station, read(BASE).station);
    assert_eq!(read(&marked).station, read(BASE).station);
    let spoilt = marked.replace("255 bar", "255");
    let problem = &read(&spoilt).problems[0];
    assert_eq!(&spoilt[problem.labels[0].span.clone()], "255");
}

/// Nothing required may be missing; anything else may.
#[test]
fn a_station_unless_something_required_is_missing() {
    assert!(
        read(&BASE.replace("[relief]\nlifts = \"255 bar\"\n", ""))
            .usable()
            .is_some()
    );
    let bad_default = BASE.to_owned() + "[whip]\nvolume = \"5\"\n";
    assert!(read(&bad_default).station.is_some());
    assert!(read(&bad_default).usable().is_none());
    assert!(
        read(&BASE.replace("\"255 bar\"", "\"255\""))
            .station
            .is_none()
    );
    assert!(
        read(&BASE.replace("name = \"Test shed\"\n", ""))
            .station
            .is_none()
    );
}
