//! Water that creeps into the purifier while the machine stands.
//!
//! A bounded estimate, marked as such: nobody measures it. While the tower is
//! under pressure nothing comes in. Not here: the diffusion itself
//! ([`physics::purifier::ingress`]).

use super::answer::Range;
use super::cartridge::Cartridge;
use super::follow::Wet;
use crate::assemble::Prepared;
use crate::forecast::request::ForecastError;
use physics::purifier::{End, Opening, Standing, ingress};
use physics::water::weather_phase;
use quantity::Quantity as _;
use quantity::TimeSpan;

/// Tower gauge below which it counts as leaked down, bar.
const LEAKED_DOWN_BAR: f64 = 0.5;
/// Path from the drain to the first beads, m (common practice, no source).
const PATH_M: f64 = 0.1;
/// Swing of temperature between day and night that makes the tower breathe, K
/// (an ordinary shed; common practice, no source).
const DAILY_SWING_K: f64 = 10.0;

/// Lets a tower that stood without pressure take up water through its drain.
/// Returns the range of what came in, grams; nothing where it kept pressure.
pub(crate) fn stand(
    prepared: &Prepared,
    wet: &Wet,
    cartridge: &mut Cartridge,
    stored: TimeSpan,
) -> Result<Option<Range>, ForecastError> {
    if prepared.tower_start.as_bar() > LEAKED_DOWN_BAR {
        return Ok(None);
    }
    let station = prepared.station();
    let bore = station.separator.drain_bore.si();
    let opening = Opening {
        area_m2: std::f64::consts::FRAC_PI_4 * bore * bore,
        length_m: PATH_M,
    };
    let (p_pa, t_k) = (prepared.atmosphere_pa, prepared.ambient_k);
    let room_fraction = wet
        .moist()
        .mole_fraction(p_pa, t_k, wet.humidity(), weather_phase(t_k))?;
    let standing = Standing {
        p_pa,
        t_k,
        room_fraction,
        bed_fraction: 0.0,
        free_volume_m3: station.separator.volume.si() + station.purifier.volume.si(),
        daily_swing_k: DAILY_SWING_K,
    };
    let came = ingress(&opening, &standing, stored.as_second())?;
    cartridge.soak(End::Inlet, came.likely_kg, room_fraction * p_pa * 1e-3, t_k)?;
    Ok(Some(Range {
        low: came.low_kg * 1e3,
        mid: came.likely_kg * 1e3,
        high: came.high_kg * 1e3,
    }))
}
