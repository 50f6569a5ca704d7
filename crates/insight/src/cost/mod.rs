//! What a fill takes: energy, machine hours, cartridge, air, and money where prices are known.
//!
//! Start at [`cost`]. Everything comes from a forecast of the fill; each line says how it comes
//! about. Not here: what to charge anybody.
//! Invariant: no price is ever assumed.

mod money;
mod shares;

#[cfg(test)]
mod tests;

pub use money::{Line, Money, Price, Prices};

use crate::forecast::answer::{Forecast, ForecastEvent};
use crate::water::answer::Range;
use serde::Serialize;
use shares::{cartridge_by_hours, cartridge_by_water};
use station::{Drive, Station};

/// Work at the shaft per work on the air: bearings, rings, fan (common practice, no source).
const MECHANICAL: Range = Range {
    low: 0.85,
    mid: 0.90,
    high: 0.95,
};
/// Work at the shaft per electricity drawn, an ordinary small motor with its belt (common
/// practice, no source).
pub const MOTOR: Range = Range {
    low: 0.75,
    mid: 0.82,
    high: 0.90,
};
/// Doubt in the work on the air: exponent of compression and heat of the machine, either way
/// (common practice, no source).
const WORK_DOUBT: f64 = 0.08;
const JOULES_A_KWH: f64 = 3.6e6;

/// What a fill takes.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CostAnswer {
    /// What the station calls itself.
    pub station: String,
    /// True where the station file is marked as invented.
    pub invented: bool,
    /// Work on the air, kWh: what the simulation's machine does.
    pub air_work_kwh: Range,
    /// Work at the shaft, kWh.
    pub shaft_kwh: Range,
    /// Electricity drawn, kWh; none where no electric motor turns it.
    pub electricity_kwh: Option<Range>,
    /// Hours on the meter.
    pub machine_h: Range,
    /// Share of what the cartridge can hold, 0 to 1; none where no bed is described.
    pub cartridge_by_water: Option<Range>,
    /// Water to the purifier, g.
    pub water_g: Option<f64>,
    /// Share of the hours the maker states, 0 to 1; none where the file has none.
    pub cartridge_by_hours: Option<Range>,
    /// Air into the cylinders, kg.
    pub air_kg: f64,
    /// The same as litres of free air at 15 °C and 1 atm.
    pub free_air_litres: f64,
    /// Air the machine delivered, kg: with tower, whip and what was bled.
    pub delivered_kg: f64,
    /// Work on the air per cubic metre of free air delivered (15 °C, 1 atm), kJ/m³.
    pub air_work_kj_m3: f64,
    /// Each thing paid for.
    pub lines: Vec<Line>,
    /// Sums by currency, of the lines that have a price.
    pub totals: Vec<Money>,
    /// What was taken for granted.
    pub assumed: Vec<String>,
}

/// What the fill of a forecast takes. `motor` is shaft work over electricity; [`MOTOR`] where it
/// is not known.
pub fn cost(
    station: &Station,
    forecast: &Forecast,
    prices: &Prices,
    motor: Option<f64>,
) -> CostAnswer {
    let work = forecast.balance.work_kwh;
    let air_work_kwh = Range {
        low: work * (1.0 - WORK_DOUBT),
        mid: work,
        high: work * (1.0 + WORK_DOUBT),
    };
    let shaft_kwh = over(air_work_kwh, MECHANICAL);
    let drive = station.compressor.drive;
    let known = motor.filter(|e| *e > 0.0 && *e <= 1.0);
    let efficiency = known.map_or(MOTOR, |e| Range {
        low: e,
        mid: e,
        high: e,
    });
    let engine = matches!(drive, Some(Drive::Petrol | Drive::Diesel));
    let electricity_kwh = (!engine).then(|| over(shaft_kwh, efficiency));
    let machine_h = machine_hours(forecast);
    let air_kg: f64 = forecast.cylinders.iter().map(|c| c.air_added_kg).sum();
    // every cylinder's kg and free litres are of the same air
    let free = forecast
        .cylinders
        .iter()
        .find(|c| c.air_kg > 0.0)
        .map_or(0.0, |c| c.free_litres / c.air_kg);
    let delivered_kg = forecast.balance.delivered_kg;
    let delivered_m3 = delivered_kg * free / 1e3;
    let mut answer = CostAnswer {
        station: forecast.station.clone(),
        invented: forecast.invented,
        air_work_kwh,
        shaft_kwh,
        electricity_kwh,
        machine_h,
        cartridge_by_water: cartridge_by_water(station, forecast, machine_h.mid),
        water_g: forecast.water.as_ref().map(|w| w.to_purifier_g),
        cartridge_by_hours: cartridge_by_hours(station, machine_h),
        air_kg,
        free_air_litres: air_kg * free,
        delivered_kg,
        air_work_kj_m3: work * JOULES_A_KWH / 1e3 / delivered_m3.max(f64::MIN_POSITIVE),
        lines: Vec::new(),
        totals: Vec::new(),
        assumed: assumed(engine, drive.is_none(), known),
    };
    answer.lines = money::lines(&answer, prices);
    answer.totals = money::totals(&answer.lines);
    answer
}

/// A range divided by a range.
fn over(a: Range, b: Range) -> Range {
    Range {
        low: a.low / b.high,
        mid: a.mid / b.mid,
        high: a.high / b.low,
    }
}

/// Hours with the machine running, as wide as the ensemble's time to the last full cylinder.
fn machine_hours(forecast: &Forecast) -> Range {
    let times = |kind: &str| -> Vec<f64> {
        let of_kind = |e: &&ForecastEvent| e.kind == kind;
        forecast
            .events
            .iter()
            .filter(of_kind)
            .map(|e| e.t_s)
            .collect()
    };
    let (on, off) = (times("compressor_started"), times("compressor_stopped"));
    let mid = on.iter().zip(&off).map(|(on, off)| off - on).sum::<f64>() / 3600.0;
    let last = forecast.cylinders.iter().filter_map(|c| c.full);
    let band = last.max_by(|a, b| a.median.total_cmp(&b.median));
    let (low, high) = band.map_or((1.0, 1.0), |b| {
        ((b.low / b.median).min(1.0), (b.high / b.median).max(1.0))
    });
    Range {
        low: mid * low,
        mid,
        high: mid * high,
    }
}

fn assumed(engine: bool, drive_unknown: bool, motor: Option<f64>) -> Vec<String> {
    let mut assumed = vec![format!(
        "{:.0} % of the shaft's work reaches the air ({:.0} to {:.0} %; common practice, no source)",
        MECHANICAL.mid * 100.0,
        MECHANICAL.low * 100.0,
        MECHANICAL.high * 100.0
    )];
    if engine {
        assumed.push(
            "an engine turns it: a kWh is one at its shaft, its price that of the fuel".into(),
        );
        return assumed;
    }
    if drive_unknown {
        assumed.push("the station file names no drive: an electric motor".into());
    }
    assumed.push(match motor {
        Some(e) => format!(
            "{:.0} % of the electricity reaches the shaft, as given",
            e * 100.0
        ),
        None => format!(
            "{:.0} % of the electricity reaches the shaft ({:.0} to {:.0} %; common practice, no \
             source)",
            MOTOR.mid * 100.0,
            MOTOR.low * 100.0,
            MOTOR.high * 100.0
        ),
    });
    assumed
}
