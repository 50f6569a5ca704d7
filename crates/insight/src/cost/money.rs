//! Prices and sums.

use super::CostAnswer;
use crate::water::answer::Range;
use serde::Serialize;

/// What something costs.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Price {
    /// How much.
    pub amount: f64,
    /// The currency as people write it.
    pub currency: String,
}

/// Prices that are known.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct Prices {
    /// Of a kilowatt hour at the motor, or its worth in fuel.
    pub kwh: Option<Price>,
    /// Of a cartridge or its filling.
    pub cartridge: Option<Price>,
    /// Of an hour of the machine: oil, valves, overhaul.
    pub running_h: Option<Price>,
}

/// An amount of money.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Money {
    /// Low end.
    pub low: f64,
    /// Most likely.
    pub mid: f64,
    /// High end.
    pub high: f64,
    /// The currency as people write it.
    pub currency: String,
}

/// One thing paid for.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Line {
    /// Which: `energy`, `machine`, `cartridge`.
    pub what: &'static str,
    /// How much of it.
    pub amount: Range,
    /// Unit of that: `kWh`, `h`, `cartridges`.
    pub unit: &'static str,
    /// What it costs; none where there is no price.
    pub money: Option<Money>,
    /// How it comes about.
    pub how: String,
}

pub(super) fn lines(answer: &CostAnswer, prices: &Prices) -> Vec<Line> {
    let mut lines = vec![energy(answer, prices), machine(answer, prices)];
    lines.extend(cartridge(answer, prices));
    lines
}

fn energy(answer: &CostAnswer, prices: &Prices) -> Line {
    let (amount, at) = match answer.electricity_kwh {
        Some(kwh) => (kwh, "over motor"),
        None => (answer.shaft_kwh, "at the engine's shaft"),
    };
    let how = format!(
        "{:.2} kWh on {:.2} kg of air ({:.0} kJ per m³ of free air), over shaft losses, {at}",
        answer.air_work_kwh.mid, answer.delivered_kg, answer.air_work_kj_m3
    );
    line("energy", amount, "kWh", prices.kwh.as_ref(), how)
}

fn machine(answer: &CostAnswer, prices: &Prices) -> Line {
    let how = "time with the machine running, in the forecast".into();
    let price = prices.running_h.as_ref();
    line("machine", answer.machine_h, "h", price, how)
}

/// The larger of both shares: whichever ends the cartridge first.
fn cartridge(answer: &CostAnswer, prices: &Prices) -> Option<Line> {
    let (water, hours) = (answer.cartridge_by_water, answer.cartridge_by_hours);
    let by_hours = match (water, hours) {
        (Some(water), Some(hours)) => hours.mid >= water.mid,
        (None, Some(_)) => true,
        _ => false,
    };
    let amount = if by_hours { hours } else { water }?;
    let how = if by_hours {
        format!(
            "{:.2} h of the hours the maker states, which end it first",
            answer.machine_h.mid
        )
    } else {
        format!(
            "{:.2} g of the water it can take up in this air, which ends it first",
            answer.water_g.unwrap_or(0.0)
        )
    };
    let price = prices.cartridge.as_ref();
    Some(line("cartridge", amount, "cartridges", price, how))
}

fn line(
    what: &'static str,
    amount: Range,
    unit: &'static str,
    price: Option<&Price>,
    how: String,
) -> Line {
    let money = price.map(|price| Money {
        low: amount.low * price.amount,
        mid: amount.mid * price.amount,
        high: amount.high * price.amount,
        currency: price.currency.clone(),
    });
    Line {
        what,
        amount,
        unit,
        money,
        how,
    }
}

/// Sums by currency; ends of ranges are added, so the sum's range is on the wide side.
pub(super) fn totals(lines: &[Line]) -> Vec<Money> {
    let mut totals: Vec<Money> = Vec::new();
    for money in lines.iter().filter_map(|line| line.money.as_ref()) {
        let same = totals.iter_mut().find(|t| t.currency == money.currency);
        match same {
            Some(total) => {
                total.low += money.low;
                total.mid += money.mid;
                total.high += money.high;
            }
            None => totals.push(money.clone()),
        }
    }
    totals
}
