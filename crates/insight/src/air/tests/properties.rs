//! What no verdict may depend on, and which way it must lean.

use proptest::prelude::*;

use super::*;
use crate::convert::{Question, Substance, convert};
use physics::moist::Trace;

fn outcomes(verdict: &Verdict) -> Vec<(Measurand, Outcome)> {
    verdict
        .quantities
        .iter()
        .map(|q| (q.what, q.outcome.clone()))
        .collect()
}

/// The frost point of this much water, °C, at 1 atm or a gauge pressure.
fn frost(ppm: f64, at: Option<f64>) -> f64 {
    let answer = convert(&Question {
        amount: format!("{ppm} ppm"),
        of: Substance::Water,
        at: at.map(GaugePressure::bar),
        temperature: None,
        point_at_pressure: false,
    })
    .unwrap();
    let points = if at.is_some() {
        answer.at_pressure
    } else {
        answer.at_1_atm
    };
    points.unwrap().frost_c.unwrap()
}

fn contexts() -> impl Strategy<Value = Context> {
    prop_oneof![
        Just(Context::default()),
        Just(outlet()),
        (50.0..400.0f64).prop_map(|bar| cylinder(&format!("{bar} bar"))),
    ]
}

/// How a value of a contaminant may be stated.
fn stated(value: f64, form: usize) -> String {
    match form {
        0 => format!("{value} ppm"),
        1 => format!("< {value} ppm"),
        2 => format!("{value} ppm ± 2 ppm"),
        _ => format!("{value} ppm ± 15 %"),
    }
}

proptest! {
    #[test]
    fn the_order_of_results_does_not_matter(
        order in Just(GOOD.to_vec()).prop_shuffle(),
        context in contexts(),
        which in 0..standards().len(),
    ) {
        let name = &standards()[which].name;
        prop_assert_eq!(verdict(name, &order, &context), verdict(name, &GOOD, &context));
    }

    #[test]
    fn units_do_not_matter(
        water in 5.0..120.0f64,
        co in 0.1..30.0f64,
        co2 in 100.0..1500.0f64,
        context in contexts(),
        which in 0..standards().len(),
    ) {
        let name = &standards()[which].name;
        let judged = |water: String, co: String, co2: String| {
            let values = [
                (Measurand::Water, water.as_str()),
                (Measurand::CarbonMonoxide, co.as_str()),
                (Measurand::CarbonDioxide, co2.as_str()),
            ];
            outcomes(&verdict(name, &values, &context))
        };
        let ppm = judged(format!("{water} ppm"), format!("{co} ppm"), format!("{co2} ppmv"));
        let mg = judged(
            format!("{} mg/m3", Trace::Water.mg_per_m3(water)),
            format!("{} mg/m3", Trace::CarbonMonoxide.mg_per_m3(co)),
            format!("{} mg/m3", Trace::CarbonDioxide.mg_per_m3(co2)),
        );
        prop_assert_eq!(&mg, &ppm);
        let celsius = frost(water, None);
        let points = judged(
            format!("{} °F", celsius * 1.8 + 32.0),
            format!("{co} ppm v/v"),
            format!("{} %", co2 / 1e4),
        );
        prop_assert_eq!(&points, &ppm);
    }

    /// A point at pressure carries the uncertainty of converting it: it may
    /// leave open what ppm decide, never turn it round.
    #[test]
    fn a_point_at_pressure_never_contradicts(water in 8.0..120.0f64, bar in 5.0..330.0f64) {
        let context = cylinder("300 bar");
        let of = |text: &str| {
            let answer = verdict("EN 12021", &[(Measurand::Water, text)], &context);
            answer.of(Measurand::Water).unwrap().outcome.clone()
        };
        prop_assume!(frost_exists(water, bar));
        let point = of(&format!("{} °C at {bar} bar", frost(water, Some(bar))));
        let ppm = of(&format!("{water} ppm"));
        prop_assert!(!point.is_decided() || point == ppm, "{:?}, {:?}", point, ppm);
    }

    #[test]
    fn less_of_a_contaminant_never_turns_pass_into_fail(
        more in 0.1..1500.0f64,
        share in 0.0..1.0f64,
        form in 0..4usize,
        context in contexts(),
    ) {
        let what = [
            Measurand::CarbonMonoxide,
            Measurand::CarbonDioxide,
            Measurand::Hydrocarbons,
            Measurand::Water,
        ];
        for (standard, what) in standards().iter().flat_map(|s| what.map(|w| (s, w))) {
            let of = |value| {
                let text = stated(value, form);
                let answer = verdict(&standard.name, &[(what, text.as_str())], &context);
                answer.of(what).map(|row| row.outcome.clone())
            };
            if of(more) == Some(Outcome::Passes) {
                prop_assert_eq!(of(more * share), Some(Outcome::Passes), "{}", &standard.name);
            }
            if of(more * share) == Some(Outcome::Fails) {
                prop_assert_eq!(of(more), Some(Outcome::Fails), "{}", &standard.name);
            }
        }
    }

    #[test]
    fn uncertainty_only_opens_a_question(co in 0.0..25.0f64, off in 0.0..10.0f64) {
        for standard in standards() {
            let of = |text: String| {
                let values = [(Measurand::CarbonMonoxide, text.as_str())];
                let answer = verdict(&standard.name, &values, &outlet());
                answer.of(Measurand::CarbonMonoxide).unwrap().outcome.clone()
            };
            let wide = of(format!("{co} ± {off} ppm"));
            let bare = of(format!("{co} ppm"));
            prop_assert!(!wide.is_decided() || wide == bare, "{:?}, {:?}", wide, bare);
        }
    }

    /// Whatever is typed, there is an answer or a reason.
    #[test]
    fn no_text_upsets(text in ".{0,24}", unit in "(| ppm| %| mg/m3| °C at 200 bar| ± 1 ppm)") {
        for what in Measurand::ALL {
            let results = Results {
                sampled: None,
                values: vec![Measured::new(what, &format!("{text}{unit}"))],
            };
            if let Err(mistakes) = judge(&results, &standards()[0], &Context::default()) {
                prop_assert!(mistakes.iter().all(|m| !m.cause.is_empty() && !m.remedy.is_empty()));
            }
        }
    }

    #[test]
    fn no_standard_upsets(text in "(standard,x\nedition,1\nquantity,at_most,unit\n)?[a-z,\" 0-9\n°%]{0,80}") {
        if let Err(mistakes) = Standard::read(&text) {
            prop_assert!(!mistakes.is_empty());
        }
    }
}

/// Whether so much water freezes out at that pressure, rather than dews.
fn frost_exists(ppm: f64, bar: f64) -> bool {
    let answer = convert(&Question {
        amount: format!("{ppm} ppm"),
        of: Substance::Water,
        at: Some(GaugePressure::bar(bar)),
        temperature: None,
        point_at_pressure: false,
    });
    answer.unwrap().at_pressure.unwrap().frost_c.is_some()
}
