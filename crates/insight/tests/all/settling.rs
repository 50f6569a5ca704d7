//! Where a warm cylinder settles and what it then holds, through the whole chain, against
//! figures computed with CoolProp 7 (pseudo-pure air, Lemmon 2000).

use crate::common::{METRIC, PSI, fill, near, only, run, with};
use insight::forecast::answer::{CylinderEnd, Forecast};
use insight::forecast::request::Request;
use quantity::{GaugePressure, Temperature, TimeSpan};

/// A machine to 400 bar with a quick fill, so that cylinders come off warm.
fn high() -> String {
    METRIC
        .replace("300 bar", "480 bar")
        .replace("232 bar", "400 bar")
        .replace("255 bar", "430 bar")
        .replace("235 bar", "400 bar")
        .replace("100 L/min", "300 L/min")
        .replace("stage_count = 3", "stage_count = 4")
}

fn stopped_at(bar: f64, intake_c: f64) -> Forecast {
    let request = Request {
        tower: Some(GaugePressure::bar(100.0)),
        stop_at: Some(GaugePressure::bar(bar)),
        intake_temperature: Some(Temperature::celsius(intake_c)),
        sample_every: TimeSpan::second(1.0),
        ..fill("ten", 20.0)
    };
    run(&high(), &request)
}

/// Gas temperature in the last second before the fill valve is shut, °C.
fn shut_c(forecast: &Forecast) -> f64 {
    let running = forecast.samples.iter().rfind(|s| s.running).unwrap();
    running.cylinders[0].gas_c
}

/// The root of a nearly linear function, by secants.
fn solve(mut a: f64, mut b: f64, wanted: f64, f: impl Fn(f64) -> f64) -> f64 {
    let (mut fa, mut fb) = (f(a) - wanted, f(b) - wanted);
    for _ in 0..4 {
        let next = b - fb * (b - a) / (fb - fa);
        (a, fa) = (b, fb);
        (b, fb) = (next, f(next) - wanted);
        if fb.abs() < 1e-3 * wanted {
            break;
        }
    }
    b
}

/// At 20 °C: along a line of constant density pressure is as good as linear in temperature.
fn settled_20c(end: &CylinderEnd) -> f64 {
    let slope = (end.settled_bar_21c - end.settled_bar_15c) / 6.1;
    end.settled_bar_15c + 5.0 * slope
}

/// Shut at 200 bar and 50 °C a cylinder settles to 174.96 bar at 20 °C; at 300 bar and 60 °C to
/// 248.95; at 232 bar and 60 °C to 194 (CoolProp, constant density; the ideal gas would say
/// 181.34, 263.86 and 204).
#[test]
fn a_warm_cylinder_settles_as_real_air_does() {
    for (stop, warm_c, settled) in [
        (200.0, 50.0, 174.96),
        (300.0, 60.0, 248.95),
        (232.0, 60.0, 194.0),
    ] {
        let intake_c = solve(10.0, 30.0, warm_c, |c| shut_c(&stopped_at(stop, c)));
        let forecast = stopped_at(stop, intake_c);
        assert!((shut_c(&forecast) - warm_c).abs() < 0.1, "{intake_c} °C");
        let found = settled_20c(only(&forecast));
        assert!(
            near(found, settled, 0.002),
            "{stop} bar at {warm_c} °C: {found} bar, expected {settled} bar"
        );
    }
}

/// 10 L at 200 and 300 bar gauge and 15 °C hold 2.3783 and 3.3024 kg, 1940.6 and 2694.6 litres
/// of free air (CoolProp: 237.83 and 330.24 kg/m³).
#[test]
fn a_settled_cylinder_holds_what_real_air_weighs() {
    for (settled, kg, litres) in [(200.0, 2.3783, 1940.6), (300.0, 3.3024, 2694.6)] {
        let at = |stop: f64| only(&stopped_at(stop, 15.0)).settled_bar_15c;
        let stop = solve(settled + 5.0, settled + 25.0, settled, at);
        let forecast = stopped_at(stop, 15.0);
        let end = only(&forecast);
        assert!(near(end.settled_bar_15c, settled, 0.002), "{end:?}");
        // scaled by the little that the settled pressure is off
        let off = settled / end.settled_bar_15c;
        assert!(
            near(end.air_kg * off, kg, 0.002),
            "{} kg, {kg} kg",
            end.air_kg
        );
        assert!(
            near(end.free_litres * off, litres, 0.002),
            "{} L, {litres} L",
            end.free_litres
        );
        let started = only(&forecast).air_kg - only(&forecast).air_added_kg;
        // 10 L at 20 bar gauge, 15 °C: nearly ideal
        let ideal = 21.01325e5 * 0.01 / (287.055 * 288.15);
        assert!(near(started, ideal, 0.01), "{started} kg at the start");
    }
}

/// 3000 psi at 70 °F is 3498.9 psi at 131 °F (CoolProp; ideal 3347.2): a US cylinder shut that
/// warm may show that much to settle to its stamp.
#[test]
fn stop_for_the_stamp_is_the_real_gas_one() {
    let text = with(
        &high(),
        "working_pressure = \"400 bar\"\nmass",
        "service_pressure = \"3000 psi\"\nmass",
    );
    let stopped = |c: f64| {
        let request = Request {
            tower: Some(GaugePressure::bar(100.0)),
            intake_temperature: Some(Temperature::celsius(c)),
            sample_every: TimeSpan::second(1.0),
            ..fill("ten", 20.0)
        };
        run(&text, &request)
    };
    let warm_c = (131.0 - 32.0) / 1.8;
    let intake_c = solve(10.0, 30.0, warm_c, |c| shut_c(&stopped(c)));
    let forecast = stopped(intake_c);
    let end = only(&forecast);
    assert_eq!(end.reference_c, 21.1);
    let psi = end.stop_for_rating_bar / PSI;
    assert!(near(psi, 3498.9, 0.002), "{psi} psi, expected 3498.9 psi");
    // shut at its stamp while warm, it is short by as much as real air shrinks
    assert!(end.settled_bar_21c < 3000.0 * PSI * 0.9);
}

/// In frost a cylinder filled to its rating would warm up past it: it is stopped where it
/// settles to the rating, and that is said. On an ordinary day the stop is the rating.
#[test]
fn in_frost_the_stop_is_lower() {
    for (intake_c, lower) in [(-25.0, true), (20.0, false)] {
        let request = Request {
            intake_temperature: Some(Temperature::celsius(intake_c)),
            ..fill("ten", 50.0)
        };
        let forecast = run(METRIC, &request);
        let end = only(&forecast);
        assert!(
            end.settled_bar_15c < end.rated_bar + 0.5,
            "settles to {}",
            end.settled_bar_15c
        );
        assert_eq!(
            end.stop_bar < end.rated_bar - 5.0,
            lower,
            "stops at {}",
            end.stop_bar
        );
        let said = forecast
            .assumed
            .iter()
            .any(|a| a.why.contains("in this cold"));
        assert_eq!(said, lower, "{:?}", forecast.assumed);
    }
}
