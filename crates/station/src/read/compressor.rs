//! `[compressor]`, its stages and its measured delivery.

use quantity::{Fraction, GaugePressure, Speed, TemperatureDifference, display_as};

use super::reads;
use crate::model::{Compressor, DeliveryPoint, Drive, Output, Reads, Stage};
use crate::problem::{Label, Problem, ProblemId};
use crate::section::Section;
use crate::syntax::Shape;

const DRIVES: &[(&str, Drive)] = &[
    ("electric", Drive::Electric),
    ("petrol", Drive::Petrol),
    ("gasoline", Drive::Petrol),
    ("diesel", Drive::Diesel),
];

/// Ways of saying how much air it moves.
const OUTPUTS: [&str; 4] = ["charging_rate", "free_air_delivery", "stage", "delivery"];

/// Figures of the compressor that its stages share unless they have their own.
struct Shared {
    clearance: Fraction,
    polytropic_exponent: f64,
    cooler_approach: TemperatureDifference,
}

pub(super) fn compressor(section: &Section<'_>) -> Option<Compressor> {
    let working_pressure: Option<GaugePressure> = section.value("working_pressure");
    let clearance = section.value("clearance");
    let polytropic_exponent = section.number("polytropic_exponent");
    let cooler_approach = section.value("cooler_approach");
    let speed = section.value("speed");
    let drive = section.choice("drive", DRIVES);
    let power = section.value("power");
    let oil_carry_over = section.value("oil_carry_over");
    let stage_count = section.count("stage_count");
    let shared = Shared {
        clearance: clearance?,
        polytropic_exponent: polytropic_exponent?,
        cooler_approach: cooler_approach?,
    };
    let output = output(section, &shared, speed);
    let working_pressure = working_pressure?;
    let output = output?;
    let stage_count = stages(section, stage_count, &output, working_pressure);
    Some(Compressor {
        working_pressure,
        stage_count,
        output,
        speed,
        drive,
        power,
        cooler_approach: shared.cooler_approach,
        polytropic_exponent: shared.polytropic_exponent,
        clearance: shared.clearance,
        oil_carry_over,
    })
}

/// How much air it moves, in the one way the file says it.
fn output(section: &Section<'_>, shared: &Shared, speed: Option<Speed>) -> Option<Output> {
    let charging_rate = section.value("charging_rate");
    let free_air_delivery = section.value("free_air_delivery");
    let stages = all(
        Section::each(section.facts, section.notes, "compressor.stage"),
        |s| stage(s, shared),
    );
    let rows = all(
        Section::each(section.facts, section.notes, "compressor.delivery"),
        delivery_point,
    );
    let said: Vec<&str> = OUTPUTS
        .into_iter()
        .filter(|key| says(section, key))
        .collect();
    match said.as_slice() {
        ["charging_rate"] => charging_rate.map(Output::ChargingRate),
        ["free_air_delivery"] => free_air_delivery.map(Output::FreeAirDelivery),
        ["stage"] => {
            if !section.has("speed") && !section.misspelt("speed") {
                section.note(speed_missing(section));
            }
            stages
                .filter(|s| !s.is_empty() && speed.is_some())
                .map(Output::Stages)
        }
        [_] => rows.filter(|r| r.len() >= 2).map(Output::Delivery),
        [] => {
            if !OUTPUTS.iter().any(|key| section.misspelt(key)) {
                section.note(nothing_said(section));
            }
            None
        }
        [first, second, ..] => {
            section.note(said_twice(section, first, second));
            None
        }
    }
}

/// Whether a key is there and not an empty list.
fn says(section: &Section<'_>, key: &str) -> bool {
    let said = section.facts.said(&section.at(key));
    said.is_some_and(|s| !matches!(&s.value.shape, Shape::List(items) if items.is_empty()))
}

/// What every table gives, unless one of them cannot be used.
fn all<T>(sections: Vec<Section<'_>>, read: impl Fn(&Section<'_>) -> Option<T>) -> Option<Vec<T>> {
    let read: Vec<Option<T>> = sections.iter().map(read).collect();
    read.into_iter().collect()
}

fn stage(section: &Section<'_>, shared: &Shared) -> Option<Stage> {
    let swept_volume = section.value("swept_volume");
    let clearance = section.value("clearance");
    let rated_pressure = section.value("rated_pressure");
    let relief = section.value("relief");
    let exponent = section.number("polytropic_exponent");
    let approach = section.value("cooler_approach");
    let own = |key: &str, shown: String| {
        if !section.has(key) {
            section.derive(key, shown, ());
        }
    };
    own(
        "clearance",
        display_as(shared.clearance, "%").unwrap_or_default(),
    );
    own(
        "polytropic_exponent",
        format!("{}", shared.polytropic_exponent),
    );
    own(
        "cooler_approach",
        display_as(shared.cooler_approach, "K").unwrap_or_default(),
    );
    Some(Stage {
        swept_volume: swept_volume?,
        clearance: clearance.unwrap_or(shared.clearance),
        rated_pressure,
        relief,
        polytropic_exponent: exponent.unwrap_or(shared.polytropic_exponent),
        cooler_approach: approach.unwrap_or(shared.cooler_approach),
    })
}

fn delivery_point(section: &Section<'_>) -> Option<DeliveryPoint> {
    let at = section.value("at");
    let free_air = section.value("free_air");
    Some(DeliveryPoint {
        at: at?,
        free_air: free_air?,
    })
}

/// How many stages: as listed, as given, or by the working pressure.
fn stages(
    section: &Section<'_>,
    given: Option<usize>,
    output: &Output,
    working: GaugePressure,
) -> usize {
    match (output, given) {
        (Output::Stages(stages), _) => stages.len(),
        (_, Some(count)) => count,
        (_, None) => {
            let usual = if working.as_bar() <= 250.0 { 3 } else { 4 };
            let count = highest_gauge(section).max(usual);
            let reason = "3 stages up to 250 bar, 4 above, and no fewer than the gauges read; \
                          common practice, no source";
            section.assume("stage_count", count.to_string(), reason);
            count
        }
    }
}

/// The highest stage that a gauge reads; 0 without such a gauge.
fn highest_gauge(section: &Section<'_>) -> usize {
    let facts = section.facts;
    let stages = facts.each("gauge").into_iter().filter_map(|gauge| {
        let (word, _) = facts.words(&format!("{gauge}.reads"))?;
        match reads(word)? {
            Reads::Stage(number) => Some(number),
            Reads::Tower | Reads::Line => None,
        }
    });
    stages.max().unwrap_or(0)
}

fn nothing_said(section: &Section<'_>) -> Problem {
    Problem::new(
        ProblemId::Missing,
        "[compressor] does not say how much air it moves".into(),
        Label::new(
            section.facts.heading("compressor"),
            "no delivery below this heading",
        ),
        "add charging_rate = \"...\" with its unit: 2000 litres divided by the minutes a 10 L \
         cylinder takes from 0 to 200 bar; or free_air_delivery from the maker's manual, or \
         [[compressor.stage]] or [[compressor.delivery]] tables"
            .into(),
    )
}

fn speed_missing(section: &Section<'_>) -> Problem {
    Problem::new(
        ProblemId::Missing,
        "[compressor] lists its stages but not its `speed`".into(),
        Label::new(
            section.facts.heading("compressor"),
            "no `speed` below this heading",
        ),
        "add speed = \"... rpm\", of the crankshaft and not of the motor: see the plate or the \
         maker's manual"
            .into(),
    )
}

fn said_twice(section: &Section<'_>, first: &str, second: &str) -> Problem {
    let place = |key: &str| section.facts.said(&section.at(key)).map(|s| s.key.clone());
    Problem::new(
        ProblemId::SaidTwice,
        format!("[compressor] gives both `{first}` and `{second}`: only one can set the delivery"),
        Label::new(place(second).unwrap_or_default(), "and here again"),
        "keep the one you measured yourself, and put a # before the other".into(),
    )
    .and(Label::new(
        place(first).unwrap_or_default(),
        "the delivery is given here",
    ))
}
