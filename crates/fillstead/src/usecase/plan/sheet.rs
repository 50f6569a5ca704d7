//! Run cards asked for: from a book's plan, from a station file's forecast.
//!
//! Not here: the figures on them ([`super::card`]).

use std::path::Path;

use insight::forecast::request::Request;
use station::Station;

use super::card::{Card, card};
use super::query::Query;
use super::{Plan, plan};
use crate::draw::figures::Figures;
use crate::print::run_card::RunCard;
use crate::print::{Head, Paper};
use crate::usecase::Trouble;
use crate::usecase::book::form::Given;
use crate::usecase::book::sheet::Room;
use crate::usecase::clock::{self, Zone};
use crate::usecase::forecast::Answer;
use crate::usecase::wishes::Wishes;

/// The card of a book's plan; `served` is the address under which other machines reach the pages.
pub fn of_book(
    path: &Path,
    room: &Room<'_>,
    given: &Given,
    served: Option<&str>,
) -> Result<RunCard, Trouble> {
    let plan = plan(path, given)?;
    let Some((request, forecast)) = &plan.answer else {
        return Err(no_forecast(&plan));
    };
    Ok(card(Card {
        station: &plan.station,
        forecast,
        head: room.head()?,
        day: plan.today.to_string(),
        air: air(&plan.station, request),
        revision: Some(plan.revision),
        before: may_be_filled(&plan),
        against: against(&plan),
        faults: plan.query.faults.clone(),
        code: code(&plan.query, served),
    }))
}

/// The card of a station file's forecast.
pub fn of_file(answer: &Answer, wishes: &Wishes) -> Result<RunCard, Trouble> {
    let station = answer
        .file
        .station()
        .ok_or_else(|| Trouble::new("the station file has errors", "correct them first"))?;
    let zone = Zone::of_this_machine();
    let now = clock::now();
    let metric = station.units == quantity::UnitSystem::Metric;
    let query = Query {
        cylinders: wishes
            .cylinders
            .iter()
            .map(|c| (c.clone(), String::new()))
            .collect(),
        to: wishes.stop_at.clone().unwrap_or_default(),
        tower: wishes.tower.clone().unwrap_or_default(),
        ..Query::default()
    };
    Ok(card(Card {
        station,
        forecast: &answer.forecast,
        head: Head {
            station: station.name.clone(),
            invented: station.invented,
            zone: zone.name.clone(),
            printed: zone.minute(now),
            program: concat!("Fillstead ", env!("CARGO_PKG_VERSION")),
            paper: if metric { Paper::A4 } else { Paper::Letter },
            seal: None,
        },
        day: zone.day_text(now),
        air: air(station, &answer.request),
        revision: None,
        before: vec![
            "No book was asked: look at each cylinder's stamps before filling it.".to_owned(),
        ],
        against: Vec::new(),
        faults: answer.faults.clone(),
        code: code(&query, None),
    }))
}

/// Why there is no card.
fn no_forecast(plan: &Plan) -> Trouble {
    let typed = plan.rows.iter().find_map(|row| row.trouble.clone());
    let told = plan
        .troubles
        .first()
        .cloned()
        .or(typed)
        .or_else(|| plan.refused.clone());
    let refused = plan.left_out().find_map(|row| {
        let refusal = row.refusals().first()?;
        let what = format!("{} must not be filled: {}", row.id, refusal.what);
        Some(Trouble::new(
            what,
            crate::usecase::forecast::clause(&refusal.way_forward),
        ))
    });
    told.or(refused).unwrap_or_else(|| {
        Trouble::new(
            "no cylinder is in the plan",
            "choose one: A1, or \"A1@50 bar\"",
        )
        .about("cylinder")
    })
}

/// `Air 18 °C, 75 % humidity`.
pub fn air(station: &Station, request: &Request) -> String {
    let figures = Figures {
        units: station.units,
    };
    let air = request
        .intake_temperature
        .unwrap_or(station.intake.temperature);
    let humidity = request.humidity.unwrap_or(station.intake.humidity);
    format!(
        "Air {}, {:.0} % humidity",
        figures.temperature(air.as_celsius()),
        humidity.as_ratio() * 100.0
    )
}

/// Until when each may be filled, by its rule; a kind has no stamps.
fn may_be_filled(plan: &Plan) -> Vec<String> {
    let one = |row: &super::Row| match &row.verdict {
        Some(verdict) => verdict.until.as_ref().map_or_else(
            || format!("{}: see its stamps", row.id),
            |until| format!("{} may be filled until {until}", row.id),
        ),
        None => format!("{}: a kind, no cylinder, look at the stamps", row.id),
    };
    let each: Vec<String> = plan.rows.iter().filter(|r| r.counts()).map(one).collect();
    vec![format!("{}.", each.join("; "))]
}

/// Everything that stands against filling.
fn against(plan: &Plan) -> Vec<String> {
    let locks = plan
        .locks
        .iter()
        .map(|lock| format!("Filling is locked: {}.", lock.what));
    let rows = plan.left_out().map(|row| {
        let why: Vec<&str> = row.refusals().iter().map(|r| r.what.as_str()).collect();
        format!(
            "{} is left out, it must not be filled: {}.",
            row.id,
            why.join("; ")
        )
    });
    locks.chain(rows).collect()
}

/// What the code on the card holds: the Run page where other machines reach it, else the question.
fn code(query: &Query, served: Option<&str>) -> (String, String) {
    let asked = query.address();
    match served {
        Some(base) => (
            format!("{base}/run?{asked}"),
            "Opens the run on a phone.".to_owned(),
        ),
        None => (
            format!("fillstead:plan?{asked}"),
            "Holds the question of this card.".to_owned(),
        ),
    }
}
