//! Adsorbents as data. An owner's own adsorbent is another [`Adsorbent`].
//!
//! Not here: reading them from a file.

use super::{Beads, Toth, Transfer};
use std::borrow::Cow;

/// What a drying bed is filled with.
#[derive(Debug, Clone, PartialEq)]
pub struct Adsorbent {
    /// What the trade calls it.
    pub name: Cow<'static, str>,
    /// Loading at equilibrium.
    pub isotherm: Toth,
    /// How fast water gets in.
    pub transfer: Transfer,
    /// Mass per bed volume, kg/m³.
    pub bulk_kg_m3: f64,
    /// Share of the bed volume between the beads.
    pub void_fraction: f64,
    /// Where the isotherm's parameters come from.
    pub source: Cow<'static, str>,
}

impl Adsorbent {
    /// Mass per bead volume, kg/m³: bulk density / (1 − void fraction).
    pub fn bead_kg_m3(&self) -> f64 {
        self.bulk_kg_m3 / (1.0 - self.void_fraction)
    }
}

/// Beads of 2 mm. Radius: common practice, no source. Porosity 0.35,
/// tortuosity 2 and pores of 0.15 µm are usual for bound zeolite (handbook
/// values, from memory); the uncertainty of the whole coefficient is stated at
/// [`Transfer`].
const ZEOLITE_BEADS: Transfer = Transfer::Beads(Beads {
    radius_m: 1e-3,
    porosity: 0.35,
    tortuosity: 2.0,
    pore_radius_m: 1.5e-7,
});

const WANG_LEVAN: Cow<'static, str> = Cow::Borrowed(
    "Y. Wang, M. D. LeVan, J. Chem. Eng. Data 54 (2009) 2839, 0 to 100 degC; coefficients read \
     in two independent public codes, the paper's own table not seen",
);

/// The adsorbents known here. Bulk density of 13X: 689 kg/m³, J. Chem. Eng.
/// Data 48 (2003) 137, read on a secondary page; of 5A: handbook value, from
/// memory. Void fraction 0.37: random packing of spheres, from memory.
pub const ADSORBENTS: [Adsorbent; 2] = [
    Adsorbent {
        name: Cow::Borrowed("13X"),
        isotherm: Toth {
            a0: 3.634e-6,
            b0: 2.408e-7,
            e_k: 6852.0,
            t0: 0.3974,
            c_k: -4.199,
        },
        transfer: ZEOLITE_BEADS,
        bulk_kg_m3: 689.0,
        void_fraction: 0.37,
        source: WANG_LEVAN,
    },
    Adsorbent {
        name: Cow::Borrowed("5A"),
        isotherm: Toth {
            a0: 1.106e-8,
            b0: 4.714e-10,
            e_k: 9955.0,
            t0: 0.3548,
            c_k: -51.14,
        },
        transfer: ZEOLITE_BEADS,
        bulk_kg_m3: 720.0,
        void_fraction: 0.37,
        source: WANG_LEVAN,
    },
];

/// The adsorbent of this name in [`ADSORBENTS`], upper or lower case.
pub fn adsorbent_named(name: &str) -> Option<Adsorbent> {
    let wanted = name.trim();
    ADSORBENTS
        .into_iter()
        .find(|known| known.name.eq_ignore_ascii_case(wanted))
}
