//! How much water compressed air can hold, over liquid and over ice.
//!
//! Start at [`Moist::new`] with dry air and ask for [`Moist::saturated`]; go
//! back from a water content with [`Moist::dew_point`] and
//! [`Moist::frost_point`]. Where speed counts, build a [`MoistTable`]. Units of
//! the trade (ppm, mg/m³) are in [`Trace`].
//! Not here: where the water goes (condensing, draining, the drying bed), and
//! whether an amount is allowed.
//! Invariant: per mole of all gas, water included, unless a name says dry;
//! pressures absolute. Every value carries its uncertainty, because above
//! 50 bar the method leaves the range it was published for.
//!
//! | step | from |
//! |---|---|
//! | pressure of pure water, liquid and ice | IAPWS R7-97, R14-08 |
//! | liquid and ice squeezed by the air | IAPWS SR6-08, R10-06 |
//! | air dissolved in the liquid | IAPWS G7-04 |
//! | vapour among air: virial coefficients | IAPWS G8-10, G11-15, R6-95 |
//! | density of the air | [`crate::gas`], a real gas |

mod air;
mod condensed;
mod contents;
mod dissolved;
mod error;
mod humidity;
mod point;
mod saturation;
mod table;
mod uncertainty;
mod virial;

pub use air::{Moist, Saturated};
pub use contents::{
    AIR_KG_PER_M3, MOLAR_VOLUME, Trace, oil_mg_per_kg, oil_mg_per_m3_from_mg_per_kg,
};
pub use dissolved::{Dissolving, henry_constant};
pub use error::MoistError;
pub use humidity::ideal_mole_fraction;
pub use point::Point;
pub use saturation::{
    ICE_T_RANGE_K, LIQUID_T_RANGE_K, Phase, saturation_pressure_ice, saturation_pressure_liquid,
};
pub use table::MoistTable;
pub use uncertainty::relative_uncertainty;
pub use virial::Virials;

/// Absolute pressures accepted, Pa.
pub const P_RANGE_PA: (f64, f64) = (0.5e5, 450e5);

/// Molar gas constant, J/(mol·K). **Source** CODATA 2018, exact.
pub const R: f64 = 8.314_462_618;

/// Molar mass of water, kg/mol. **Source** IAPWS G5-01.
pub const WATER_MOLAR_MASS: f64 = 18.015_268e-3;
