//! What the cartridge's record says: plain data.
//!
//! Names are a contract with programs that read the JSON. Grams, millilitres, minutes, hours, °C.

use crate::water::answer::Range;
use serde::Serialize;

/// The cartridge today.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CartridgeAnswer {
    /// What the station calls itself.
    pub station: String,
    /// True where the station file is marked as invented.
    pub invented: bool,
    /// Each run since the cartridge was changed.
    pub runs: Vec<RunWater>,
    /// Hours run since then.
    pub running_h: f64,
    /// Air through it since then, litres at 15 °C and 1 atm.
    pub free_air_litres: f64,
    /// Water it held as delivered, g.
    pub held_fresh_g: f64,
    /// Water it holds now, g.
    pub held_g: Range,
    /// Of that, crept in while the machine stood without pressure, g: an estimate.
    pub crept_in_g: Range,
    /// Running hours left in today's air, runs like the last ones; none where that air is beyond
    /// what the models know.
    pub hours_left: Option<Range>,
    /// Likely share of its life that is used, 0 to 1.
    pub used: Option<f64>,
    /// Life the maker states, h; it decides where it is shorter.
    pub rated_h: Option<f64>,
    /// Hours left of that.
    pub rated_left_h: Option<f64>,
    /// What makes the range of the hours as wide as it is.
    pub mostly: Option<&'static str>,
    /// The dryness up to which hours are counted.
    pub limit: String,
    /// Today's air, °C.
    pub today_c: f64,
    /// Its relative humidity, 0 to 1.
    pub today_humidity: f64,
    /// Where all the water went.
    pub balance: LedgerBalance,
    /// What holds for all runs.
    pub notes: Vec<String>,
}

/// One run and its water.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RunWater {
    /// What the run is called.
    pub name: String,
    /// When it began.
    pub start_day: f64,
    /// How long the machine ran, min.
    pub ran_min: f64,
    /// How long the station's rate says it takes; none where no cylinder was written down.
    pub expected_min: Option<f64>,
    /// Air drawn in, kg.
    pub air_kg: f64,
    /// Air at the intake, °C.
    pub intake_c: f64,
    /// Its relative humidity, 0 to 1.
    pub humidity: f64,
    /// Water drawn in as vapour, g.
    pub intake_g: f64,
    /// Condensate to expect from the drain, oil included, mL.
    pub condensate_ml: f64,
    /// What was drained, as far as it was measured, mL.
    pub drained_ml: Option<f64>,
    /// Of the condensate, overflowed into the purifier, g.
    pub overflow_g: f64,
    /// Reaching the purifier, g.
    pub to_purifier_g: f64,
    /// Crept in before the run, g; none where the tower kept its pressure.
    pub crept_in_g: Option<Range>,
    /// Held by the drying bed after the run, g.
    pub held_g: f64,
    /// Relative uncertainty of what reached the purifier.
    pub uncertainty: f64,
    /// What had to be assumed.
    pub notes: Vec<String>,
}

/// Every gram: `intake_g` = `separator_g` + `to_purifier_g` + `kept_g` + `residual_g`, and in the
/// bed `held_fresh_g` + `to_purifier_g` + crept in = held + `to_cylinders_g` + `bed_residual_g`.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize)]
pub struct LedgerBalance {
    /// Drawn in.
    pub intake_g: f64,
    /// Caught as liquid.
    pub separator_g: f64,
    /// To the purifier.
    pub to_purifier_g: f64,
    /// More vapour in the separator's gas at the runs' ends than at their starts.
    pub kept_g: f64,
    /// What does not add up.
    pub residual_g: f64,
    /// Out of the drying bed, to the cylinders.
    pub to_cylinders_g: f64,
    /// What does not add up in the bed.
    pub bed_residual_g: f64,
}
