//! How much water the drying bed holds, and how long it lasts, here and in other air.
//!
//! Nothing here speaks of the air's fitness: it is computed, not measured.

use insight::forecast::answer::Forecast;
use insight::water::answer::{PurifierAnswer, Range};
use station::Station;

use super::water::table;
use crate::cli::render::page::{Table, item, paragraph};
use crate::cli::render::units::{Say, grams, hours, percent};

/// Hours below which a bed is spent.
const SPENT_H: f64 = 0.05;

/// The drying bed, where the station file describes one.
pub fn text(say: Say, forecast: &Forecast, station: Option<&Station>) -> String {
    let Some(bed) = &forecast.purifier else {
        return String::new();
    };
    let (before, after) = (grams(bed.held_before_g), grams(bed.held_g));
    let holds = format!("{before} of water before the run, {after} after it");
    let mut rows = vec![("holds", holds)];
    rows.extend(bed.crept_in_g.map(|crept| ("crept in", crept_in(crept))));
    rows.push(("left", left(bed)));
    rows.extend(bed.over_a_year_h.map(|h| ("over a year", over_a_year(h))));
    rows.push(("leaving it", leaving(say, bed)));
    rows.push(("counted to", bed.limit.clone()));
    rows.push(("but", maker(station)));
    let notes: String = bed.notes.iter().map(|n| item(&format!("{n}."))).collect();
    format!("Drying bed\n{}{notes}{}", table(rows), rooms(say, bed))
}

fn crept_in(crept: Range) -> String {
    let (low, mid, high) = (grams(crept.low), grams(crept.mid), grams(crept.high));
    format!("about {mid} while it stood ({low} to {high}): an estimate, counted in what it holds")
}

fn left(bed: &PurifierAnswer) -> String {
    let left = bed.remaining_h;
    if left.high < SPENT_H {
        return "NOTHING: it lets water through; change it before filling".to_owned();
    }
    let (low, mid, high) = (hours(left.low), hours(left.mid), hours(left.high));
    format!(
        "about {mid} running hours like this run ({low} to {high}); how many depends mostly on {}",
        bed.mostly
    )
}

fn over_a_year(year: Range) -> String {
    let (low, mid, high) = (hours(year.low), hours(year.mid), hours(year.high));
    format!("about {mid} h ({low} to {high}) between the coldest and the warmest month")
}

/// The air behind the bed, as computed.
fn leaving(say: Say, bed: &PurifierAnswer) -> String {
    let mass = match bed.outlet_mg_m3 {
        trace if trace < 0.1 => "under 0.1 mg/m³".to_owned(),
        some if some < 100.0 => format!("{some:.1} mg/m³"),
        much => format!("{much:.0} mg/m³"),
    };
    // Air this dry holds less than 1 mg/m³; more of it has no frost point to be told here.
    let wet = bed.outlet_frost_point_or_below && bed.outlet_mg_m3 > 1.0;
    let point = say.temperature(bed.outlet_frost_point_c);
    let frost = match (wet, bed.outlet_frost_point_or_below) {
        (true, _) => String::new(),
        (_, true) => format!("frost point {point} or below at 1 atm, "),
        (_, false) if bed.outlet_frost_point_c >= 0.0 => format!("dew point {point} at 1 atm, "),
        (_, false) => format!("frost point {point} at 1 atm, "),
    };
    format!("{frost}{mass} of water at 20 °C and 1 atm; computed, not measured")
}

/// What the maker allows, and how much of it is used up.
fn maker(station: Option<&Station>) -> String {
    let limit = "the maker's limit holds where it comes first";
    let Some(rated) = station.and_then(|s| s.purifier.rated_hours) else {
        return limit.to_owned();
    };
    let (rated, used) = (rated.as_hour(), station.and_then(used_h));
    match used {
        Some(used) if used >= rated => {
            format!("the maker allows {rated:.0} h, and {used:.0} h have run: CHANGE IT")
        }
        Some(used) => {
            format!("the maker allows {rated:.0} h, and {used:.0} h have run; {limit}")
        }
        None => format!("the maker allows {rated:.0} h; {limit}"),
    }
}

/// Hours since the cartridge was changed.
fn used_h(station: &Station) -> Option<f64> {
    let (now, then) = (station.now.hours?, station.purifier.changed_at_hours?);
    Some((now.as_hour() - then.as_hour()).max(0.0))
}

/// Hours in other rooms, and why they differ.
fn rooms(say: Say, bed: &PurifierAnswer) -> String {
    if bed.remaining_h.mid < SPENT_H || bed.rooms.is_empty() {
        return String::new();
    }
    let mut table = Table::new(2).right(1..=bed.rooms.len());
    let mut row = |name: &str, cells: Vec<String>| {
        table.row(std::iter::once(name.to_owned()).chain(cells));
    };
    let rooms = || bed.rooms.iter();
    let at_20 = say.temperature(20.0);
    row(
        "at the machine",
        rooms().map(|r| say.temperature(r.air_c)).collect(),
    );
    row(
        "hours left",
        rooms().map(|r| format!("{} h", hours(r.hours))).collect(),
    );
    row(
        &format!("against {at_20}"),
        rooms().map(|r| percent(r.relative_to_20c)).collect(),
    );
    let why = "Warmer air carries more water to the bed, and a warmer bed holds less of it.";
    format!(
        "  In other air, all else as in this run:\n{}{}",
        table.text(),
        paragraph(2, why)
    )
}
