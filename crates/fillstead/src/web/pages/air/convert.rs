//! The box that converts units of moisture and traces.

use insight::convert::{Converted, Points};
use quantity::{GaugePressure, show};

use crate::usecase::convert::{Asked as Conversion, converted};
use crate::usecase::units;
use crate::web::page::in_sentences;
use crate::web::typed::Typed;

/// The box that converts units.
pub struct ConvertBox {
    /// What was typed.
    pub amount: String,
    /// Of what.
    pub of: String,
    /// At which pressure points are wanted.
    pub at: String,
    /// The amount in every way people write it.
    pub rows: Vec<(String, String)>,
    /// What to keep in mind.
    pub notes: Vec<String>,
    /// What is wrong with what was typed.
    pub wrong: String,
}

/// The box, with its answer where something was typed.
pub fn convert_box(typed: &Typed) -> ConvertBox {
    let amount = typed.shown("amount");
    let of = typed.text("of").unwrap_or("water").to_owned();
    let mut shown = ConvertBox {
        amount,
        of,
        at: typed.shown("at-pressure"),
        rows: Vec::new(),
        notes: Vec::new(),
        wrong: String::new(),
    };
    if shown.amount.is_empty() {
        return shown;
    }
    let asked = Conversion {
        amount: shown.amount.clone(),
        of: Some(shown.of.clone()),
        at: typed.text("at-pressure").map(units::whole::<GaugePressure>),
        ..Conversion::default()
    };
    match converted(&asked) {
        Ok(found) => {
            shown.rows = rows(&found);
            shown.notes = found.notes;
        }
        Err(t) => shown.wrong = in_sentences(&t),
    }
    shown
}

fn rows(found: &Converted) -> Vec<(String, String)> {
    let mut rows = vec![("Understood as".to_owned(), found.understood_as.clone())];
    let mut put = |name: &str, value: Option<f64>, unit: &str| {
        if let Some(value) = value {
            let digits = if value.abs() < 10.0 { 2 } else { 1 };
            rows.push((name.to_owned(), format!("{value:.digits$} {unit}")));
        }
    };
    put("By volume", found.ppm, "ppm");
    put("In air at 20 °C and 1 atm", Some(found.mg_m3), "mg/m³");
    put("By mass", found.mg_kg, "mg/kg");
    let mut points = |points: &Points, place: &str| {
        put(&format!("Dew point {place}"), points.dew_c, "°C");
        put(&format!("Dew point {place}"), points.dew_f, "°F");
        put(&format!("Frost point {place}"), points.frost_c, "°C");
        put(&format!("Frost point {place}"), points.frost_f, "°F");
    };
    if let Some(at) = &found.at_1_atm {
        points(at, "at 1 atm");
    }
    if let Some(at) = &found.at_pressure {
        let unit = units::asked()
            .unwrap_or_default()
            .preferred::<GaugePressure>();
        let pressure = show(GaugePressure::bar(at.gauge_bar), unit, 0);
        points(at, &format!("at {pressure} gauge"));
    }
    rows
}
