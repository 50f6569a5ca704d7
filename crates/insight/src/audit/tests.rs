//! The audit as a whole: the trade's station, each setting past its neighbour, and what
//! must hold for every file.

use super::testing::{TRADE, metric, station, with};
use super::{Audit, Finding, RULES, Severity, audit, explain};
use proptest::prelude::*;

fn of(text: &str) -> Audit {
    audit(&station(text))
}

/// Findings above "look into".
fn grave(text: &str) -> Vec<Finding> {
    let audit = of(text);
    let grave = audit
        .findings
        .into_iter()
        .filter(|f| f.severity < Severity::LookInto);
    grave.collect()
}

/// What a finding is about, without words.
fn kinds(audit: &Audit) -> Vec<(&'static str, Severity, Vec<String>)> {
    let parts = |f: &Finding| f.parts.iter().map(|p| p.name.clone()).collect();
    audit
        .findings
        .iter()
        .map(|f| (f.rule, f.severity, parts(f)))
        .collect()
}

/// Common practice, no source: nothing above "look into".
#[test]
fn the_trades_usual_relations_pass() {
    assert_eq!(grave(TRADE), []);
    let audit = of(TRADE);
    assert!(
        audit.verdict.starts_with("No reason found to stop"),
        "{}",
        audit.verdict
    );
}

/// The trade's station with ratings, and cylinders made for more than the machine.
fn rated() -> String {
    let text = with(
        TRADE,
        "service_pressure = \"3000 psi\"",
        "service_pressure = \"4500 psi\"",
    );
    format!("{text}[tower]\nrated_pressure = \"4400 psi\"\n[whip]\nrated_pressure = \"4500 psi\"\n")
}

/// Any setting past its neighbour: exactly one grave finding, with both parts and numbers.
#[test]
fn each_setting_past_its_neighbour() {
    assert_eq!(grave(&rated()), []);
    let moves = [
        (
            "closes = \"500 psi\"",
            "closes = \"850 psi\"",
            "ladder-order",
            "850 psi",
            "800 psi",
        ),
        (
            "opens = \"800 psi\"",
            "opens = \"450 psi\"",
            "ladder-order",
            "500 psi",
            "450 psi",
        ),
        (
            "opens = \"800 psi\"",
            "opens = \"3100 psi\"",
            "ladder-order",
            "3100 psi",
            "3000 psi",
        ),
        (
            "working_pressure = \"3000 psi\"",
            "working_pressure = \"3350 psi\"",
            "ladder-order",
            "3350 psi",
            "3300 psi",
        ),
        (
            "working_pressure = \"3000 psi\"",
            "working_pressure = \"790 psi\"",
            "ladder-order",
            "800 psi",
            "790 psi",
        ),
        (
            "lifts = \"3300 psi\"",
            "lifts = \"2950 psi\"",
            "ladder-order",
            "3000 psi",
            "2950 psi",
        ),
        (
            "lifts = \"3300 psi\"",
            "lifts = \"3800 psi\"",
            "disc-before-relief",
            "4000 psi",
            "3800 psi",
        ),
        (
            "bursts = \"4000 psi\"",
            "bursts = \"3350 psi\"",
            "disc-before-relief",
            "3350 psi",
            "3300 psi",
        ),
        (
            "bursts = \"4000 psi\"",
            "bursts = \"4450 psi\"",
            "disc-above-weakest",
            "4450 psi",
            "4400 psi",
        ),
        (
            "rated_pressure = \"4400 psi\"",
            "rated_pressure = \"3900 psi\"",
            "disc-above-weakest",
            "4000 psi",
            "3900 psi",
        ),
        (
            "rated_pressure = \"4500 psi\"",
            "rated_pressure = \"3950 psi\"",
            "disc-above-weakest",
            "4000 psi",
            "3950 psi",
        ),
        (
            "service_pressure = \"4500 psi\"",
            "service_pressure = \"2900 psi\"",
            "lower-rated-cylinder",
            "2900 psi",
            "3000 psi",
        ),
    ];
    for (from, to, rule, one, other) in moves {
        let found = grave(&with(&rated(), from, to));
        let [finding] = &found[..] else {
            panic!("{to}: {found:#?}");
        };
        assert_eq!(finding.rule, rule, "{to}");
        let both = finding.claim.contains(one) && finding.claim.contains(other);
        assert!(both, "{to}: {}", finding.claim);
        assert!(
            finding.margin.is_some() && !finding.remedy.is_empty(),
            "{to}"
        );
    }
}

/// Every finding of a bad station has its evidence, source and remedy; nobody is told to
/// turn a valve, and nothing is called safe.
#[test]
fn findings_carry_what_they_need() {
    let bad = with(
        metric(),
        "lifts = \"255 bar\"",
        "lifts = \"400 bar\"\nbore = \"0.1 mm\"\nstamped = \"255 bar\"",
    );
    let bad = with(
        &bad,
        "stage_count = 3",
        "stage_count = 2\ndrive = \"diesel\"",
    );
    let audit = of(&bad);
    assert!(audit.findings.len() > 5, "{:?}", kinds(&audit));
    assert!(
        audit
            .findings
            .windows(2)
            .all(|w| w[0].severity <= w[1].severity)
    );
    assert!(audit.verdict.starts_with("Stop"), "{}", audit.verdict);
    for f in &audit.findings {
        assert!(
            !f.why.is_empty() && !f.remedy.is_empty() && !f.parts.is_empty(),
            "{f:?}"
        );
        assert!(!f.source.document.is_empty() && !f.source.certainty.is_empty());
        let words = format!("{} {} {}", f.claim, f.why, f.remedy).to_lowercase();
        assert!(!words.contains(" safe"), "{words}");
    }
    for text in [&bad, metric(), TRADE] {
        let whole = format!("{:?}", of(text));
        assert!(
            !whole.contains("NaN") && !whole.contains(": inf"),
            "{whole}"
        );
    }
}

/// Explanations come from the rules' own documentation and have every section.
#[test]
fn every_rule_explains_itself() {
    for rule in &RULES {
        let page = explain(rule.id).unwrap();
        for heading in [
            "What it looks at",
            "Why it matters",
            "When it stays silent",
            "Source",
            "Certainty",
        ] {
            let at = page.find(&format!("\n## {heading}\n"));
            let after = at.and_then(|at| page.get(at + heading.len() + 5..));
            assert!(
                after.is_some_and(|text| text.lines().next().is_some_and(|l| l.len() > 10)),
                "{}: {heading}",
                rule.id
            );
        }
        assert_eq!(RULES.iter().filter(|r| r.id == rule.id).count(), 1);
    }
    assert_eq!(explain("no-such-rule"), None);
    insta::assert_snapshot!(explain("pmv-gap").unwrap());
}

/// Tables in any order give the same findings.
#[test]
fn the_order_of_the_file_does_not_matter() {
    let more = "[[cylinder_kind]]\nid = \"a\"\nwater_volume = \"7 L\"\nworking_pressure = \"200 bar\"\n\
                [[gauge]]\nname = \"b\"\nreads = \"line\"\nspan = \"250 bar\"\n\
                [[bank]]\nid = \"c\"\nwater_volume = \"50 L\"\nworking_pressure = \"180 bar\"\n";
    let text = format!("{}{more}", metric());
    let mut tables: Vec<String> = text
        .split("\n[")
        .skip(1)
        .map(|t| format!("[{}\n", t.trim_end()))
        .collect();
    let forward = of(&tables.concat());
    assert!(forward.findings.len() > 3, "{:?}", kinds(&forward));
    tables.reverse();
    assert_eq!(forward, of(&tables.concat()));
}

/// The same settings written in other units give the same findings.
fn in_unit(values: &Settings, unit: &str, per_bar: f64) -> String {
    let p = |bar: f64| format!("\"{:.9} {unit}\"", bar * per_bar);
    format!(
        "[station]\nname = \"Units\"\ninvented = true\n[compressor]\nworking_pressure = {}\n\
         charging_rate = \"100 L/min\"\n[pmv]\nopens = {}\ncloses = {}\n[relief]\nlifts = {}\n\
         reseats = {}\n[burst_disc]\nbursts = {}\n[tower]\nrated_pressure = {}\n[whip]\n\
         rated_pressure = {}\n[[gauge]]\nname = \"g\"\nreads = \"tower\"\nspan = {}\n",
        p(values.working),
        p(values.opens),
        p(values.closes),
        p(values.lifts),
        p(values.reseats),
        p(values.bursts),
        p(values.tower),
        p(values.hose),
        p(values.span),
    )
}

#[derive(Debug, Clone)]
struct Settings {
    working: f64,
    opens: f64,
    closes: f64,
    lifts: f64,
    reseats: f64,
    bursts: f64,
    tower: f64,
    hose: f64,
    span: f64,
}

fn settings() -> impl Strategy<Value = Settings> {
    let bar = |low: u32, high: u32| (low..high).prop_map(f64::from);
    let set = (
        bar(150, 350),
        bar(50, 300),
        bar(40, 290),
        bar(150, 400),
        bar(140, 390),
    );
    let rest = (bar(150, 500), bar(150, 500), bar(150, 500), bar(150, 700));
    (set, rest).prop_map(
        |((working, opens, closes, lifts, reseats), (bursts, tower, hose, span))| Settings {
            working,
            opens,
            closes,
            lifts,
            reseats,
            bursts,
            tower,
            hose,
            span,
        },
    )
}

/// Findings that call a part weak: it is rated below something.
fn weak(audit: &Audit, part: &str) -> Vec<(&'static str, Severity)> {
    const RULES_OF_RATINGS: [&str; 5] = [
        "relief-above-rating",
        "disc-above-weakest",
        "hose-rating",
        "ladder-order",
        "lower-rated-cylinder",
    ];
    let about =
        |f: &&Finding| RULES_OF_RATINGS.contains(&f.rule) && f.parts.iter().any(|p| p.name == part);
    audit
        .findings
        .iter()
        .filter(about)
        .map(|f| (f.rule, f.severity))
        .collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// 1 bar = 14.503 773 77 psi (NIST SP 811, appendix B.8: 1 psi = 6894.757 Pa).
    #[test]
    fn units_do_not_matter(values in settings()) {
        let bar = of(&in_unit(&values, "bar", 1.0));
        let psi = of(&in_unit(&values, "psi", 14.503_773_773_020_92));
        let mpa = of(&in_unit(&values, "MPa", 0.1));
        prop_assert_eq!(kinds(&bar), kinds(&psi));
        prop_assert_eq!(kinds(&bar), kinds(&mpa));
        for (a, b) in bar.findings.iter().zip(&psi.findings) {
            for (a, b) in a.evidence.iter().zip(&b.evidence) {
                prop_assert!((a.value - b.value).abs() < 1e-6 * a.value.abs().max(1.0), "{a:?} {b:?}");
            }
        }
    }

    /// Raising a rating never adds a finding about that part being weak, nor makes one graver.
    #[test]
    fn a_higher_rating_is_never_weaker(values in settings(), more in 1.0..200.0f64) {
        let before = of(&in_unit(&values, "bar", 1.0));
        for part in ["tower", "fill hose"] {
            let mut raised = values.clone();
            match part {
                "tower" => raised.tower += more,
                _ => raised.hose += more,
            }
            let after = of(&in_unit(&raised, "bar", 1.0));
            let was = weak(&before, part);
            for (rule, severity) in weak(&after, part) {
                let had = was.iter().find(|(r, _)| *r == rule);
                prop_assert!(had.is_some_and(|(_, s)| *s <= severity), "{part}: {rule} {severity:?}, was {was:?}");
            }
        }
    }

    /// Stations nobody would build are audited all the same: no NaN, and drawings that fit.
    #[test]
    fn any_station_is_audited(values in prop::collection::vec(5.0..1500.0f64, 9)) {
        let [working, opens, closes, lifts, reseats, bursts, tower, hose, span] = values[..] else {
            return Ok(());
        };
        let odd = Settings { working, opens, closes, lifts, reseats, bursts, tower, hose, span };
        let audit = of(&in_unit(&odd, "bar", 1.0));
        let whole = format!("{audit:?}");
        prop_assert!(!whole.contains("NaN") && !whole.contains(": inf"), "{}", whole);
        let drawn = crate::ladder::text(&audit.ladder, quantity::UnitSystem::Us);
        prop_assert!(drawn.lines().all(|line| line.chars().count() <= 96), "{}", drawn);
        for rung in &audit.ladder.rungs {
            prop_assert!(drawn.contains(&rung.name), "{} in {}", rung.name, drawn);
        }
    }

    /// The ladder rises, and its bands hold their pressures.
    #[test]
    fn the_ladder_rises(values in settings()) {
        let ladder = of(&in_unit(&values, "bar", 1.0)).ladder;
        prop_assert!(ladder.rungs.windows(2).all(|w| w[0].bar <= w[1].bar));
        prop_assert!(ladder.rungs.iter().all(|r| r.low_bar <= r.bar && r.bar <= r.high_bar));
        prop_assert!(ladder.rungs.iter().all(|r| r.high_bar < ladder.top_bar));
    }
}
