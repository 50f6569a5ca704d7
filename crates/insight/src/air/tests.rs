//! Verdicts checked against cases worked by hand from the limits' sources.

mod beside;
mod messages;
mod own;
mod properties;
mod worked;

use super::*;
use quantity::{GaugePressure, Typed, parse};
use station::Date;

/// A verdict on these results by the standard of this name.
fn verdict(standard: &str, values: &[(Measurand, &str)], context: &Context) -> Verdict {
    verdict_on(standard, values, None, context)
}

fn verdict_on(
    standard: &str,
    values: &[(Measurand, &str)],
    sampled: Option<&str>,
    context: &Context,
) -> Verdict {
    let results = Results {
        sampled: sampled.map(date),
        values: values
            .iter()
            .map(|(what, text)| Measured::new(*what, text))
            .collect(),
    };
    judge(&results, find(standard, standards()).unwrap(), context).unwrap()
}

fn date(text: &str) -> Date {
    Date::parse(text).unwrap()
}

fn cylinder(pressure: &str) -> Context {
    let typed: Typed<GaugePressure> = parse(pressure).unwrap();
    Context {
        point: Some(Point::Cylinder),
        cylinder_pressure: Some(typed),
        ..Context::default()
    }
}

fn outlet() -> Context {
    Context {
        point: Some(Point::Outlet),
        ..Context::default()
    }
}

/// What a laboratory might find in good air; figures invented.
const GOOD: [(Measurand, &str); 8] = [
    (Measurand::Oxygen, "20.9 % ± 0.2 %"),
    (Measurand::Nitrogen, "78.1 %"),
    (Measurand::CarbonMonoxide, "< 1 ppm"),
    (Measurand::CarbonDioxide, "410 ppm ± 20 ppm"),
    (Measurand::Oil, "< 0.1 mg/m3"),
    (Measurand::Water, "12 mg/m3 ± 10 %"),
    (Measurand::Odour, "none"),
    (Measurand::LiquidWater, "none"),
];
