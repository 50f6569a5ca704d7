//! Dates counted on a calendar, and rows in their order.

use super::*;
use crate::cylinder::answer::CheckAnswer;
use crate::cylinder::{FillAnswer, When};
use proptest::prelude::*;

fn day(text: &str) -> Date {
    Date::parse(text).unwrap()
}

fn station() -> Station {
    let text = include_str!("../../../../stations/boathouse.toml");
    station::read(text).station.unwrap()
}

/// 30 hours in the last 90 days: a third of an hour a day.
fn usage() -> Usage {
    Usage {
        today: day("2026-06-01"),
        running_h: Some(440.0),
        recent_days: 90.0,
        recent_h: Some(30.0),
        recent_free_air_litres: Some(180_000.0),
        recent_runs: Some(36),
    }
}

fn kept(item: Item, last: Option<&str>, interval: Option<Interval>) -> Kept {
    Kept {
        item,
        which: None,
        done: last.map(|last| Done {
            day: day(last),
            running_h: Some(420.0),
            what: "replaced".into(),
        }),
        since_running_h: None,
        since_free_air_litres: None,
        interval,
    }
}

fn every(running_h: Option<f64>, months: Option<u32>) -> Option<Interval> {
    Some(Interval {
        running_h,
        months,
        free_air_litres: None,
        source: "the maker's manual".into(),
    })
}

fn one(kept: Kept) -> DueItem {
    upkeep(&[kept], &usage(), &station()).remove(0)
}

/// 20 of 50 hours used, a third of an hour a day: 30 hours last 90 days, to 2026-08-30; twelve
/// months from 2026-01-15 end later. With 36 runs the rate is known to 1.645/6: 70.6 to 123.99 days.
#[test]
fn whichever_comes_first() {
    let oil = one(kept(
        Item::Oil,
        Some("2026-01-15"),
        every(Some(50.0), Some(12)),
    ));
    assert_eq!(
        (oil.first, oil.state),
        (Some(LimitKind::RunningH), State::InTime)
    );
    let due = oil.due.unwrap();
    assert_eq!(due.likely, "2026-08-30");
    assert_eq!(due.earliest, "2026-08-10");
    assert_eq!(due.latest.as_deref(), Some("2026-10-02"));
    assert!((oil.fraction.unwrap() - 0.4).abs() < 1e-12);
    let early = one(kept(
        Item::Oil,
        Some("2026-01-15"),
        every(Some(500.0), Some(6)),
    ));
    assert_eq!(early.first, Some(LimitKind::Months));
    assert_eq!(early.due.unwrap().likely, "2026-07-15");
    assert_eq!(early.state, State::Soon);
}

#[test]
fn every_state_has_its_row() {
    for (item, state, part) in [
        (
            kept(Item::Oil, Some("2026-01-15"), every(Some(15.0), None)),
            State::Over,
            "20.0 of 15",
        ),
        (
            kept(Item::Oil, Some("2026-01-15"), every(Some(20.0), None)),
            State::Due,
            "due 2026-06-01",
        ),
        (
            kept(Item::Hose, Some("2025-06-01"), every(None, Some(12))),
            State::Due,
            "due 2026-06-01",
        ),
        (
            kept(Item::Hose, Some("2025-05-31"), every(None, Some(12))),
            State::Over,
            "over",
        ),
        (
            kept(Item::Belt, None, every(Some(500.0), None)),
            State::NeverRecorded,
            "never recorded",
        ),
        (
            kept(Item::Belt, Some("2026-01-15"), None),
            State::NoInterval,
            "maker's manual",
        ),
        (
            kept(Item::Belt, Some("2026-01-15"), every(None, None)),
            State::NoInterval,
            "no interval",
        ),
        (
            kept(Item::Oil, Some("2026-01-15"), every(Some(22.0), None)),
            State::Due,
            "due",
        ),
        (
            kept(Item::Oil, Some("2026-01-15"), every(Some(30.0), None)),
            State::Soon,
            "soon",
        ),
    ] {
        let row = one(item);
        assert_eq!(row.state, state, "{}", row.sentence);
        assert!(row.sentence.contains(part), "{part}: {}", row.sentence);
    }
}

/// The boathouse's file: 40 rated hours, changed at 412 h.
#[test]
fn the_cartridge_takes_the_makers_hours() {
    let row = one(kept(Item::Cartridge, None, None));
    assert_eq!(row.last.as_deref(), Some("2026-03-14"));
    assert!((row.fraction.unwrap() - 28.0 / 40.0).abs() < 1e-12);
    assert!(row.source.unwrap().contains("maker's rated hours"));
    let own = one(kept(
        Item::Cartridge,
        Some("2026-05-01"),
        every(Some(25.0), None),
    ));
    assert!((own.fraction.unwrap() - 20.0 / 25.0).abs() < 1e-12);
}

/// What others do is shown where nothing is set, with its source, and never counted.
#[test]
fn hints_are_never_applied() {
    let hose = one(kept(Item::Hose, Some("2015-01-01"), None));
    assert_eq!(
        (hose.state, hose.due, hose.limits.len()),
        (State::NoInterval, None, 0)
    );
    let months: Vec<u32> = hose.hints.iter().map(|h| h.months).collect();
    assert_eq!(months, [12, 24]);
    let relief = one(kept(Item::Relief, None, None));
    assert!(
        relief
            .hints
            .iter()
            .any(|h| h.document.contains("8 CCR 465"))
    );
    assert!(one(kept(Item::Oil, None, None)).hints.is_empty());
    assert!(!one(kept(Item::AirSample, None, None)).hints.is_empty());
    let set = one(kept(Item::Hose, Some("2026-01-01"), every(None, Some(12))));
    assert!(set.hints.is_empty());
    assert!(
        HINTS
            .iter()
            .all(|h| !h.document.is_empty() && !h.certainty.is_empty())
    );
}

/// 29 CFR 1910.430(b)(4): every six months; counted on a calendar.
#[test]
fn an_air_sample_by_its_standard() {
    let at = |sampled: Option<&str>, today: &str| {
        let known = crate::air::standards();
        air_sample("1910.430", known, sampled.map(day), day(today)).unwrap()
    };
    let fresh = at(Some("2026-01-31"), "2026-03-01");
    assert_eq!(
        (fresh.state, fresh.due.unwrap().likely.as_str()),
        (State::InTime, "2026-07-31")
    );
    assert_eq!(at(Some("2026-01-31"), "2026-07-31").state, State::Soon);
    assert_eq!(at(Some("2026-01-31"), "2026-08-01").state, State::Over);
    assert_eq!(at(None, "2026-08-01").state, State::NeverRecorded);
    let unknown = air_sample("no such", crate::air::standards(), None, day("2026-01-01"));
    assert!(unknown.is_err());
}

fn gate(check: &'static str, last: &str, due: &str, overdue: bool) -> FillAnswer {
    FillAnswer {
        cylinder: "A1".into(),
        rule: "us".into(),
        rule_title: "a rule".into(),
        today: "2026-06-01".into(),
        may: !overdue,
        verdict: String::new(),
        to: None,
        settled_at_c: 15.0,
        until: None,
        refusals: Vec::new(),
        notes: Vec::new(),
        checks: vec![CheckAnswer {
            check,
            last: When::parse(last),
            every_months: 60,
            due: When::parse(due),
            overdue,
            source: "49 CFR 180.209".into(),
            certainty: "stored rule text".into(),
            seen: String::new(),
        }],
        hot: None,
    }
}

/// Examinations of cylinders stand in the same list, most urgent first.
#[test]
fn one_list_most_urgent_first() {
    let today = usage().today;
    let mut rows = upkeep(
        &[
            kept(Item::Belt, Some("2026-01-15"), None),
            kept(Item::Oil, Some("2026-01-15"), every(Some(50.0), None)),
            kept(Item::Hose, None, every(None, Some(12))),
        ],
        &usage(),
        &station(),
    );
    rows.extend(cylinder_checks(
        &gate("test", "2021-04", "2026-04", true),
        today,
    ));
    rows.extend(cylinder_checks(
        &gate("visual", "2025-06", "2026-06", false),
        today,
    ));
    most_urgent_first(&mut rows);
    let states: Vec<State> = rows.iter().map(|r| r.state).collect();
    assert_eq!(
        states,
        [
            State::Over,
            State::Due,
            State::NeverRecorded,
            State::InTime,
            State::NoInterval
        ]
    );
    assert_eq!(rows[0].name, "cylinder A1: pressure test");
    assert!(rows[0].fraction.unwrap() > 1.0);
}

proptest! {
    /// More use is never due later; dates are in order; the sentence is one.
    #[test]
    fn more_use_is_due_sooner(
        used in 0.0..100.0f64, more in 0.0..50.0f64, limit in 1.0..200.0f64,
        recent in 0.1..200.0f64, runs in 1u32..200,
    ) {
        let at = |used: f64| {
            let mut item = kept(Item::Oil, Some("2026-01-15"), every(Some(limit), None));
            item.since_running_h = Some(used);
            let usage = Usage { recent_h: Some(recent), recent_runs: Some(runs), ..usage() };
            upkeep(&[item], &usage, &station()).remove(0)
        };
        let (less, much) = (at(used), at(used + more));
        prop_assert!(much.state <= less.state);
        if let (Some(a), Some(b)) = (&less.due, &much.due) {
            prop_assert!(b.likely_day_number <= a.likely_day_number);
            prop_assert!(a.earliest <= a.likely);
            prop_assert!(a.latest.as_ref().is_none_or(|latest| *latest >= a.likely));
        }
        prop_assert!(less.sentence.ends_with('.'));
    }
}
