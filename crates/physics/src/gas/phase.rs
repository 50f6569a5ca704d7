//! Where a mixture stops being a gas: a guard, not a phase-equilibrium model.
//!
//! Breathing gas above about 155 K never condenses. Colder, this module says
//! whether a state is still gas; its dew pressures are up to 7 % too low for air
//! (the cautious side), see `tests/gas/errors.rs`.

use super::GasError;
use super::coefficients::{CO2, FLUIDS, HE};
use super::composition::Composition;

/// Up to this mole fraction CO₂ is a trace whose frost is not modelled.
const CO2_TRACE: f64 = 0.01;
/// Just above the triple point of CO₂ (216.59 K), K.
const CO2_LOWEST_T_K: f64 = 217.0;

/// Dew and bubble pressures by Raoult's law over Wilson's vapour pressures,
///
/// psat = pc·exp(5.373·(1+ω)·(1−Tc/T)), 1/p_dew = Σ xᵢ/psatᵢ,
/// p_bubble = Σ xᵢ·psatᵢ.
///
/// | symbol | is | unit |
/// |---|---|---|
/// | pc, Tc, ω | critical pressure, temperature, acentric factor | Pa, K, 1 |
///
/// **Holds** below the mole-weighted critical temperature of the condensing
/// components. Helium, and CO₂ up to 1 %, do not count as condensing.
/// **Leaves out** frost of CO₂ traces; gas-liquid states of helium mixtures
/// above that temperature (none in our range).
/// **Source** G. M. Wilson, AIChE 65th national meeting (1968), from memory.
#[derive(Debug, Clone)]
pub(super) struct Phase {
    condensing: Vec<Condensing>,
    /// No state above this is condensed, K.
    pub(super) critical_t_k: f64,
    /// A colder gas must be thinner than this, mol/m³.
    critical_density: f64,
    /// Lowest temperature at which this composition is modelled, K.
    pub(super) lowest_t_k: f64,
}

#[derive(Debug, Clone)]
struct Condensing {
    fraction: f64,
    critical_p_pa: f64,
    critical_t_k: f64,
    steepness: f64,
}

impl Condensing {
    fn saturation_p_pa(&self, t_k: f64) -> f64 {
        self.critical_p_pa * (self.steepness * (1.0 - self.critical_t_k / t_k)).exp()
    }
}

impl Phase {
    pub(super) fn new(composition: &Composition, lowest_t_k: f64) -> Self {
        let x = composition.fractions();
        let heavy_co2 = x[CO2] > CO2_TRACE;
        let counts = |i: usize| i != HE && (i != CO2 || heavy_co2);
        let mut condensing = Vec::new();
        let (mut total, mut t_sum, mut volume) = (0.0, 0.0, 0.0);
        for (i, fluid) in FLUIDS.into_iter().enumerate() {
            volume += x[i] / fluid.critical_density;
            if x[i] == 0.0 || !counts(i) {
                continue;
            }
            total += x[i];
            t_sum += x[i] * fluid.critical_t_k;
            condensing.push(Condensing {
                fraction: x[i],
                critical_p_pa: fluid.critical_p_pa,
                critical_t_k: fluid.critical_t_k,
                steepness: 5.373 * (1.0 + fluid.acentric),
            });
        }
        Self {
            condensing,
            critical_t_k: if total > 0.0 { t_sum / total } else { 0.0 },
            critical_density: 1.0 / volume,
            lowest_t_k: if heavy_co2 {
                lowest_t_k.max(CO2_LOWEST_T_K)
            } else {
                lowest_t_k
            },
        }
    }

    fn dew_p_pa(&self, t_k: f64) -> f64 {
        let sum: f64 = self
            .condensing
            .iter()
            .map(|c| c.fraction / c.saturation_p_pa(t_k))
            .sum();
        1.0 / sum
    }

    fn bubble_p_pa(&self, t_k: f64) -> f64 {
        self.condensing
            .iter()
            .map(|c| c.fraction * c.saturation_p_pa(t_k))
            .sum()
    }

    /// Is the mixture a gas at this pressure and temperature?
    pub(super) fn check(&self, p_pa: f64, t_k: f64) -> Result<(), GasError> {
        if t_k >= self.critical_t_k || p_pa <= self.dew_p_pa(t_k) {
            Ok(())
        } else if p_pa >= self.bubble_p_pa(t_k) {
            Err(GasError::LiquidRoot { p_pa, t_k })
        } else {
            Err(GasError::TwoPhase { p_pa, t_k })
        }
    }

    /// Is a state found at molar density `density` (mol/m³) a gas?
    #[inline]
    pub(super) fn is_gas(&self, density: f64, p_pa: f64, t_k: f64) -> bool {
        t_k >= self.critical_t_k || (density < self.critical_density && p_pa <= self.dew_p_pa(t_k))
    }
}
