//! What letting a station's air out takes: plain data, ready for a screen or JSON.
//!
//! Pressures are gauge, in bar, unless marked; times in seconds; energies in kJ.

use crate::forecast::answer::Assumption;
use serde::Serialize;

/// Everything about letting the air out.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct VentAnswer {
    /// What the station calls itself.
    pub station: String,
    /// True where the station file is marked as invented.
    pub invented: bool,
    /// "Zero on the gauge" means below this.
    pub zero_means_bar: f64,
    /// Each way out of each space.
    pub ways: Vec<Way>,
    /// A hose that tears or is undone at pressure.
    pub thrust: Thrust,
    /// Energy held, by the named formulas.
    pub stored: Vec<StoredEnergy>,
    /// The formulas of `stored` and `thrust`, once.
    pub sources: Vec<Source>,
    /// Gauges that may show zero while something is left.
    pub gauges: Vec<GaugeDoubt>,
    /// Spaces under pressure that the station file says nothing about.
    pub not_known: Vec<String>,
    /// What to mind while doing it.
    pub cautions: Vec<String>,
    /// What was taken for granted.
    pub assumed: Vec<Assumption>,
}

/// One space let out through one passage.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Way {
    /// What is let out: `whip`, `tower`, or a cylinder kind's name.
    pub what: String,
    /// Through what: `bleed`, `tower vent`, `drain`, `cylinder valve`.
    pub through: String,
    /// Its bore, mm.
    pub bore_mm: f64,
    /// Pressure at the start.
    pub from_bar: f64,
    /// Gas space that empties with it, litres, from the first moment.
    pub litres: f64,
    /// Time to 1 bar on the gauge.
    pub to_1_bar: Fall,
    /// Time to zero on the gauge.
    pub to_zero: Fall,
    /// Coldest the gas in it gets, °C.
    pub coldest_c: f64,
    /// Why the simulation did not reach zero, where it did not.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ended_early: Option<String>,
    /// What is still under pressure then.
    pub stays: Vec<Stays>,
}

/// A time to fall to a pressure, s.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Fall {
    /// By the simulation with the real gas and the heat of the walls; none where it never got
    /// there. Its flow is smoothed near rest: below 1 bar rather too long than too short.
    pub s: Option<f64>,
    /// The same with a rounded passage (discharge coefficient 0.9).
    pub low_s: Option<f64>,
    /// The same with a sharp-edged passage (0.6).
    pub high_s: Option<f64>,
    /// Ideal gas at constant temperature, closed form.
    pub ideal_s: f64,
}

/// A space that stays under pressure.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Stays {
    /// Which.
    pub space: String,
    /// At what pressure.
    pub bar: f64,
    /// What keeps it.
    pub why: String,
    /// How to let it out.
    pub release: String,
}

/// The push of a hose whose end is open.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Thrust {
    /// Bore of the hose, mm.
    pub bore_mm: f64,
    /// Pressure in it.
    pub bar: f64,
    /// Thrust at the first moment, N.
    pub newton: f64,
    /// The same as a weight, kg.
    pub weight_kg: f64,
}

/// Energy held in one space. Information only.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StoredEnergy {
    /// Which space.
    pub what: String,
    /// Gas space, litres.
    pub litres: f64,
    /// Pressure.
    pub bar: f64,
    /// Isentropic expansion, ASME PCC-2, kJ.
    pub pcc2_kj: f64,
    /// TNT of that energy at 4.267 MJ/kg (ASME PCC-2), kg.
    pub tnt_pcc2_kg: f64,
    /// TNT of that energy at 4.62 MJ/kg (Berkeley), kg.
    pub tnt_berkeley_kg: f64,
    /// Distance 20·TNT^(1/3) of ASME PCC-2, m.
    pub distance_m: f64,
    /// Distance 20·(2·TNT)^(1/3), the other printed variant, m.
    pub distance_twice_m: f64,
    /// Least distance ASME PCC-2 asks for in a pneumatic test, m; none above 271 MJ.
    pub least_distance_m: Option<f64>,
    /// Constant volume (Brode), kJ.
    pub brode_kj: f64,
    /// Isothermal availability, kJ.
    pub isothermal_kj: f64,
    /// Above 100 kJ: highly hazardous by the Berkeley rule of thumb.
    pub highly_hazardous: bool,
}

/// Where a formula comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Source {
    /// What it gives.
    pub what: &'static str,
    /// Document and place in it.
    pub source: &'static str,
    /// How surely that was seen.
    pub certainty: &'static str,
}

/// How little a dial says near zero.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct GaugeDoubt {
    /// The gauge.
    pub name: String,
    /// It may show zero with this much behind it: span × class (EN 837-1).
    pub bar: f64,
}
