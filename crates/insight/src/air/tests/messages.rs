//! What is told of results that cannot be read, word for word.

use super::*;

/// Cause and remedy for one result.
fn told(what: Measurand, text: &str) -> String {
    let results = Results {
        sampled: None,
        values: vec![Measured::new(what, text)],
    };
    let mistakes = judge(&results, &standards()[0], &Context::default()).unwrap_err();
    let [mistake] = mistakes.as_slice() else {
        panic!("{mistakes:?}");
    };
    assert_eq!(mistake.at, At::Result(0));
    mistake.to_string()
}

#[test]
fn results_that_cannot_be_read() {
    let cases = [
        (
            Measurand::CarbonMonoxide,
            "-3 ppm",
            "`-3 ppm` is below zero: there is no less than none: check the sign; what the tube \
             cannot show is written as `< 0.5 ppm`",
        ),
        (
            Measurand::CarbonMonoxide,
            "8",
            "\"8\" has no unit: write `3 ppm`, `< 1 ppm`, `3 ppm ± 1 ppm` or `4 mg/m3`",
        ),
        (
            Measurand::CarbonMonoxide,
            "8 bar",
            "`8 bar` is not an amount of carbon monoxide: write `3 ppm`, `< 1 ppm`, \
             `3 ppm ± 1 ppm` or `4 mg/m3`",
        ),
        (
            Measurand::Oil,
            "5 ppm",
            "`5 ppm` is not an amount of oil: write `0.1 mg/m3` or `< 0.1 mg/m3`",
        ),
        (
            Measurand::Oil,
            "0,3 mg/m3",
            "\"0,3 mg/m3\" has a decimal comma: write 0.3 mg/m3",
        ),
        (
            Measurand::Oxygen,
            "209 %",
            "`209 %` of oxygen is more than the whole air: check the figure and its unit",
        ),
        (
            Measurand::Water,
            "140 %",
            "`140 %` says nothing about water without a temperature and a pressure: write \
             `25 mg/m3`, `33 ppm`, `-50 °F` (dew or frost point at 1 atm) or `-8 °C at 200 bar`",
        ),
        (
            Measurand::Oil,
            "not detected",
            "`not detected` does not say how little oil there may still be: write the least the \
             tube or the laboratory can show, like `< 0.5 ppm` in the unit of the report",
        ),
        (
            Measurand::CarbonMonoxide,
            "< 1 ppm ± 1 ppm",
            "`< 1 ppm ± 1 ppm` is less than a value and has an uncertainty: write `< 1 ppm` \
             alone, or a value with its uncertainty",
        ),
        (
            Measurand::Water,
            "30 mg/m3 ± 2 °C",
            "`± 2 °C` does not go with `30 mg/m3 at 20 °C and 1 atm`: give the uncertainty in \
             the unit of the value, or as `10 % of value`",
        ),
        (
            Measurand::Odour,
            "7",
            "`7` does not say how much odour there was: write `none`, `slight` or `strong`",
        ),
    ];
    for (what, text, message) in cases {
        assert_eq!(told(what, text), message);
    }
}

#[test]
fn dew_points_outside_the_formulas() {
    let message = told(Measurand::Water, "400 °C");
    assert!(message.contains("400.00 °C is outside"), "{message}");
    let message = told(Measurand::Water, "-90 °C");
    assert!(
        message.contains("-90.00 °C is outside") && message.contains("`< -80 °C`"),
        "{message}"
    );
    let message = told(Measurand::Water, "-8 °C at 20 bar abs");
    assert!(
        message.contains("absolute pressure") && message.contains("`1 atm`"),
        "{message}"
    );
    let message = told(Measurand::Water, "-8 °C at 900 bar");
    assert!(message.contains("outside"), "{message}");
}

#[test]
fn all_mistakes_are_told_at_once() {
    let values = [
        (Measurand::Oxygen, "20.9"),
        (Measurand::Oil, "0.1 mg/m3"),
        (Measurand::Oil, "0.2 mg/m3"),
    ];
    let results = Results {
        sampled: Some(date("2026-05-04")),
        values: values
            .iter()
            .map(|(what, text)| Measured::new(*what, text))
            .collect(),
    };
    let context = Context {
        today: Some(date("2026-05-03")),
        ..Context::default()
    };
    let mistakes = judge(&results, &standards()[0], &context).unwrap_err();
    let places: Vec<At> = mistakes.iter().map(|m| m.at).collect();
    assert_eq!(places, [At::Result(0), At::Result(2), At::Sampled]);
    let none = judge(&Results::default(), &standards()[0], &context).unwrap_err();
    assert_eq!(
        none[0].to_string(),
        "no result is given: add at least one, like oxygen"
    );
}

#[test]
fn ways_to_write_an_uncertainty() {
    for text in [
        "8 ± 1 ppm",
        "8 ppm ± 1",
        "8 ppm +/- 1 ppm",
        "8 ppm+-1ppm",
        "8 ppm ± 12.5 %",
    ] {
        let values = [(Measurand::CarbonMonoxide, text)];
        let answer = verdict("EN 12021", &values, &outlet());
        let Some(Reading::Counted(a)) = &answer.quantities[1].reading else {
            panic!("{text}");
        };
        assert_eq!((a.low, a.value, a.high), (7.0, 8.0, 9.0), "{text}");
    }
    let point = Measured::new(Measurand::Water, "-8 °C ± 1 K at 200 bar");
    assert_eq!(
        (point.value.as_str(), point.uncertainty.as_deref()),
        ("-8 °C at 200 bar", Some("1 K"))
    );
}

#[test]
fn standards_by_name() {
    let name = |text| find(text, standards()).map(|s| s.name.as_str());
    assert_eq!(name("en12021"), Ok("EN 12021"));
    assert_eq!(name("EN 12021:2014"), Ok("EN 12021"));
    assert_eq!(name("grade e"), Ok("CGA G-7.1 Grade E"));
    assert_eq!(name("navy"), Ok("US Navy Diving Manual"));
    let told = |text| name(text).unwrap_err().to_string();
    assert_eq!(
        told("EN 12012"),
        "no standard called `EN 12012` is held: did you mean `EN 12021`?"
    );
    assert_eq!(
        told("CGA"),
        "`CGA` may be 2 standards: write one of CGA G-7.1 Grade D, CGA G-7.1 Grade E"
    );
    assert!(told("quite another").contains("write one of EN 12021, HSE DVIS 9"));
    assert!(told("").contains("write one of"));
}
