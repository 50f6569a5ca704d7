//! Letting the air out on paper: what to mind first, then times, what stays, the push of a hose.
//!
//! Start at [`text`]. Not here: the figures ([`insight::vent`]), stored energy ([`energy`]).

mod energy;

use insight::vent::answer::{Fall, Stays, VentAnswer, Way};

use crate::cli::render::page::{Table, item, paragraph};
use crate::cli::render::units::{Say, time};
use crate::cli::terminal::harmless;
use crate::usecase::vent::Answer;
use crate::words::capital;
use quantity::UnitSystem;

/// The whole page.
pub fn text(answer: &Answer) -> String {
    let units = answer.file.station().map(|s| s.units);
    let say = Say {
        units: units.unwrap_or(UnitSystem::Metric),
    };
    let vent = &answer.vent;
    let ways: String = vent.ways.iter().map(|way| one(say, way)).collect();
    let sections = [
        title(vent),
        cautions(vent),
        meaning(say, vent) + &ways,
        gauges(say, vent),
        thrust(say, vent),
        energy::text(say, vent),
        assumed(answer),
    ];
    harmless(&sections.join("\n"))
}

fn title(vent: &VentAnswer) -> String {
    let mut text = format!("Letting the air out of {}\n", vent.station);
    if vent.invented {
        text +=
            "Demonstration data: this station is invented. Set nothing on a real machine by it.\n";
    }
    text
}

fn cautions(vent: &VentAnswer) -> String {
    let mut text = "Where the hand is\n".to_owned();
    for caution in &vent.cautions {
        text += &item(&format!("{caution}."));
    }
    let manual = "A calculated zero is no zero: what stands below is a computation, not a \
                  measurement. The maker's manual, local codes and competent persons decide.";
    text + &item(manual)
}

fn meaning(say: Say, vent: &VentAnswer) -> String {
    let zero = say.stage_number(vent.zero_means_bar);
    paragraph(
        0,
        &format!(
            "How long, the valve fully open, from the pressure named to {} and to zero (below {zero} \
             {}). The range is a rounded against a sharp-edged passage; the ideal time is the \
             closed form for a gas that keeps its temperature.",
            small(say, 1.0),
            say.pressure_unit()
        ),
    )
}

/// A pressure of a bar or so.
fn small(say: Say, bar: f64) -> String {
    format!("{} {}", say.stage_number(bar), say.pressure_unit()).replace(".0 ", " ")
}

/// One way out.
fn one(say: Say, way: &Way) -> String {
    let head = format!(
        "{}, through its {} of {:.1} mm: from {}, {} to let out",
        capital(&way.what),
        way.through,
        way.bore_mm,
        say.exact(way.from_bar),
        litres(say, way.litres)
    );
    let mut table = Table::new(2).right([1, 2, 3]);
    table.row(["", "computed", "range", "ideal"].map(str::to_owned));
    table.row(fall(&format!("to {}", small(say, 1.0)), &way.to_1_bar));
    table.row(fall("to zero", &way.to_zero));
    let mut text = format!("\n{}{}", paragraph(0, &head), table.text());
    if let Some(why) = &way.ended_early {
        text += &paragraph(2, &format!("It is not followed to zero: {why}."));
    }
    let cold = say.temperature(way.coldest_c);
    text += &paragraph(2, &format!("The air in it gets as cold as {cold}."));
    text + &stays(say, &way.stays)
}

fn fall(name: &str, fall: &Fall) -> [String; 4] {
    let range = match (fall.low_s, fall.high_s) {
        (Some(low), Some(high)) => format!("{} to {}", time(low), time(high)),
        _ => String::new(),
    };
    let computed = fall.s.map_or("not reached".to_owned(), time);
    [name.to_owned(), computed, range, time(fall.ideal_s)]
}

fn stays(say: Say, stays: &[Stays]) -> String {
    if stays.is_empty() {
        return String::new();
    }
    let mut table = Table::new(4).right([1]);
    for one in stays {
        let why = format!("{}. To let it out: {}.", one.why, one.release);
        table.row([one.space.clone(), say.pressure(one.bar), why]);
    }
    format!("  Stays under pressure\n{}", table.text())
}

fn gauges(say: Say, vent: &VentAnswer) -> String {
    let mut text = "Not shown by a gauge\n".to_owned();
    for gauge in &vent.gauges {
        text += &item(&format!(
            "The {} gauge may show zero with {} behind it (its span and class, EN 837-1).",
            gauge.name,
            small(say, gauge.bar)
        ));
    }
    for space in &vent.not_known {
        text += &item(&format!("Not in the station file: {space}."));
    }
    text
}

fn thrust(say: Say, vent: &VentAnswer) -> String {
    let push = &vent.thrust;
    let force = match say.units {
        UnitSystem::Metric => format!("{:.0} N, a weight of {:.0} kg", push.newton, push.weight_kg),
        UnitSystem::Us => format!(
            "{:.0} lbf ({:.0} N)",
            push.weight_kg / 0.453_592_37,
            push.newton
        ),
    };
    let text = format!(
        "A hose of {:.1} mm bore that tears or is undone at {} whips; in the first moment it pushes \
         with {force}.",
        push.bore_mm,
        say.exact(push.bar)
    );
    format!("A hose let go\n{}", paragraph(2, &text))
}

fn assumed(answer: &Answer) -> String {
    let mut text = "Assumed\n".to_owned();
    for one in &answer.vent.assumed {
        text += &item(&format!("{} ({}).", one.what, one.why));
    }
    let file = &answer.file.reading.assumed;
    if !file.is_empty() {
        let keys: Vec<String> = file
            .iter()
            .map(|a| format!("{} {}", a.key, a.value))
            .collect();
        text += &item(&format!(
            "not in the station file: {}. `fillstead station check {}` gives the reasons.",
            keys.join(", "),
            answer.file.name
        ));
    }
    text
}

/// A gas space, with as many digits as it deserves.
fn litres(say: Say, litres: f64) -> String {
    match say.units {
        UnitSystem::Metric if litres < 1.0 => format!("{litres:.2} L"),
        _ => say.water_volume(litres),
    }
}
