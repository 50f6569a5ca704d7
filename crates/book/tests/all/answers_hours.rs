//! Hours and runs, worked out by hand.

use book::Event;
use book::answer::Doubt;
use book::answer::hours::{self, Figure};
use book::answer::runs;
use book::body::{Body, Drained, Fill, Reading};
use book::{Measure, Moment};
use proptest::prelude::*;

use crate::answers::{cartridge, fill, from_bank, h, history, start, stop};

fn close(a: f64, b: f64) -> bool {
    (a - b).abs() < 1e-9
}

fn is(figure: Figure, by_meter_h: f64, by_clock_h: f64) {
    let near = close(figure.by_meter_h, by_meter_h) && close(figure.by_clock_h, by_clock_h);
    assert!(
        near,
        "{figure:?}, worked out: {by_meter_h} h and {by_clock_h} h"
    );
}

/// By the clock: 0-2 h, 2 h. By the meter: 10-12 h, 100 to 101.5, 1.5 h. By the clock again: 20-23 h,
/// 3 h. Together 1.5 h and 5 h. At 11 h half of the meter's 1.5 h. The meter now: 101.5 + 3.
#[test]
fn the_meter_counts_where_it_was_read_and_the_clock_elsewhere() {
    let events = history(vec![
        (h(0.0), start(None)),
        (h(2.0), stop(None)),
        (h(10.0), start(Some(100.0))),
        (h(12.0), stop(Some(101.5))),
        (h(20.0), start(None)),
        (h(23.0), stop(None)),
    ]);
    let hours = hours::of(&events, h(48.0));
    is(hours.total(), 1.5, 5.0);
    is(hours.at(h(11.0)), 0.75, 2.0);
    is(hours.at(h(21.0)), 1.5, 3.0);
    is(hours.since(h(12.0)), 0.0, 3.0);
    is(hours.between(h(1.0), h(11.0)), 0.75, 1.0);
    assert!(close(hours.meter().unwrap(), 104.5));
    assert_eq!(hours.doubts, []);
    assert_eq!(hours.running_since, None);
}

/// 431 at the stop, 433 at the end of the next run: its 2 h were run after the cartridge was
/// changed, a hundred hours of rest notwithstanding.
#[test]
fn rest_does_not_use_a_part_up() {
    let events = history(vec![
        (h(0.0), start(Some(430.0))),
        (h(1.0), stop(Some(431.0))),
        (h(101.0), cartridge()),
        (h(201.0), start(None)),
        (h(203.0), stop(Some(433.0))),
    ]);
    let hours = hours::of(&events, h(300.0));
    is(hours.since(h(101.0)), 2.0, 0.0);
    is(hours.total(), 3.0, 0.0);
}

#[test]
fn a_run_that_goes_on_counts_up_to_now() {
    let events = history(vec![(h(0.0), start(None))]);
    let hours = hours::of(&events, h(1.5));
    is(hours.total(), 0.0, 1.5);
    assert_eq!(hours.running_since.unwrap().seq, 1);
    assert_eq!(hours.doubts, []);
    // Two days on, somebody forgot the stop: 24 h count, and it is told.
    let hours = hours::of(&events, h(48.0));
    is(hours.total(), 0.0, 24.0);
    let told = Doubt::LongRun {
        start: 1,
        stop: None,
        hours: 48.0,
    };
    assert_eq!(hours.doubts, [told]);
}

/// What each history is told about, and the hours counted by meter and clock.
#[test]
fn what_cannot_be_so_is_told() {
    let told = |events: Vec<(f64, Body)>, by_meter: f64, by_clock: f64, doubts: &[Doubt]| {
        let events = events.into_iter().map(|(at, body)| (h(at), body)).collect();
        let hours = hours::of(&history(events), h(1000.0));
        assert_eq!(hours.doubts, doubts);
        is(hours.total(), by_meter, by_clock);
    };
    // A new meter: the run between is counted by its stop less its start, and 1 h by the clock.
    let meter_back = Doubt::MeterBack {
        before: 2,
        after: 4,
        from_h: 431.0,
        to_h: 1.0,
    };
    let new_meter = vec![
        (0.0, start(Some(430.0))),
        (1.0, stop(Some(431.0))),
        (5.0, start(None)),
        (6.0, stop(Some(1.0))),
    ];
    told(new_meter, 1.0, 1.0, &[meter_back]);
    // 10 h on the meter in 2 h: misread; 2 h by the clock.
    let ahead = Doubt::MeterAhead {
        before: 1,
        after: 2,
        meter_h: 10.0,
        passed_h: 2.0,
    };
    let misread = vec![(0.0, start(Some(430.0))), (2.0, stop(Some(440.0)))];
    told(misread, 0.0, 2.0, &[ahead]);
    // 5 h on the meter between two days, no run recorded.
    let unrecorded = Doubt::Disagree {
        before: 2,
        after: 3,
        meter_h: 5.0,
        clock_h: 0.0,
    };
    let secret = vec![
        (0.0, start(Some(430.0))),
        (1.0, stop(Some(431.0))),
        (24.0, start(Some(436.0))),
        (25.0, stop(Some(437.0))),
    ];
    told(secret, 7.0, 0.0, &[unrecorded]);
    // A run of 30 h: it counts, and it is told.
    let long = Doubt::LongRun {
        start: 1,
        stop: Some(2),
        hours: 30.0,
    };
    told(
        vec![(0.0, start(None)), (30.0, stop(None))],
        0.0,
        30.0,
        &[long],
    );
    // Two runs at once, 0-2 and 1-3: three hours.
    let overlap = Doubt::Overlap {
        starts: [1, 2],
        stops: [3, 4],
    };
    let both = vec![
        (0.0, start(None)),
        (1.0, start(None)),
        (2.0, stop(None)),
        (3.0, stop(None)),
    ];
    told(both, 0.0, 3.0, &[overlap]);
    // Never stopped: up to the next start.
    let never = Doubt::NeverStopped {
        start: 1,
        next: 2,
        counted_h: 3.0,
    };
    let twice = vec![(0.0, start(None)), (3.0, start(None)), (4.0, stop(None))];
    told(twice, 0.0, 4.0, &[never]);
    let lone = Doubt::StopWithoutStart { stop: 1 };
    told(vec![(2.0, stop(None))], 0.0, 0.0, &[lone]);
}

#[test]
fn times_that_cannot_be_right_are_told() {
    let mut events = history(vec![
        (h(5.0), start(None)),
        (h(4.0), stop(None)),
        (h(9.0), start(None)),
    ]);
    // Entered afterwards: an early date is no doubt. Dated ahead of its entry: one.
    events[2].recorded = h(8.0);
    let doubts = hours::of(&events, h(9.5)).doubts;
    assert!(
        doubts.contains(&Doubt::OutOfOrder { entry: 2, after: 1 }),
        "{doubts:?}"
    );
    assert!(doubts.contains(&Doubt::Ahead { entry: 3 }), "{doubts:?}");
    events[1].recorded = h(6.0);
    let doubts = hours::of(&events, h(9.5)).doubts;
    assert!(
        !doubts.iter().any(|d| matches!(d, Doubt::OutOfOrder { .. })),
        "{doubts:?}"
    );
}

fn timed(cylinder: &str, took: &str) -> Body {
    Body::Fill(Fill {
        cylinder: cylinder.into(),
        took: Some(Measure::parse(took).unwrap()),
        ..Fill::default()
    })
}

#[test]
fn entries_belong_to_the_run_they_were_made_in() {
    let reading = Body::Reading(Reading {
        of: "tower".into(),
        value: None,
        observed: None,
    });
    let events = history(vec![
        (h(0.0), start(Some(10.0))),                 // 1
        (h(0.5), reading),                           // 2
        (h(0.6), fill("A", "Anna")),                 // 3
        (h(0.7), Body::Drained(Drained::default())), // 4
        (h(1.0), stop(Some(10.9))),                  // 5
        (h(1.1), timed("B", "30 min")),              // 6: made about 0.85 h
        (h(2.0), fill("C", "Carl")),                 // 7: no run
        (h(2.1), from_bank("D", "bank")),            // 8: no run needed
        (h(3.0), start(None)),                       // 9
        (h(3.2), fill("E", "Eve")),                  // 10
    ]);
    let runs = runs::of(&events, h(3.5));
    let fills = |i: usize| -> Vec<u64> {
        let entered = &runs.runs[i].entered;
        entered.fills.iter().map(|f| f.seq).collect()
    };
    assert_eq!(runs.runs.len(), 2);
    assert_eq!(fills(0), [3, 6]);
    assert_eq!(fills(1), [10]);
    let first = &runs.runs[0];
    assert_eq!(first.entered.readings[0].seq, 2);
    assert_eq!(first.entered.drains[0].seq, 4);
    assert!(close(first.minutes.unwrap(), 60.0));
    assert!(close(first.meter_minutes.unwrap(), 54.0));
    let open = runs.open().unwrap();
    assert!(close(open.minutes.unwrap(), 30.0));
    let outside: Vec<u64> = runs.outside.fills.iter().map(|f| f.seq).collect();
    assert_eq!(outside, [7, 8]);
    assert_eq!(runs.doubts, [Doubt::FillOutsideRun { fill: 7 }]);
    assert_eq!(runs.of_entry(6).unwrap().started.seq, 1);
    assert!(runs.of_entry(7).is_none());
}

/// Runs one after another, each with hours of rest before it and of running.
fn clockwork(runs: &[(u8, u8)], meter: bool) -> (Vec<Event>, f64, Moment) {
    let (mut at, mut sum, mut told) = (0.0, 0.0, Vec::new());
    for &(rest, ran) in runs {
        let reading = |sum: f64| meter.then_some(100.0 + sum);
        at += f64::from(rest);
        told.push((h(at), start(reading(sum))));
        at += f64::from(ran);
        sum += f64::from(ran);
        told.push((h(at), stop(reading(sum))));
    }
    (history(told), sum, h(at + 1.0))
}

proptest! {
    #[test]
    fn the_total_is_the_sum_of_the_runs(
        all in prop::collection::vec((1u8..50, 1u8..20), 0..20), meter: bool,
    ) {
        let (events, sum, now) = clockwork(&all, meter);
        let hours = hours::of(&events, now);
        prop_assert!((hours.total().hours() - sum).abs() < 1e-6);
        prop_assert_eq!(&hours.doubts, &[]);
        let by_run: f64 = runs::of(&events, now).runs.iter().filter_map(|r| r.minutes).sum();
        prop_assert!((by_run / 60.0 - sum).abs() < 1e-6);
        prop_assert!(sum == 0.0 || meter == (hours.total().by_clock_h == 0.0));
    }

    /// Whatever is recorded, hours only rise, never faster than time and an hour of slack, and the
    /// order the events come in does not matter.
    #[test]
    fn hours_only_rise(
        told in prop::collection::vec((0u8..60, 0u8..3, prop::option::of(0u16..500)), 0..30),
    ) {
        let mut at = 0.0;
        let events = told.into_iter().map(|(later, what, meter)| {
            at += f64::from(later) / 4.0;
            let meter = meter.map(f64::from);
            let body = match what {
                0 => start(meter),
                1 => stop(meter),
                _ => cartridge(),
            };
            (h(at), body)
        });
        let mut events = history(events.collect());
        let hours = hours::of(&events, h(at + 5.0));
        let mut before = 0.0;
        for quarter in 0..=(4.0 * at) as i32 + 20 {
            let now = hours.at(h(f64::from(quarter) / 4.0)).hours();
            prop_assert!(now >= before - 1e-9 && now.is_finite());
            before = now;
        }
        for two in hours.stretches.windows(2) {
            prop_assert!(two[0].to <= two[1].from || two[0].from == two[1].from);
        }
        events.reverse();
        prop_assert_eq!(hours, hours::of(&events, h(at + 5.0)));
    }
}
