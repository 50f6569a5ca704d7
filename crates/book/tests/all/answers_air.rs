//! Locks, quarantine and batch traces, worked out by hand.

use std::collections::BTreeSet;

use book::Event;
use book::Subject;
use book::answer::locks::{self, Locks};
use book::answer::quarantine::{self, Quarantine};
use book::answer::{earliest, trace};
use book::body::{Body, Outcome};
use book::{Moment, body::BodyError};
use proptest::prelude::*;

use crate::answers::{
    air_test, cartridge, cause, d, fill, from_bank, h, history, released, start, stop, symptom,
    test_of,
};

use Outcome::{CannotTell, Fails, Passes};

fn locks_at(events: &[Event], at: Moment) -> Locks {
    locks::of(events, Some(at), &earliest)
}

fn quarantine_at(events: &[Event], at: Moment) -> Quarantine {
    quarantine::of(events, Some(at), &earliest)
}

/// `date -u -d '2026-05-20 00:00 +14:00' +%s` (GNU coreutils) gives 1779184800; 2024-02-29 and
/// 1970-01-01 likewise 1709114400 and -50400.
#[test]
fn the_first_moment_of_a_day_anywhere() {
    let seconds = |text: &str| earliest(text).map(|moment| moment.0 / 1_000_000);
    assert_eq!(seconds("2026-05-20"), Some(1_779_184_800));
    assert_eq!(seconds("2024-02-29"), Some(1_709_114_400));
    assert_eq!(seconds("1970-01-01"), Some(-50_400));
    assert_eq!(seconds("2026-05"), seconds("2026-05-01"));
    assert_eq!(seconds("2026"), seconds("2026-01-01"));
    for not_a_day in [
        "",
        "2026-02-29",
        "2026-13-01",
        "20.5.2026",
        "2026-5-1",
        "2026-05-20-1",
    ] {
        assert_eq!(seconds(not_a_day), None, "{not_a_day}");
    }
}

#[test]
fn a_symptom_locks_until_its_own_cause_is_recorded() {
    let events = history(vec![
        (d(1.0), symptom(None)),    // 1
        (d(2.0), symptom(None)),    // 2
        (d(3.0), cause(1)),         // 3
        (d(4.0), released(2, &[])), // 4: frees cylinders, explains nothing
        (d(5.0), cause(2)),         // 5
    ]);
    assert!(!locks_at(&events, d(0.5)).locked());
    assert_eq!(locks_at(&events, d(2.5)).standing().count(), 2);
    let after_one = locks_at(&events, d(4.5));
    let stands: Vec<u64> = after_one.standing().map(|l| l.reason.mark().seq).collect();
    assert_eq!(stands, [2]);
    assert!(
        after_one
            .standing()
            .all(|lock| lock.needs_cause() && !lock.needs_pass())
    );
    assert!(!locks_at(&events, d(5.0)).locked());
}

#[test]
fn a_failed_test_needs_a_cause_and_a_later_pass() {
    let events = history(vec![
        (d(1.0), air_test(Fails, Some("2026-05-20"))),  // 1
        (d(2.0), air_test(Passes, Some("2026-05-19"))), // 2: taken before the failed one
        (d(3.0), cause(1)),                             // 3
        (d(5.0), air_test(Passes, Some("2026-05-24"))), // 4
    ]);
    let early = locks_at(&events, d(4.0));
    let lock = early.standing().next().unwrap();
    assert!(!lock.needs_cause() && lock.needs_pass());
    let late = locks_at(&events, d(6.0));
    assert!(!late.locked());
    assert_eq!(late.locks[0].lifted, Some(d(5.0)));
    assert_eq!(late.locks[0].later_pass.unwrap().seq, 4);
    assert_eq!(late.last_pass().unwrap().seq, 4);
    // A pass without a cause lifts nothing.
    let no_cause: Vec<Event> = events.into_iter().filter(|e| e.seq != 3).collect();
    assert!(locks_at(&no_cause, d(9.0)).locked());
}

#[test]
fn a_failed_test_is_lifted_by_releasing_all_of_it() {
    let mut told = vec![
        (d(1.0), air_test(Fails, None)),
        (d(2.0), released(1, &["A"])),
    ];
    assert!(locks_at(&history(told.clone()), d(9.0)).locked());
    told.push((d(3.0), released(1, &[])));
    let locks = locks_at(&history(told), d(9.0));
    assert_eq!(locks.locks[0].lifted, Some(d(3.0)));
}

#[test]
fn what_could_not_be_told_is_a_word_and_no_lock() {
    let mut told = vec![(d(1.0), air_test(CannotTell, None))];
    let locks = locks_at(&history(told.clone()), d(2.0));
    assert!(!locks.locked());
    assert_eq!(locks.untold[0].seq, 1);
    told.push((d(3.0), air_test(Passes, None)));
    assert_eq!(locks_at(&history(told), d(4.0)).untold, []);
}

/// A sample from a cylinder speaks of the air that was filled into it, not of the machine's today.
#[test]
fn a_pass_from_a_cylinder_filled_long_ago_clears_nothing() {
    let events = history(vec![
        (d(0.0), fill("A", "Anna")),
        (d(5.0), air_test(Fails, Some("2026-05-25"))), // 2
        (d(6.0), cause(2)),
        (d(7.0), test_of(Passes, Some("2026-05-27"), Some("A"))),
    ]);
    assert!(locks_at(&events, d(9.0)).locked());
}

/// The sample that passed bears 2026-05-21, which begins at 10:00 UTC on the 20th at the earliest:
/// A, filled at 08:00 on the 20th, was filled before it; B was not. The failed test was entered on
/// day 12; filling was free again on day 16. So B, C, D and E (under an override) are held, F not.
fn season() -> Vec<(Moment, Body)> {
    vec![
        (d(0.0), fill("A", "Anna")),                     // 1
        (d(1.0), fill("B", "Ben")),                      // 2
        (d(2.0), fill("C", "Carl")),                     // 3
        (d(8.0), air_test(Passes, Some("2026-05-21"))),  // 4
        (d(10.0), fill("D", "Dora")),                    // 5
        (d(12.0), air_test(Fails, Some("2026-05-29"))),  // 6
        (d(13.0), fill("E", "Eve")),                     // 7
        (d(14.0), cause(6)),                             // 8
        (d(16.0), air_test(Passes, Some("2026-06-04"))), // 9
        (d(17.0), fill("F", "Fay")),                     // 10
    ]
}

#[test]
fn a_failed_test_sets_aside_what_was_filled_since_the_last_pass() {
    let events = history(season());
    assert_eq!(quarantine_at(&events, d(11.0)).suspicions, []);
    assert_eq!(quarantine_at(&events, d(12.0)).cylinders(), ["B", "C", "D"]);
    let late = quarantine_at(&events, d(20.0));
    assert_eq!(late.cylinders(), ["B", "C", "D", "E"]);
    let suspicion = &late.suspicions[0];
    assert_eq!(suspicion.after_test, Some(4));
    assert_eq!(suspicion.from, earliest("2026-05-21"));
    assert_eq!(suspicion.until, Some(d(16.0)));
    let dora = &suspicion.held[2].fills[0];
    assert_eq!((dora.mark.seq, dora.mark.at), (5, d(10.0)));
    assert_eq!(dora.person.as_deref(), Some("Dora"));
    assert_eq!(late.holds("B"), [6]);
    assert!(late.holds("F").is_empty());
}

#[test]
fn only_a_release_frees() {
    let mut told = season();
    told.push((d(18.0), released(6, &["C"]))); // 11
    told.push((d(19.0), fill("B", "Ben"))); // 12: refilled, and stays
    told.push((d(19.0), fill("C", "Carl"))); // 13: free, and stays free
    let quarantine = quarantine_at(&history(told.clone()), d(20.0));
    assert_eq!(quarantine.cylinders(), ["B", "D", "E"]);
    let freed = &quarantine.suspicions[0].freed[0];
    assert_eq!((freed.held.cylinder.as_str(), freed.by.seq), ("C", 11));
    told.push((d(21.0), released(6, &[])));
    let quarantine = quarantine_at(&history(told), d(22.0));
    assert_eq!(quarantine.cylinders(), [""; 0]);
    assert_eq!(quarantine.suspicions[0].freed.len(), 4);
}

#[test]
fn a_pass_entered_after_the_failure_moves_no_limit() {
    let mut told = season();
    told.push((d(18.0), air_test(Passes, Some("2026-05-25"))));
    let quarantine = quarantine_at(&history(told), d(20.0));
    assert_eq!(quarantine.cylinders(), ["B", "C", "D", "E"]);
}

/// Neither a pass of the failed sample's own day, nor one dated after the failure, is a limit: fills
/// are held from the pass of the 21st on.
#[test]
fn a_pass_no_earlier_than_the_failed_sample_is_no_limit() {
    let mut told = season();
    told.insert(5, (d(11.0), air_test(Passes, Some("2026-05-29"))));
    told.insert(5, (d(12.5), air_test(Passes, Some("2026-05-26"))));
    let events = history(told);
    let quarantine = quarantine_at(&events, d(12.5));
    assert_eq!(quarantine.cylinders(), ["B", "C", "D"]);
    assert_eq!(quarantine.suspicions[0].after_test, Some(4));
}

#[test]
fn what_came_from_a_bank_set_aside_is_set_aside() {
    let mut told = season();
    told.insert(5, (d(11.0), fill("bank", "the club"))); // moves the failed test to 7
    told.retain(|(_, body)| !matches!(body, Body::CauseRecorded(_)));
    told.push((d(17.5), cause(7)));
    told.push((d(18.0), from_bank("G", "bank")));
    told.push((d(19.0), from_bank("H", "another bank")));
    let quarantine = quarantine_at(&history(told), d(20.0));
    assert!(quarantine.cylinders().contains(&"G"));
    assert!(!quarantine.cylinders().contains(&"H"));
    let held = &quarantine.suspicions[0].held;
    let g = held.iter().find(|held| held.cylinder == "G").unwrap();
    assert_eq!(g.fills[0].through.as_deref(), Some("bank"));
}

/// No test ever passed: everything since the book began, and the cylinder named, though it was
/// never filled here. Its cause lifts the lock and frees nothing.
#[test]
fn a_symptom_sets_aside_the_cylinder_it_names() {
    let events = history(vec![
        (d(0.0), fill("A", "Anna")),
        (d(1.0), symptom(Some("Z"))), // 2
        (d(2.0), cause(2)),
        (d(3.0), fill("B", "Ben")),
        (d(4.0), released(2, &["Z"])),
    ]);
    let early = quarantine_at(&events, d(3.5));
    assert_eq!(early.cylinders(), ["A", "Z"]);
    assert!(early.suspicions[0].held[1].named);
    assert_eq!(early.suspicions[0].from, None);
    assert_eq!(quarantine_at(&events, d(5.0)).cylinders(), ["A"]);
}

/// The exhaust blew in at 1 h, B was filled at 2 h, somebody felt it at 3 h: B stays set aside though
/// the cause is dated before it.
#[test]
fn a_cause_dated_early_leaves_nothing_out() {
    let mut events = history(vec![
        (h(0.0), fill("A", "Anna")),
        (h(2.0), fill("B", "Ben")),
        (h(3.0), symptom(None)), // 3
        (h(1.0), cause(3)),
    ]);
    events[3].recorded = h(4.0);
    assert_eq!(locks_at(&events, h(5.0)).locks[0].lifted, Some(h(3.0)));
    assert_eq!(quarantine_at(&events, h(5.0)).cylinders(), ["A", "B"]);
}

#[test]
fn what_cannot_be_read_is_told() {
    let mut events = history(season());
    events[3].body = Err(BodyError::Damaged("invented".into()));
    let quarantine = quarantine_at(&events, d(12.0));
    assert_eq!(quarantine.unread, [4]);
    // Without that pass, A too: never less for not being able to read.
    assert_eq!(quarantine.cylinders(), ["A", "B", "C", "D"]);
}

fn machine_day() -> Vec<Event> {
    history(vec![
        (h(0.0), cartridge()),                           // 1
        (h(1.0), start(None)),                           // 2
        (h(2.0), fill("A", "Anna")),                     // 3
        (h(3.0), stop(None)),                            // 4
        (h(24.0), air_test(Passes, Some("2026-05-21"))), // 5: from 2 h on (10:00 UTC on the 20th)
        (h(25.0), start(None)),                          // 6
        (h(25.5), fill("bank", "the club")),             // 7
        (h(26.0), cartridge()),                          // 8
        (h(27.0), fill("B", "Ben")),                     // 9
        (h(28.0), stop(None)),                           // 10
        (h(30.0), fill("A", "Anna")),                    // 11: no run
        (h(40.0), from_bank("C", "bank")),               // 12
        (h(96.0), air_test(Fails, Some("2026-05-23"))),  // 13: from 50 h on
    ])
}

#[test]
fn a_batch_names_everybody_who_got_of_it() {
    let events = machine_day();
    let batch = trace::between(&events, Some(h(24.0)), Some(h(29.0)), &earliest);
    let fills: Vec<u64> = batch.fills.iter().map(|f| f.seq).collect();
    assert_eq!(fills, [7, 9]);
    let passed: Vec<u64> = batch.passed_on.iter().map(|f| f.seq).collect();
    assert_eq!(passed, [12]);
    let cylinders: Vec<&str> = batch.cylinders.iter().map(|c| c.name.as_str()).collect();
    assert_eq!(cylinders, ["B", "C", "bank"]);
    let persons: Vec<&str> = batch.persons.iter().map(|c| c.name.as_str()).collect();
    assert_eq!(persons, ["Ben", "the club"]);
    assert_eq!(batch.for_nobody, [12]);
    let runs: Vec<u64> = batch.runs.iter().map(|run| run.start.seq).collect();
    assert_eq!(runs, [6]);
    let cartridges: Vec<u64> = batch.cartridges.iter().map(|c| c.seq).collect();
    assert_eq!(cartridges, [1, 8]);
}

#[test]
fn a_cylinder_leads_back_to_run_cartridge_and_tests() {
    let events = machine_day();
    let a = Subject::Cylinder("A".into());
    let origins = trace::back(&events, &a, &earliest).origins;
    assert_eq!(origins.len(), 2);
    assert_eq!(origins[0].run.unwrap().start.seq, 2);
    assert_eq!(origins[0].run.unwrap().stop.unwrap().seq, 4);
    assert_eq!(origins[0].cartridge.as_ref().unwrap().seq, 1);
    assert_eq!(origins[0].test_before.as_ref().map(|t| t.seq), Some(5));
    assert_eq!(origins[1].run, None);
    assert_eq!(origins[1].cartridge.as_ref().unwrap().seq, 8);
    assert_eq!(origins[1].test_after.as_ref().map(|t| t.seq), Some(13));
    // C came from the bank: what counts is when the bank was filled.
    let c = Subject::Cylinder("C".into());
    let origin = &trace::back(&events, &c, &earliest).origins[0];
    assert_eq!(origin.through[0].seq, 7);
    assert_eq!(origin.run.unwrap().start.seq, 6);
    assert_eq!(origin.cartridge.as_ref().unwrap().seq, 1);
    let ben = Subject::Person("Ben".into());
    assert_eq!(trace::back(&events, &ben, &earliest).origins[0].fill.seq, 9);
}

/// Any history of fills, tests, symptoms and causes; nothing is ever released in it.
fn any_season() -> impl Strategy<Value = Vec<Event>> {
    let day = prop::option::of(20u8..32);
    let one = (0u8..20, 0u8..12, 0u8..5, day, 1u64..20);
    prop::collection::vec(one, 1..40).prop_map(|told| {
        let mut at = 0.0;
        let body = |what: u8, name: u8, day: Option<u8>, of: u64| {
            let (name, day) = (format!("C{name}"), day.map(|day| format!("2026-05-{day}")));
            let cylinder = of.is_multiple_of(4).then_some(name.as_str());
            match what {
                0..5 => fill(&name, "somebody"),
                5 => from_bank(&name, "C0"),
                6 | 7 => test_of(Passes, day.as_deref(), cylinder),
                8 => test_of(Fails, day.as_deref(), cylinder),
                9 => symptom(cylinder),
                _ => cause(of),
            }
        };
        let told = told.into_iter().map(|(later, what, name, day, of)| {
            at += f64::from(later) / 24.0;
            (d(at), body(what, name, day, of))
        });
        history(told.collect())
    })
}

proptest! {
    /// As time goes on and nothing is released, what is set aside stays set aside.
    #[test]
    fn quarantine_only_grows(events in any_season()) {
        let mut before = BTreeSet::new();
        for event in &events {
            let now = quarantine_at(&events, event.happened);
            let now: BTreeSet<String> = now.cylinders().iter().map(|&name| name.into()).collect();
            prop_assert!(before.is_subset(&now), "{before:?} then {now:?}");
            before = now;
        }
    }

    /// While filling is locked, whatever is filled is set aside.
    #[test]
    fn what_is_filled_under_a_lock_is_set_aside(events in any_season()) {
        let at = events.last().unwrap().happened;
        prop_assume!(locks_at(&events, at).locked());
        let mut more: Vec<Event> = events.clone();
        let mut fill = history(vec![(Moment(at.0 + 1), fill("new", "somebody"))]);
        fill[0].seq = 1000;
        more.append(&mut fill);
        prop_assert!(!quarantine_at(&more, d(99.0)).holds("new").is_empty());
    }

    /// A pass taken away never frees anything, whenever the failure came.
    #[test]
    fn fewer_passes_never_free(events in any_season(), which in 0usize..40) {
        let end = d(99.0);
        let all = quarantine_at(&events, end);
        let fewer: Vec<Event> = events
            .iter()
            .enumerate()
            .filter(|(i, e)| {
                *i != which || !matches!(&e.body, Ok(Body::AirTest(t)) if t.outcome == Passes)
            })
            .map(|(_, e)| e.clone())
            .collect();
        let fewer = quarantine_at(&fewer, end);
        for name in all.cylinders() {
            prop_assert!(!fewer.holds(name).is_empty(), "{name}");
        }
    }
}
