//! Water that creeps into a tower standing open or leaked down.
//!
//! An estimate with bounds, not a measurement. Not here: where in the bed it
//! goes ([`super::Bed::soak`]), wind or a draught through two openings
//! (nothing bounds that but the bed itself).

use super::bed::checked_seconds;
use super::error::{Bounds, FRACTION, PRESSURE, TEMPERATURE};
use super::transfer::{mouth_length, vapour_diffusivity};
use super::{GAS_CONSTANT, PurifierError, WATER_KG_MOL};

const DAY_S: f64 = 86_400.0;

/// The one path between the bed and the room.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Opening {
    /// Free cross-section, m².
    pub area_m2: f64,
    /// Length of the path from the room to the first beads, m.
    pub length_m: f64,
}

/// How the tower stands, and in what air.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Standing {
    /// Ambient absolute pressure, Pa.
    pub p_pa: f64,
    /// Ambient temperature, K.
    pub t_k: f64,
    /// Mole fraction of water in the room's air.
    pub room_fraction: f64,
    /// Mole fraction in equilibrium with the beads at the opening; 0 if dry.
    pub bed_fraction: f64,
    /// Gas volume of the tower, m³.
    pub free_volume_m3: f64,
    /// Swing of temperature between day and night, K.
    pub daily_swing_k: f64,
}

/// Water that came in, kg.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ingress {
    /// Still air, path lengthened at both mouths, beads as wet as stated.
    pub low_kg: f64,
    /// Geometric mean of the two.
    pub likely_kg: f64,
    /// Short path, perfectly dry beads, and the tower breathing in every night.
    pub high_kg: f64,
}

/// Water that enters through one opening in `seconds`.
///
/// Diffusion through stagnant air, N = D·c·A/L·ln((1−y_b)/(1−y_r)), with
/// L lengthened by π·r/4 at each mouth for the low bound; for the high bound
/// y_b = 0, L as given, plus one breath a day of V·ΔT/T of room air, all of
/// whose water stays.
///
/// **Holds** for one opening in still air. **Leaves out** draught, rain,
/// water left in the separator. **Source** diffusion through a stagnant gas
/// and the resistance of a disc: textbook results, from memory.
pub fn ingress(
    opening: &Opening,
    standing: &Standing,
    seconds: f64,
) -> Result<Ingress, PurifierError> {
    let seconds = checked_seconds(seconds)?;
    AREA.check(opening.area_m2)?;
    PATH.check(opening.length_m)?;
    let s = standing.checked()?;
    let molar_density = s.p_pa / (GAS_CONSTANT * s.t_k);
    let through = |length: f64, bed: f64| {
        let pull = ((1.0 - bed) / (1.0 - s.room_fraction)).ln().max(0.0);
        vapour_diffusivity(s.t_k, s.p_pa) * molar_density * opening.area_m2 / length * pull
    };
    let path = opening.length_m + 2.0 * mouth_length(opening.area_m2);
    let breath = molar_density * s.free_volume_m3 * s.daily_swing_k / s.t_k * s.room_fraction;
    let kg = seconds * WATER_KG_MOL;
    let low_kg = through(path, s.bed_fraction) * kg;
    let high_kg = (through(opening.length_m, 0.0) + breath / DAY_S) * kg;
    Ok(Ingress {
        low_kg,
        likely_kg: (low_kg * high_kg).sqrt(),
        high_kg,
    })
}

impl Standing {
    fn checked(&self) -> Result<&Standing, PurifierError> {
        PRESSURE.check(self.p_pa)?;
        TEMPERATURE.check(self.t_k)?;
        FRACTION.check(self.room_fraction)?;
        FRACTION.check(self.bed_fraction)?;
        VOLUME.check(self.free_volume_m3)?;
        SWING.check(self.daily_swing_k)?;
        Ok(self)
    }
}

const AREA: Bounds = Bounds {
    what: "area of the opening",
    low: 0.0,
    high: 1.0,
    unit: "m2",
    remedy: "give the free cross-section; zero if it is closed",
};
const PATH: Bounds = Bounds {
    what: "length of the opening",
    low: 1e-4,
    high: 100.0,
    unit: "m",
    remedy: "give the length from the room to the first beads",
};
const VOLUME: Bounds = Bounds {
    what: "gas volume of the tower",
    low: 0.0,
    high: 10.0,
    unit: "m3",
    remedy: "give the tower's free volume",
};
const SWING: Bounds = Bounds {
    what: "daily swing of temperature",
    low: 0.0,
    high: 60.0,
    unit: "K",
    remedy: "give the difference between the warmest and the coldest hour",
};
