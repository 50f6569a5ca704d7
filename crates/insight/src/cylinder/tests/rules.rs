//! The date and rule cases: intervals of each country, plus mark, star, alloy, life.

use super::*;

/// 49 CFR 180.209 Table 1: 3AA every five years. 180.209(b): the star is never for
/// underwater breathing.
#[test]
fn us_steel_is_due_after_five_years_star_or_not() {
    for stamp in ["3AA2400 03-21", "3AA2400 03-21*"] {
        let facts = stamped(stamp, "2025-01-01");
        let answer = ask(&facts, "us", "2025-01-01");
        assert!(answer.may, "{}", answer.verdict);
        assert_eq!(
            (until(&answer).as_str(), to(&answer)),
            ("2026-03", "2400 psi")
        );
        assert_eq!(says(&answer, "star"), facts.star);
        assert!(ask(&facts, "us", "2026-03-31").may);
        assert_eq!(ids(&ask(&facts, "us", "2026-04-01")), ["overdue"]);
    }
    // dry gas, apart and hammer-tested, not for diving: ten years (from memory)
    let mut facts = stamped("3AA2400 03-21*", "2025-01-01");
    facts.used_for = Use::Storage;
    assert_eq!(until(&ask(&facts, "us", "2025-01-01")), "2026-03");
    facts.star_holds = Some(true);
    assert_eq!(until(&ask(&facts, "us", "2025-01-01")), "2031-03");
}

/// 49 CFR 173.302a(b): a tenth more while the mark follows the latest test date,
/// and all its conditions hold.
#[test]
fn plus_counts_after_the_latest_test_only() {
    let mut facts = stamped("3AA2400+ 06^19+", "2023-05-01");
    facts.plus_conditions.disc_fits = Some(true);
    let answer = ask(&facts, "us", "2023-05-01");
    assert!(answer.may, "{}", answer.verdict);
    assert_eq!(
        (to(&answer), until(&answer).as_str()),
        ("2640 psi", "2024-06")
    );
    assert_eq!(ids(&ask(&facts, "us", "2024-07-01")), ["overdue"]);
    let mut retested = stamped("3AA2400+ 06^19+ 05^24", "2025-01-01");
    retested.plus_conditions.disc_fits = Some(true);
    let answer = ask(&retested, "us", "2025-01-01");
    assert_eq!(
        (to(&answer), until(&answer).as_str()),
        ("2400 psi", "2029-05")
    );
}

/// The same rule: each of the five conditions can stop it, and an unconfirmed disc does.
#[test]
fn every_condition_of_the_plus_mark_is_needed() {
    let stamp = "3AA2400+ 06^19+";
    type Change = fn(&mut CylinderFacts);
    let changes: [Change; 6] = [
        |f| f.plus_conditions.disc_fits = None,
        |f| f.plus_conditions.disc_fits = Some(false),
        |f| f.plus_conditions.expansion_measured = Some(false),
        |f| f.plus_conditions.wall_stress_fits = Some(false),
        |f| f.plus_conditions.visual_clean = Some(false),
        |f| f.specification = None,
    ];
    for (i, change) in changes.iter().enumerate() {
        let mut facts = stamped(stamp, "2023-05-01");
        facts.plus_conditions.disc_fits = Some(true);
        change(&mut facts);
        let answer = ask(&facts, "us", "2023-05-01");
        assert_eq!(to(&answer), "2400 psi", "change {i}");
        assert!(says(&answer, "plus mark"), "change {i}");
    }
    // no other country has it
    let mut facts = stamped(stamp, "2023-05-01");
    facts.plus_conditions.disc_fits = Some(true);
    let answer = ask(&facts, "uk", "2023-05-01");
    assert_eq!(to(&answer), "2400 psi");
}

/// 49 CFR 173.302a(b) lists no 3AL. 180.209(m): 6351 needs eddy current within five years too.
#[test]
fn aluminium_has_no_plus_and_6351_needs_its_neck_examined() {
    let mut facts = stamped("3AL3000 04-22+", "2024-01-01");
    facts.plus_conditions.disc_fits = Some(true);
    let answer = ask(&facts, "us", "2024-01-01");
    assert!(answer.may);
    assert_eq!(
        (to(&answer), until(&answer).as_str()),
        ("3000 psi", "2027-04")
    );
    let mut old = stamped("3AL3000 6351 05-87 04-22", "2024-01-01");
    assert_eq!(old.alloy.as_deref(), Some("6351"));
    assert_eq!(ids(&ask(&old, "us", "2024-01-01")), ["date-unknown"]);
    old.eddy_current = Some(when("2020-04"));
    let answer = ask(&old, "us", "2024-01-01");
    assert!(answer.may, "{}", answer.verdict);
    assert_eq!(until(&answer), "2025-04");
    assert_eq!(ids(&ask(&old, "us", "2025-05-01")), ["overdue"]);
    // an unknown alloy of that age may be one; a later one is not (from memory)
    let unknown = stamped("3AL3000 05-87 04-22", "2024-01-01");
    assert_eq!(ids(&ask(&unknown, "us", "2024-01-01")), ["date-unknown"]);
    let later = stamped("3AL3000 05-99 04-22", "2024-01-01");
    assert!(ask(&later, "us", "2024-01-01").may);
    // withdrawn in Australia, 31 October 2017
    let found = ask(&old, "au", "2022-05-01");
    assert_eq!(ids(&found), ["never"], "{}", found.verdict);
}

/// 49 CFR 180.209 Table 1 and 173.302a(b): 3HT every three years, for 24, for aircraft only.
#[test]
fn aircraft_cylinders_stay_in_aircraft() {
    let mut facts = stamped("3HT1850 01-05 01-23", "2024-01-01");
    assert_eq!(ids(&ask(&facts, "us", "2024-01-01")), ["never"]);
    facts.used_for = Use::Aircraft;
    assert_eq!(until(&ask(&facts, "us", "2024-01-01")), "2026-01");
    facts.tested = Some(when("2028-01"));
    assert_eq!(until(&ask(&facts, "us", "2028-06-01")), "2029-01");
    facts.tested = Some(when("2029-01"));
    assert_eq!(ids(&ask(&facts, "us", "2029-02-01")), ["end-of-life"]);
}

/// UK practice: hydraulic 2022-01 and visual 2024-07 in time; a late visual in
/// 2026-01 gives only the 12 months to the hydraulic test of 2027-01.
#[test]
fn a_late_visual_does_not_move_the_hydraulic_test() {
    let mut facts = steel("2022-01");
    assert_eq!(until(&ask(&facts, "uk", "2024-01-01")), "2024-07");
    facts.visual = Some(when("2024-07"));
    assert_eq!(until(&ask(&facts, "uk", "2024-08-01")), "2027-01");
    facts.visual = Some(when("2026-01"));
    let answer = ask(&facts, "uk", "2026-01-20");
    assert!(
        answer.may && until(&answer) == "2027-01",
        "{}",
        answer.verdict
    );
    let visual = answer.checks.iter().find(|c| c.check == "visual").unwrap();
    assert_eq!(visual.due.unwrap().to_string(), "2027-01");
    facts.visual = None;
    assert_eq!(ids(&ask(&facts, "uk", "2025-06-01")), ["overdue"]);
}

/// Order of 20 November 2017, art. 18: two years, six only with every yearly
/// inspection on record; counted from commissioning.
#[test]
fn france_six_years_need_every_yearly_inspection() {
    let mut facts = steel("2020-05");
    assert_eq!(ids(&ask(&facts, "fr", "2023-03-01")), ["overdue"]);
    facts.inspections = ["2021-04", "2022-03", "2023-02"].map(when).to_vec();
    let answer = ask(&facts, "fr", "2023-03-01");
    assert!(answer.may, "{}", answer.verdict);
    assert_eq!(answer.checks[0].due.unwrap().to_string(), "2026-05");
    // as things are, until the next yearly inspection is missed
    assert_eq!(until(&answer), "2024-02");
    assert_eq!(ids(&ask(&facts, "fr", "2024-03-01")), ["overdue"]);
    facts.inspections.remove(1);
    assert_eq!(ids(&ask(&facts, "fr", "2023-03-01")), ["overdue"]);
    let new = CylinderFacts {
        tested: None,
        made: Some(when("2022-01")),
        commissioned: Some(when("2022-09")),
        inspections: Vec::new(),
        ..facts
    };
    let answer = ask(&new, "fr", "2023-03-01");
    assert_eq!(until(&answer), "2024-09");
    assert!(says(&answer, "put into service"));
}

/// DOT special permits: a composite made 2011-05 ends 2026-05 whatever its test,
/// unless a life-extension mark says otherwise.
#[test]
fn composites_end_after_fifteen_years() {
    let mut facts = CylinderFacts {
        id: "C".into(),
        rated: Some(pressure("4500 psi")),
        material: Some(Material::Composite),
        made: Some(when("2011-05")),
        tested: Some(when("2024-03")),
        used_for: Use::Rescue,
        ..CylinderFacts::default()
    };
    let answer = ask(&facts, "us", "2025-01-01");
    assert!(
        answer.may && until(&answer) == "2026-05",
        "{}",
        answer.verdict
    );
    assert_eq!(ids(&ask(&facts, "us", "2026-06-01")), ["end-of-life"]);
    facts.life_ends = Some(when("2031-05"));
    assert_eq!(until(&ask(&facts, "us", "2026-06-01")), "2029-03");
    facts.life_ends = None;
    facts.made = None;
    assert_eq!(ids(&ask(&facts, "us", "2025-01-01")), ["date-unknown"]);
}

/// One row of each rule against its printed interval, tested 2024-03 (see each row's source).
#[test]
fn intervals_of_each_rule() {
    let composite = |f: &mut CylinderFacts| {
        f.material = Some(Material::Composite);
        f.made = Some(when("2022-01"));
    };
    type Change<'a> = &'a dyn Fn(&mut CylinderFacts);
    let nothing: Change = &|_| {};
    let rescue: Change = &|f| f.used_for = Use::Rescue;
    let assessed: Change = &|f| f.risk_assessed = true;
    let frp: Change = &|f| {
        composite(f);
        f.used_for = Use::Rescue;
    };
    let rows = [
        ("us", nothing, "2029-03"), // foreign cylinder
        ("uk", nothing, "2026-09"),
        ("de", nothing, "2026-09"),
        ("fr", nothing, "2026-03"),
        ("fi", nothing, "2034-03"),
        ("ch", nothing, "2026-09"),
        ("nz", nothing, "2025-03"), // visual yearly
        ("nz", rescue, "2029-03"),
        ("nz", frp, "2027-03"),
        ("au", nothing, "2025-03"),
        ("iso", nothing, "2025-03"),
        ("iso", assessed, "2026-09"),
        ("navy", nothing, "2025-03"),
    ];
    for (id, change, due) in rows {
        let mut facts = steel("2024-03");
        change(&mut facts);
        let answer = ask(&facts, id, "2024-06-01");
        assert!(answer.may, "{id}: {}", answer.verdict);
        assert_eq!(until(&answer), due, "{id}");
        assert!(
            answer
                .checks
                .iter()
                .all(|c| !c.source.is_empty() && !c.certainty.is_empty())
        );
    }
}

/// Where a rule is silent nothing is made up.
#[test]
fn a_silent_rule_refuses() {
    let mut facts = steel("2024-03");
    facts.used_for = Use::Rescue;
    for id in ["de", "fr", "fi", "ch", "au", "navy"] {
        assert_eq!(ids(&ask(&facts, id, "2024-06-01")), ["no-rule"], "{id}");
    }
}

#[test]
fn every_row_names_its_source() {
    let text = include_str!("../rules.txt");
    let rules = read_rules(text).unwrap();
    assert_eq!(rules.len(), 10);
    for rule in &rules {
        assert!(rule.title != rule.id, "{}", rule.id);
        assert!(rule_named(&rule.id.to_uppercase()).is_some());
        let says = |check| {
            let every =
                |row: &Row| matches!(row.demand, Demand::Every { check: c, .. } if c == check);
            rule.rows.iter().any(every)
        };
        assert!(says(Check::Test), "{}", rule.id);
        for row in &rule.rows {
            let RuleSource {
                clause,
                certainty,
                seen,
            } = &row.source;
            assert!(
                clause.len() > 3 && certainty.len() > 3 && seen.len() > 3,
                "{row:?}"
            );
        }
    }
}

#[test]
fn an_owner_can_write_a_rule() {
    let text = "# ours\nrule: club\ntitle: Club order\n\
                every: test, 24 months | steel+diving, aluminium | club order 7, 2026 | seen | the board\n\
                every: visual, 6 months | any | club order 7, 2026 | seen | the board\n";
    let rules = read_rules(text).unwrap();
    let answer = may_fill(
        &steel("2024-03"),
        &rules[0],
        day("2024-06-01"),
        &FillLine::default(),
    );
    assert_eq!((answer.may, until(&answer).as_str()), (true, "2024-09"));
    assert_eq!(answer.checks[0].source, "club order 7, 2026");
}

/// Every mistake is found, with its line and its remedy.
#[test]
fn mistakes_in_a_rule_are_all_found() {
    let text = "every: test, 60 months | any | a b c | d e f | g h i\nrule: x\nno colon\n\
                every: test, 60 | any | abc | def | ghi\nevery: test, 60 months | tin | abc | def | ghi\n\
                every: test, 60 months | any | abc\nrule: x\nplus: 1000 % | any | a | b | c\n\
                hot: hot | any | a | b | c\nnote: hello | any | a | | c\nfee: 3 | any | a | b | c\n";
    let errors = read_rules(text).unwrap_err();
    let lines: Vec<usize> = errors.iter().map(|e| e.line).collect();
    assert_eq!(lines, [1, 3, 4, 5, 6, 7, 8, 9, 10, 11]);
    assert_eq!(
        errors[0].to_string(),
        "line 1: `every` stands before any rule. Begin with `rule:` and a short name"
    );
    assert_eq!(
        errors[2].to_string(),
        "line 4: `test, 60` is no interval. Write `test, 60 months`, `visual, 30 months` or \
         `eddy current, 60 months`"
    );
    assert!(errors.iter().all(|e| !e.remedy.is_empty()));
}
