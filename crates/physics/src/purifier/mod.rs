//! The purifier: what its beds hold, let through and have left.
//!
//! Start at [`Bed`]: a drying bed whose loading is carried from run to run.
//! [`Bed::pass`] sends air through it, [`Bed::rest`] lets it stand,
//! [`remaining`] asks how long it lasts.
//!
//! | file | holds |
//! |---|---|
//! | `isotherm` | how much water an adsorbent holds at equilibrium |
//! | `adsorbent` | adsorbents as data, and what their beads are like |
//! | `transfer` | how fast water gets into a bead |
//! | `bed`, `column` | the bed's state; air passing through it |
//! | `rest`, `ingress` | water moving inside, and coming in, while idle |
//! | `pattern` | closed forms to check the column against |
//! | `life` | time left until the outlet reaches a limit, as a range |
//! | `order` | carbon and catalyst beds: order and capacity only |
//!
//! Not here: how much vapour the air brings (the moisture model gives mole
//! fractions and enhancement factors; callers pass them in), the limits of
//! any air standard, heat of adsorption, flow backwards through the bed,
//! carbon dioxide and nitrogen sharing the adsorbent.
//!
//! **Pressure.** An isotherm is measured with vapour at low pressure. In
//! compressed air the same relative saturation belongs to more vapour, by the
//! enhancement factor f of saturated air. The *effective* partial pressure used
//! here is therefore p = y·P/f: at saturation it is the vapour pressure of
//! water whatever the total pressure. See [`Feed::effective_kpa`].
//!
//! ```
//! use physics::purifier::{Bed, Feed, Packing, PurifierError, adsorbent_named, remaining};
//!
//! let feed = Feed {
//!     air_mol_s: 0.067,        // 100 L/min of free air
//!     water_fraction: 1.86e-4, // saturated at 20 °C and 300 bar
//!     p_pa: 301e5,
//!     t_k: 293.15,
//!     enhancement: 2.4,
//! };
//! let Some(sieve) = adsorbent_named("13X") else { return Ok(()) };
//! let mut bed = Bed::fresh(sieve, Packing::new(0.5, 0.35), 0.01)?;
//! bed.pass(&feed, 10.0 * 3600.0)?;
//! let left = remaining(&bed, &feed, 33e-6, 1e8)?;
//! assert!(bed.held_kg() > 0.005 && left.seconds > 50.0 * 3600.0);
//! # Ok::<(), PurifierError>(())
//! ```
//!
//! Nothing computed here says that air may be breathed: an analysis does.

mod adsorbent;
mod bed;
mod column;
mod error;
mod ingress;
mod isotherm;
mod life;
mod order;
mod pattern;
mod rest;
mod transfer;

pub use adsorbent::{ADSORBENTS, Adsorbent, adsorbent_named};
pub use bed::{Bed, Feed, Packing, Passed, Tuning};
pub use error::PurifierError;
pub use ingress::{Ingress, Opening, Standing, ingress};
pub use isotherm::{Toth, TothAt};
pub use life::{Cause, Outcome, Remaining, RemainingRange, Spread, remaining, remaining_range};
pub use order::{
    BedKind, CARBON_OIL_CAPACITY, OrderProblem, WetCatalyst, carbon_seconds, catalyst_air,
    check_order,
};
pub use pattern::{film_pattern, solid_pattern, stoichiometric_seconds};
pub use rest::{End, Rest};
pub use transfer::{Beads, Transfer, vapour_diffusivity};

/// Molar mass of water, kg/mol. **Source** IAPWS R6-95 (18.015268 g/mol).
pub const WATER_KG_MOL: f64 = 0.018_015_268;

/// Molar mass of dry air, kg/mol. **Source** ISO 2533:1975 (28.964 420 g/mol).
pub const AIR_KG_MOL: f64 = 0.028_964_42;

/// Molar gas constant, J/(mol·K). **Source** SI 2019, exact product of k and N_A.
const GAS_CONSTANT: f64 = 8.314_462_618;
