//! A thermodynamic state and how the Helmholtz derivatives make one.
//!
//! Not here: finding the density or temperature of a state
//! ([`super::equation`]).

use super::helmholtz::Residual;
use super::ideal::{IdealValues, ZERO_P_PA, ZERO_T_K};

/// Everything the equation of state says about one gas state, per kg.
///
/// | field | equation | unit |
/// |---|---|---|
/// | `z` | 1 + δαʳ_δ | 1 |
/// | `p_pa` | z·ρ·R·T | Pa absolute |
/// | `u` | u⁰ + R·T·τ·αʳ_τ | J/kg |
/// | `h` | u + p/ρ | J/kg |
/// | `s` | s⁰ + R·(τ·αʳ_τ − αʳ) | J/(kg·K) |
/// | `cv` | cv⁰ − R·τ²·αʳ_ττ | J/(kg·K) |
/// | `cp` | cv + T·(∂p/∂T)²/(ρ²·∂p/∂ρ) | J/(kg·K) |
/// | `w` | √(cp/cv·∂p/∂ρ) | m/s |
///
/// Internal energy is zero for the ideal gas of this composition at 273.15 K,
/// entropy at 273.15 K and 101325 Pa: only differences within one composition
/// have a meaning.
///
/// **Source** Kunz & Wagner (2012), table of property relations.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct State {
    /// Absolute pressure, Pa.
    pub p_pa: f64,
    /// Temperature, K.
    pub t_k: f64,
    /// Density, kg/m³.
    pub rho: f64,
    /// Internal energy, J/kg.
    pub u: f64,
    /// Enthalpy, J/kg.
    pub h: f64,
    /// Entropy, J/(kg·K).
    pub s: f64,
    /// Isobaric heat capacity, J/(kg·K).
    pub cp: f64,
    /// Isochoric heat capacity, J/(kg·K).
    pub cv: f64,
    /// Speed of sound, m/s.
    pub w: f64,
    /// Compressibility factor, 1.
    pub z: f64,
    /// ∂p/∂ρ at constant temperature, J/kg.
    pub dp_drho_t: f64,
    /// ∂p/∂T at constant density, Pa/K.
    pub dp_dt_rho: f64,
}

impl State {
    /// Assembles the state; `r` is the specific gas constant, J/(kg·K).
    pub(super) fn assemble(r: f64, rho: f64, t_k: f64, ideal: &IdealValues, a: &Residual) -> Self {
        let rt = r * t_k;
        let z = 1.0 + a.a01;
        let u = ideal.u + rt * a.a10;
        let cv = ideal.cv - r * a.a20;
        let dp_drho_t = rt * (1.0 + 2.0 * a.a01 + a.a02);
        let slope_t = r * (1.0 + a.a01 - a.a11);
        let cp = cv + t_k * slope_t * slope_t / dp_drho_t;
        let dilution = -r * (rho * r * ZERO_T_K / ZERO_P_PA).ln();
        Self {
            p_pa: rho * rt * z,
            t_k,
            rho,
            u,
            h: u + rt * z,
            s: ideal.s_isochoric + dilution + r * (a.a10 - a.a00),
            cp,
            cv,
            w: (cp / cv * dp_drho_t).sqrt(),
            z,
            dp_drho_t,
            dp_dt_rho: rho * slope_t,
        }
    }
}
