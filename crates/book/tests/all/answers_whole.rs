//! Answers from a file: the same as from all its events, after any corrections.

use book::answer::trace::{self, Bound};
use book::answer::{
    day, earliest, fills, hours, locks, parts, quarantine, register, runs, station,
};
use book::body::{Becomes, Body, Check, Correction, Fill, Outcome, Packed};
use book::{Book, Draft, Event, Measure, Moment, Pen, Subject, Wanted};
use proptest::prelude::*;

use crate::answers::{
    air_test, cartridge, cause, d, fill, from_bank, h, inspected, registered, released, start,
    stop, symptom, test_of,
};
use crate::common::{begun, draft, first, folder, note};

fn withdraw(of: u64) -> Body {
    Body::Correction(Correction {
        of,
        why: "it was never made".into(),
        becomes: None,
    })
}

fn written(at: Moment, body: Body) -> Draft {
    Draft {
        recorded: at,
        happened: at,
        ..draft(0, body)
    }
}

fn all_events(book: &Book) -> Vec<Event> {
    book.events(&Wanted::default()).unwrap()
}

/// A stop and the next start told for the same minute: the stop ends the run before, not this one.
#[test]
fn a_run_begun_in_the_minute_of_a_stop_is_whole_in_a_part_of_the_book() {
    let (_, mut pen) = begun("begun_in_the_minute_of_a_stop");
    let told = vec![
        written(h(1.0), start(None)),       // 2
        written(h(2.0), stop(None)),        // 3
        written(h(2.0), start(None)),       // 4
        written(h(2.5), fill("A", "Anna")), // 5
        written(h(3.0), stop(None)),        // 6
    ];
    pen.append_all(&told).unwrap();
    let part = runs::in_book(pen.book(), Some(h(2.25)), h(9.0)).unwrap();
    assert!(part.doubts.is_empty(), "{:?}", part.doubts);
    assert_eq!(part.of_entry(5).map(|run| run.started.seq), Some(4));
}

#[test]
fn a_withdrawn_fill_leaves_every_answer() {
    let (_, mut pen) = begun("a_withdrawn_fill");
    let told = vec![
        written(h(1.0), start(Some(1.0))),               // 2
        written(h(1.5), fill("A", "Anna")),              // 3
        written(h(1.7), fill("B", "Ben")),               // 4
        written(h(2.0), stop(Some(2.0))),                // 5
        written(h(3.0), air_test(Outcome::Fails, None)), // 6
    ];
    pen.append_all(&told).unwrap();
    let batch = |book: &Book| trace::between_in_book(book, None, None, &earliest).unwrap();
    let held = |book: &Book| {
        let quarantine = quarantine::in_book(book, None, &earliest).unwrap();
        quarantine.cylinders().join(" ")
    };
    assert_eq!(batch(pen.book()).cylinders.len(), 2);
    assert_eq!(held(pen.book()), "A B");
    pen.append(&written(h(4.0), withdraw(3))).unwrap();
    let book = pen.book();
    assert_eq!(batch(book).cylinders.len(), 1);
    assert_eq!(batch(book).persons[0].name, "Ben");
    assert_eq!(held(book), "B");
    assert_eq!(
        runs::in_book(book, None, h(9.0)).unwrap().runs[0]
            .entered
            .fills
            .len(),
        1
    );
    let asked = fills::Asked {
        person: Some("Anna"),
        ..fills::Asked::default()
    };
    assert_eq!(fills::in_book(book, &asked).unwrap().fills, []);
    let anna = Subject::Person("Anna".into());
    assert_eq!(
        trace::back_in_book(book, &anna, &earliest).unwrap().origins,
        []
    );
    let record = register::in_book(book, "A", None, &earliest).unwrap();
    assert!(record.last_fill.is_none() && record.held.is_empty());
    // The failed test withdrawn: no lock, nothing held.
    pen.append(&written(h(5.0), withdraw(6))).unwrap();
    assert!(
        !locks::in_book(pen.book(), None, &earliest)
            .unwrap()
            .locked()
    );
    assert_eq!(held(pen.book()), "");
}

/// The start was at 1 h, not at 0 h: one hour, not two.
#[test]
fn a_corrected_time_counts() {
    let (_, mut pen) = begun("a_corrected_time");
    pen.append(&written(h(0.0), start(None))).unwrap();
    pen.append(&written(h(2.0), stop(None))).unwrap();
    let becomes = Becomes {
        happened: Some(h(1.0).0),
        entry: Packed::of(&start(None)).unwrap(),
    };
    let correction = Correction {
        of: 2,
        why: "the clock on the wall is slow".into(),
        becomes: Some(becomes),
    };
    pen.append(&written(h(3.0), correction.into())).unwrap();
    let total = hours::in_book(pen.book(), h(9.0)).unwrap().total();
    assert!((total.hours() - 1.0).abs() < 1e-9, "{total:?}");
}

#[test]
fn a_batch_between_two_air_tests() {
    let (_, mut pen) = begun("a_batch_between_two_tests");
    let told = vec![
        written(d(0.0), fill("A", "Anna")), // 2
        written(d(1.0), fill("B", "Ben")),  // 3
        written(d(2.0), air_test(Outcome::Passes, Some("2026-05-21"))), // 4
        written(d(3.0), fill("C", "Carl")), // 5
        written(d(5.0), air_test(Outcome::Fails, Some("2026-05-24"))), // 6
        written(d(6.0), fill("D", "Dora")), // 7
    ];
    pen.append_all(&told).unwrap();
    let (from, until) = (Some(Bound::Entry(4)), Some(Bound::Entry(6)));
    let batch = trace::between_in_book(pen.book(), from, until, &earliest).unwrap();
    // From the sample's day, which begins after A and before B, to the second test's entry.
    let fills: Vec<u64> = batch.fills.iter().map(|f| f.seq).collect();
    assert_eq!(fills, [3, 5]);
    let none = trace::between_in_book(pen.book(), Some(Bound::Entry(99)), None, &earliest);
    assert!(none.unwrap_err().to_string().contains("99"));
}

#[test]
fn a_day_sheet_holds_the_day_and_what_was_written_on_it() {
    let (_, mut pen) = begun("a_day_sheet");
    let late = Draft {
        happened: h(2.0),
        ..written(h(30.0), note("yesterday's").into())
    };
    let told = vec![
        written(h(20.0), start(None)),               // 2: yesterday
        written(h(25.0), fill("A", "Anna")),         // 3
        written(h(26.0), stop(None)),                // 4
        late,                                        // 5
        written(h(29.0), note("clock back").into()), // 6: an hour back
        written(h(31.0), withdraw(3)),               // 7
        written(h(50.0), note("tomorrow").into()),   // 8
    ];
    let seals = pen.append_all(&told).unwrap();
    let sheet = day::in_book(pen.book(), h(24.0), h(48.0)).unwrap();
    let seqs: Vec<u64> = sheet.events.iter().map(|e| e.seq).collect();
    assert_eq!(seqs, [4, 6]);
    assert_eq!(sheet.written, Some((3, 7)));
    assert_eq!(sheet.about_other_days, [5]);
    assert_eq!(sheet.corrections.len(), 1);
    let corrected = &sheet.corrections[0];
    assert_eq!(
        (corrected.entry.seq, corrected.of, corrected.withdraws),
        (7, 3, true)
    );
    assert_eq!(
        sheet.clock_went_back,
        [day::WentBack {
            seq: 6,
            by_s: 3600.0
        }]
    );
    assert_eq!(sheet.seal, Some((7, seals[5].hash)));
    // The run began the day before and is there whole.
    assert_eq!(sheet.runs.runs.len(), 1);
    assert_eq!(sheet.runs.runs[0].minutes, Some(360.0));
    let before = day::in_book(pen.book(), h(-48.0), h(-24.0)).unwrap();
    assert_eq!((before.seal, before.written), (None, None));
}

/// One entry of some kind; `of` names an entry of before, by chance one that it fits.
fn body(what: u8, name: u8, day: Option<u8>, of: u64) -> Body {
    use Outcome::{CannotTell, Fails, Passes};
    let (cylinder, person) = (format!("C{}", name % 4), format!("P{}", name % 3));
    let day = day.map(|day| format!("2026-05-{day}"));
    let from = of.is_multiple_of(3).then_some(cylinder.as_str());
    match what {
        0..4 => start(of.is_multiple_of(2).then_some(of as f64)),
        4..8 => stop((of % 2 == 1).then_some(of as f64)),
        8..14 => fill(&cylinder, &person),
        14 => from_bank(&cylinder, "C1"),
        15 => Body::Fill(Fill {
            cylinder,
            took: Some(Measure::parse("40 min").unwrap()),
            ..Fill::default()
        }),
        16 | 17 => test_of(Passes, day.as_deref(), from),
        18 => test_of(Fails, day.as_deref(), from),
        19 => test_of(CannotTell, day.as_deref(), None),
        20 => symptom(from),
        21 => cause(of),
        22 => released(of, &[&cylinder]),
        23 => released(of, &[]),
        24 => cartridge(),
        25 => registered(&cylinder),
        26 => inspected(&cylinder, Check::Visual, "2026-05", name.is_multiple_of(2)),
        _ => withdraw(of),
    }
}

fn any_book() -> impl Strategy<Value = Vec<Draft>> {
    let day = prop::option::of(20u8..32);
    let one = (0u8..20, 0u8..30, 0u8..12, day, any::<u64>());
    prop::collection::vec(one, 1..60).prop_map(|told| {
        let (mut at, mut seq, mut corrections) = (0.0, 1, Vec::new());
        let mut drafts = Vec::new();
        for (later, what, name, day, of) in told {
            let of = 1 + of % seq;
            let mut body = body(what, name, day, of);
            if corrections.contains(&of) && matches!(body, Body::Correction(_)) {
                body = note("nothing to correct").into();
            }
            at += f64::from(later) / 4.0;
            seq += 1;
            if matches!(body, Body::Correction(_)) {
                corrections.push(seq);
            }
            drafts.push(written(h(at), body));
        }
        drafts
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    /// What is read of a book for an answer is enough: the same comes of all its events.
    #[test]
    fn a_book_answers_as_all_its_events_do(drafts in any_book(), cut in 0u8..100) {
        let path = folder("as_all_its_events").join("club.book");
        let mut pen = Pen::begin(&path, "a test", &first()).unwrap();
        pen.append_all(&drafts).unwrap();
        let (book, events) = (pen.book(), all_events(pen.book()));
        let now = h(400.0);
        for at in [None, Some(h(f64::from(cut)))] {
            let quarantine = quarantine::of(&events, at, &earliest);
            prop_assert_eq!(&locks::in_book(book, at, &earliest).unwrap(), &locks::of(&events, at, &earliest));
            prop_assert_eq!(&quarantine::in_book(book, at, &earliest).unwrap(), &quarantine);
            prop_assert_eq!(parts::in_book(book, at).unwrap(), parts::of(&events, at));
            prop_assert_eq!(station::rules_in_force(book, at).unwrap(), station::rules_of(&events, at));
            let mut all = register::all_of(&events, at);
            for record in &mut all {
                record.held = quarantine.holds(&record.cylinder);
                let one = register::in_book(book, &record.cylinder, at, &earliest).unwrap();
                prop_assert_eq!(&one, &*record);
            }
            prop_assert_eq!(register::all_in_book(book, at, &earliest).unwrap(), all);
        }
        prop_assert_eq!(hours::in_book(book, now).unwrap(), hours::of(&events, now));
        let runs = runs::of(&events, now);
        prop_assert_eq!(&runs::in_book(book, None, now).unwrap(), &runs);
        // Part of a book: the runs that touch it, as in the whole.
        let from = h(f64::from(cut));
        let touching = |run: &&runs::Run| run.stopped.as_ref().is_none_or(|s| s.happened >= from);
        let late = runs::in_book(book, Some(from), now).unwrap();
        let whole: Vec<_> = runs.runs.iter().filter(touching).filter(|r| r.started.happened >= from).collect();
        let part: Vec<_> = late.runs.iter().filter(|r| r.started.happened >= from).collect();
        prop_assert_eq!(part.len(), whole.len());
        let (from, until) = (Some(from), Some(h(f64::from(cut) + 30.0)));
        let bounds = (from.map(Bound::At), until.map(Bound::At));
        let of_book = trace::between_in_book(book, bounds.0, bounds.1, &earliest).unwrap();
        let of_all = trace::between(&events, from, until, &earliest);
        prop_assert_eq!(&of_book.fills, &of_all.fills);
        prop_assert_eq!(&of_book.passed_on, &of_all.passed_on);
        prop_assert_eq!(&of_book.cartridges, &of_all.cartridges);
        prop_assert_eq!(&of_book.tests, &of_all.tests);
        for subject in [Subject::Cylinder("C2".into()), Subject::Person("P1".into())] {
            let of_book = trace::back_in_book(book, &subject, &earliest).unwrap();
            let of_all = trace::back(&events, &subject, &earliest);
            prop_assert_eq!(of_book.origins.len(), of_all.origins.len());
            for (a, b) in of_book.origins.iter().zip(&of_all.origins) {
                prop_assert_eq!(&a.fill, &b.fill);
                prop_assert_eq!(&a.through, &b.through);
                prop_assert_eq!(&a.cartridge, &b.cartridge);
                prop_assert_eq!((&a.test_before, &a.test_after), (&b.test_before, &b.test_after));
            }
        }
    }
}
