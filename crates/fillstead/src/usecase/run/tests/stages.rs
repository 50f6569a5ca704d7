//! Every stage and every way into it. All expected figures are worked by hand from the straight
//! course of [`super::course`].

use super::*;
use crate::usecase::run::judge::{Gauge, Verdict};
use crate::usecase::run::log::{FILL_GAUGE, NOT_FILLED, PMV_OPENS};
use crate::usecase::run::stage::{OverBecause, Stage};

fn near(a: f64, b: f64) {
    assert!((a - b).abs() < 1e-6, "{a} is not {b}");
}

fn stage(told: Vec<(f64, Body)>, now_s: f64) -> (Stage, Option<OverBecause>) {
    let mut all = vec![(0.0, start(&["A1"]))];
    all.extend(told);
    let s = stands(all, 0, now_s);
    (s.stage, s.over)
}

#[test]
fn no_air_yet_shows_the_tower() {
    let s = stands(vec![(0.0, start(&["A1"]))], 0, 30.0);
    assert_eq!(s.stage, Stage::Starting);
    near(s.air_in_s.unwrap(), 30.0);
    let (gauge, expected) = s.expected.unwrap();
    assert_eq!(gauge, Gauge::Tower);
    near(expected.bar, 85.0);
}

#[test]
fn air_arrives_by_the_clock_or_by_somebody_who_says_so() {
    assert_eq!(stage(vec![], 59.0).0, Stage::Starting);
    assert_eq!(stage(vec![], 60.0).0, Stage::Filling);
    let said = vec![(20.0, reading(PMV_OPENS, "98 bar"))];
    assert_eq!(stage(said, 30.0).0, Stage::Filling);
}

#[test]
fn filling_shows_the_fill_gauge_and_the_next_drain() {
    let s = stands(vec![(0.0, start(&["A1"]))], 0, 305.0);
    assert_eq!(s.stage, Stage::Filling);
    near(s.expected.unwrap().1.bar, 50.0 + 0.15 * 305.0);
    near(s.drain_in_s, 295.0);
    near(s.stop_in_s.unwrap(), 895.0);
}

#[test]
fn a_drain_is_due_then_done_then_due_again() {
    assert_eq!(stage(vec![], 599.0).0, Stage::Filling);
    assert_eq!(stage(vec![], 600.0).0, Stage::DrainDue);
    let s = stands(vec![(0.0, start(&["A1"])), (605.0, drained())], 0, 610.0);
    assert_eq!(s.stage, Stage::Filling);
    near(s.drain_in_s, 595.0);
}

#[test]
fn a_missed_drain_becomes_an_alarm() {
    // A quarter of 600 s is less than 180 s, which counts.
    assert_eq!(stage(vec![], 779.0), (Stage::DrainDue, None));
    assert_eq!(
        stage(vec![], 780.0),
        (Stage::Over, Some(OverBecause::Drain))
    );
    let told = vec![(781.0, drained())];
    assert_eq!(stage(told, 782.0), (Stage::Filling, None));
}

#[test]
fn nobody_drains_in_the_last_minute() {
    let told = || vec![(560.0, drained())];
    assert_eq!(stage(told(), 1139.0).0, Stage::Filling);
    assert_eq!(
        stage(told(), 1165.0).0,
        Stage::Filling,
        "due at 1160, stop at 1200"
    );
}

#[test]
fn the_stop_is_due_and_then_an_alarm() {
    let told = || vec![(600.0, drained())];
    assert_eq!(stage(told(), 1199.0).0, Stage::Filling);
    assert_eq!(stage(told(), 1200.0), (Stage::StopDue, None));
    assert_eq!(stage(told(), 1274.0), (Stage::StopDue, None));
    assert_eq!(
        stage(told(), 1275.0),
        (Stage::Over, Some(OverBecause::Stop))
    );
    let mut all = vec![(0.0, start(&["A1"]))];
    all.extend(told());
    let s = stands(all, 0, 1275.0);
    near(s.expected.unwrap().1.bar, 230.0 + 0.15 * 75.0);
    near(s.relief_in_s.unwrap(), (255.0 - 241.25) / 0.15);
    near(s.stop_in_s.unwrap(), -75.0);
}

#[test]
fn the_gauge_counts_before_the_clock() {
    let read = |value| vec![(600.0, drained()), (1100.0, reading(FILL_GAUGE, value))];
    assert_eq!(
        stage(read("232.5 bar"), 1101.0),
        (Stage::Over, Some(OverBecause::Gauge))
    );
    assert_eq!(stage(read("229 bar"), 1101.0), (Stage::StopDue, None));
    assert_eq!(stage(read("215 bar"), 1101.0), (Stage::Filling, None));
}

#[test]
fn a_high_reading_brings_the_stop_forward_and_a_low_one_never_puts_it_off() {
    let read = |value| vec![(0.0, start(&["A1"])), (500.0, reading(FILL_GAUGE, value))];
    // At 500 s the gauge should show 125; the curve shows 155 at 700 s.
    let s = stands(read("155 bar"), 0, 520.0);
    near(s.ahead_s, 200.0);
    near(s.stop_in_s.unwrap(), 1200.0 - 520.0 - 200.0);
    near(s.expected.unwrap().1.bar, 50.0 + 0.15 * 720.0);
    let s = stands(read("95 bar"), 0, 520.0);
    near(s.ahead_s, 0.0);
    near(s.stop_in_s.unwrap(), 680.0);
}

#[test]
fn readings_are_judged_by_the_moment_they_were_made() {
    let told = [
        (0.0, start(&["A1"])),
        (200.0, reading(FILL_GAUGE, "84 bar")),
        (300.0, reading(FILL_GAUGE, "85 bar")),
        (400.0, reading(FILL_GAUGE, "100 bar")),
    ];
    let judged = |n: usize, now| stands(told[..n].to_vec(), 0, now).judged.unwrap();
    assert_eq!(
        judged(2, 590.0).verdict,
        Verdict::Inside,
        "80 was expected at 200 s"
    );
    let second = judged(3, 590.0);
    assert_eq!((second.verdict, second.twice), (Verdict::Low, false));
    let third = judged(4, 590.0);
    assert_eq!((third.verdict, third.twice), (Verdict::Low, true));
}

#[test]
fn shut_down_goes_step_by_step() {
    let mut told = vec![(0.0, start(&["A1", "A2"]))];
    let mut next = |body: Option<Body>, t_s: f64, waiting| {
        told.extend(body.map(|body| (t_s, body)));
        let s = stands(told.clone(), waiting, t_s + 1.0);
        (s.stage, s.elapsed_s, s.since_stop_s)
    };
    assert_eq!(
        next(Some(stop()), 1190.0, 1),
        (Stage::GaugeAtStop, 1190.0, Some(1.0))
    );
    assert_eq!(next(Some(fill("A1", None)), 1200.0, 1).0, Stage::Bleed);
    assert_eq!(
        next(Some(reading(WHIP, "5 bar")), 1210.0, 1).0,
        Stage::Bleed
    );
    assert_eq!(next(Some(bled()), 1220.0, 1).0, Stage::LastDrain);
    assert_eq!(
        next(Some(drained()), 1230.0, 1),
        (Stage::Between, 1190.0, Some(41.0))
    );
    assert_eq!(next(None, 1240.0, 0).0, Stage::Cooling);
}

#[test]
fn settled_or_long_ago_is_the_end() {
    let told = |settled| {
        vec![
            (1190.0, stop()),
            (1200.0, fill("A1", settled)),
            (1220.0, bled()),
            (1230.0, drained()),
        ]
    };
    assert_eq!(stage(told(None), 5000.0).0, Stage::Cooling);
    assert_eq!(stage(told(Some("205 bar")), 5000.0).0, Stage::Ended);
    assert_eq!(
        stage(vec![(1190.0, stop())], 1190.0 + 12.1 * 3600.0).0,
        Stage::Ended
    );
}

#[test]
fn nothing_filled_still_has_to_be_bled() {
    let mut told = vec![(20.0, stop()), (30.0, reading(NOT_FILLED, "0 bar"))];
    assert_eq!(stage(told.clone(), 40.0).0, Stage::Bleed);
    told.extend([(50.0, bled()), (60.0, drained())]);
    assert_eq!(stage(told, 70.0).0, Stage::Ended);
}

/// A hose that was empty before the start says nothing about it after the stop.
#[test]
fn a_bleed_counts_after_the_stop_alone() {
    let told = vec![(10.0, bled()), (1190.0, stop()), (1200.0, fill("A1", None))];
    assert_eq!(stage(told, 1210.0).0, Stage::Bleed);
}

#[test]
fn a_stop_taken_back_runs_on() {
    let mut all = events(vec![(0.0, start(&["A1"])), (300.0, stop())]);
    assert_eq!(
        stands_by(&all, Some(&course()), 0, 310.0).stage,
        Stage::GaugeAtStop
    );
    all[1].withdrawn = true;
    let s = stands_by(&all, Some(&course()), 0, 310.0);
    assert_eq!(s.stage, Stage::Filling);
    near(s.elapsed_s, 310.0);
    let log = Log::of(&all, 10).unwrap();
    assert_eq!(log.last_seq, 11, "a page drawn before is an old page");
}

#[test]
fn a_clock_that_goes_back_stands_still() {
    let told = || vec![(0.0, start(&["A1"])), (605.0, drained())];
    let s = stands(told(), 0, -3000.0);
    assert!(s.clock_back);
    assert_eq!((s.stage, s.elapsed_s), (Stage::Filling, 605.0));
    assert!(!stands(told(), 0, 606.0).clock_back);
    let s = stands(vec![(0.0, start(&["A1"]))], 0, -5.0);
    near(s.elapsed_s, 0.0);
}

#[test]
fn a_later_start_is_another_log() {
    let all = events(vec![
        (0.0, start(&["A1", "A2"])),
        (1190.0, stop()),
        (1200.0, fill("A1", None)),
        (1500.0, start(&["A2"])),
        (1700.0, drained()),
    ]);
    let (first, second) = (Log::of(&all, 10).unwrap(), Log::of(&all, 13).unwrap());
    assert!(first.stopped.is_some() && first.fills.len() == 1 && first.drains.is_empty());
    assert!(second.stopped.is_none() && second.fills.is_empty());
    assert_eq!(second.drains.len(), 1);
    assert!(Log::of(&all, 11).is_none(), "a stop is no start");
}

#[test]
fn without_a_plan_the_drain_alone_is_watched() {
    let all = events(vec![(0.0, start(&[]))]);
    let at = |t| stands_by(&all, None, 0, t);
    assert_eq!((at(5.0).stage, at(5.0).expected), (Stage::Filling, None));
    assert_eq!(at(600.0).stage, Stage::DrainDue);
    assert_eq!(at(790.0).over, Some(OverBecause::Drain));
    assert_eq!(at(790.0).stop_in_s, None);
}

/// The same events, in whatever order they are read, stand the same: a reload, another phone.
#[test]
fn a_reload_in_mid_run_shows_the_same() {
    let told = vec![
        (0.0, start(&["A1"])),
        (200.0, reading(FILL_GAUGE, "84 bar")),
        (605.0, drained()),
        (700.0, reading(FILL_GAUGE, "170 bar")),
    ];
    let all = events(told);
    let mut other = all.clone();
    other.reverse();
    let (one, two) = (
        stands_by(&all, Some(&course()), 0, 710.0),
        stands_by(&other, Some(&course()), 0, 710.0),
    );
    assert_eq!(one, two);
}
