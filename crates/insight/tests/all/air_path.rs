//! Air paths other than the usual one: each runs, and every gauge and valve is where the file
//! puts it.

use crate::common::{METRIC, faulty, fill, first, full_s, left_for, only, run, station, with};
use insight::assemble::{Conditions, Places, Prepared, Variation};
use insight::forecast::request::Request;
use physics::sim::Plant;
use quantity::{GaugePressure, Temperature};

fn ordered(order: &str) -> String {
    format!("{METRIC}[air_path]\norder = [{order}]\n")
}

fn assembled(text: &str) -> (Plant, Places) {
    let station = station(text);
    let conditions = Conditions {
        ambient: Temperature::celsius(20.0),
        tower: GaugePressure::bar(70.0),
        line: GaugePressure::bar(0.0),
        water_bath: false,
        faults: Vec::new(),
    };
    let prepared = Prepared::new(&station, &conditions, Vec::new()).unwrap();
    let assembly = prepared.assembly(&Variation::NONE).unwrap();
    (assembly.plant, assembly.places)
}

fn names(plant: &Plant) -> Vec<&str> {
    plant.vessels.iter().map(|v| v.name.as_str()).collect()
}

fn request() -> Request {
    Request {
        tower: Some(GaugePressure::bar(60.0)),
        ..fill("ten", 50.0)
    }
}

const USUAL: &str =
    r#""check", "separator", "purifier", "gauge", "relief", "burst_disc", "vent", "pmv""#;

#[test]
fn the_usual_path_is_one_tower_and_a_line() {
    let (plant, places) = assembled(METRIC);
    assert_eq!(names(&plant), ["tower", "line"]);
    assert_eq!((places.first, places.tower, places.line), (0, 0, 1));
    assert_eq!(plant.valves[places.relief.unwrap()].senses, 0);
    assert_eq!(plant.discs[0].senses, 0);
    // 0.5 L separator and 1.5 L purifier unless the file says otherwise
    assert!((plant.vessels[0].volume_m3 - 2e-3).abs() < 1e-9);
    let named = run(&ordered(USUAL), &request());
    let usual = run(METRIC, &request());
    assert_eq!(named.events, usual.events);
}

#[test]
fn a_check_between_separator_and_purifier_parts_them() {
    let text = ordered(
        r#""separator", "check", "purifier", "gauge", "relief", "burst_disc", "vent", "pmv""#,
    );
    let (plant, places) = assembled(&text);
    assert_eq!(names(&plant), ["separator", "purifier", "line"]);
    assert_eq!((places.first, places.tower, places.line), (0, 1, 2));
    assert_eq!(plant.valves[places.relief.unwrap()].senses, 1);
    let parted = run(&text, &request());
    let usual = run(METRIC, &request());
    assert!((full_s(&parted) / full_s(&usual) - 1.0).abs() < 0.01);
    // the gauge on the separator instead reads that space
    let text = ordered(
        r#""separator", "gauge", "check", "purifier", "relief", "burst_disc", "vent", "pmv""#,
    );
    let (plant, places) = assembled(&text);
    assert_eq!(plant.vessels[places.tower].name, "separator");
    assert_eq!(plant.valves[places.relief.unwrap()].senses, 1);
}

/// A relief after the PMV leaves the last stage unprotected when the PMV sticks shut: the tower
/// passes the relief's setting, up to the disc where there is one before the PMV.
#[test]
fn a_relief_after_the_pmv_does_not_see_the_tower() {
    let text = ordered(
        r#""check", "separator", "purifier", "gauge", "burst_disc", "vent", "pmv", "relief""#,
    );
    let (plant, places) = assembled(&text);
    assert_eq!(plant.valves[places.relief.unwrap()].senses, places.line);
    assert_eq!(plant.discs[0].senses, places.tower);
    // sound, it still stops the line
    let sound = run(&text, &left_for(request(), 60.0));
    assert!((first(&sound, "relief_lifted").unwrap().line_bar - 255.0).abs() < 0.5);
    let stuck = faulty(left_for(request(), 60.0), "pmv-stuck-shut");
    let forecast = run(&text, &stuck);
    assert!(first(&forecast, "relief_lifted").is_none());
    let burst = first(&forecast, "disc_burst").unwrap();
    assert!((burst.tower_bar - 300.0).abs() < 0.5, "{burst:?}");
    assert!(forecast.samples.iter().all(|s| s.line_bar < 51.0));
    // the disc after it too: nothing is left between the last stage and its parts
    let text = ordered(
        r#""check", "separator", "purifier", "gauge", "vent", "pmv", "relief", "burst_disc""#,
    );
    let stuck = faulty(left_for(request(), 5.0), "pmv-stuck-shut");
    let forecast = run(&text, &stuck);
    assert!(first(&forecast, "disc_burst").is_none());
    let most = forecast
        .samples
        .iter()
        .map(|s| s.tower_bar)
        .fold(0.0, f64::max);
    assert!(most > 305.0, "tower at {most} bar");
}

#[test]
fn without_a_pmv_tower_and_whip_are_one() {
    let text = with(
        METRIC,
        "[pmv]\nopens = \"100 bar\"\ncloses = \"70 bar\"\n",
        "",
    );
    let (plant, places) = assembled(&text);
    assert_eq!(names(&plant), ["tower"]);
    assert_eq!((places.tower, places.line, places.pmv), (0, 0, None));
    let forecast = run(&text, &request());
    assert!(forecast.without_pmv.is_none());
    assert!(forecast.samples[1].cylinders[0].bar > 50.5, "air at once");
    // bleeding the whip empties the tower
    let left = first(&forecast, "bleed_closed").unwrap().tower_bar;
    assert!(left < 15.0, "{left} bar");
    assert!(only(&forecast).full_s.is_some());
}

/// The check that stands in place of a PMV keeps the tower up, at whatever the line had.
#[test]
fn a_check_before_the_whip_keeps_the_tower() {
    let text = with(
        METRIC,
        "[pmv]\nopens = \"100 bar\"\ncloses = \"70 bar\"\n",
        "",
    );
    let order = r#""separator", "purifier", "gauge", "relief", "burst_disc", "vent", "check""#;
    let text = format!("{text}[air_path]\norder = [{order}]\n");
    let (plant, places) = assembled(&text);
    assert_eq!(names(&plant), ["tower", "line"]);
    assert_eq!(places.pmv, None);
    run(&text, &request());
}

/// A purifier with a narrow passage is a space of its own; the gauge behind it reads less than
/// the last stage works against.
#[test]
fn a_narrow_purifier_is_a_space_of_its_own() {
    let text = format!("{METRIC}[purifier]\nflow_bore = \"0.5 mm\"\n");
    let (plant, places) = assembled(&text);
    assert_eq!(names(&plant), ["separator", "purifier", "line"]);
    assert_eq!((places.first, places.tower), (0, 1));
    let narrow = run(&text, &request());
    assert!(full_s(&narrow) > 0.0);
    // the charging rate was timed with that passage in place: the same minutes
    let usual = run(METRIC, &request());
    assert!((full_s(&narrow) / full_s(&usual) - 1.0).abs() < 0.02);
    // gauge before it: reads the separator
    let order =
        r#""check", "separator", "gauge", "purifier", "relief", "burst_disc", "vent", "pmv""#;
    let text = format!("{text}[air_path]\norder = [{order}]\n");
    let (plant, places) = assembled(&text);
    assert_eq!(plant.vessels[places.tower].name, "separator");
}

/// Without a tower gauge the readings of the tower are those of the separator.
#[test]
fn without_a_gauge_the_separator_is_read() {
    let gauge = "[[gauge]]\nname = \"tower\"\nreads = \"tower\"\nspan = \"400 bar\"\n";
    let text = with(METRIC, gauge, "");
    let order = r#""separator", "check", "purifier", "relief", "burst_disc", "vent", "pmv""#;
    let text = format!("{text}[air_path]\norder = [{order}]\n");
    let (plant, places) = assembled(&text);
    assert_eq!(plant.vessels[places.tower].name, "separator");
    run(&text, &request());
    // a gauge on the whip's side reads the line
    let (plant, places) = assembled(&ordered(
        r#""check", "separator", "purifier", "relief", "burst_disc", "vent", "pmv", "gauge""#,
    ));
    assert_eq!(plant.vessels[places.tower].name, "line");
}
