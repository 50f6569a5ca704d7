//! The same cartridge in other rooms and over a year.
//!
//! The vapour a separator lets through depends on its pressure and its
//! temperature, hardly on the humidity drawn in: the air behind it is saturated
//! whatever the weather. A warmer room brings more water and holds less in the
//! bed. Not here: today's run (see [`super::cartridge`]).

use super::answer::{Range, RoomHours};
use super::cartridge::Cartridge;
use super::follow::Wet;
use crate::assemble::Prepared;
use crate::forecast::request::ForecastError;
use physics::purifier::Feed;
use station::Station;

/// Rooms for which hours are given, °C.
const ROOMS_C: [f64; 5] = [10.0, 20.0, 30.0, 40.0, 50.0];
/// The room to which the others are compared: printed lives assume it (common practice, no source).
const REFERENCE_C: f64 = 20.0;

/// Most likely hours left in rooms of several temperatures.
pub(super) fn rooms(
    prepared: &Prepared,
    wet: &Wet,
    cartridge: &Cartridge,
) -> Result<Vec<RoomHours>, ForecastError> {
    let mut hours = Vec::new();
    for room_c in ROOMS_C {
        let feed = feed_at(prepared, wet, cartridge, room_c + 273.15)?;
        hours.push((room_c, cartridge.likely_hours(&feed)?));
    }
    let reference = hours
        .iter()
        .find(|(c, _)| *c == REFERENCE_C)
        .map_or(f64::NAN, |(_, h)| *h);
    let rooms = hours.into_iter().map(|(air_c, hours)| RoomHours {
        air_c,
        hours,
        relative_to_20c: hours / reference,
    });
    Ok(rooms.collect())
}

/// Hours left over a year between the coldest and the warmest month's means,
/// where the station file gives them: each month takes its share of the bed.
pub(super) fn year(
    prepared: &Prepared,
    wet: &Wet,
    cartridge: &Cartridge,
    station: &Station,
) -> Result<Option<Range>, ForecastError> {
    let (Some(cold), Some(warm)) = (station.intake.coldest_month, station.intake.warmest_month)
    else {
        return Ok(None);
    };
    let (cold, warm) = (cold.as_kelvin(), warm.as_kelvin());
    // 1/h = mean of 1/h(month): hours at each month's rate use up the same bed
    let mut sums = [0.0; 3];
    for month in 0..12 {
        let swing = (std::f64::consts::TAU * (f64::from(month) + 0.5) / 12.0).cos();
        let t_k = 0.5 * (cold + warm) - 0.5 * (warm - cold) * swing;
        let hours = cartridge.hours_in(&feed_at(prepared, wet, cartridge, t_k)?)?;
        for (sum, hours) in sums.iter_mut().zip([hours.low, hours.mid, hours.high]) {
            *sum += 1.0 / hours.max(1e-6) / 12.0;
        }
    }
    let [low, mid, high] = sums.map(|sum: f64| 1.0 / sum);
    Ok(Some(Range { low, mid, high }))
}

/// What the bed would meet in a room of `room_k`, at the flow and pressure of
/// the run it has seen.
fn feed_at(
    prepared: &Prepared,
    wet: &Wet,
    cartridge: &Cartridge,
    room_k: f64,
) -> Result<Feed, ForecastError> {
    let met = cartridge.met();
    let warmer = room_k - prepared.ambient_k;
    let approach = prepared.station().compressor.cooler_approach.as_kelvin();
    let held = |t_k: f64| {
        wet.saturated(met.p_pa, t_k)
            .ok_or(physics::water::WaterError::OutOfRange {
                p_pa: met.p_pa,
                t_k,
            })
    };
    // drops and vapour keep their proportion
    let more = held(room_k + approach)? / held(prepared.ambient_k + approach)?;
    let thinner = prepared.ambient_k / room_k;
    let load = super::cartridge::Load {
        air_kg: met.air_kg * thinner,
        water_kg: met.water_kg * more * thinner,
        t_k: met.t_k + warmer,
        ..met
    };
    super::cartridge::feed(wet.moist(), &load)
}
