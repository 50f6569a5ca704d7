//! `fillstead convert`: amounts that standards print, and amounts that are none.

use crate::common::{self, run};
use insta::assert_snapshot;
use serde_json::Value;

fn json(arguments: &[&str]) -> Value {
    common::json("convert", arguments)
}

#[test]
fn pages() {
    let pages: [&[&str]; 4] = [
        &["--help"],
        &["67 ppm", "--at", "3000 psi"],
        &["5 ppm", "--of", "co"],
        &["0.5 mg/m3", "--of", "oil"],
    ];
    let said = |arguments: &[&str]| {
        let ran = run(&[&["convert"], arguments].concat());
        format!(
            "$ fillstead convert {}\n{}\n",
            arguments.join(" "),
            ran.shown()
        )
    };
    assert_snapshot!(pages.map(said).concat());
}

/// US documents print 67 ppm beside -50 °F and 24 ppm beside -65 °F (CGA G-7.1 as cited by
/// secondary pages; from memory).
#[test]
fn frost_points_and_ppm_that_stand_side_by_side() {
    for (fahrenheit, ppm) in [("-50 °F", 67.0), ("-65 °F", 24.0)] {
        let got = json(&[fahrenheit])["ppm"].as_f64().unwrap();
        assert!(
            (got - ppm).abs() < 0.6,
            "{fahrenheit}: {got} ppm, printed {ppm}"
        );
    }
}

/// The molar masses of CO and CO₂ are 28.010 and 44.010 g/mol (IUPAC); an ideal gas has 24.055 L/mol
/// at 20 °C and 1 atm (R = 8.314463 J/(mol·K), CODATA 2018).
#[test]
fn gases_by_volume_and_by_mass() {
    for (of, molar_g) in [("co", 28.010), ("co2", 44.010)] {
        let got = json(&["500 ppm", "--of", of])["mg_m3"].as_f64().unwrap();
        let want = 500.0 * molar_g / 24.055;
        assert!((got / want - 1.0).abs() < 1e-3, "{of}: {got} mg/m³, {want}");
    }
}

/// 3000 psi is 206.84 bar (NIST SP 811, B.8).
#[test]
fn pressures_may_be_in_psi() {
    let at = json(&["25 mg/m3", "--at", "3000 psi"])["at_pressure"]["gauge_bar"].clone();
    assert!((at.as_f64().unwrap() - 206.84).abs() < 0.01, "{at}");
}

#[test]
fn what_cannot_be_converted() {
    let mistakes: [&[&str]; 11] = [
        &[],
        &["25"],
        &["25 bar"],
        &["120 %"],
        &["2000000 ppm"],
        &["-3 ppm", "--of", "co"],
        &["5 ppm", "--of", "argon"],
        &["5 ppm", "--of", "co", "--at", "200 bar"],
        &["-8 °C", "--point-at-pressure"],
        &["25 mg/m3", "--at", "200 bar", "--point-at-pressure"],
        &["25 mg/m3", "--jsn"],
    ];
    let said = |arguments: &[&str]| {
        let ran = run(&[&["convert"], arguments].concat());
        assert_eq!(ran.exit, Some(2), "{arguments:?}");
        format!(
            "$ fillstead convert {}\n{}\n",
            arguments.join(" "),
            ran.shown()
        )
    };
    assert_snapshot!(mistakes.map(said).concat());
}
