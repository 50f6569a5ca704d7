//! How much of a cartridge a fill uses up.

use crate::forecast::answer::Forecast;
use crate::water::answer::Range;
use crate::water::fresh_held_g;
use station::Station;

/// Water brought over water the bed can take up from new in this air:
///
/// share = w / (held − fresh + hours left · w/h)
///
/// None where no bed is described or no air passed it.
pub(super) fn cartridge_by_water(
    station: &Station,
    forecast: &Forecast,
    machine_h: f64,
) -> Option<Range> {
    let bed = forecast.purifier.as_ref()?;
    let brought_g = forecast.water.as_ref()?.to_purifier_g;
    let grams_h = (machine_h > 0.0).then(|| brought_g / machine_h)?;
    let since_new_g = (bed.held_g - fresh_held_g(station)).max(0.0);
    let share = |hours_left: f64| {
        let room_g = since_new_g + hours_left * grams_h;
        (brought_g / room_g.max(f64::MIN_POSITIVE)).min(1.0)
    };
    let left = bed.remaining_h;
    Some(Range {
        low: share(left.high),
        mid: share(left.mid),
        high: share(left.low),
    })
}

/// Hours of the fill over the hours the maker states.
pub(super) fn cartridge_by_hours(station: &Station, machine_h: Range) -> Option<Range> {
    let rated_h = station.purifier.rated_hours?.as_hour();
    (rated_h > 0.0).then(|| Range {
        low: machine_h.low / rated_h,
        mid: machine_h.mid / rated_h,
        high: machine_h.high / rated_h,
    })
}
