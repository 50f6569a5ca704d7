//! The water of the bench, second by second: the forecast's ledger, fed live.
//!
//! Not here: the ledger itself ([`physics::water`]), the drying bed.

use crate::assemble::Prepared;
use crate::forecast::request::{DrainPlan, ForecastError};
use crate::water::{Wet, condensate_ml, open_ledger};
use physics::machine::Delivery;
use physics::sim::{Snapshot, VesselReading};
use physics::water::{Ledger, Piece};
use quantity::Fraction;

/// Where the moisture model ends, Pa absolute.
const HIGHEST_PA: f64 = 450e5;
/// Air that reached the purifier over which "water reaching it" is averaged, kg: some seconds' worth.
const OVER_KG: f64 = 0.02;
/// Density of dry air at 20 °C and 1 atm, kg/m³.
const FREE_AIR_KG_M3: f64 = 1.2041;

/// The water so far.
#[derive(Debug, Clone)]
pub(super) struct Sump {
    ledger: Ledger,
    separator: usize,
    first: usize,
    atmosphere_pa: f64,
    capacity_ml: f64,
    cooled_k: f64,
    held_kg: f64,
    overflow_kg: f64,
    /// Of the last stretch: air and water that reached the purifier, kg.
    lately: (f64, f64),
    /// Water per free air at the end of it, g/m³.
    reaching_g_m3: Option<f64>,
}

/// What is known of the water.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WaterNow {
    /// Liquid in the sump, oil included, mL.
    pub sump_ml: f64,
    /// What it holds.
    pub capacity_ml: f64,
    /// Water that reached the purifier since the start, g.
    pub to_purifier_g: f64,
    /// Of that, as liquid: drops and what ran over.
    pub liquid_g: f64,
    /// Water in the air that reaches it, g per m³ of free air (20 °C, 1 atm); none: no air passes.
    pub reaching_g_m3: Option<f64>,
    /// Water drawn in, g.
    pub intake_g: f64,
}

impl Sump {
    /// The ledger of this machine as it starts.
    pub fn new(
        prepared: &Prepared,
        humidity: Fraction,
        (separator, first): (usize, usize),
        start: &VesselReading,
    ) -> Result<Sump, ForecastError> {
        let wet = Wet::new(prepared, humidity, DrainPlan::Never)?;
        let station = prepared.station();
        let cooled_k = prepared.ambient_k + station.compressor.cooler_approach.as_kelvin();
        let at = (start.p_pa, start.mass_kg);
        let (ledger, sump) = open_ledger(prepared, &wet, at, cooled_k)?;
        Ok(Sump {
            ledger,
            separator,
            first,
            atmosphere_pa: prepared.atmosphere_pa,
            capacity_ml: sump.volume_m3 * 1e6,
            cooled_k,
            held_kg: start.mass_kg,
            overflow_kg: 0.0,
            lately: (0.0, 0.0),
            reaching_g_m3: None,
        })
    }

    /// The sump as somebody left it.
    pub fn left_with(&mut self, share: f64) {
        self.ledger.left_with(share);
    }

    /// The coolers leave the air at another temperature.
    pub fn cooled_to(&mut self, t_k: f64) {
        self.cooled_k = t_k;
        self.ledger.cooled_to(t_k);
    }

    /// One piece of the run: air drawn in and blown out of the drain (nothing: it is shut), what the
    /// vessels hold now. Air that leaves by the drain takes its water with it and counts as not drawn
    /// in. True where the sump ran over in it.
    pub fn piece(
        &mut self,
        delivery: Option<&Delivery>,
        (drawn_kg, drained_kg): (f64, Option<f64>),
        now: &Snapshot,
    ) -> Result<bool, ForecastError> {
        let lost_kg = drained_kg.unwrap_or(0.0);
        let air_in_kg = (drawn_kg - lost_kg).max(0.0);
        let separator = &now.vessels[self.separator];
        let p_pa = separator.p_pa.clamp(self.atmosphere_pa, HIGHEST_PA);
        let first_pa = now.vessels[self.first].p_pa.min(HIGHEST_PA);
        let mut cooler_pa = delivery.map_or_else(Vec::new, |d| d.interstage_pa(first_pa));
        cooler_pa.push(p_pa);
        let gone = (drawn_kg - lost_kg - (separator.mass_kg - self.held_kg)).max(0.0);
        self.held_kg = separator.mass_kg;
        let water_kg = self.ledger.piece(&Piece {
            air_in_kg,
            cooler_pa: &cooler_pa,
            air_out_kg: gone,
            air_held_kg: separator.mass_kg,
            p_pa,
        })?;
        self.average(gone, water_kg);
        if drained_kg.is_some() {
            self.ledger.drain();
        }
        let over = self.ledger.overflow_kg > self.overflow_kg;
        self.overflow_kg = self.ledger.overflow_kg;
        Ok(over)
    }

    fn average(&mut self, air_kg: f64, water_kg: f64) {
        self.lately = (self.lately.0 + air_kg, self.lately.1 + water_kg);
        let (air, water) = self.lately;
        if air_kg <= 0.0 {
            self.reaching_g_m3 = None;
        } else if air >= OVER_KG || self.reaching_g_m3.is_none() {
            self.reaching_g_m3 = Some(water * 1e3 / (air / FREE_AIR_KG_M3));
        }
        if air >= OVER_KG {
            self.lately = (0.0, 0.0);
        }
    }

    /// What is known of it now.
    pub fn now(&self) -> WaterNow {
        let ledger = &self.ledger;
        WaterNow {
            sump_ml: condensate_ml(ledger.sump_kg * 1e3),
            capacity_ml: self.capacity_ml,
            to_purifier_g: ledger.to_purifier_kg() * 1e3,
            liquid_g: (ledger.carried_kg + ledger.overflow_kg) * 1e3,
            reaching_g_m3: self.reaching_g_m3,
            intake_g: ledger.intake_kg * 1e3,
        }
    }

    /// Water in saturated air at this pressure behind the last cooler, g per m³ of free air.
    pub fn saturated_g_m3(&self, p_pa: f64) -> Option<f64> {
        let ratio = self.ledger.saturated_ratio(p_pa, self.cooled_k).ok()?;
        Some(ratio * FREE_AIR_KG_M3 * 1e3)
    }

    /// What does not add up, as a share of what was drawn in.
    #[cfg(test)]
    pub fn residual(&self) -> f64 {
        self.ledger.residual()
    }
}
