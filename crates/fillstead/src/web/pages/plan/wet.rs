//! The water's figures in words: drains, the purifier, what the PMV keeps out of it.

use insight::forecast::answer::Forecast;
use insight::logged::CartridgeAnswer;
use insight::water::answer::{PurifierAnswer, Range};
use station::Station;

use crate::draw::figures::{Figures, grams, short, time};
use crate::web::page::sentence;

/// How often to drain, and how that was found.
pub fn drain_rule(water: &insight::water::answer::WaterAnswer, station: &Station) -> String {
    let own = station.separator.drain_interval.as_minute();
    let today = water
        .drain_interval_min
        .map(|m| format!("Drain every {} min in today's air. ", short(m.floor(), 0)));
    let shorter = water.drain_interval_min.is_some_and(|m| own < m);
    let keep = if shorter {
        format!(
            "The station's own {} min is shorter: keep to it. ",
            short(own, 0)
        )
    } else {
        String::new()
    };
    format!(
        "{}{keep}{} The sump held {} of {} mL at most.",
        today.unwrap_or_default(),
        sentence(&water.drain_rule),
        short(water.sump_ml, 0),
        short(water.sump_capacity_ml, 0)
    )
}

/// Hours as people say them.
fn hours(range: Range) -> String {
    let digits = usize::from(range.mid < 9.95);
    format!(
        "about {} h ({} to {})",
        short(range.mid, digits),
        short(range.low, digits),
        short(range.high, digits)
    )
}

/// The cartridge: by the book, and after this run.
pub fn purifier(
    logged: Option<&CartridgeAnswer>,
    forecast: &Forecast,
    figures: Figures,
) -> Vec<(&'static str, String)> {
    let mut rows = Vec::new();
    if let Some(logged) = logged {
        let held = logged.held_g;
        rows.push((
            "By the book",
            format!(
                "{} g of water in it ({} to {}) after {} running hours, as the runs on record left it",
                grams(held.mid), grams(held.low), grams(held.high), short(logged.running_h, 1)
            ),
        ));
        if let Some(left) = logged.hours_left {
            rows.push((
                "Left by the book",
                format!("{} of the machine, on runs like the last ones", hours(left)),
            ));
        }
        if let Some(left) = logged.rated_left_h {
            rows.push((
                "By the maker's hours",
                format!(
                    "{} h left; the limit that comes first holds",
                    short(left, 1)
                ),
            ));
        }
    }
    if let Some(water) = &forecast.water {
        rows.push((
            "This run brings",
            format!("{} g of water to it", grams(water.to_purifier_g)),
        ));
    }
    if let Some(bed) = &forecast.purifier {
        rows.extend(of_bed(bed, figures));
    }
    rows
}

fn of_bed(bed: &PurifierAnswer, figures: Figures) -> Vec<(&'static str, String)> {
    let left = match bed.remaining_h.high < 0.05 {
        true => "NOTHING: it lets water through; change it before filling".to_owned(),
        false => format!(
            "{} of the machine, on runs like this one; how many depends mostly on {}",
            hours(bed.remaining_h),
            bed.mostly
        ),
    };
    let below = if bed.outlet_frost_point_or_below {
        " or below"
    } else {
        ""
    };
    let mut rows = vec![
        (
            "After this run",
            format!(
                "{} g held, from {} g before it: its hours run at air like today's",
                grams(bed.held_g),
                grams(bed.held_before_g)
            ),
        ),
        ("Left in today's air", left),
        (
            "Leaving it",
            format!(
                "frost point {}{below} at 1 atm; computed, not measured",
                figures.temperature(bed.outlet_frost_point_c)
            ),
        ),
        ("Counted to", bed.limit.clone()),
    ];
    rows.extend(bed.notes.iter().map(|note| ("Note", sentence(note))));
    rows
}

/// This run with a pressure maintaining valve, and without one.
pub fn pmv(forecast: &Forecast, figures: Figures) -> Vec<[String; 3]> {
    let Some(w) = &forecast.without_pmv else {
        return Vec::new();
    };
    let clock = |t: Option<f64>| t.map_or("never".to_owned(), time);
    let bar = |bar: Option<f64>| {
        bar.map_or("-".to_owned(), |bar| {
            format!("{} {}", figures.read(bar), figures.unit())
        })
    };
    let share = |x: f64| format!("{:.0} %", x * 100.0);
    let row = |name: &str, with: String, without: String| [name.to_owned(), with, without];
    let mut rows = vec![
        row(
            "First air into the hose",
            clock(w.first_air_s.0),
            clock(w.first_air_s.1),
        ),
        row("Everything full", clock(w.full_s.0), clock(w.full_s.1)),
        row(
            "Lowest tower pressure while air passes",
            bar(w.lowest_tower_bar.0),
            bar(w.lowest_tower_bar.1),
        ),
        row(
            "Air below the PMV's opening pressure",
            share(w.share_below_opening.0),
            share(w.share_below_opening.1),
        ),
    ];
    if let Some((with, without)) = w.to_purifier_g {
        rows.push(row(
            "Water to the purifier",
            format!("{} g", grams(with)),
            format!("{} g", grams(without)),
        ));
    }
    rows
}
