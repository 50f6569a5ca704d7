//! Units of air reports: parts per million and milligrams per cubic metre.
//!
//! Not here: limits, and what a report means.

use super::{R, WATER_MOLAR_MASS};

/// Volume of a mole at 20 °C and 1 atm as an ideal gas, m³/mol. Air standards
/// count mg/m³ in such cubic metres of free air.
pub const MOLAR_VOLUME: f64 = R * 293.15 / 101_325.0;

/// Mass of such a cubic metre of dry air, kg/m³, with M = 28.9647 g/mol.
pub const AIR_KG_PER_M3: f64 = 28.964_7e-3 / MOLAR_VOLUME;

/// A gas found in small amounts in air.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Trace {
    /// Water vapour.
    Water,
    /// Carbon monoxide.
    CarbonMonoxide,
    /// Carbon dioxide.
    CarbonDioxide,
}

impl Trace {
    /// Molar mass, kg/mol. **Source** IUPAC standard atomic weights.
    pub fn molar_mass(self) -> f64 {
        match self {
            Self::Water => WATER_MOLAR_MASS,
            Self::CarbonMonoxide => 28.010e-3,
            Self::CarbonDioxide => 44.009e-3,
        }
    }

    /// mg per m³ of free air (all gas, 20 °C, 1 atm, ideal) at `ppm` parts per
    /// million by volume: ppm·M/Vm.
    ///
    /// **Holds** for any finite amount; the sign and NaN pass through.
    /// **Source** the convention of EN 12021.
    pub fn mg_per_m3(self, ppm: f64) -> f64 {
        ppm * self.molar_mass() / MOLAR_VOLUME
    }

    /// Parts per million by volume at `mg_per_m3`, the way back.
    pub fn ppm(self, mg_per_m3: f64) -> f64 {
        mg_per_m3 * MOLAR_VOLUME / self.molar_mass()
    }
}

/// Oil per mass of air, mg/kg, at `mg_per_m3` of free air. Oil mist is drops,
/// not molecules: it has no ppm by volume.
pub fn oil_mg_per_kg(mg_per_m3: f64) -> f64 {
    mg_per_m3 / AIR_KG_PER_M3
}

/// Oil per m³ of free air, mg/m³, at `mg_per_kg`, the way back.
pub fn oil_mg_per_m3_from_mg_per_kg(mg_per_kg: f64) -> f64 {
    mg_per_kg * AIR_KG_PER_M3
}
