//! The register, fills, parts, prices, station and rules, worked out by hand.

use book::answer::{fills, parts, register, station};
use book::body::{
    AirTest, Body, Check, CylinderCondemned, CylinderLeft, FillRefused, Gate, IntervalSet,
    Overridden, Part, PartReplaced, PartTested, PriceSet, Priced, RulesChosen, StationRevised,
    Valve, ValveSet,
};
use book::body::{Fill, Outcome};

use crate::answers::{air_test, d, fill, history, inspected, registered};

#[test]
fn a_record_gathers_what_is_known() {
    let events = history(vec![
        (d(0.0), inspected("A", Check::Visual, "2024-05", true)), // 1: before it came
        (d(1.0), registered("A")),                                // 2
        (d(2.0), inspected("A", Check::Visual, "2026-05-20", true)), // 3
        (d(3.0), inspected("A", Check::Visual, "2025-05-18", true)), // 4: entered late
        (d(4.0), inspected("A", Check::Test, "2023-02", true)),   // 5
        (d(5.0), fill("A", "Anna")),                              // 6
        (d(6.0), fill("A", "Ben")),                               // 7
        (d(7.0), fill("B", "Ben")),                               // 8
    ]);
    let record = register::of("A", &events, None);
    assert_eq!(record.registered.as_ref().unwrap().seq, 2);
    assert_eq!(record.days(Check::Visual), ["2025-05-18", "2026-05-20"]);
    assert_eq!(record.last_passed(Check::Visual).unwrap().seq, 3);
    assert_eq!(record.last_passed(Check::Test).unwrap().seq, 5);
    assert!(record.last_passed(Check::EddyCurrent).is_none());
    assert_eq!(record.last_fill.as_ref().unwrap().seq, 7);
    assert!(record.condemned.is_none() && record.left.is_none() && record.failed.is_empty());
    let early = register::of("A", &events, Some(d(5.5)));
    assert_eq!(early.last_fill.unwrap().seq, 6);
    let all = register::all_of(&events, None);
    assert_eq!(all.len(), 2);
    assert!(all[1].registered.is_none());
    assert_eq!(all[0], record);
}

#[test]
fn a_failed_examination_stands_until_the_same_one_passes_later() {
    let mut told = vec![
        (d(0.0), registered("A")),
        (d(1.0), inspected("A", Check::Visual, "2026-05-21", false)), // 2
        (d(2.0), inspected("A", Check::Test, "2026-05-22", true)),    // another check
        (d(3.0), inspected("A", Check::Visual, "2025-05-20", true)),  // an older certificate
        (d(4.0), registered("A")), // written anew: the failure stays
    ];
    let failed = register::of("A", &history(told.clone()), None).failed;
    assert_eq!(failed.iter().map(|f| f.seq).collect::<Vec<_>>(), [2]);
    told.push((d(5.0), inspected("A", Check::Visual, "2026-05-25", true)));
    assert_eq!(register::of("A", &history(told), None).failed, []);
}

/// An older certificate that failed, entered after a newer one that passed: somebody has to look.
#[test]
fn a_failure_entered_late_stands() {
    let events = history(vec![
        (d(0.0), registered("A")),
        (d(1.0), inspected("A", Check::Visual, "2026-05-21", true)),
        (d(2.0), inspected("A", Check::Visual, "2026-05-20", false)),
    ]);
    assert_eq!(register::of("A", &events, None).failed[0].seq, 3);
}

#[test]
fn condemned_is_for_good_and_gone_is_until_it_comes_back() {
    let condemned = CylinderCondemned {
        cylinder: "A".into(),
        why: "crack in the neck".into(),
    };
    let left = CylinderLeft {
        cylinder: "A".into(),
        why: "sold".into(),
    };
    let mut told = vec![
        (d(0.0), registered("A")),
        (d(1.0), condemned.into()),
        (d(2.0), left.into()),
    ];
    assert_eq!(
        register::of("A", &history(told.clone()), None)
            .left
            .unwrap()
            .seq,
        3
    );
    told.push((d(3.0), registered("A")));
    let record = register::of("A", &history(told), None);
    assert!(record.left.is_none());
    assert_eq!(record.condemned.unwrap().body.why, "crack in the neck");
}

#[test]
fn fills_are_counted_by_person_and_cylinder() {
    let gate = Gate {
        rule: "an invented rule".into(),
        at_most: None,
        with: Vec::new(),
        protected_at: None,
        verdict: "refused".into(),
        overridden: vec![Overridden {
            refusal: "overdue".into(),
            by: "MK".into(),
            reason: "rescue".into(),
        }],
        against: Vec::new(),
    };
    let answered = Fill {
        cylinder: "B".into(),
        gate: Some(gate),
        ..Fill::default()
    };
    let refused = FillRefused {
        cylinder: "A".into(),
        person: Some("Ben".into()),
        ..FillRefused::default()
    };
    let events = history(vec![
        (d(0.0), fill("A", "Anna")),
        (d(1.0), fill("A", "Ben")),
        (d(2.0), answered.into()),
        (d(3.0), refused.into()),
    ]);
    let all = fills::of(&events, &fills::Asked::default());
    let told: Vec<_> = all
        .by_person
        .iter()
        .map(|c| (c.name.as_deref(), c.fills, c.refusals))
        .collect();
    assert_eq!(
        told,
        [(None, 1, 0), (Some("Anna"), 1, 0), (Some("Ben"), 1, 1)]
    );
    let told: Vec<_> = all
        .by_cylinder
        .iter()
        .map(|c| (c.name.as_deref(), c.fills, c.refusals))
        .collect();
    assert_eq!(told, [(Some("A"), 2, 1), (Some("B"), 1, 0)]);
    assert_eq!(all.overridden, 1);
    let asked = fills::Asked {
        from: Some(d(1.0)),
        until: Some(d(3.0)),
        person: Some("Ben"),
        cylinder: Some("A"),
    };
    let some = fills::of(&events, &asked);
    assert_eq!((some.fills.len(), some.refusals.len()), (1, 0));
    assert_eq!(some.fills[0].seq, 2);
}

fn replaced(part: Part, which: Option<&str>) -> Body {
    Body::PartReplaced(PartReplaced {
        part,
        hours: None,
        which: which.map(str::to_owned),
        detail: None,
        by: None,
    })
}

fn tested(part: Part, passed: bool) -> Body {
    Body::PartTested(PartTested {
        part,
        passed,
        measured: None,
        which: None,
        by: None,
        remark: None,
    })
}

fn interval(part: Part, months: Option<u32>) -> Body {
    Body::IntervalSet(IntervalSet {
        part,
        hours: None,
        months,
        free_air: None,
        source: "the maker's manual".into(),
    })
}

#[test]
fn parts_and_prices_as_they_stand() {
    let set = ValveSet {
        valve: Valve::Pmv,
        before: None,
        after: None,
        turns: None,
        set_by: "MK".into(),
        manual: None,
    };
    let price = |amount: f64| {
        Body::PriceSet(PriceSet {
            of: Priced::Cartridge,
            amount,
            currency: "EUR".into(),
        })
    };
    let events = history(vec![
        (d(0.0), replaced(Part::Hose, Some("left"))),  // 1
        (d(1.0), replaced(Part::Hose, Some("right"))), // 2
        (d(2.0), tested(Part::Relief, true)),          // 3
        (d(3.0), tested(Part::Relief, false)),         // 4
        (d(4.0), set.into()),                          // 5
        (d(5.0), interval(Part::Oil, Some(12))),       // 6
        (d(6.0), interval(Part::Hose, Some(60))),      // 7
        (d(7.0), interval(Part::Hose, None)),          // 8: taken away
        (d(8.0), price(60.0)),                         // 9
        (d(9.0), price(65.0)),                         // 10
        (d(10.0), air_test(Outcome::Passes, None)),    // 11
    ]);
    let all = parts::of(&events, None);
    let hose = all.part(Part::Hose).unwrap();
    assert_eq!(hose.replaced.as_ref().unwrap().seq, 2);
    let each: Vec<_> = hose
        .each
        .iter()
        .map(|e| e.replaced.as_ref().unwrap().seq)
        .collect();
    assert_eq!(each, [1, 2]);
    assert!(hose.interval.is_none());
    let relief = all.part(Part::Relief).unwrap();
    assert_eq!(relief.tested.as_ref().unwrap().seq, 4);
    assert_eq!(relief.passed.as_ref().unwrap().seq, 3);
    assert_eq!(all.part(Part::Pmv).unwrap().set.as_ref().unwrap().seq, 5);
    assert_eq!(
        all.part(Part::Oil).unwrap().interval.as_ref().unwrap().seq,
        6
    );
    assert_eq!(all.price(Priced::Cartridge).unwrap().body.amount, 65.0);
    assert!(all.price(Priced::KilowattHour).is_none());
    let air = all.part(Part::AirSample).unwrap();
    let test: &AirTest = &air.air_test.as_ref().unwrap().body;
    assert_eq!(test.outcome, Outcome::Passes);
    let then = parts::of(&events, Some(d(6.5)));
    assert_eq!(
        then.part(Part::Hose)
            .unwrap()
            .interval
            .as_ref()
            .unwrap()
            .seq,
        7
    );
    assert!(then.prices.is_empty());
}

#[test]
fn station_and_rules_in_force() {
    let station = |file: &str| {
        Body::StationRevised(StationRevised {
            name: "Invented slipway".into(),
            file: file.into(),
            why: None,
        })
    };
    let chosen = |cylinder: Option<&str>, air: Option<&str>| {
        Body::RulesChosen(RulesChosen {
            cylinder_rule: cylinder.map(str::to_owned),
            air_standard: air.map(str::to_owned),
        })
    };
    let events = history(vec![
        (d(0.0), station("one")),
        (d(1.0), chosen(Some("rule"), Some("air"))),
        (d(2.0), station("two")),
        (d(3.0), chosen(None, Some("other air"))),
    ]);
    assert_eq!(station::of(&events, Some(d(1.0))).text(), Some("one"));
    assert_eq!(station::of(&events, None).text(), Some("two"));
    let rules = station::rules_of(&events, None);
    let cylinder = rules.cylinder_rule.unwrap();
    assert_eq!((cylinder.name.as_str(), cylinder.seq), ("rule", 2));
    assert_eq!(rules.air_standard.unwrap().name, "other air");
    assert_eq!(
        station::rules_of(&events, Some(d(0.5))),
        station::Rules::default()
    );
}
