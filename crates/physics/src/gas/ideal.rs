//! The ideal-gas part: energy, heat capacity and entropy at zero density.
//!
//! Not here: anything that depends on how molecules meet
//! ([`super::helmholtz`]), and the numbers of a gas ([`super::mixture`],
//! [`super::air`]).

/// Temperature at which the ideal-gas internal energy and entropy are zero, K.
pub const ZERO_T_K: f64 = 273.15;

/// Pressure at which the ideal-gas entropy is zero, Pa.
pub const ZERO_P_PA: f64 = 101_325.0;

/// The term n·T^k; k is neither 0 nor −1.
#[derive(Debug, Clone, Copy)]
pub(super) struct Power {
    /// Weight, K^(−k).
    pub(super) n: f64,
    /// k.
    pub(super) exponent: f64,
}

/// The term n·(θ/T)²/sinh²(θ/T): a vibration.
#[derive(Debug, Clone, Copy)]
pub(super) struct Sinh {
    pub(super) n: f64,
    /// Half the vibration temperature, K.
    pub(super) theta: f64,
}

/// The term n·(θ/T)²/cosh²(θ/T − φ).
#[derive(Debug, Clone, Copy)]
pub(super) struct Cosh {
    pub(super) n: f64,
    /// θ, K.
    pub(super) theta: f64,
    /// φ.
    pub(super) shift: f64,
}

/// The terms of cv⁰/R, in units of the gas constant they were fitted in.
#[derive(Debug, Clone, Default)]
pub(super) struct IdealTerms {
    pub(super) constant: f64,
    pub(super) powers: Vec<Power>,
    pub(super) sinh: Vec<Sinh>,
    pub(super) cosh: Vec<Cosh>,
}

/// The heat-capacity function of a gas,
///
/// cv⁰/R = c + Σ n·T^k + Σ n·(θ/T)²/sinh²(θ/T) + Σ n·(θ/T)²/cosh²(θ/T − φ)
///
/// | symbol | is | unit |
/// |---|---|---|
/// | c | constant part | 1 |
/// | n, k | weight and exponent of a power | K^(−k), 1 |
/// | n, θ, φ | weights, temperatures and shifts | 1, K, 1 |
///
/// **Source** Kunz & Wagner (2012), equation 14, and Lemmon et al. (2000),
/// table 12, both differentiated.
#[derive(Debug, Clone)]
pub(super) struct Ideal {
    /// Specific gas constant of the terms, J/(kg·K).
    r: f64,
    terms: IdealTerms,
    at_zero: [f64; 2],
}

/// Ideal-gas values at one temperature, per kg of gas.
#[derive(Debug, Clone, Copy)]
pub(super) struct IdealValues {
    /// Internal energy, J/kg, zero at [`ZERO_T_K`].
    pub(super) u: f64,
    /// Isochoric heat capacity, J/(kg·K).
    pub(super) cv: f64,
    /// Its slope, J/(kg·K²).
    pub(super) dcv_dt: f64,
    /// ∫ cv/T dT from [`ZERO_T_K`], J/(kg·K).
    pub(super) s_isochoric: f64,
}

impl Ideal {
    /// `r` in J/(kg·K).
    pub(super) fn new(r: f64, terms: IdealTerms) -> Self {
        let mut ideal = Self {
            r,
            terms,
            at_zero: [0.0; 2],
        };
        let zero = ideal.at(ZERO_T_K);
        ideal.at_zero = [zero.u, zero.s_isochoric];
        ideal
    }

    /// Values at `t_k` > 0.
    pub(super) fn at(&self, t_k: f64) -> IdealValues {
        let mut u = self.terms.constant * t_k;
        let mut cv = self.terms.constant;
        let mut slope = 0.0;
        let mut entropy = self.terms.constant * t_k.ln();
        for Power { n, exponent } in &self.terms.powers {
            let c = n * t_k.powf(*exponent);
            u += c * t_k / (exponent + 1.0);
            cv += c;
            slope += c * exponent / t_k;
            entropy += c / exponent;
        }
        for Sinh { n, theta } in &self.terms.sinh {
            let x = theta / t_k;
            let (sinh, coth) = (x.sinh(), 1.0 / x.tanh());
            let c = n * (x / sinh).powi(2);
            u += n * theta * coth;
            cv += c;
            slope += 2.0 * c * (x * coth - 1.0) / t_k;
            entropy += n * (x * coth - sinh.ln());
        }
        for Cosh { n, theta, shift } in &self.terms.cosh {
            let x = theta / t_k;
            let (cosh, tanh) = ((x - shift).cosh(), (x - shift).tanh());
            let c = n * (x / cosh).powi(2);
            u -= n * theta * tanh;
            cv += c;
            slope += 2.0 * c * (x * tanh - 1.0) / t_k;
            entropy -= n * (x * tanh - cosh.ln());
        }
        let [u_zero, s_zero] = self.at_zero;
        IdealValues {
            u: self.r * u - u_zero,
            cv: self.r * cv,
            dcv_dt: self.r * slope,
            s_isochoric: self.r * entropy - s_zero,
        }
    }
}
