//! What the gas is made of: mole fractions, checked once.
//!
//! Not here: how components interact (see [`super::mixture`]). Moisture is not
//! a component; water is followed separately.

use super::coefficients::R_MOLAR;
use super::{GasError, air, mixture};

/// Number of components the equation of state knows.
pub const COMPONENTS: usize = 5;

/// Largest accepted distance of the mole-fraction sum from 1.
const SUM_TOLERANCE: f64 = 1e-6;

/// Mole fractions of nitrogen, oxygen, argon, helium and carbon dioxide.
///
/// Invariant: each is finite and not negative, and they sum to 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Composition {
    fractions: [f64; COMPONENTS],
}

impl Composition {
    /// Mole fractions in the order N₂, O₂, Ar, He, CO₂.
    ///
    /// **Errors** [`GasError::BadComposition`] for NaN, a negative fraction, or
    /// a sum further than 1e-6 from 1. A smaller distance is divided out.
    pub fn new(fractions: [f64; COMPONENTS]) -> Result<Self, GasError> {
        for value in fractions {
            if !value.is_finite() {
                return bad("a mole fraction is not a finite number", value);
            }
            if value < 0.0 {
                return bad("a mole fraction is negative", value);
            }
        }
        let sum: f64 = fractions.iter().sum();
        if (sum - 1.0).abs() > SUM_TOLERANCE {
            return bad("the mole fractions do not sum to 1", sum);
        }
        Ok(Self {
            fractions: fractions.map(|x| x / sum),
        })
    }

    /// Dry air as N₂ 0.7812, O₂ 0.2096, Ar 0.0092.
    ///
    /// A gas of exactly these fractions is described by the reference equation
    /// of air instead of the mixture equation ([`Gas::new`](super::Gas::new)).
    ///
    /// **Leaves out** water; CO₂ (about 0.0004) counts in the molar mass alone.
    /// **Source** Lemmon et al., J. Phys. Chem. Ref. Data 29 (2000) 331.
    pub fn dry_air() -> Self {
        Self {
            fractions: [0.7812, 0.2096, 0.0092, 0.0, 0.0],
        }
    }

    /// Oxygen at mole fraction `o2`, the rest nitrogen.
    ///
    /// **Leaves out** argon: in real nitrox up to 0.0092 of it counts as
    /// nitrogen here.
    /// **Errors** as [`new`](Self::new).
    pub fn nitrox(o2: f64) -> Result<Self, GasError> {
        Self::new([1.0 - o2, o2, 0.0, 0.0, 0.0])
    }

    /// Oxygen at `o2`, helium at `he` (mole fractions), the rest nitrogen.
    ///
    /// **Errors** as [`new`](Self::new).
    pub fn trimix(o2: f64, he: f64) -> Result<Self, GasError> {
        Self::new([remainder(1.0 - o2 - he), o2, 0.0, he, 0.0])
    }

    /// Mole fractions in the order N₂, O₂, Ar, He, CO₂.
    pub fn fractions(&self) -> [f64; COMPONENTS] {
        self.fractions
    }

    /// Is this exactly [`dry_air`](Self::dry_air)?
    pub fn is_dry_air(&self) -> bool {
        *self == Self::dry_air()
    }

    /// Molar mass, kg/mol: Σ xᵢ·Mᵢ, or that of real dry air (28.96546 g/mol,
    /// CIPM-2007: 0.024 % more than its three components make).
    pub fn molar_mass(&self) -> f64 {
        if self.is_dry_air() {
            air::MOLAR_MASS
        } else {
            mixture::molar_mass(self)
        }
    }

    /// Specific gas constant R/M, J/(kg·K), with R as the equation behind
    /// [`Gas::new`](super::Gas::new) was fitted: 8.31451 J/(mol·K) for dry air,
    /// 8.314472 for mixtures.
    pub fn specific_gas_constant(&self) -> f64 {
        let r = if self.is_dry_air() {
            air::R_MOLAR
        } else {
            R_MOLAR
        };
        r / self.molar_mass()
    }
}

/// A difference that rounding left a hair below zero is zero.
fn remainder(x: f64) -> f64 {
    if (-1e-12..0.0).contains(&x) { 0.0 } else { x }
}

fn bad(why: &'static str, value: f64) -> Result<Composition, GasError> {
    Err(GasError::BadComposition { why, value })
}
