//! One sample under every standard.

use super::*;

/// A column says what the verdict by its standard says, whatever was measured.
#[test]
fn a_column_is_the_verdict_by_its_standard() {
    let results = Results {
        sampled: Some(date("2026-02-01")),
        values: [
            (Measurand::Oxygen, "20.9 %"),
            (Measurand::CarbonMonoxide, "8 ppm"),
            (Measurand::CarbonDioxide, "480 ppm ± 50 ppm"),
            (Measurand::Water, "-50 °F"),
        ]
        .map(|(what, text)| Measured::new(what, text))
        .into(),
    };
    let context = Context {
        today: Some(date("2026-05-20")),
        ..cylinder("300 bar")
    };
    let all = beside(&results, &context).unwrap();
    assert_eq!(all.columns.len(), standards().len());
    for (column, standard) in all.columns.iter().zip(standards()) {
        let verdict = judge(&results, standard, &context).unwrap();
        assert_eq!(column.standard, verdict.standard);
        assert_eq!(column.edition, verdict.edition);
        assert_eq!(column.overall, verdict.overall);
        assert_eq!(column.quantities, verdict.quantities);
        assert_eq!(column.due, verdict.due);
    }
    assert_eq!(
        all.found[1],
        (Measurand::CarbonMonoxide, "8 ppm".to_owned())
    );
}

/// 29 CFR 1910.134(i)(1)(ii)(C) allows 10 ppm of carbon monoxide, EN 12021:2014 5 ppm: 8 ppm lies
/// between.
#[test]
fn standards_differ_on_one_sample() {
    let results = Results {
        values: vec![Measured::new(Measurand::CarbonMonoxide, "8 ppm")],
        ..Results::default()
    };
    let all = beside(&results, &Context::default()).unwrap();
    let outcome = |name: &str| {
        let column = all.columns.iter().find(|c| c.standard == name).unwrap();
        column
            .of(Measurand::CarbonMonoxide)
            .unwrap()
            .outcome
            .clone()
    };
    assert_eq!(outcome("EN 12021"), Outcome::Fails);
    assert_eq!(outcome("29 CFR 1910.134"), Outcome::Passes);
}

#[test]
fn a_result_that_cannot_be_read_is_told() {
    let results = Results {
        values: vec![Measured::new(Measurand::Oil, "5 ppm")],
        ..Results::default()
    };
    assert_eq!(beside(&results, &Context::default()).unwrap_err().len(), 1);
}
