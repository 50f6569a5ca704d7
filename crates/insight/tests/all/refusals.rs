//! What is refused and what does not fit, word for word: the reason and the way forward.

use crate::common::{METRIC, ask, cylinder, faulty, fill, left_for, with};
use insight::forecast::request::{ForecastError, Request};
use quantity::{GaugePressure, Temperature, TimeSpan};

fn refusal(text: &str, request: &Request) -> String {
    let error = ask(text, request).unwrap_err();
    assert!(matches!(error, ForecastError::Refused { .. }), "{error:?}");
    error.to_string()
}

fn unfit(text: &str, request: &Request) -> String {
    let error = ask(text, request).unwrap_err();
    assert!(matches!(error, ForecastError::Unfit { .. }), "{error:?}");
    error.to_string()
}

#[test]
fn above_the_rating() {
    let request = Request {
        stop_at: Some(GaugePressure::bar(240.0)),
        ..fill("ten", 50.0)
    };
    assert_eq!(
        refusal(METRIC, &request),
        "refused: 240 bar is above the rating of ten, 232 bar. Stop at 232 bar on the gauge at \
         most, let it cool, and top up to 232 bar"
    );
    let just = Request {
        stop_at: Some(GaugePressure::bar(232.0)),
        ..request
    };
    assert!(ask(METRIC, &just).is_ok());
}

/// A second kind, rated lower.
const LOWER: &str = "[[cylinder_kind]]\nid = \"old\"\nwater_volume = \"10 L\"\n\
    working_pressure = \"200 bar\"\n";

#[test]
fn mixed_ratings_on_one_line() {
    let text = format!("{METRIC}{LOWER}");
    let both = Request {
        cylinders: vec![cylinder("ten", 50.0), cylinder("old", 50.0)],
        members: 0,
        ..Request::default()
    };
    assert_eq!(
        refusal(&text.replace("count = 1", "count = 2"), &both),
        "refused: old (rated 200 bar) and ten (rated 232 bar) would hang on one line: the lower \
         rating governs everything connected. Fill them one after the other, or give the lower \
         one a line of its own with a regulator and relief valve"
    );
    // one after the other is allowed, each to its own rating
    let forecast = ask(&text, &both).unwrap();
    let stops: Vec<f64> = forecast.cylinders.iter().map(|c| c.stop_bar).collect();
    assert_eq!(stops, [232.0, 200.0]);
    assert!(forecast.cylinders.iter().all(|c| c.full_s.is_some()));
}

#[test]
fn an_engine_indoors() {
    for drive in ["petrol", "diesel"] {
        let text = with(METRIC, "[intake]", "[intake]\nplace = \"indoors\"");
        let text = with(
            &text,
            "[compressor]",
            &format!("[compressor]\ndrive = \"{drive}\""),
        );
        assert_eq!(
            refusal(&text, &fill("ten", 50.0)),
            "refused: an engine-driven compressor draws its air indoors: exhaust reaches the \
             intake, and carbon monoxide kills. Run it outdoors with the intake upwind and away \
             from the exhaust, then correct `place` in [intake]"
        );
        let outdoors = with(&text, "indoors", "outdoors");
        assert!(ask(&outdoors, &fill("ten", 50.0)).is_ok());
        let electric = with(&text, drive, "electric");
        assert!(ask(&electric, &fill("ten", 50.0)).is_ok());
    }
}

#[test]
fn an_unknown_cylinder() {
    let text = format!("{METRIC}{LOWER}[[cylinder]]\nid = \"A1\"\nkind = \"ten\"\n");
    assert_eq!(
        unfit(&text, &fill("tenn", 50.0)),
        "the station file has no cylinder or kind called `tenn`. Did you mean `ten`? The file \
         has: A1, ten, old"
    );
    assert_eq!(
        unfit(&text, &fill("zz", 50.0)),
        "the station file has no cylinder or kind called `zz`. The file has: A1, ten, old"
    );
}

#[test]
fn nothing_to_fill() {
    let (text, _) = METRIC.split_once("[[cylinder_kind]]").unwrap();
    let request = Request::default();
    assert_eq!(
        unfit(text, &request),
        "the station file names no cylinder to fill. Add a [[cylinder_kind]] with its \
         water_volume and working_pressure"
    );
}

#[test]
fn a_start_above_the_stop_or_below_nothing() {
    assert_eq!(
        unfit(METRIC, &fill("ten", 240.0)),
        "ten already holds 240 bar. Filling would stop at 232 bar: start lower, or leave it out"
    );
    assert_eq!(
        unfit(METRIC, &fill("ten", -3.0)),
        "ten cannot start below 0 on the gauge. Give the pressure its gauge shows before filling"
    );
    let us = with(METRIC, "invented = true", "invented = true\nunits = \"us\"");
    assert_eq!(
        unfit(&us, &fill("ten", 240.0)),
        "ten already holds 3481 psi. Filling would stop at 3365 psi: start lower, or leave it out"
    );
}

#[test]
fn faults_of_parts_that_are_not_there() {
    let text = with(
        METRIC,
        "[pmv]\nopens = \"100 bar\"\ncloses = \"70 bar\"\n",
        "",
    );
    for fault in [
        "pmv-stuck-open",
        "pmv-high=10 bar",
        "pmv-leaks-back=2 L/min",
    ] {
        assert_eq!(
            unfit(&text, &faulty(fill("ten", 50.0), fault)),
            "a fault was given for the pressure maintaining valve, but the station file has none. \
             Leave the fault out, or describe the part in the station file"
        );
    }
    let text = with(
        METRIC,
        "[relief]\nlifts = \"255 bar\"\nreseats = \"235 bar\"\n",
        "",
    );
    for fault in [
        "relief-stuck-shut",
        "relief-low=10 bar",
        "relief-weeps=2 L/min",
    ] {
        assert_eq!(
            unfit(&text, &faulty(fill("ten", 50.0), fault)),
            "a fault was given for the final relief valve, but the station file has none. Leave \
             the fault out, or describe the part in the station file"
        );
    }
    assert_eq!(
        unfit(METRIC, &faulty(fill("ten", 50.0), "stage-valve-leak=4:20%")),
        "there is no stage 4: the compressor has 3. Name a stage it has, counted from the intake"
    );
}

#[test]
fn readings_too_close_or_too_far_apart() {
    for seconds in [0.0, -5.0, 0.99, 3601.0, f64::NAN] {
        let request = Request {
            sample_every: TimeSpan::second(seconds),
            ..fill("ten", 50.0)
        };
        assert_eq!(
            unfit(METRIC, &request),
            "readings are given every 1 s to 1 h. Choose a time in between",
            "{seconds} s"
        );
    }
}

/// A compressor that cannot do what its file says is an answer, not a crash.
#[test]
fn machines_that_cannot_be() {
    let text = with(METRIC, "stage_count = 3", "stage_count = 1");
    let error = ask(&text, &fill("ten", 50.0)).unwrap_err();
    assert!(matches!(error, ForecastError::Machine(_)), "{error:?}");
    assert!(
        error
            .to_string()
            .contains("Check [compressor] in the station file"),
        "{error}"
    );
}

/// Requests that make no sense are answered or turned down, never a crash, never NaN.
#[test]
fn requests_that_make_no_sense() {
    let plain = fill("ten", 50.0);
    let odd = [
        left_for(plain.clone(), 0.0),
        left_for(plain.clone(), -5.0),
        Request {
            change_over: TimeSpan::minute(-9.0),
            cylinders: vec![cylinder("ten", 50.0); 2],
            ..plain.clone()
        },
        Request {
            tower: Some(GaugePressure::bar(-5.0)),
            ..plain.clone()
        },
        Request {
            tower: Some(GaugePressure::bar(2000.0)),
            ..plain.clone()
        },
        Request {
            stop_at: Some(GaugePressure::bar(-5.0)),
            ..plain.clone()
        },
        Request {
            intake_temperature: Some(Temperature::celsius(300.0)),
            ..plain.clone()
        },
        Request {
            intake_temperature: Some(Temperature::celsius(-200.0)),
            ..plain.clone()
        },
        Request {
            intake_temperature: Some(Temperature::kelvin(f64::NAN)),
            ..plain.clone()
        },
        left_for(plain.clone(), f64::NAN),
        fill("ten", f64::NAN),
        Request {
            stop_at: Some(GaugePressure::bar(f64::NAN)),
            ..plain.clone()
        },
        Request {
            tower: Some(GaugePressure::bar(f64::NAN)),
            ..plain
        },
    ];
    for request in odd {
        match ask(METRIC, &request) {
            Ok(forecast) => assert!(!format!("{forecast:?}").contains("NaN"), "{request:?}"),
            Err(error) => assert!(error.to_string().len() > 20, "{request:?}"),
        }
    }
}
