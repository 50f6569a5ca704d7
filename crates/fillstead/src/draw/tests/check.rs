//! The drawings of a check: readings against the model, curves of the next reading, settings against
//! their tolerance.

use insight::diagnose::answer::Diagnosis;
use insight::diagnose::diagnose;
use insight::diagnose::request::{Request, Row, read};
use quantity::GaugePressure;

use super::*;
use crate::draw::bells::{Bell, parting};
use crate::draw::figures::Figures;
use crate::draw::tolerance::{Against, strip};
use crate::draw::trace::fitted::{self, Fitted};

/// What these readings of the tower (minutes and seconds, bar) say of this station.
fn found(station: &Station, tower: &[(&str, f64)]) -> Diagnosis {
    let row = |(i, (time, bar)): (usize, &(&str, f64))| Row {
        line: i + 1,
        time: (*time).to_owned(),
        gauge: "tower".to_owned(),
        reading: format!("{bar} bar"),
        observed: String::new(),
    };
    let rows: Vec<Row> = tower.iter().enumerate().map(row).collect();
    let request = Request {
        readings: read(station, &rows).unwrap(),
        tower: Some(GaugePressure::bar(0.0)),
        ..Request::default()
    };
    diagnose(station, &request, &|_| ()).unwrap()
}

#[test]
fn readings_against_the_model() {
    let low = [
        ("0:30", 25.0),
        ("1:30", 74.0),
        ("2:00", 85.0),
        ("3:00", 85.0),
        ("4:00", 85.0),
    ];
    let slip = [
        ("0:30", 25.0),
        ("1:30", 74.0),
        ("2:00", 99.0),
        ("3:00", 199.0),
        ("4:00", 100.0),
    ];
    let odd = [("1:00", 240.0), ("2:00", 3.0), ("3:00", 220.0)];
    for name in ["boathouse", "engine-house"] {
        let station = station(&text(name));
        let ladder = Ladder::of(&station);
        for readings in [&low[..], &slip, &odd, &low[..1]] {
            let diagnosis = found(&station, readings);
            let lines: Vec<usize> = diagnosis.readings.iter().map(|r| r.line).collect();
            for units in UNITS {
                let drawn = Fitted {
                    diagnosis: &diagnosis,
                    ladder: &ladder,
                    units,
                    shown: &lines,
                };
                let drawing = fitted::draw(&drawn).unwrap();
                sound(&drawing);
                let crosses = drawing.svg().matches("<circle class=\"ln\"").count();
                assert_eq!(crosses, readings.len(), "{name}");
                complete(&fitted::table(&diagnosis, units));
            }
        }
    }
}

#[test]
fn a_valve_that_is_off_is_marked_with_how_far() {
    let station = station(&text("boathouse"));
    let low = [
        ("0:30", 25.0),
        ("1:30", 74.0),
        ("2:00", 85.0),
        ("3:00", 85.0),
        ("4:00", 85.0),
    ];
    let diagnosis = found(&station, &low);
    let drawn = Fitted {
        diagnosis: &diagnosis,
        ladder: &Ladder::of(&station),
        units: UnitSystem::Metric,
        shown: &[1, 2, 3, 4, 5],
    };
    let svg = fitted::draw(&drawn).unwrap().svg();
    assert!(svg.contains(" bar low</text>"), "{svg}");
    assert!(svg.contains("#m-abnormal"));
}

#[test]
fn nothing_fitted_is_not_drawn() {
    let station = station(&text("boathouse"));
    let mut diagnosis = found(&station, &[("1:00", 49.0)]);
    diagnosis.trace.clear();
    let drawn = Fitted {
        diagnosis: &diagnosis,
        ladder: &Ladder::of(&station),
        units: UnitSystem::Us,
        shown: &[],
    };
    assert!(fitted::draw(&drawn).is_none());
}

/// Two curves of one width and one weight part in the middle between them; a heavier one pushes the
/// parting away by sd² ln(w1/w2)/distance (equal normal densities).
#[test]
fn curves_part_where_both_are_as_likely() {
    let bell = |bar, weight| Bell {
        name: "x".to_owned(),
        bar,
        plus_minus: 1.6449 * 4.0,
        weight,
    };
    let even = parting(&bell(170.0, 0.5), &bell(190.0, 0.5)).unwrap();
    assert!((even - 180.0).abs() < 1e-6, "{even}");
    let heavier = parting(&bell(170.0, 0.8), &bell(190.0, 0.2)).unwrap();
    let expected = 180.0 + 16.0 * 4f64.ln() / 20.0;
    assert!((heavier - expected).abs() < 1e-3, "{heavier} {expected}");
    assert_eq!(parting(&bell(180.0, 0.9), &bell(180.5, 0.1)), None);
}

fn any_bell() -> impl Strategy<Value = Bell> {
    (".{0,30}", -5.0..400.0f64, 0.0..40.0f64, 0.0..1.0f64).prop_map(
        |(name, bar, plus_minus, weight)| Bell {
            name,
            bar,
            plus_minus,
            weight,
        },
    )
}

fn any_setting() -> impl Strategy<Value = Against> {
    let found = prop::option::of((-500.0..500.0f64, 0.0..100.0f64));
    (-10.0..400.0f64, 0.0..20.0f64, found, any::<bool>()).prop_map(
        |(specified, tolerance, found, out)| Against {
            called: "PMV <opens>".to_owned(),
            specified,
            tolerance,
            found: found.map(|(value, wide)| (value - wide, value, value + wide)),
            out,
            words: "said & done".to_owned(),
        },
    )
}

proptest! {
    #[test]
    fn curves_of_any_causes(bells in prop::collection::vec(any_bell(), 0..7), us in any::<bool>()) {
        let figures = Figures { units: UNITS[usize::from(us)] };
        match bells::draw(&bells, "tower <gauge> at 4:30", figures) {
            Some(drawing) => sound(&drawing),
            None => prop_assert!(bells.is_empty()),
        }
    }

    #[test]
    fn settings_of_any_kind(setting in any_setting()) {
        sound(&strip(&setting));
    }
}
