//! What a fill costs: energy, machine hours, cartridge; money where prices are in the book.

use std::path::Path;

use book::answer::Told;
use book::body::{Body, Fill, PriceSet, Priced};
use book::{Book, Kind};
use insight::cost::{CostAnswer, Price, Prices, cost};
use insight::forecast::forecast;
use insight::forecast::request::{CylinderStart, Request};
use quantity::GaugePressure;
use serde::Serialize;

use super::desk;
use super::records::Records;
use crate::usecase::Trouble;
use crate::usecase::clock;
use crate::usecase::forecast::trouble_of;

/// What a fill took.
#[derive(Clone, Debug, Serialize)]
pub struct CostPage {
    /// The fill's entry.
    pub entry: u64,
    /// When it was.
    pub when: String,
    /// What it says.
    pub line: String,
    /// The computation's answer: the same fill forecast, not what a meter counted.
    pub cost: CostAnswer,
}

/// What a recorded fill takes; the last one where none is named.
pub fn of_fill(path: &Path, entry: Option<u64>) -> Result<CostPage, Trouble> {
    let book = desk::read(path)?;
    let zone = desk::zone(&book)?;
    let (seq, happened, fill) = found(&book, entry)?;
    let records = Records::of(&book, &zone, clock::now())?;
    let request = Request {
        cylinders: vec![CylinderStart {
            id: fill.cylinder.clone(),
            start: fill.from.as_ref().map(|m| m.value()),
        }],
        stop_at: stop(&records, &fill),
        members: 0,
        ..Request::default()
    };
    let forecast = forecast(&records.station, &request, &|_| {}).map_err(trouble_of)?;
    let prices = Prices {
        kwh: price(records.parts.price(Priced::KilowattHour)),
        cartridge: price(records.parts.price(Priced::Cartridge)),
        running_h: price(records.parts.price(Priced::RunningHour)),
    };
    Ok(CostPage {
        entry: seq,
        when: zone.minute(happened),
        line: super::words::of_body(&Body::Fill(fill)),
        cost: cost(&records.station, &forecast, &prices, None),
    })
}

/// The stop as written down, where it is not above the cylinder's rating.
fn stop(records: &Records, fill: &Fill) -> Option<GaugePressure> {
    let kinds = &records.station.cylinder_kinds;
    let rated = kinds
        .iter()
        .find(|kind| kind.id == fill.cylinder)?
        .vessel
        .working_pressure;
    let to = fill.to.as_ref()?.value();
    (to.as_bar() < rated.value.as_bar()).then_some(to)
}

fn price(told: Option<&Told<PriceSet>>) -> Option<Price> {
    told.map(|told| Price {
        amount: told.body.amount,
        currency: told.body.currency.clone(),
    })
}

fn found(book: &Book, entry: Option<u64>) -> Result<(u64, book::Moment, Fill), Trouble> {
    let event = match entry {
        Some(seq) => book.event(seq)?.filter(|event| !event.withdrawn),
        None => book.latest(Kind::Fill, None)?,
    };
    match event.map(|event| (event.seq, event.happened, event.body)) {
        Some((seq, happened, Ok(Body::Fill(fill)))) => Ok((seq, happened, fill)),
        _ => {
            let what = match entry {
                Some(seq) => format!("entry {seq} is no fill"),
                None => "no fill is in the book".to_owned(),
            };
            Err(Trouble::new(
                what,
                "give the number of a fill, as `book list --kind fill` shows it",
            ))
        }
    }
}
