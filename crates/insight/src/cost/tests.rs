//! A fill of an invented machine, held against worked compression figures.

use super::*;
use crate::forecast::forecast;
use crate::forecast::request::{CylinderStart, Request};
use quantity::{GaugePressure, Temperature};

const PLAIN: &str = r#"
[station]
name = "Plain"
invented = true
[intake]
temperature = "15 °C"
[compressor]
working_pressure = "232 bar"
charging_rate = "100 L/min"
stage_count = 3
drive = "electric"
cooler_approach = "5 K"
[purifier]
rated_hours = "30 h"
[[purifier.bed]]
kind = "drying"
adsorbent = "13X"
mass = "300 g"
[pmv]
opens = "100 bar"
closes = "70 bar"
[[cylinder_kind]]
id = "ten"
water_volume = "10 L"
working_pressure = "232 bar"
mass = "12 kg"
"#;

fn station(text: &str) -> Station {
    station::read(text).station.unwrap()
}

fn filled(text: &str, start: f64) -> (Station, Forecast) {
    let station = station(text);
    let request = Request {
        cylinders: vec![CylinderStart {
            id: "ten".into(),
            start: Some(GaugePressure::bar(start)),
        }],
        intake_temperature: Some(Temperature::celsius(15.0)),
        members: 8,
        ..Request::default()
    };
    let forecast = forecast(&station, &request, &|_| {}).unwrap();
    (station, forecast)
}

fn price(amount: f64, currency: &str) -> Option<Price> {
    Some(Price {
        amount,
        currency: currency.into(),
    })
}

/// Three stages of equal ratio to 226 bar abs, n = 1.3: 679.45 kJ per m³ of free air (Lemmon 2000
/// is not needed: ideal, textbook formula W = N·n/(n−1)·p₁V(r^((n−1)/n)−1)). A fill meets less
/// than its final pressure most of the time, so it takes less; no machine takes less than
/// isothermal work against the 70 bar at which the tower starts, p·ln(71) = 432 kJ/m³.
#[test]
fn work_lies_between_the_worked_figures() {
    for start in [0.0, 50.0, 150.0] {
        let (station, forecast) = filled(PLAIN, start);
        let told = cost(&station, &forecast, &Prices::default(), None).air_work_kj_m3;
        let isothermal = 101.325 * (71.0_f64).ln();
        assert!(
            told > isothermal,
            "{start}: {told}, isothermal {isothermal}"
        );
        assert!(told < 1.03 * 679.45, "{start}: {told}, at the end 679.45");
    }
}

/// Higher starts meet higher pressures: more work per air, less in all.
#[test]
fn work_follows_the_pressure() {
    let told: Vec<CostAnswer> = [0.0, 80.0, 160.0]
        .into_iter()
        .map(|start| {
            let (station, forecast) = filled(PLAIN, start);
            cost(&station, &forecast, &Prices::default(), None)
        })
        .collect();
    for pair in told.windows(2) {
        assert!(pair[1].air_work_kj_m3 > pair[0].air_work_kj_m3);
        assert!(pair[1].air_work_kwh.mid < pair[0].air_work_kwh.mid);
        assert!(pair[1].machine_h.mid < pair[0].machine_h.mid);
    }
}

/// Money is amount times price, sums are by currency, and without a price there is none.
#[test]
fn money_adds_up() {
    let (station, forecast) = filled(PLAIN, 50.0);
    let prices = Prices {
        kwh: price(0.30, "EUR"),
        cartridge: price(60.0, "EUR"),
        running_h: price(5.0, "CHF"),
    };
    let told = cost(&station, &forecast, &prices, Some(0.8));
    let kwh = told.electricity_kwh.unwrap();
    assert!((kwh.mid - told.shaft_kwh.mid / 0.8).abs() < 1e-12);
    let share = told
        .cartridge_by_water
        .unwrap()
        .mid
        .max(told.cartridge_by_hours.unwrap().mid);
    let total = |currency: &str| {
        told.totals
            .iter()
            .find(|t| t.currency == currency)
            .unwrap()
            .mid
    };
    assert!((total("EUR") - (kwh.mid * 0.30 + share * 60.0)).abs() < 1e-9);
    assert!((total("CHF") - told.machine_h.mid * 5.0).abs() < 1e-12);
    let without = cost(&station, &forecast, &Prices::default(), None);
    assert!(without.totals.is_empty() && without.lines.iter().all(|l| l.money.is_none()));
    for line in &told.lines {
        let a = line.amount;
        assert!(
            a.low <= a.mid && a.mid <= a.high && !line.how.is_empty(),
            "{line:?}"
        );
    }
}

/// A fill's share of the cartridge is its hours over the hours of a fresh one: both sides by
/// different ways through the same bed.
#[test]
fn the_share_is_one_fill_of_its_life() {
    let (station, forecast) = filled(PLAIN, 50.0);
    let told = cost(&station, &forecast, &Prices::default(), None);
    let fresh_h = forecast.purifier.as_ref().unwrap().remaining_h.mid;
    let share = told.cartridge_by_water.unwrap().mid;
    assert!(
        (share / (told.machine_h.mid / fresh_h) - 1.0).abs() < 0.1,
        "{share}"
    );
    let hours = told.cartridge_by_hours.unwrap().mid;
    assert!((hours - told.machine_h.mid / 30.0).abs() < 1e-12);
}

/// An engine draws no electricity, and outdoors it may run.
#[test]
fn an_engine_is_counted_at_its_shaft() {
    let text = PLAIN
        .replace("\"electric\"", "\"petrol\"")
        .replace("[intake]\n", "[intake]\nplace = \"outdoors\"\n");
    let (station, forecast) = filled(&text, 50.0);
    let told = cost(
        &station,
        &forecast,
        &Prices {
            kwh: price(0.5, "EUR"),
            ..Prices::default()
        },
        None,
    );
    assert_eq!(told.electricity_kwh, None);
    assert!((told.totals[0].mid - 0.5 * told.shaft_kwh.mid).abs() < 1e-12);
}
