//! Trends of readings made up by the test: what is put in must come out.

use super::*;
use proptest::prelude::*;

const BAR: f64 = 1e5;

fn points(values: &[(f64, f64)]) -> Vec<Point> {
    let point = |&(day, bar): &(f64, f64)| Point {
        day,
        running_h: Some(400.0 + day / 3.0),
        value: bar * BAR,
        standard_uncertainty: 1.5 * BAR,
    };
    values.iter().map(point).collect()
}

fn band() -> Tolerance {
    Tolerance {
        specified: 100.0 * BAR,
        low: Some(95.0 * BAR),
        high: Some(105.0 * BAR),
    }
}

/// A valve that falls from 103 bar by 4 bar a year without scatter reaches 95 bar two years
/// after the first reading.
fn falling(count: u32) -> Vec<(f64, f64)> {
    (0..count)
        .map(|i| {
            (
                f64::from(i) * 60.0,
                103.0 - 4.0 * f64::from(i) * 60.0 / 365.25,
            )
        })
        .collect()
}

#[test]
fn a_falling_valve_is_told_with_its_day() {
    let today = 600.0;
    let answer = trend(
        Setting::PmvOpens,
        &points(&falling(11)),
        &[],
        today,
        Some(&band()),
    );
    let slope = answer.per_year.unwrap();
    assert!(
        (slope.mid + 4.0).abs() < 1e-9 && answer.significant,
        "{answer:?}"
    );
    // 400 h + a third of the days: 4 bar a year are 4/365.25·3·100 bar per 100 h
    let per_100 = answer.per_100_running_h.unwrap();
    assert!((per_100.mid + 4.0 / 365.25 * 300.0).abs() < 1e-9);
    let Crossing::Crosses {
        edge,
        earliest_day,
        median_day,
        latest_day,
    } = answer.crossing
    else {
        panic!("{:?}", answer.crossing);
    };
    assert_eq!(edge, "low");
    assert!((median_day - 730.5).abs() < 1e-6, "{median_day}");
    assert!(earliest_day < median_day && latest_day.unwrap() > median_day);
    assert!(
        answer
            .sentence
            .contains("leaves its tolerance in about 4 months"),
        "{}",
        answer.sentence
    );
}

/// Setting the valve begins anew: what was before does not count.
#[test]
fn a_reset_begins_anew() {
    let mut values = falling(8);
    values.extend([(500.0, 100.2), (560.0, 99.9), (620.0, 100.1)]);
    let reset = Reset {
        day: 450.0,
        what: "set to 100 bar".into(),
    };
    let answer = trend(
        Setting::PmvOpens,
        &points(&values),
        &[reset],
        640.0,
        Some(&band()),
    );
    assert_eq!((answer.readings, answer.since_day), (3, Some(450.0)));
    assert!(!answer.significant);
    assert!(
        (answer.level.unwrap().mid - 100.0).abs() < 0.5,
        "{answer:?}"
    );
}

#[test]
fn too_few_or_too_wide_cannot_be_told() {
    let two = trend(
        Setting::PmvOpens,
        &points(&falling(2)),
        &[],
        100.0,
        Some(&band()),
    );
    assert!(two.level.is_some() && two.per_year.is_none());
    assert!(
        two.sentence.contains("fewer than 3 readings"),
        "{}",
        two.sentence
    );
    let wide = [(0.0, 90.0), (60.0, 112.0), (120.0, 88.0), (180.0, 111.0)];
    let wide = trend(Setting::PmvOpens, &points(&wide), &[], 200.0, Some(&band()));
    assert!(
        matches!(wide.crossing, Crossing::CannotTell { .. }),
        "{wide:?}"
    );
    assert!(wide.scatter_ratio.unwrap() > 3.0);
    let none = trend(Setting::ReliefLifts, &[], &[], 0.0, None);
    assert_eq!((none.level, none.standing), (None, Standing::Unknown));
}

/// A level valve read well stays within its tolerance beyond the horizon; a drifted one is out.
#[test]
fn level_and_outside() {
    let well = |bar: f64| -> Vec<Point> {
        points(&[
            (0.0, bar),
            (400.0, bar + 0.01),
            (800.0, bar),
            (1200.0, bar - 0.01),
        ])
        .into_iter()
        .map(|p| Point {
            standard_uncertainty: 0.02 * BAR,
            ..p
        })
        .collect()
    };
    let level = trend(Setting::PmvOpens, &well(100.0), &[], 1200.0, Some(&band()));
    assert_eq!(level.crossing, Crossing::NotWithin { years: 10.0 });
    assert_eq!(level.standing, Standing::Within);
    let out = trend(Setting::PmvOpens, &well(110.0), &[], 1200.0, Some(&band()));
    assert_eq!(
        (out.standing, out.crossing),
        (Standing::Outside, Crossing::Outside)
    );
}

/// One wrong reading among eight moves nothing and is named; the latest is named as such.
#[test]
fn one_wrong_reading_is_named() {
    for bad in [0, 3, 7] {
        let mut values = falling(8);
        values[bad].1 += 25.0;
        let answer = trend(
            Setting::PmvOpens,
            &points(&values),
            &[],
            430.0,
            Some(&band()),
        );
        let apart = answer.apart.unwrap();
        assert_eq!((apart.day, apart.latest), (values[bad].0, bad == 7));
        assert!(
            (answer.per_year.unwrap().mid + 4.0).abs() < 1e-9,
            "{answer:?}"
        );
    }
}

/// Of readings drawn about a line with their stated uncertainty, nine in ten of the ranges hold
/// the true slope (definition of the range; at least that: it never gets narrower than stated).
#[test]
fn ranges_hold_what_they_promise() {
    use rand::{RngExt as _, SeedableRng};
    let mut random = rand_pcg::Pcg64Mcg::seed_from_u64(7);
    let mut held = 0;
    let trials = 2000;
    for _ in 0..trials {
        let points: Vec<Point> = (0..6)
            .map(|i| {
                // sum of twelve even numbers: nearly normal, deviation one
                let noise: f64 = (0..12).map(|_| random.random::<f64>()).sum::<f64>() - 6.0;
                let day = f64::from(i) * 50.0;
                Point {
                    day,
                    running_h: None,
                    value: 100.0 * BAR - 2.0 * BAR * day / 365.25 + noise * BAR,
                    standard_uncertainty: BAR,
                }
            })
            .collect();
        let slope = trend(Setting::PmvOpens, &points, &[], 300.0, None)
            .per_year
            .unwrap();
        held += i32::from(slope.low <= -2.0 && slope.high >= -2.0);
    }
    let share = f64::from(held) / f64::from(trials);
    assert!((0.90..0.97).contains(&share), "{share}");
}

proptest! {
    /// No readings make it fail, and ranges are in order.
    #[test]
    fn any_readings(
        values in proptest::collection::vec((0.0..2000.0f64, 0.0..400.0f64), 0..12),
        today in 0.0..2500.0f64,
    ) {
        let forward = trend(Setting::ReliefLifts, &points(&values), &[], today, Some(&band()));
        for range in [forward.level, forward.per_year, forward.per_100_running_h].into_iter().flatten() {
            prop_assert!(range.low <= range.mid && range.mid <= range.high, "{range:?}");
        }
        if let Crossing::Crosses { earliest_day, median_day, .. } = forward.crossing {
            prop_assert!(today <= earliest_day && earliest_day <= median_day + 1e-6);
        }
        prop_assert!(forward.sentence.ends_with('.'));
    }
}

/// The boathouse's tower gauge: 400 bar, class 1.6, read to 5 bar. EN 837-1: error up to 6.4 bar;
/// as even distributions √(6.4²/3 + 5²/12) = 3.967 bar. Its PMV: 100 and 70 bar ± 5 %, relief 255
/// and 235 bar ± 3 %; faster than the figure is not out of tolerance.
#[test]
fn bands_and_uncertainties_come_from_the_file() {
    let text = include_str!("../../../../stations/boathouse.toml");
    let station = station::read(text).station.unwrap();
    let u = gauge_uncertainty(&station, station::Reads::Tower).unwrap();
    assert!((u / BAR - 3.967).abs() < 1e-3, "{u}");
    assert_eq!(gauge_uncertainty(&station, station::Reads::Stage(3)), None);
    for (setting, low, specified, high) in [
        (Setting::PmvOpens, 95.0, 100.0, Some(105.0)),
        (Setting::PmvCloses, 66.5, 70.0, Some(73.5)),
        (Setting::ReliefLifts, 247.35, 255.0, Some(262.65)),
        (Setting::ReliefReseats, 227.95, 235.0, Some(242.05)),
        (Setting::ChargingRate, 0.95, 1.0, None),
    ] {
        let t = tolerance_of(setting, &station).unwrap();
        let shown = |si: f64| setting.shown(si);
        assert!((shown(t.low.unwrap()) - low).abs() < 1e-9, "{setting:?}");
        assert!((shown(t.specified) - specified).abs() < 1e-9, "{setting:?}");
        let upper = t.high.map(shown).zip(high);
        assert!(
            upper.is_none_or(|(a, b)| (a - b).abs() < 1e-9),
            "{setting:?}"
        );
        assert_eq!(t.high.is_some(), high.is_some(), "{setting:?}");
    }
}
