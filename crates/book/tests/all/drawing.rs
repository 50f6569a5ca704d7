//! Whatever is entered, in whatever order: what was drawn entry by entry is what is drawn anew.

use std::path::Path;
use std::sync::atomic::{AtomicU32, Ordering};

use book::body::{
    AirTest, Becomes, CauseRecorded, Check, CheckKept, Correction, CylinderCondemned,
    CylinderInspected, CylinderLeft, CylinderRegistered, Drained, FillRefused, IntervalSet,
    Outcome, Packed, Parked, Part, PartReplaced, PartTested, PriceSet, Priced, Reading, Released,
    RulesChosen, RunStarted, RunStopped, StationRevised, SymptomReported, Valve, ValveSet,
};
use book::{Amount, Body, Book, Event, Kind, Measure, Pen, Subject, Wanted};
use proptest::prelude::*;
use rusqlite::Connection;

use crate::common::{begun, draft, fill, first, folder, note, proved};

/// One body of each kind but corrections; `n` makes them differ.
fn body(kind: usize, n: u8) -> Body {
    let cylinder = format!("C{}", n % 4);
    let person = Some(format!("member {}", n % 3));
    let text = format!("text {n}");
    match kind {
        0 => first().body,
        1 => StationRevised {
            name: text.clone(),
            file: text,
            why: None,
        }
        .into(),
        2 => RulesChosen {
            cylinder_rule: Some(text),
            air_standard: None,
        }
        .into(),
        3 => IntervalSet {
            part: Part::Oil,
            hours: None,
            months: Some(u32::from(n)),
            free_air: None,
            source: text,
        }
        .into(),
        4 => PriceSet {
            of: Priced::Cartridge,
            amount: f64::from(n) + 0.1,
            currency: "EUR".into(),
        }
        .into(),
        5 => CylinderRegistered {
            cylinder,
            owner: person,
            ..CylinderRegistered::default()
        }
        .into(),
        6 => CylinderInspected {
            cylinder,
            check: Check::Visual,
            on: "2026-05".into(),
            passed: true,
            by: None,
            plus: None,
            remark: None,
        }
        .into(),
        7 => CylinderCondemned {
            cylinder,
            why: text,
        }
        .into(),
        8 => CylinderLeft {
            cylinder,
            why: text,
        }
        .into(),
        9 => RunStarted {
            checked: vec![text],
            ..RunStarted::default()
        }
        .into(),
        10 => RunStopped {
            why: Some(text),
            ..RunStopped::default()
        }
        .into(),
        11 => Reading {
            of: text,
            value: Some(Amount::parse("210 bar").unwrap()),
            observed: None,
        }
        .into(),
        12 => Drained {
            looks: Some(text),
            ..Drained::default()
        }
        .into(),
        13 => fill(&cylinder, "232 bar").into(),
        14 => FillRefused {
            cylinder,
            person,
            ..FillRefused::default()
        }
        .into(),
        15 => ValveSet {
            valve: Valve::Pmv,
            before: None,
            after: None,
            turns: Some(0.25),
            set_by: text,
            manual: None,
        }
        .into(),
        16 => PartReplaced {
            part: Part::Cartridge,
            hours: None,
            which: None,
            detail: Some(text),
            by: None,
        }
        .into(),
        17 => PartTested {
            part: Part::Gauge,
            passed: n.is_multiple_of(2),
            measured: None,
            which: None,
            by: None,
            remark: None,
        }
        .into(),
        18 => AirTest {
            sampled: None,
            standard: "of our own".into(),
            outcome: Outcome::CannotTell,
            sentence: text,
            laboratory: None,
            cylinder: Some(cylinder),
            results: "[]".into(),
        }
        .into(),
        19 => Parked {
            done: vec![text],
            ..Parked::default()
        }
        .into(),
        20 => SymptomReported {
            what: text,
            person,
            cylinder: Some(cylinder),
        }
        .into(),
        21 => CauseRecorded {
            of: u64::from(n),
            cause: text.clone(),
            done: text,
        }
        .into(),
        // The same one twice, as a slip of the hand.
        22 => Released {
            of: 1,
            cylinders: vec![cylinder.clone(), "C1".into(), cylinder],
            why: text,
        }
        .into(),
        23 => CheckKept {
            says: text,
            run: Some(u64::from(n)),
            pmv_opens: Some(Measure::parse("98 bar").unwrap()),
            ..CheckKept::default()
        }
        .into(),
        _ => note(&text).into(),
    }
}

const KINDS: usize = 25;

#[test]
fn every_kind_is_tried() {
    let mut kinds: Vec<Kind> = (0..KINDS).map(|kind| body(kind, 1).kind()).collect();
    kinds.push(Kind::Correction);
    assert!(Kind::ALL.iter().all(|kind| kinds.contains(kind)));
}

#[derive(Clone, Debug)]
enum Step {
    Enter(usize, u8, i64),
    Correct {
        of: usize,
        n: u8,
        moved: Option<i64>,
    },
    Withdraw {
        of: usize,
    },
}

fn steps() -> impl Strategy<Value = Vec<Vec<Step>>> {
    let enter =
        (0..KINDS, any::<u8>(), -90_000_i64..90_000).prop_map(|(k, n, t)| Step::Enter(k, n, t));
    let correct = (
        any::<usize>(),
        any::<u8>(),
        proptest::option::of(-500_000_i64..500_000),
    )
        .prop_map(|(of, n, moved)| Step::Correct { of, n, moved });
    let withdraw = any::<usize>().prop_map(|of| Step::Withdraw { of });
    let step = prop_oneof![4 => enter, 3 => correct, 1 => withdraw];
    proptest::collection::vec(proptest::collection::vec(step, 1..6), 1..9)
}

/// Enters it all, batch by batch. Corrections name an entry that is there and may be corrected.
fn enter(pen: &mut Pen, batches: &[Vec<Step>]) -> Vec<Body> {
    let mut told = vec![first().body];
    let mut seconds = 0;
    for batch in batches {
        let mut drafts = Vec::new();
        for step in batch {
            let real: Vec<usize> = (0..told.len())
                .filter(|&n| told[n].kind() != Kind::Correction)
                .collect();
            let body = match *step {
                Step::Enter(kind, n, moved) => {
                    seconds += moved;
                    body(kind, n)
                }
                Step::Correct { of, n, moved } => {
                    let of = real[of % real.len()];
                    let kind = (0..KINDS)
                        .find(|&k| body(k, 0).kind() == told[of].kind())
                        .unwrap();
                    let entry = Packed::of(&body(kind, n)).unwrap();
                    let becomes = Some(Becomes {
                        happened: moved,
                        entry,
                    });
                    Correction {
                        of: of as u64 + 1,
                        why: "misread".into(),
                        becomes,
                    }
                    .into()
                }
                Step::Withdraw { of } => {
                    let of = real[of % real.len()] as u64 + 1;
                    Correction {
                        of,
                        why: "twice".into(),
                        becomes: None,
                    }
                    .into()
                }
            };
            told.push(body.clone());
            drafts.push(draft(seconds, body));
        }
        pen.append_all(&drafts).unwrap();
    }
    told
}

/// Every row of the drawn tables.
fn rows(path: &Path) -> Vec<String> {
    let conn = Connection::open(path).unwrap();
    let mut all = Vec::new();
    for select in [
        "SELECT 'event', json_array(seq, carrier, happened, kind, withdrawn) FROM event ORDER BY seq",
        "SELECT 'about', json_array(subject, name, happened, seq) FROM about ORDER BY 2",
    ] {
        let mut statement = conn.prepare(select).unwrap();
        let read = statement.query_map([], |row| {
            Ok(format!(
                "{} {}",
                row.get::<_, String>(0)?,
                row.get::<_, String>(1)?
            ))
        });
        all.extend(read.unwrap().map(Result::unwrap));
    }
    all
}

/// Every event is found under everybody it is about, and under nobody else.
fn found_again(book: &Book, events: &[Event]) {
    for (name, subject) in [
        ("C1", Subject::Cylinder as fn(String) -> Subject),
        ("C2", Subject::Cylinder),
        ("member 1", Subject::Person),
        ("oil", Subject::Part),
    ] {
        let subject = subject(name.into());
        let wanted = Wanted {
            about: Some(&subject),
            withdrawn: true,
            ..Wanted::default()
        };
        let found: Vec<u64> = book
            .events(&wanted)
            .unwrap()
            .iter()
            .map(|e| e.seq)
            .collect();
        let expected: Vec<u64> = events
            .iter()
            .filter(|e| e.body.as_ref().unwrap().subjects().contains(&subject))
            .map(|e| e.seq)
            .collect();
        assert_eq!(found, expected, "{subject:?}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    #[test]
    fn drawn_entry_by_entry_is_drawn_anew(batches in steps()) {
        static CASE: AtomicU32 = AtomicU32::new(0);
        let name = format!("drawing/{}", CASE.fetch_add(1, Ordering::Relaxed) % 4);
        let (path, mut pen) = begun(&name);
        let told = enter(&mut pen, &batches);
        let before = rows(&path);
        let report = proved(&path);
        prop_assert!(report.is_whole(), "{:?}", report.problems);
        pen.redraw().unwrap();
        prop_assert_eq!(rows(&path), before);
        let mut read = Vec::new();
        pen.book().each_entry(1, |entry| { read.push(entry.body().unwrap()); true }).unwrap();
        prop_assert_eq!(&read, &told);
        let all = Wanted { withdrawn: true, ..Wanted::default() };
        let events = pen.book().events(&all).unwrap();
        prop_assert!(events.is_sorted_by_key(|e| (e.happened, e.seq)));
        found_again(pen.book(), &events);
    }
}

#[test]
fn a_correction_of_nothing_from_elsewhere_does_not_stop_the_drawing() {
    let path = folder("correction_from_elsewhere").join("club.book");
    let mut pen = Pen::begin(&path, "a test", &first()).unwrap();
    pen.append(&draft(5, note("a"))).unwrap();
    drop(pen);
    let conn = Connection::open(&path).unwrap();
    let mut last = crate::common::entries(&path).pop().unwrap();
    for of in [0, 3, 77] {
        last = book::Entry {
            seq: last.seq + 1,
            kind: "correction".into(),
            text: format!(r#"{{"of":{of},"why":"x","becomes":null}}"#),
            prev: last.hash,
            ..last
        };
        last.hash = last.computed_hash();
        conn.execute(
            "INSERT INTO entry VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10)",
            rusqlite::params![
                last.seq,
                last.recorded.0,
                last.happened.0,
                last.zone,
                last.author,
                last.kind,
                last.version,
                last.text,
                last.prev.0,
                last.hash.0
            ],
        )
        .unwrap();
    }
    drop(conn);
    Pen::open(&path, "a test").unwrap().redraw().unwrap();
    let report = proved(&path);
    assert!(report.is_whole(), "{:?}", report.problems);
    assert_eq!(
        Book::open(&path)
            .unwrap()
            .events(&Wanted::default())
            .unwrap()
            .len(),
        2
    );
}
