//! The foot of the page: the worth of the PMV, why the run ended, what was assumed, cautions.

use insight::forecast::answer::{Forecast, WithoutPmv};

use crate::cli::render::page::{Table, item, paragraph};
use crate::cli::render::units::{Say, grams, percent, time};
use crate::usecase::forecast::Answer;
use crate::words::counted;

/// This run with a pressure maintaining valve, and without one.
pub fn without_pmv(say: Say, forecast: &Forecast) -> String {
    let passed = |w: &&WithoutPmv| w.first_air_s.0.or(w.first_air_s.1).is_some();
    let Some(without) = forecast.without_pmv.as_ref().filter(passed) else {
        return String::new();
    };
    let clock = |t: Option<f64>| t.map_or("never".to_owned(), time);
    let lowest = |bar: Option<f64>| bar.map_or("-".to_owned(), |bar| say.pressure(bar));
    let (first, full) = (without.first_air_s, without.full_s);
    let (low, below) = (without.lowest_tower_bar, without.share_below_opening);
    let mut table = Table::new(2).right([1, 2]);
    let mut row = |name: &str, with: String, without: String| {
        table.row([name.to_owned(), with, without]);
    };
    row("", "with".to_owned(), "without".to_owned());
    row("first air into the whip", clock(first.0), clock(first.1));
    row("everything full", clock(full.0), clock(full.1));
    let name = "lowest tower pressure while air passes";
    row(name, lowest(low.0), lowest(low.1));
    let name = "air that passed below the PMV's opening pressure";
    row(name, percent(below.0), percent(below.1));
    if let Some((with, without)) = without.to_purifier_g {
        row("water to the purifier", grams(with), grams(without));
    }
    format!(
        "What the PMV earns (this run; without one the tower begins empty)\n{}{}",
        table.text(),
        paragraph(2, &worth(without))
    )
}

/// What it keeps out of the purifier.
fn worth(without: &WithoutPmv) -> String {
    let why = "the lower the pressure, the more water the same air carries on";
    match without.to_purifier_g {
        Some((with, without)) if without > with => format!(
            "The PMV keeps {} of water out of the purifier, {} of what came without it: {why}.",
            grams(without - with),
            percent((without - with) / without)
        ),
        Some(_) => "In this run the PMV keeps no water out of the purifier.".to_owned(),
        None => format!("How much water it keeps out is not known here; {why}."),
    }
}

/// Why it ended, and how well the sums come out.
pub fn balance(say: Say, forecast: &Forecast) -> String {
    let b = &forecast.balance;
    let mut text = format!("The run ended: {}.", because(&forecast.stopped_because));
    text += &format!(
        " The compressor delivered {} of air for {:.2} kWh of work on it.",
        say.mass(b.delivered_kg),
        b.work_kwh
    );
    let out: Vec<String> = b
        .let_out_kg
        .iter()
        .map(|(name, kg)| format!("{} by the {name}", say.mass(*kg)))
        .collect();
    if !out.is_empty() {
        text += &format!(" Let out: {}.", out.join(", "));
    }
    text += &format!(
        " What came, went and remained balances to {} of the mass and {} of the energy.",
        residual(b.mass),
        residual(b.energy)
    );
    text += &match forecast.members {
        1 => " One run stands behind the bands.".to_owned(),
        members => {
            format!(" {members} runs within the station's tolerances stand behind the bands.")
        }
    };
    let failed = &forecast.members_failed;
    if let Some(first) = failed.first() {
        text += &format!(
            " {} could not be finished and are left out; the first because {first}.",
            counted(failed.len(), "run")
        );
    }
    paragraph(0, &text)
}

/// How far a sum is off; what lies below the last digit of a number says nothing more.
fn residual(share: f64) -> String {
    match share.abs() {
        small if small < 1e-12 => "1e-12".to_owned(),
        share => format!("{share:.0e}"),
    }
}

/// A reason without its full stop.
fn because(reason: &str) -> &str {
    reason.trim_end_matches('.')
}

/// What was taken for granted by the forecast, then by the station file.
pub fn assumed(answer: &Answer) -> String {
    let mut text = String::from("Assumed\n");
    for a in &answer.forecast.assumed {
        text += &item(&format!("{} ({}).", a.what, because(&a.why)));
    }
    text +=
        &item("pressures and times are computed with dry air; the water is followed beside them.");
    let file = &answer.file;
    let keys: Vec<String> = file
        .reading
        .assumed
        .iter()
        .map(|a| format!("{} {}", a.key, a.value))
        .collect();
    if !keys.is_empty() {
        text += &item(&format!(
            "not in the station file: {}. `fillstead station check {}` gives the reasons.",
            keys.join(", "),
            file.name
        ));
    }
    if file.warnings() > 0 {
        text += &item(&format!(
            "the station file has {}: `fillstead station check {}` shows it.",
            counted(file.warnings(), "warning"),
            file.name
        ));
    }
    text
}

const CAUTIONS: [&str; 7] = [
    "Stop at the gauge, not at the clock: this is a calculation, not a measurement.",
    "Bleed the whip to zero before undoing it, and leave the bleed open until it is off. Never undo \
     anything under pressure.",
    "Open drains slowly and stand clear: they blow oil and water at full pressure.",
    "Stand clear of hose ends and of the outlets of relief valve and burst disc.",
    "Set valves only as the maker's manual says. Never plug, cap or tighten a relief valve or disc.",
    "Fill only cylinders that are in test and fit for air; never above the pressure stamped on them.",
    "Nothing here says that the air is fit to breathe; only an air test can. The maker's manual, \
     local codes and competent persons decide.",
];

/// Where the hand is.
pub fn cautions() -> String {
    let items: String = CAUTIONS.iter().map(|caution| item(caution)).collect();
    format!("At the machine\n{items}")
}
