//! Adsorption isotherms: loading at equilibrium with vapour.
//!
//! Not here: which adsorbent has which parameters (`adsorbent`) and how fast
//! equilibrium is reached (`transfer`).

use super::GAS_CONSTANT;

/// The temperature-dependent Toth isotherm,
///
/// q = a·p / (1 + (b·p)^t)^(1/t),  a = a₀·exp(E/T),  b = b₀·exp(E/T),  t = t₀ + c/T
///
/// | symbol | is | unit |
/// |---|---|---|
/// | q | loading at equilibrium | mol/kg of dry adsorbent |
/// | p | effective partial pressure of water | kPa |
/// | a₀ | prefactor of the low-pressure slope | mol/(kg·kPa) |
/// | b₀ | prefactor of the affinity | 1/kPa |
/// | E | temperature coefficient | K |
/// | t₀, c | heterogeneity and its temperature term | 1, K |
///
/// **Limits** q → a·p for p → 0, q → a/b for p → ∞; a/b = a₀/b₀ does not
/// depend on temperature. **Holds** over the temperatures and pressures that
/// the parameters were fitted to. **Source** for the form: J. Tóth, Acta Chim.
/// Hung. 69 (1971) 311; with temperature terms in Y. Wang, M. D. LeVan,
/// J. Chem. Eng. Data 54 (2009) 2839.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Toth {
    /// a₀, mol/(kg·kPa).
    pub a0: f64,
    /// b₀, 1/kPa.
    pub b0: f64,
    /// E, K.
    pub e_k: f64,
    /// t₀, dimensionless.
    pub t0: f64,
    /// c, K.
    pub c_k: f64,
}

impl Toth {
    /// The isotherm at one temperature, K.
    pub fn at(&self, t_k: f64) -> TothAt {
        TothAt {
            saturation: self.a0 / self.b0,
            affinity: self.b0 * (self.e_k / t_k).exp(),
            exponent: self.t0 + self.c_k / t_k,
        }
    }

    /// Isosteric heat in the limit of no loading, J/mol: from
    /// d ln p/d(1/T) at constant q → 0, where q = a·p, Q = R·E.
    pub fn heat_at_zero_loading(&self) -> f64 {
        GAS_CONSTANT * self.e_k
    }
}

/// A Toth isotherm at a fixed temperature: q = q_s·(s/(1+s))^(1/t), s = (b·p)^t.
///
/// This form is the same equation; it needs no difference of near-equal
/// numbers and can be solved for p.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TothAt {
    /// q_s = a/b, mol/kg.
    pub(super) saturation: f64,
    /// b, 1/kPa.
    pub(super) affinity: f64,
    /// t, dimensionless.
    pub(super) exponent: f64,
}

impl TothAt {
    /// Loading in equilibrium with `p_kpa`, mol/kg; zero at and below zero pressure.
    pub fn loading(&self, p_kpa: f64) -> f64 {
        if p_kpa <= 0.0 {
            return 0.0;
        }
        self.loading_at_log((self.affinity * p_kpa).ln() * self.exponent)
            .0
    }

    /// dq/dp, mol/(kg·kPa): q/(p·(1+s)); the Henry slope a at p = 0.
    pub fn slope(&self, p_kpa: f64) -> f64 {
        if p_kpa <= 0.0 {
            return self.henry();
        }
        let (q, share) = self.loading_at_log((self.affinity * p_kpa).ln() * self.exponent);
        q * share / p_kpa
    }

    /// Effective pressure in equilibrium with loading `q`, kPa:
    /// p = (r/(1−r))^(1/t)/b with r = (q/q_s)^t. None from saturation on.
    pub fn pressure(&self, q_mol_kg: f64) -> Option<f64> {
        if q_mol_kg <= 0.0 {
            return Some(0.0);
        }
        let log_share = (q_mol_kg / self.saturation).ln();
        if log_share.is_nan() || log_share >= 0.0 {
            return None;
        }
        let x = self.exponent * log_share;
        Some(((x - (-x.exp_m1()).ln()) / self.exponent).exp() / self.affinity)
    }

    /// Loading that no pressure exceeds, a/b, mol/kg.
    pub fn saturation(&self) -> f64 {
        self.saturation
    }

    /// Slope at zero pressure, a, mol/(kg·kPa).
    pub fn henry(&self) -> f64 {
        self.saturation * self.affinity
    }

    /// The same isotherm with its loadings multiplied by `share`.
    pub(super) fn scaled(self, share: f64) -> TothAt {
        TothAt {
            saturation: self.saturation * share,
            ..self
        }
    }

    /// Loading and 1/(1+s) at x = ln s = t·ln(b·p).
    pub(super) fn loading_at_log(&self, x: f64) -> (f64, f64) {
        let inverse = (-x).exp();
        let q = self.saturation * (-inverse.ln_1p() / self.exponent).exp();
        (q, inverse / (1.0 + inverse))
    }
}
