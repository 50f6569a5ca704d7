//! Air in balance with liquid water or ice.
//!
//! Start at [`Moist::new`]. Not here: the way back from a water content
//! ([`super::point`]), relative humidity ([`super::humidity`]).

use super::condensed::Condensed;
use super::dissolved::dissolved_air;
use super::error::{MoistError, pressure, temperature};
use super::saturation::{ICE_T_RANGE_K, LIQUID_T_RANGE_K, Phase};
use super::uncertainty::relative_uncertainty;
use super::virial::Virials;
use super::{R, WATER_MOLAR_MASS};
use crate::gas::{Composition, Gas, State};

/// Iterations allowed for the mole fraction.
const MAX_ITERATIONS: u32 = 100;
/// Relative step at which it counts as found.
const TOLERANCE: f64 = 1e-13;

/// Compressed air and the water it can hold.
///
/// In balance the vapour's fugacity equals the condensed water's:
///
/// y = f_w(T, p)·(1 − x)/(φ_w·p)
///
/// | symbol | is | from |
/// |---|---|---|
/// | y | mole fraction of water in the gas | sought |
/// | f_w | p_sat·φ_sat·exp(∫v·dp/(R·T)), Pa | IAPWS R7-97, R14-08, SR6-08, R10-06 |
/// | x | mole fraction of air in the liquid; 0 for ice | IAPWS G7-04 |
/// | φ_w | fugacity coefficient of the vapour | [`Virials`], real density |
///
/// The density is that of dry air by [`Gas`], corrected for its water by
/// Bmix − Baa and Cmix − Caaa.
///
/// **Holds** from 0.5 to 450 bar absolute; over liquid -20 to 80 °C
/// (supercooled below 0.01 °C), over ice -80 to 0.01 °C. Official (G11-15) to
/// 50 bar; above that extrapolated: see [`relative_uncertainty`].
/// **Leaves out** hydrate of air, which above some 140 bar near 0 °C is more
/// stable than the liquid (from memory) but slow to form; oil on the water;
/// carbon dioxide.
/// **Source** IAPWS G8-10, G11-15; Hyland & Wexler (1983).
#[derive(Debug, Clone)]
pub struct Moist {
    gas: Gas,
}

/// Air that holds all the water it can.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Saturated {
    /// Moles of water per mole of gas, water included.
    pub mole_fraction: f64,
    /// y·p over the pressure of pure water vapour: 1 for an ideal gas.
    pub enhancement: f64,
    /// kg of vapour per kg of dry air.
    pub vapour_kg_per_kg_dry: f64,
    /// Relative uncertainty of the three, 1.
    pub relative_uncertainty: f64,
    /// What the vapour is in balance with: liquid or ice, never `Stable`.
    pub phase: Phase,
}

impl Moist {
    /// Prepares for a gas that is dry air.
    ///
    /// **Errors** [`MoistError::NotAir`] if a mole fraction is further than
    /// 0.02 from that of dry air.
    pub fn new(gas: &Gas) -> Result<Self, MoistError> {
        const NAMES: [&str; 5] = ["nitrogen", "oxygen", "argon", "helium", "carbon dioxide"];
        let given = gas.composition().fractions();
        let air = Composition::dry_air().fractions();
        for ((component, fraction), expected) in NAMES.into_iter().zip(given).zip(air) {
            if (fraction - expected).abs() > 0.02 {
                return Err(MoistError::NotAir {
                    component,
                    fraction,
                    expected,
                });
            }
        }
        Ok(Self { gas: gas.clone() })
    }

    /// Molar mass of the dry air, kg/mol.
    pub fn dry_molar_mass(&self) -> f64 {
        self.gas.molar_mass()
    }

    /// Air saturated with water at absolute pressure `p_pa` and `t_k`.
    ///
    /// **Errors** [`MoistError::Pressure`], [`MoistError::Temperature`] outside
    /// the range of [`Moist`].
    pub fn saturated(&self, p_pa: f64, t_k: f64, phase: Phase) -> Result<Saturated, MoistError> {
        pressure(p_pa)?;
        temperature(place(phase), t_k, phase.t_range_k())?;
        let here = Conditions::new(&self.gas, p_pa, t_k)?;
        let over_liquid = || here.over_liquid(self);
        let over_ice = || here.over_ice(self);
        match phase {
            Phase::Liquid => over_liquid(),
            Phase::Ice => over_ice(),
            Phase::Stable if t_k > ICE_T_RANGE_K.1 => over_liquid(),
            Phase::Stable if t_k < LIQUID_T_RANGE_K.0 => over_ice(),
            Phase::Stable => {
                let (liquid, ice) = (over_liquid()?, over_ice()?);
                let ice_is_drier = ice.mole_fraction < liquid.mole_fraction;
                Ok(if ice_is_drier { ice } else { liquid })
            }
        }
    }

    /// kg of vapour per kg of dry air at mole fraction `y` < 1:
    /// y/(1 − y)·M_w/M_air.
    pub fn kg_per_kg_dry(&self, y: f64) -> f64 {
        y / (1.0 - y) * WATER_MOLAR_MASS / self.dry_molar_mass()
    }

    /// Mole fraction of vapour at `w` kg per kg of dry air, the way back from
    /// [`kg_per_kg_dry`](Self::kg_per_kg_dry).
    pub fn mole_fraction_of_kg_per_kg_dry(&self, w: f64) -> f64 {
        let moles = w * self.dry_molar_mass() / WATER_MOLAR_MASS;
        moles / (1.0 + moles)
    }
}

fn place(phase: Phase) -> &'static str {
    match phase {
        Phase::Liquid => "air over liquid water at",
        Phase::Ice => "air over ice at",
        Phase::Stable => "moist air at",
    }
}

/// The dry air and the coefficients at one pressure and temperature.
struct Conditions {
    p_pa: f64,
    t_k: f64,
    /// R·T, J/mol.
    rt: f64,
    virials: Virials,
    /// Fugacity coefficient of the dry air.
    phi_air: f64,
    /// Molar density of the dry air, mol/m³, and its slope in p, mol/(m³·Pa).
    dry: f64,
    dry_slope: f64,
}

impl Conditions {
    fn new(gas: &Gas, p_pa: f64, t_k: f64) -> Result<Self, MoistError> {
        let state = gas.state_p_t(p_pa, t_k)?;
        let rt = R * t_k;
        let dry = p_pa / (state.z * rt);
        Ok(Self {
            p_pa,
            t_k,
            rt,
            virials: Virials::new(gas, t_k)?,
            phi_air: fugacity_coefficient(gas, &state)?,
            dry,
            dry_slope: dry / (state.rho * state.dp_drho_t),
        })
    }

    fn over_liquid(&self, moist: &Moist) -> Result<Saturated, MoistError> {
        let water = Condensed::liquid(self.t_k, &self.virials);
        let fractions = moist.gas.composition().fractions();
        let x = dissolved_air(&fractions, self.phi_air, self.p_pa, self.t_k);
        self.solve(moist, &water, x, Phase::Liquid)
    }

    fn over_ice(&self, moist: &Moist) -> Result<Saturated, MoistError> {
        let ice = Condensed::ice(self.t_k, &self.virials);
        self.solve(moist, &ice, 0.0, Phase::Ice)
    }

    /// Repeats y = f_w·(1 − x)/(φ_w·p) until it stands; φ_w depends on y only
    /// weakly.
    fn solve(
        &self,
        moist: &Moist,
        water: &Condensed,
        dissolved: f64,
        phase: Phase,
    ) -> Result<Saturated, MoistError> {
        let ratio = water.fugacity(self.p_pa) / self.p_pa;
        let mut y = ratio;
        for _ in 0..MAX_ITERATIONS {
            let x = dissolved * (1.0 - y);
            let next = ratio * (1.0 - x) * (-self.ln_phi(y)).exp();
            if (next - y).abs() <= TOLERANCE * next {
                return Ok(Saturated {
                    mole_fraction: next,
                    enhancement: next * self.p_pa / water.p_sat_pa,
                    vapour_kg_per_kg_dry: moist.kg_per_kg_dry(next),
                    relative_uncertainty: relative_uncertainty(self.p_pa, self.t_k),
                    phase,
                });
            }
            y = next;
        }
        Err(MoistError::NotConverged {
            what: "saturated mole fraction",
            iterations: MAX_ITERATIONS,
        })
    }

    /// ln φ of the vapour at mole fraction `y` of water.
    fn ln_phi(&self, y: f64) -> f64 {
        let rho = self.density(y);
        let z = self.p_pa / (rho * self.rt);
        self.virials.ln_fugacity_coefficient(y, rho, z)
    }

    /// Molar density of the moist air, mol/m³: the dry air at the pressure that
    /// is left when p loses R·T·ρ²(ΔB + ΔC·ρ), by the slope at p. The change is
    /// at most 1 % (at 0.5 bar), above 50 bar 0.2 %; the straight line misses
    /// no more than its square.
    fn density(&self, y: f64) -> f64 {
        let (b, c) = (self.virials.excess_b(y), self.virials.excess_c(y));
        let change = |rho: f64| self.rt * rho * rho * (b + c * rho) * self.dry_slope;
        let once = self.dry - change(self.dry);
        self.dry - change(once)
    }
}

/// φ of the gas in `state` from its Gibbs energy above that of the thin gas:
/// ln φ = (g − g₁)/(R·T) − ln(p/p₁), per kg with R·T = p/(ρ·Z).
fn fugacity_coefficient(gas: &Gas, state: &State) -> Result<f64, MoistError> {
    /// Density at which a gas is ideal, kg/m³.
    const THIN: f64 = 1e-6;
    let thin = gas.state_rho_t(THIN, state.t_k)?;
    let gibbs = |s: &State| s.h - s.t_k * s.s;
    let rt = state.p_pa / (state.rho * state.z);
    let ln_f = (gibbs(state) - gibbs(&thin)) / rt;
    Ok(ln_f.exp() * thin.p_pa / state.p_pa)
}
