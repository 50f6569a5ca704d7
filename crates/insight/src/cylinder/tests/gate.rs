//! The fill gate: what is refused, with which way forward, and what always holds.

use super::*;
use proptest::prelude::*;

const BOATHOUSE: &str = include_str!("../../../../../stations/boathouse.toml");
const ENGINE_HOUSE: &str = include_str!("../../../../../stations/engine-house.toml");

fn at_station(text: &str, id: &str, used_for: Use, by: &str, today: &str) -> FillAnswer {
    let station = station::read(text).station.unwrap();
    let facts = CylinderFacts::of(&station, id, used_for, day(today));
    may_fill(&facts, rule(by), day(today), &FillLine::of(&station))
}

/// The boathouse's cylinders under UK practice: dates as in the file, intervals 60 and 30 months.
#[test]
fn the_boathouse_cylinders() {
    let ask = |id, today| at_station(BOATHOUSE, id, Use::Diving, "uk", today);
    let a1 = ask("A1", "2026-06-01");
    assert_eq!(
        a1.verdict,
        "No reason found to stop: fill to 232 bar (3365 psi), settled at 15 °C; in date until \
         2028-04-02"
    );
    // tested 2021-06-01, visual 2024-02-20: until the test
    assert_eq!(until(&ask("A3", "2026-05-01")), "2026-06-01");
    let late = ask("A3", "2026-06-02");
    assert!(!late.may);
    assert_eq!(
        late.verdict,
        "Do not fill it: test: last 2021-06-01, every 60 months, due 2026-06-01"
    );
    assert!(!late.refusals[0].may_be_overridden);
    assert!(
        late.refusals[0]
            .way_forward
            .starts_with("Have it done by a test house")
    );
    let strange = ask("Z9", "2026-06-01");
    assert_eq!(ids(&strange), ["unknown"]);
    assert_eq!(strange.to, None);
}

/// Fire-brigade cylinders by 49 CFR: five years, fifteen years of life, no plus for aluminium,
/// and 2216 psi on a line of 4500.
#[test]
fn the_engine_house_cylinders() {
    let ask = |id| at_station(ENGINE_HOUSE, id, Use::Rescue, "us", "2026-03-01");
    let good = ask("E2-01");
    assert!(good.may, "{}", good.verdict);
    assert_eq!(
        (to(&good), until(&good).as_str()),
        ("4500 psi", "2030-08-12")
    );
    assert_eq!(until(&ask("R2-07")), "2027-03-15");
    let spare = ask("SPARE");
    assert_eq!(ids(&spare), ["unprotected"]);
    assert!(spare.refusals[0].may_be_overridden);
    assert!(says(&spare, "plus mark is ignored"));
    assert_eq!(to(&spare), "2216 psi");
    // 49 CFR 173.301a(d): 5/4 of the fill at 131 °F
    let hot = good.hot.unwrap();
    assert!(
        (hot.limit_psi - 5625.0).abs() < 0.1 && hot.psi < hot.limit_psi,
        "{hot:?}"
    );
}

fn on(line: FillLine) -> FillAnswer {
    may_fill(&steel("2024-03"), rule("uk"), day("2024-06-01"), &line)
}

#[test]
fn the_line_counts() {
    let asked = |text| FillLine {
        asked: Some(pressure(text).value),
        ..FillLine::default()
    };
    assert!(on(asked("232 bar")).may);
    let above = on(asked("250 bar"));
    assert_eq!(ids(&above), ["above-rating"]);
    assert_eq!(
        above.refusals[0].what,
        "250 bar (3626 psi) is above what it may hold, 232 bar (3365 psi)"
    );
    let mixed = FillLine {
        others: vec![("B".into(), pressure("300 bar"))],
        ..FillLine::default()
    };
    assert_eq!(ids(&on(mixed)), ["mixed-ratings"]);
    // 3365 psi is 232 bar: one rating in two units
    let same = FillLine {
        others: vec![("B".into(), pressure("3365 psi"))],
        ..FillLine::default()
    };
    assert!(on(same).may);
    let high = |protected_at: Option<&str>| FillLine {
        supply: Some(pressure("330 bar").value),
        protected_at: protected_at.map(|text| pressure(text).value),
        ..FillLine::default()
    };
    assert_eq!(ids(&on(high(None))), ["unprotected"]);
    assert_eq!(ids(&on(high(Some("300 bar")))), ["unprotected"]);
    assert!(on(high(Some("250 bar"))).may);
}

#[test]
fn what_is_not_known_is_refused() {
    let refused = |change: &dyn Fn(&mut CylinderFacts), id: &str| {
        let mut facts = steel("2024-03");
        change(&mut facts);
        let answer = ask(&facts, "uk", "2024-06-01");
        assert!(ids(&answer).contains(&id), "{id}: {}", answer.verdict);
        assert!(answer.refusals.iter().all(|r| !r.way_forward.is_empty()));
    };
    refused(&|f| f.rated = None, "rating-unknown");
    refused(&|f| f.tested = None, "date-unknown");
    refused(&|f| f.condemned = Some("dropped".into()), "condemned");
    refused(&|f| f.tested = Some(when("2025-03")), "dates-contradict");
    refused(&|f| f.made = Some(when("2024-05")), "dates-contradict");
    refused(
        &|f| f.implausible.push("two ratings".into()),
        "stamp-implausible",
    );
}

/// A stamp that contradicts the file blocks; which of them is right is not guessed.
#[test]
fn file_and_stamp_must_agree() {
    let a1 = "serial = \"AN-0101\"";
    let with = |stamp: &str| BOATHOUSE.replace(a1, &format!("{a1}\nstamp = \"{stamp}\""));
    let ask = |text: &str| at_station(text, "A1", Use::Diving, "uk", "2025-11-01");
    assert!(ask(&with("PW 232 BAR PT 348 BAR 2019/04 2024/04")).may);
    let other = ask(&with("PW 200 BAR 2024/04"));
    assert_eq!(ids(&other), ["stamp-implausible"]);
    assert_eq!(
        other.refusals[0].what,
        "the file rates it 232 bar (3365 psi), its stamp 200 bar (2901 psi)"
    );
    let metal = ask(&with("PW 232 BAR ISO7866 2024/04"));
    assert_eq!(
        metal.refusals[0].what,
        "the file says steel, its stamp aluminium"
    );
}

/// In its last month it may be filled, and that is said (common practice, no source).
#[test]
fn the_last_month_is_said() {
    let facts = steel("2021-03");
    let mut facts = CylinderFacts {
        visual: Some(when("2024-05")),
        ..facts
    };
    let answer = ask(&facts, "uk", "2026-03-20");
    assert!(
        answer.may && says(&answer, "due this month"),
        "{}",
        answer.verdict
    );
    facts.visual = Some(when("2025-05"));
    assert!(!says(&ask(&facts, "uk", "2026-02-20"), "due this month"));
}

fn anything() -> impl Strategy<Value = CylinderFacts> {
    let month = (1995u16..2026, 1u8..=12).prop_map(|(y, m)| When::month(y, m));
    let some = move || proptest::option::of(month.clone()).prop_map(Option::flatten);
    let dates = (some(), some(), some(), some());
    let spec = prop_oneof![
        Just(None),
        Just(Some("3AA")),
        Just(Some("3AL")),
        Just(Some("3HT"))
    ];
    (dates, spec, 0u8..3, any::<Option<bool>>(), any::<bool>()).prop_map(
        |((made, tested, visual, eddy_current), spec, material, plus, star)| CylinderFacts {
            id: "any".into(),
            rated: Some(pressure("2400 psi")),
            material: [Material::Steel, Material::Aluminium, Material::Composite]
                .get(usize::from(material))
                .copied(),
            specification: spec.map(str::to_owned),
            made,
            tested,
            visual,
            eddy_current,
            plus,
            star,
            ..CylinderFacts::default()
        },
    )
}

proptest! {
    /// Waiting never makes a cylinder fit to fill, past the last date on record; and what may be
    /// filled is in date, never above its rating but by the plus mark.
    #[test]
    fn waiting_never_helps(facts in anything(), which in 0usize..10, year in 2026u16..2040) {
        let rule = &known_rules()[which];
        let at = |year| may_fill(&facts, rule, Date::new(year, 1, 15).unwrap(), &FillLine::default());
        let (now, later) = (at(year), at(year + 1));
        prop_assert!(now.may || !later.may, "{}", now.verdict);
        prop_assert_eq!(now.may, now.refusals.is_empty());
        if now.may {
            prop_assert!(now.until.is_some_and(|u| u.last_day() >= Date::new(year, 1, 15).unwrap()));
        }
        let to = now.to.unwrap().psi;
        prop_assert!(to <= 2640.0 + 1e-6);
        if to > 2401.0 {
            prop_assert!(rule.id == "us" && facts.plus == Some(true));
        }
        for refusal in &now.refusals {
            prop_assert!(!refusal.what.is_empty() && !refusal.way_forward.is_empty());
            prop_assert!(!refusal.source.is_empty() && !refusal.certainty.is_empty());
        }
    }

    /// The same rating in another unit gives the same answer.
    #[test]
    fn units_do_not_matter(bar in 150.0..310.0f64, asked in 100.0..400.0f64) {
        let line = FillLine { asked: Some(GaugePressure::bar(asked)), ..FillLine::default() };
        let rated = |text: String| {
            let facts = CylinderFacts { rated: Some(pressure(&text)), ..steel("2024-03") };
            may_fill(&facts, rule("uk"), day("2024-06-01"), &line)
        };
        let metric = rated(format!("{bar} bar"));
        let us = rated(format!("{} psi", GaugePressure::bar(bar).as_psi()));
        prop_assert_eq!(ids(&metric), ids(&us));
        prop_assert_eq!(metric.until, us.until);
    }
}
