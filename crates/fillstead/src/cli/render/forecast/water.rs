//! Where the water goes, when to drain, and what other settings of the PMV would do to it.
//!
//! Small amounts are in grams and millilitres in either system. Not here: the drying bed
//! ([`super::bed`]).

use insight::forecast::answer::Forecast;
use insight::water::answer::{PmvSetting, Range, WaterAnswer};
use station::Station;

use crate::cli::render::page::{Table, paragraph};
use crate::cli::render::units::{Say, grams, hours, percent, time};

/// Longest interval worth telling, min: beyond it a run ends before the sump fills.
const LONG_MIN: f64 = 1000.0;

/// The water of the run as specified; why it is not followed, where it is not.
pub fn text(forecast: &Forecast, station: Option<&Station>) -> String {
    match (&forecast.water, &forecast.water_missing) {
        (Some(water), _) => followed(water, station),
        (None, Some(why)) => format!("Water\n{}", paragraph(2, &sentence(why))),
        (None, None) => String::new(),
    }
}

/// With a capital and a full stop.
fn sentence(why: &str) -> String {
    let mut letters = why.trim_end_matches('.').chars();
    let first = letters.next().map(|c| c.to_uppercase().to_string());
    format!("{}{}.", first.unwrap_or_default(), letters.as_str())
}

fn followed(w: &WaterAnswer, station: Option<&Station>) -> String {
    let mut rows = vec![
        ("drawn in", format!("{} as vapour", grams(w.intake_g))),
        ("condensed", condensed(w)),
        ("caught", caught(w)),
    ];
    if w.overflow_g > 0.0 {
        let warning = "THE SUMP RUNS OVER: water and oil go on into the purifier";
        rows.push(("", warning.to_owned()));
    }
    rows.push(("to the purifier", to_purifier(w)));
    rows.extend(w.to_cylinder_g.map(|g| ("past the bed", grams(g))));
    rows.push(("drain", drain(w, station)));
    if w.drains.is_empty() {
        rows.push(("", "no drain in this run".to_owned()));
    }
    format!("Water (today's air; the run as specified)\n{}", table(rows))
}

/// Rows of a name and a text.
pub fn table(rows: Vec<(&str, String)>) -> String {
    let mut table = Table::new(2);
    for (name, text) in rows {
        table.row([name.to_owned(), text]);
    }
    table.text()
}

fn condensed(w: &WaterAnswer) -> String {
    let each: Vec<String> = w.condensed_g.iter().map(|g| grams(*g)).collect();
    match w.condensed_g.iter().sum::<f64>() {
        none if none < 0.0005 => "nothing".to_owned(),
        _ => format!("{} after the stages, first to last", each.join(", ")),
    }
}

fn caught(w: &WaterAnswer) -> String {
    format!(
        "{}; the sump held {:.0} of {:.0} mL at most, oil with it",
        grams(w.separator_g),
        w.sump_ml,
        w.sump_capacity_ml
    )
}

/// How much, in which shape, and how well that is known.
fn to_purifier(w: &WaterAnswer) -> String {
    let vapour_g = (w.to_purifier_g - w.carried_g - w.overflow_g).max(0.0);
    let mut text = format!(
        "{}: {} as vapour (known to {}; the ideal-gas law would say {})",
        grams(w.to_purifier_g),
        grams(vapour_g),
        percent(w.uncertainty),
        grams(w.to_purifier_ideal_g)
    );
    let liquid = [
        (w.carried_g, "as drops the separator missed"),
        (w.overflow_g, "over the top of a full sump"),
    ];
    for (g, what) in liquid.iter().filter(|(g, _)| *g >= 0.0005) {
        text += &format!(", {} {what}", grams(*g));
    }
    if w.below_pmv_g >= 0.0005 {
        text += &format!(
            "; {} of it all while the tower stood below the PMV's opening",
            grams(w.below_pmv_g)
        );
    }
    text
}

/// Today's interval, how it comes about, and the station's own beside it.
fn drain(w: &WaterAnswer, station: Option<&Station>) -> String {
    let Some(minutes) = w.drain_interval_min.filter(|m| *m < LONG_MIN) else {
        return "hardly any water comes: when the machine stops".to_owned();
    };
    let usual = station.map(|s| s.separator.drain_interval.as_minute());
    let beside = match usual {
        Some(usual) if usual > minutes => {
            format!(" SHORTER THAN THE STATION'S {usual:.0} min: drain more often today.")
        }
        Some(usual) => format!(" The station's own {usual:.0} min is shorter: keep to it."),
        None => String::new(),
    };
    let every = every(minutes, w.drain_interval);
    format!("{every}.{beside} How it is reckoned: {}.", w.drain_rule)
}

/// `every 31 min (22 to 45)`
fn every(minutes: f64, range: Option<Range>) -> String {
    let end = |minutes: f64| match minutes {
        known if known < LONG_MIN => format!("{known:.0}"),
        _ => "more".to_owned(),
    };
    let between = range.map_or(String::new(), |r| {
        format!(" ({} to {})", end(r.low), end(r.high))
    });
    format!("every {minutes:.0} min{between}")
}

/// Other settings of the PMV, where they were asked for.
pub fn settings(say: Say, forecast: &Forecast, station: Option<&Station>) -> String {
    if forecast.pmv_settings.is_empty() {
        return String::new();
    }
    let fitted = station.and_then(|s| s.pmv.as_ref());
    let is_fitted =
        |s: &PmvSetting| fitted.is_some_and(|p| (p.opens.as_bar() - s.opens_bar).abs() < 0.05);
    let mut table = Table::new(2).right(0..7);
    let head = [
        "opens",
        "closes",
        "to purifier",
        "of it below",
        "drain every",
        "new bed lasts",
        "full at",
    ];
    table.row(head.map(str::to_owned).into_iter().chain([String::new()]));
    for s in &forecast.pmv_settings {
        let mark = if is_fitted(s) { "as fitted" } else { "" };
        let cells = setting(say, s);
        table.row(cells.into_iter().chain([mark.to_owned()]));
    }
    format!(
        "Other settings of the PMV (this run with each, the tower starting where it closes)\n{}{}",
        table.text(),
        paragraph(
            2,
            "Computed only: the valve is set as the maker's manual says, by someone trained to do \
             it."
        )
    )
}

fn setting(say: Say, s: &PmvSetting) -> [String; 7] {
    let interval = s.drain_interval_min.filter(|m| *m < LONG_MIN);
    [
        say.exact(s.opens_bar),
        say.exact(s.closes_bar),
        grams(s.to_purifier_g),
        grams(s.below_pmv_g),
        interval.map_or("-".to_owned(), |m| format!("{m:.0} min")),
        s.cartridge_h
            .map_or("-".to_owned(), |h| format!("{} h", hours(h.mid))),
        s.full_s.map_or("never".to_owned(), time),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cli::render::forecast::example;

    fn water(change: impl FnOnce(&mut WaterAnswer)) -> String {
        let mut forecast = example::forecast();
        if let Some(water) = &mut forecast.water {
            change(water);
        }
        text(&forecast, None)
    }

    #[test]
    fn where_nothing_condenses_no_interval_is_told() {
        let dry = water(|w| {
            (w.condensed_g, w.drains) = (vec![0.0, 0.0], Vec::new());
            (w.drain_interval_min, w.drain_interval) = (None, None);
        });
        for said in [
            "condensed        nothing",
            "hardly any water comes",
            "no drain",
        ] {
            assert!(dry.contains(said), "{said}: {dry}");
        }
        assert!(!dry.contains("every"), "{dry}");
    }

    #[test]
    fn an_end_that_is_far_off_is_no_figure() {
        let wide = Range {
            low: 20.0,
            mid: 30.0,
            high: f64::INFINITY,
        };
        assert_eq!(every(30.0, Some(wide)), "every 30 min (20 to more)");
        assert_eq!(every(30.0, None), "every 30 min");
    }

    #[test]
    fn without_water_the_reason_stands_there() {
        let mut forecast = example::forecast();
        (forecast.water, forecast.water_missing) = (None, Some("the air is colder".into()));
        assert_eq!(text(&forecast, None), "Water\n  The air is colder.\n");
    }
}
