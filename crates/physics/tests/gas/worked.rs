//! Worked examples of filling practice.
//!
//! Expected values: CoolProp 8.0.0, fluid "Air" (Lemmon et al. 2000), unless
//! said otherwise. It is the same equation, so they are met as printed.

use crate::data::air;
use physics::gas::Gas;

const ATMOSPHERE_PA: f64 = 101_325.0;
const PSI_PA: f64 = 6_894.757_293;

/// Is this the number printed, to half a unit in its last place?
fn as_printed(got: f64, want: &str) {
    let places = want.split_once('.').unwrap().1.len();
    assert_eq!(format!("{got:.places$}"), want, "got {got}");
}

/// Gauge pressure (Pa) after heating or cooling at constant density.
fn settled(gas: &Gas, gauge_pa: f64, from_k: f64, to_k: f64) -> f64 {
    let rho = gas.state_p_t(gauge_pa + ATMOSPHERE_PA, from_k).unwrap().rho;
    gas.state_rho_t(rho, to_k).unwrap().p_pa - ATMOSPHERE_PA
}

/// 10 L at 200 and 300 bar gauge, 15 °C: Z 1.02185 and 1.10201, 237.83 and
/// 330.24 kg/m³, 1940.6 and 2694.6 L free (at 15 °C, 101325 Pa).
#[test]
fn contents_of_a_ten_litre_cylinder() {
    let gas = air();
    let free = gas.state_p_t(ATMOSPHERE_PA, 288.15).unwrap();
    for (bar, z, rho, litres) in [
        (200.0, "1.02185", "237.83", "1940.6"),
        (300.0, "1.10201", "330.24", "2694.6"),
    ] {
        let full = gas.state_p_t(bar * 1e5 + ATMOSPHERE_PA, 288.15).unwrap();
        as_printed(full.z, z);
        as_printed(full.rho, rho);
        as_printed(10.0 * full.rho / free.rho, litres);
    }
}

/// 200 bar gauge at 50 °C and 300 at 60 °C settle to 174.96 and 248.95 at 20 °C;
/// an ideal gas would settle to 181.34 and 263.86.
#[test]
fn settling_after_a_fill() {
    for (bar, celsius, real, ideal) in [
        (200.0, 50.0, "174.96", "181.34"),
        (300.0, 60.0, "248.95", "263.86"),
    ] {
        let (from_k, to_k) = (celsius + 273.15, 293.15);
        as_printed(settled(&air(), bar * 1e5, from_k, to_k) / 1e5, real);
        let atmosphere_bar = ATMOSPHERE_PA / 1e5;
        let by_the_ideal_gas = (bar + atmosphere_bar) * to_k / from_k - atmosphere_bar;
        as_printed(by_the_ideal_gas, ideal);
    }
}

/// 3000 psi gauge at 70 °F heated to 131 °F: 3498.9 psi, ideal 3347.2. The
/// temperatures are those of 49 CFR 173.301a(d).
#[test]
fn developed_pressure_at_131_fahrenheit() {
    let kelvin = |fahrenheit: f64| (fahrenheit + 459.67) / 1.8;
    let got = settled(&air(), 3000.0 * PSI_PA, kelvin(70.0), kelvin(131.0)) / PSI_PA;
    as_printed(got, "3498.9");
}
