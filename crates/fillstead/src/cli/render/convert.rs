//! An amount in every way people write it, both unit systems side by side.

use insight::convert::{Converted, Points, Substance};
use quantity::{GaugePressure, Temperature};

use crate::cli::render::page::{Table, item};
use crate::cli::render::units::percent;
use crate::cli::terminal::harmless;

/// The page.
pub fn text(c: &Converted) -> String {
    let mut table = Table::new(2);
    if let Some(ppm) = c.ppm {
        table.row(["by volume".to_owned(), format!("{} ppm", figure(ppm))]);
    }
    let by_mass = format!("{} mg/m³ of air at 20 °C and 1 atm", figure(c.mg_m3));
    table.row(["by mass".to_owned(), by_mass]);
    if let Some(mg_kg) = c.mg_kg {
        let per_kg = format!("{} mg per kg of air", figure(mg_kg));
        table.row([String::new(), per_kg]);
    }
    let mut page = format!("{}: {}\n{}", name(c.of), c.understood_as, table.text());
    if let Some(at) = &c.at_1_atm {
        page += &format!("\nAt 1 atm\n{}", points(at));
    }
    if let Some(at) = &c.at_pressure {
        page += &format!("\nAt {} on the gauge\n{}", gauge(at.gauge_bar), points(at));
    }
    page += "\nNotes\n";
    for note in &c.notes {
        page += &item(&format!("{note}."));
    }
    page += &item(
        "Figures turned into figures: whether air is fit to breathe only an air test and the \
         standard that applies can tell.",
    );
    harmless(&page)
}

fn name(of: Substance) -> &'static str {
    match of {
        Substance::Water => "Water",
        Substance::Co => "Carbon monoxide",
        Substance::Co2 => "Carbon dioxide",
        Substance::Oil => "Oil",
    }
}

/// `200 bar (2901 psi)`
fn gauge(bar: f64) -> String {
    format!("{bar:.0} bar ({:.0} psi)", GaugePressure::bar(bar).as_psi())
}

/// Dew and frost point and humidity at one pressure.
fn points(p: &Points) -> String {
    let mut table = Table::new(2).right([1, 2]);
    let mut point = |name: &str, c: Option<f64>, f: Option<f64>| {
        if let (Some(c), Some(f)) = (c, f) {
            let cells = [name.to_owned(), format!("{c:.1} °C"), format!("{f:.1} °F")];
            table.row(cells.into_iter().chain([known(p)]));
        }
    };
    point("frost point (ice)", p.frost_c, p.frost_f);
    point("dew point (liquid)", p.dew_c, p.dew_f);
    let humidity = match p.relative_humidity_percent {
        Some(percent) => format!("{} %", figure(percent)),
        None => "over 100 %".to_owned(),
    };
    let fahrenheit = Temperature::celsius(p.air_c).as_fahrenheit();
    let air = format!("in air of {:.0} °C ({fahrenheit:.0} °F)", p.air_c);
    table.row(["relative humidity".to_owned(), humidity, String::new(), air]);
    let nowhere = p.frost_c.is_none() && p.dew_c.is_none();
    let missing = if nowhere {
        "  Its dew and frost point lie beyond what the formulas reach.\n"
    } else {
        ""
    };
    table.text() + missing
}

/// How well a point is known, and the amount that is worked out from one.
fn known(p: &Points) -> String {
    let amount = match p.relative_uncertainty {
        small if small < 0.01 => String::new(),
        share => format!("; an amount from it ± {}", percent(share)),
    };
    let Some(k) = p.plus_minus_k else {
        return amount;
    };
    let least = |kelvin: f64| kelvin.max(0.1);
    format!("± {:.1} °C ({:.1} °F){amount}", least(k), least(k * 1.8))
}

/// Three digits; whole numbers in full.
fn figure(number: f64) -> String {
    let size = number.abs();
    if size == 0.0 {
        return "0".to_owned();
    }
    let decimals = (2.0 - size.log10().floor()).clamp(0.0, 9.0) as usize;
    let text = format!("{number:.decimals$}");
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}
