//! Water followed through coolers, separator and sump, piece by piece of time.
//!
//! In each cooler k the air cools to T_k at pressure p_k. What it carries above
//! saturation condenses:
//!
//! c_k = max(0, w_{k−1} − w_s(p_k, T_k)),  w_k = w_{k−1} − η·c_k
//!
//! (w in kg of water per kg of dry air). The share 1 − η that the drops' catcher
//! misses goes on with the air: into the next stage, where it evaporates again,
//! or, after the last, into the purifier.

use crate::moist::{Moist, MoistError, MoistTable, Phase};
use crate::purifier::{AIR_KG_MOL, WATER_KG_MOL};
use thiserror::Error;

/// Why the ledger cannot go on.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum WaterError {
    /// The moisture model refused a state.
    #[error(transparent)]
    Moist(#[from] MoistError),
    /// A state outside the table: pressure or temperature.
    #[error(
        "no water content is known at {:.1} bar absolute and {:.1} °C: the ledger covers 0.5 to 450 bar and -20 to 80 °C",
        p_pa / 1e5,
        t_k - 273.15
    )]
    OutOfRange {
        /// Absolute pressure, Pa.
        p_pa: f64,
        /// Temperature, K.
        t_k: f64,
    },
    /// A number that makes no sense.
    #[error("{what}: {rule} (got {value})")]
    BadNumber {
        /// Which figure.
        what: &'static str,
        /// What is required.
        rule: &'static str,
        /// What was given.
        value: f64,
    },
}

/// The parts that the water meets.
#[derive(Debug, Clone)]
pub struct Train {
    /// Temperature of the air behind each cooler, K: one a stage.
    pub cooled_k: Vec<f64>,
    /// Share of the liquid caught after each cooler, 1.
    pub efficiency: f64,
    /// The sump that all of it drains into.
    pub sump: Sump,
}

/// The sump.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sump {
    /// Liquid it holds before it overflows into the purifier, m³.
    pub volume_m3: f64,
    /// Oil per water in the condensate, by volume, 1.
    pub oil_share: f64,
}

/// Density of condensate, kg/m³ (water at 30 °C, from memory).
const CONDENSATE_KG_M3: f64 = 996.0;

/// What the machine did for a while.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Piece<'a> {
    /// Dry air drawn in, kg.
    pub air_in_kg: f64,
    /// Pressure in each cooler, Pa absolute, the last being the separator's; one a stage.
    pub cooler_pa: &'a [f64],
    /// Dry air that left the separator for the purifier, kg.
    pub air_out_kg: f64,
    /// Dry air in the separator at the end, kg.
    pub air_held_kg: f64,
    /// Separator pressure at the end, Pa absolute.
    pub p_pa: f64,
}

/// Where the water is. All masses in kg.
#[derive(Debug, Clone)]
pub struct Ledger {
    table: MoistTable,
    train: Train,
    /// Water in the air at the intake, kg per kg of dry air.
    intake_ratio: f64,
    /// Drawn in as vapour.
    pub intake_kg: f64,
    /// Condensed in each cooler (what is missed and caught later counts twice here only).
    pub condensed_kg: Vec<f64>,
    /// Liquid in the sump now.
    pub sump_kg: f64,
    /// Drained so far.
    pub drained_kg: f64,
    /// Liquid that overflowed into the purifier.
    pub overflow_kg: f64,
    /// Drops the separator missed, into the purifier.
    pub carried_kg: f64,
    /// Vapour that went on into the purifier.
    pub vapour_kg: f64,
    /// Vapour in the separator's gas now.
    pub held_kg: f64,
    /// The same at the start.
    initial_kg: f64,
}

impl Ledger {
    /// A ledger for this train in air of `humidity` (0..1) at the intake. The
    /// separator begins with `air_held_kg` of air at `p_pa`, saturated at `t_k`.
    pub fn new(
        moist: &Moist,
        table: MoistTable,
        train: Train,
        intake: (f64, f64, f64),
        separator: (f64, f64, f64),
    ) -> Result<Ledger, WaterError> {
        check(
            "separator efficiency",
            "is between 0 and 1",
            train.efficiency,
            0.0,
            1.0,
        )?;
        check(
            "sump volume",
            "is above zero",
            train.sump.volume_m3,
            f64::MIN_POSITIVE,
            1.0,
        )?;
        check(
            "oil share",
            "is between 0 and 1",
            train.sump.oil_share,
            0.0,
            1.0,
        )?;
        let (p_pa, t_k, humidity) = intake;
        let y = moist.mole_fraction(p_pa, t_k, humidity, weather_phase(t_k))?;
        let stages = train.cooled_k.len();
        let mut ledger = Ledger {
            table,
            train,
            intake_ratio: ratio(y),
            intake_kg: 0.0,
            condensed_kg: vec![0.0; stages],
            sump_kg: 0.0,
            drained_kg: 0.0,
            overflow_kg: 0.0,
            carried_kg: 0.0,
            vapour_kg: 0.0,
            held_kg: 0.0,
            initial_kg: 0.0,
        };
        let (p_pa, t_k, air_held_kg) = separator;
        ledger.held_kg = air_held_kg * ledger.saturated(p_pa, t_k)?;
        ledger.initial_kg = ledger.held_kg;
        Ok(ledger)
    }

    /// Water in the air at the intake, kg per kg of dry air.
    pub fn intake_ratio(&self) -> f64 {
        self.intake_ratio
    }

    /// Water per dry air at saturation, kg/kg.
    fn saturated(&self, p_pa: f64, t_k: f64) -> Result<f64, WaterError> {
        self.table
            .y_sat(p_pa, t_k)
            .map(ratio)
            .ok_or(WaterError::OutOfRange { p_pa, t_k })
    }

    /// Follows the water of one piece. Returns what reaches the purifier in it:
    /// vapour, drops and overflow, kg.
    pub fn piece(&mut self, piece: &Piece) -> Result<f64, WaterError> {
        let air = piece.air_in_kg;
        check("air drawn in", "is not negative", air, 0.0, f64::MAX)?;
        let mut w = self.intake_ratio;
        self.intake_kg += air * w;
        let last = self.train.cooled_k.len().saturating_sub(1);
        let (mut caught, mut drops) = (0.0, 0.0);
        for (k, &t_k) in self.train.cooled_k.clone().iter().enumerate() {
            let p_pa = piece.cooler_pa.get(k).copied().unwrap_or(piece.p_pa);
            let liquid = (w - self.saturated(p_pa, t_k)?).max(0.0);
            self.condensed_kg[k] += air * liquid;
            caught += air * liquid * self.train.efficiency;
            w -= liquid * self.train.efficiency;
            if k == last {
                // the separator's gas is left with vapour only; its drops go on
                drops = air * liquid * (1.0 - self.train.efficiency);
                w -= liquid * (1.0 - self.train.efficiency);
            }
        }
        self.carried_kg += drops;
        let overflow = self.catch(caught);
        Ok(drops + overflow + self.pass_on(piece, air * w)?)
    }

    /// Liquid into the sump; what it cannot hold overflows.
    fn catch(&mut self, liquid_kg: f64) -> f64 {
        let sump = self.train.sump;
        let room = sump.volume_m3 * CONDENSATE_KG_M3 / (1.0 + sump.oil_share);
        self.sump_kg += liquid_kg;
        let overflow = (self.sump_kg - room).max(0.0);
        self.sump_kg -= overflow;
        self.overflow_kg += overflow;
        overflow
    }

    /// Vapour through the separator's gas space, well mixed; what exceeds
    /// saturation there as the pressure rises condenses into the sump.
    fn pass_on(&mut self, piece: &Piece, arriving_kg: f64) -> Result<f64, WaterError> {
        let through = piece.air_out_kg.max(0.0);
        let total = self.held_kg + arriving_kg;
        let w = total / (through + piece.air_held_kg).max(f64::MIN_POSITIVE);
        let t_k = self.train.cooled_k.last().copied().unwrap_or(293.15);
        let w = w.min(self.saturated(piece.p_pa, t_k)?);
        let out = through * w;
        self.held_kg = piece.air_held_kg * w;
        self.vapour_kg += out;
        let condensed = (total - out - self.held_kg).max(0.0);
        Ok(out + self.catch(condensed))
    }

    /// The sump as somebody left it: so much liquid is in it already, as a share of what it holds.
    pub fn left_with(&mut self, share: f64) {
        let sump = self.train.sump;
        let room = sump.volume_m3 * CONDENSATE_KG_M3 / (1.0 + sump.oil_share);
        let liquid = room * share.clamp(0.0, 1.0);
        self.sump_kg += liquid;
        self.initial_kg += liquid;
    }

    /// From here on every cooler leaves the air at this temperature: a fan stands still.
    pub fn cooled_to(&mut self, t_k: f64) {
        self.train.cooled_k.fill(t_k);
    }

    /// Water in saturated air at this state, kg per kg of dry air.
    ///
    /// **Errors** a state outside the table.
    pub fn saturated_ratio(&self, p_pa: f64, t_k: f64) -> Result<f64, WaterError> {
        self.saturated(p_pa, t_k)
    }

    /// Volume in the sump now, oil included, m³.
    pub fn sump_m3(&self) -> f64 {
        self.sump_kg * (1.0 + self.train.sump.oil_share) / CONDENSATE_KG_M3
    }

    /// Opens the drain: the sump empties. Returns the volume to expect, m³.
    pub fn drain(&mut self) -> f64 {
        let volume = self.sump_m3();
        self.drained_kg += self.sump_kg;
        self.sump_kg = 0.0;
        volume
    }

    /// Everything that reached the purifier, kg.
    pub fn to_purifier_kg(&self) -> f64 {
        self.vapour_kg + self.carried_kg + self.overflow_kg
    }

    /// What does not add up, as a share of what was drawn in.
    pub fn residual(&self) -> f64 {
        let there = self.sump_kg + self.drained_kg + self.to_purifier_kg() + self.held_kg;
        let came = self.intake_kg + self.initial_kg;
        (there - came) / came.max(f64::MIN_POSITIVE)
    }
}

/// Against what a humidity is meant: liquid water, supercooled too, as weather
/// services do; below -20 °C, where the formulas for liquid end, ice.
pub fn weather_phase(t_k: f64) -> Phase {
    if t_k < Phase::Liquid.t_range_k().0 {
        Phase::Ice
    } else {
        Phase::Liquid
    }
}

/// kg of water per kg of dry air at mole fraction `y`.
fn ratio(y: f64) -> f64 {
    y / (1.0 - y) * WATER_KG_MOL / AIR_KG_MOL
}

fn check(
    what: &'static str,
    rule: &'static str,
    value: f64,
    low: f64,
    high: f64,
) -> Result<(), WaterError> {
    if value >= low && value <= high {
        Ok(())
    } else {
        Err(WaterError::BadNumber { what, rule, value })
    }
}

#[cfg(test)]
mod tests;
