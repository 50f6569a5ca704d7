//! What is due, what moves, what a fill costs, on paper.

use insight::logged::RunWater;
use insight::upkeep::{DueItem, Item, State};
use insight::water::answer::Range;

use crate::cli::render::book::{INVENTED, title};
use crate::cli::render::page::{Table, item, paragraph};
use crate::cli::terminal::harmless;
use crate::usecase::book::cost::CostPage;
use crate::usecase::book::drift::{CartridgePage, DriftPage, Trend};
use crate::usecase::book::due::DuePage;
use crate::words::capital;

/// The list of what is due; cylinders in time are counted only, unless `all` are wanted.
pub fn due(page: &DuePage, all: bool) -> String {
    let mut text = title("What is due", &page.station, page.invented);
    text += &format!("As of {}.\n", page.today);
    for lock in &page.locked {
        text += &item(&format!("FILLING IS LOCKED: {lock}."));
    }
    for (heading, states) in [
        ("Over or due now", &[State::Over, State::Due][..]),
        ("Never recorded", &[State::NeverRecorded]),
        ("Soon", &[State::Soon]),
        ("In time", &[State::InTime]),
        ("No interval known", &[State::NoInterval]),
    ] {
        let (told, counted): (Vec<&DueItem>, Vec<&DueItem>) = page
            .items
            .iter()
            .filter(|row| states.contains(&row.state))
            .partition(|row| all || row.item != Item::Cylinder || row.state != State::InTime);
        if told.is_empty() && counted.is_empty() {
            continue;
        }
        text += &format!(
            "
{heading}
"
        );
        text += &told.into_iter().map(of_item).collect::<String>();
        if !counted.is_empty() {
            let n = counted.len();
            text += &item(&format!(
                "{n} examinations of cylinders, which --all shows one by one."
            ));
        }
    }
    for remark in &page.remarks {
        text += &item(&format!("{remark}."));
    }
    text += "\nThe maker's manual, the law and the test house decide; this list only counts.\n";
    harmless(&text)
}

fn of_item(row: &DueItem) -> String {
    let mut text = item(&row.sentence);
    let source = [row.source.as_deref(), row.certainty.as_deref()];
    let source: Vec<&str> = source.into_iter().flatten().collect();
    if !source.is_empty() {
        text += &paragraph(4, &format!("Source: {}.", source.join("; ")));
    }
    for hint in &row.hints {
        let said = format!(
            "Others: {} ({}, {}; {}).",
            hint.text, hint.document, hint.edition, hint.certainty
        );
        text += &paragraph(4, &said);
    }
    text
}

/// How settings move.
pub fn drift(page: &DriftPage) -> String {
    let mut text = title("Drift", &page.station, page.invented);
    text += &format!("As of {}.\n", page.today);
    for trend in &page.trends {
        text += &of_trend(trend);
    }
    for remark in &page.remarks {
        text += &item(&format!("{remark}."));
    }
    if let Some(trend) = page.trends.first() {
        text += &format!(
            "\n{}",
            paragraph(0, &format!("How: {}.", trend.answer.method))
        );
    }
    text +=
        "Turn no valve by this: it is set only as its maker's manual says, by someone trained.\n";
    harmless(&text)
}

fn of_trend(trend: &Trend) -> String {
    let answer = &trend.answer;
    let mut text = format!("\n{}\n", capital(answer.setting.called()));
    text += &paragraph(2, &answer.sentence);
    let mut table = Table::new(2);
    let unit = if answer.unit == "bar" { " bar" } else { "" };
    let digits = if answer.unit == "bar" { 1 } else { 3 };
    let range = |low: f64, mid: f64, high: f64| {
        format!("{mid:.digits$}{unit}, {low:.digits$} to {high:.digits$}{unit} (90 %)")
    };
    if let Some(level) = &answer.level {
        table.row(["today".to_owned(), range(level.low, level.mid, level.high)]);
    }
    if let Some(slope) = &answer.per_year {
        table.row(["a year".to_owned(), range(slope.low, slope.mid, slope.high)]);
    }
    if let Some(slope) = &answer.per_100_running_h {
        table.row([
            "in 100 h".to_owned(),
            range(slope.low, slope.mid, slope.high),
        ]);
    }
    if let Some(on) = &trend.crosses_on {
        let from = trend.crosses_from.as_deref().unwrap_or("now");
        table.row([
            "leaves tolerance".to_owned(),
            format!("about {on}, perhaps from {from}"),
        ]);
    }
    let counted = answer.readings;
    table.row(["readings".to_owned(), counted.to_string()]);
    text + &table.text()
}

/// The cartridge as the logged runs left it.
pub fn cartridge(page: &CartridgePage) -> String {
    let mut text = title("Cartridge", &page.station, page.invented);
    let Some(found) = &page.cartridge else {
        return text + "The station file describes no drying bed: nothing can be counted.\n";
    };
    let since = page.since.as_deref().unwrap_or("the beginning of the book");
    text += &paragraph(
        0,
        &format!(
            "Since {since}: {} runs, {:.1} h, {:.0} m3 of free air. It holds {} of water; {:.1} g as \
             delivered.",
            found.runs.len(),
            found.running_h,
            found.free_air_litres / 1000.0,
            ranged(found.held_g, 1, " g"),
            found.held_fresh_g
        ),
    );
    let left = match found.hours_left {
        Some(hours) => format!(
            "At {:.0} °C and {:.0} % humidity it lasts another {}, by the water it takes.",
            found.today_c,
            found.today_humidity * 100.0,
            ranged(hours, 0, " h")
        ),
        None => "Today's air is beyond what the models know: no hours are given.".to_owned(),
    };
    text += &paragraph(0, &left);
    if let (Some(rated), Some(left)) = (found.rated_h, found.rated_left_h) {
        text += &paragraph(
            0,
            &format!(
                "The maker's limit is {rated:.0} h: {left:.1} h are left of it. The shorter counts."
            ),
        );
    }
    text += &latest_runs(&found.runs);
    for note in &found.notes {
        text += &item(&format!("{note}."));
    }
    text += &item("A computation from what was written down: only an air test speaks of the air.");
    harmless(&text)
}

/// The runs the cartridge met last.
fn latest_runs(runs: &[RunWater]) -> String {
    let mut table = Table::new(2).right([1, 2, 3, 4, 5]);
    let heads = [
        "run",
        "min",
        "intake",
        "to purifier",
        "condensate",
        "drained",
    ];
    table.row(heads.map(str::to_owned));
    for run in runs.iter().skip(runs.len().saturating_sub(10)) {
        let drained = run.drained_ml.map(|ml| format!("{ml:.0} mL"));
        table.row([
            run.name.clone(),
            format!("{:.0}", run.ran_min),
            format!("{:.0} °C", run.intake_c),
            format!("{:.2} g", run.to_purifier_g),
            format!("{:.0} mL", run.condensate_ml),
            drained.unwrap_or_else(|| "-".to_owned()),
        ]);
    }
    format!("\nThe latest runs\n{}", table.text())
}

fn ranged(range: Range, digits: usize, unit: &str) -> String {
    format!(
        "{:.digits$}{unit} ({:.digits$} to {:.digits$})",
        range.mid, range.low, range.high
    )
}

/// What a fill costs.
pub fn cost(page: &CostPage) -> String {
    let cost = &page.cost;
    let mut text = format!(
        "What the fill of entry {} takes, {}\n",
        page.entry, page.when
    );
    if cost.invented {
        text += INVENTED;
    }
    text += &paragraph(2, &page.line);
    text.push('\n');
    let mut table = Table::new(2);
    for line in &cost.lines {
        let money = match &line.money {
            Some(money) => format!(
                "{:.2} {} ({:.2} to {:.2})",
                money.mid, money.currency, money.low, money.high
            ),
            None => "no price in the book".to_owned(),
        };
        table.row([
            line.what.to_owned(),
            format!("{:.3} {}", line.amount.mid, line.unit),
            money,
            line.how.clone(),
        ]);
    }
    for total in &cost.totals {
        table.row([
            "together".to_owned(),
            String::new(),
            format!("{:.2} {}", total.mid, total.currency),
            format!("{:.2} to {:.2}", total.low, total.high),
        ]);
    }
    text += &table.text();
    text += &item(&format!(
        "{:.2} kg of air into the cylinder, {:.0} L of free air at 15 °C.",
        cost.air_kg, cost.free_air_litres
    ));
    for assumed in &cost.assumed {
        text += &item(&format!("{assumed}."));
    }
    harmless(&text)
}
