//! How each cylinder ends: when it is full, what it settles to, how much air is in it.

use insight::forecast::answer::{Band, CylinderEnd, Forecast};

use crate::cli::render::page::{Table, paragraph};
use crate::cli::render::units::{Say, percent, time};

/// A block for each cylinder.
pub fn text(say: Say, forecast: &Forecast) -> String {
    let blocks: Vec<String> = forecast
        .cylinders
        .iter()
        .map(|c| block(say, forecast, c))
        .collect();
    blocks.join("\n")
}

fn block(say: Say, forecast: &Forecast, c: &CylinderEnd) -> String {
    let highest = highest(forecast, c);
    let above = highest > c.rated_bar + 0.5;
    let mut rows = vec![
        (
            "stop at",
            format!("{} on its gauge", say.exact_both(c.stop_bar)),
        ),
        ("full at", full(forecast, c)),
    ];
    if above {
        let warning = "ABOVE ITS RATING; never let it come to that";
        rows.push(("highest", format!("{}: {warning}", say.both(highest))));
    }
    let [usual, other] = say.in_usual_order(
        settles(say, c.settled_bar_15c, c.settled_15c, say.at_15c()),
        settles(say, c.settled_bar_21c, c.settled_21c, say.at_21c()),
    );
    let (gas, wall) = (say.temperature(c.gas_c_max), say.temperature(c.wall_c_max));
    rows.extend([("settles to", usual), ("", other)]);
    rows.extend(overfilled(say, c, above).map(|text| ("", text)));
    let fastest = format!("{} a minute", say.pressure(c.fastest_bar_min));
    rows.extend([
        ("hottest", format!("gas {gas}, wall {wall}")),
        ("fastest rise", fastest),
        ("air", air(say, c)),
    ]);
    let mut table = Table::new(2);
    for (name, text) in rows {
        table.row([name.to_owned(), text]);
    }
    let information = if above || overfilled(say, c, above).is_some() {
        String::new()
    } else {
        for_information(say, c)
    };
    head(say, c) + &table.text() + &information
}

fn head(say: Say, c: &CylinderEnd) -> String {
    let volume = say.water_volume(c.water_litres);
    let kind = if c.kind == c.id {
        String::new()
    } else {
        format!("{}, ", c.kind)
    };
    paragraph(
        0,
        &format!("{} ({kind}{volume} water volume, rated {})", c.id, c.rated),
    )
}

/// How much air is in it; free air is counted at 15 °C and 1 atm.
fn air(say: Say, c: &CylinderEnd) -> String {
    let added = if c.air_added_kg > 0.0 {
        say.mass(c.air_added_kg)
    } else {
        "nothing".to_owned()
    };
    let free = say.free_air(c.free_litres);
    format!(
        "{}, {added} of it put in; {free} of free air at {} and 1 atm",
        say.mass(c.air_kg),
        say.temperature(15.0)
    )
}

fn full(forecast: &Forecast, c: &CylinderEnd) -> String {
    let share = forecast
        .events
        .iter()
        .find(|e| e.kind == "full" && e.cylinder.as_deref() == Some(&c.id))
        .map_or(1.0, |e| e.share);
    let Some(full_s) = c.full_s else {
        return "it does not get there".to_owned();
    };
    let mut text = time(full_s);
    if let Some(band) = c.full {
        let (low, high) = (time(band.low), time(band.high));
        if low != high {
            text += &format!(" ({low} to {high} in 90 % of runs)");
        }
    }
    if share < 1.0 {
        text += &format!("; in {} of runs it gets there", percent(share));
    }
    text
}

fn settles(say: Say, bar: f64, band: Band, at: &str) -> String {
    let range = say.range(band);
    let range = match range == say.number(bar) {
        true => String::new(),
        false => format!(", {range} in 90 % of runs"),
    };
    format!("{} at {at}{range}", say.both(bar))
}

/// The highest pressure of any reading of the run as specified.
fn highest(forecast: &Forecast, c: &CylinderEnd) -> f64 {
    let readings = forecast.samples.iter().flat_map(|sample| &sample.cylinders);
    readings
        .filter(|r| r.id == c.id)
        .map(|r| r.bar)
        .fold(0.0, f64::max)
}

/// Cold air fills a cylinder beyond its rating, though no gauge shows it: where to stop instead.
fn overfilled(say: Say, c: &CylinderEnd, above: bool) -> Option<String> {
    let settled = if c.reference_c < 18.0 {
        c.settled_bar_15c
    } else {
        c.settled_bar_21c
    };
    if settled <= c.rated_bar + 0.5 {
        return None;
    }
    let stop = say.both(c.stop_for_rating_bar.min(c.rated_bar));
    Some(match above {
        true => "MORE THAN ITS RATING".to_owned(),
        false => format!("MORE THAN ITS RATING: in this cold stop at {stop} or below"),
    })
}

/// What the gauge would have to show: never an instruction.
fn for_information(say: Say, c: &CylinderEnd) -> String {
    if c.full_s.is_none() || c.stop_for_rating_bar <= c.rated_bar + 0.5 {
        return String::new();
    }
    let at = say.at_reference(c.reference_c);
    paragraph(
        2,
        &format!(
            "For information only: it would settle to {} at {at} from {} on the gauge. Never fill \
             above the rating: let it cool, then top up.",
            c.rated,
            say.both(c.stop_for_rating_bar)
        ),
    )
}
