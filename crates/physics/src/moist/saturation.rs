//! The pressure of water vapour over pure liquid and pure ice.
//!
//! Not here: what air above the water changes ([`super::air`]).

use super::MoistError;
use super::error::temperature;

/// Temperatures accepted over liquid water, K: -20 to 80 °C. Below 0.01 °C the
/// liquid is supercooled.
pub const LIQUID_T_RANGE_K: (f64, f64) = (253.15, 353.15);

/// Temperatures accepted over ice, K: -80 to 0.01 °C.
pub const ICE_T_RANGE_K: (f64, f64) = (193.15, TRIPLE_T_K);

/// Triple point of water, K and Pa. **Source** IAPWS R14-08.
const TRIPLE_T_K: f64 = 273.16;
const TRIPLE_P_PA: f64 = 611.657;

/// What the vapour is in balance with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Phase {
    /// Liquid water, supercooled below freezing.
    Liquid,
    /// Ordinary ice.
    Ice,
    /// Whichever of the two holds the vapour lower: the one that forms in the
    /// end. Pressure moves the change below 0 °C.
    Stable,
}

impl Phase {
    /// Temperatures accepted, K.
    pub fn t_range_k(self) -> (f64, f64) {
        match self {
            Self::Liquid => LIQUID_T_RANGE_K,
            Self::Ice => ICE_T_RANGE_K,
            Self::Stable => (ICE_T_RANGE_K.0, LIQUID_T_RANGE_K.1),
        }
    }

    /// What the condensation temperature is called.
    pub(super) fn point_name(self) -> &'static str {
        match self {
            Self::Liquid => "dew point",
            Self::Ice => "frost point",
            Self::Stable => "dew or frost point",
        }
    }
}

/// Coefficients n₁ to n₁₀ of the saturation equation, IAPWS R7-97 table 34.
const REGION_4: [f64; 10] = [
    0.116_705_214_527_67e4,
    -0.724_213_167_032_06e6,
    -0.170_738_469_400_92e2,
    0.120_208_247_024_70e5,
    -0.323_255_503_223_33e7,
    0.149_151_086_135_30e2,
    -0.482_326_573_615_91e4,
    0.405_113_405_420_57e6,
    -0.238_555_575_678_49,
    0.650_175_348_447_98e3,
];

/// Pressure of water vapour over pure liquid water, Pa.
///
/// With θ = T + n₉/(T − n₁₀) and A = θ² + n₁θ + n₂, B = n₃θ² + n₄θ + n₅,
/// C = n₆θ² + n₇θ + n₈:
///
/// p = (2C/(−B + √(B² − 4AC)))⁴ MPa
///
/// **Holds** officially from 273.15 to 647.096 K; extrapolated to 253.15 K,
/// where it is within 0.05 % of Murphy and Koop (2005).
/// **Errors** outside [`LIQUID_T_RANGE_K`].
/// **Source** IAPWS R7-97(2012), equation 30.
pub fn saturation_pressure_liquid(t_k: f64) -> Result<f64, MoistError> {
    temperature("liquid water at", t_k, LIQUID_T_RANGE_K).map(liquid_pressure)
}

/// Pressure of water vapour over pure ice, Pa.
///
/// ln(p/pₜ) = (Tₜ/T)·Σ aᵢ·(T/Tₜ)^bᵢ, from the triple point (Tₜ, pₜ).
///
/// **Holds** officially from 50 to 273.16 K.
/// **Errors** outside [`ICE_T_RANGE_K`].
/// **Source** IAPWS R14-08(2011), equation 6.
pub fn saturation_pressure_ice(t_k: f64) -> Result<f64, MoistError> {
    temperature("ice at", t_k, ICE_T_RANGE_K).map(ice_pressure)
}

/// The liquid formula itself, below the critical point.
pub(super) fn liquid_pressure(t_k: f64) -> f64 {
    let n = REGION_4;
    let theta = t_k + n[8] / (t_k - n[9]);
    let a = theta * theta + n[0] * theta + n[1];
    let b = n[2] * theta * theta + n[3] * theta + n[4];
    let c = n[5] * theta * theta + n[6] * theta + n[7];
    (2.0 * c / (-b + (b * b - 4.0 * a * c).sqrt())).powi(4) * 1e6
}

/// The ice formula itself.
pub(super) fn ice_pressure(t_k: f64) -> f64 {
    const TERMS: [(f64, f64); 3] = [
        (-0.212_144_006e2, 0.333_333_333e-2),
        (0.273_203_819e2, 0.120_666_667e1),
        (-0.610_598_130e1, 0.170_333_333e1),
    ];
    let theta = t_k / TRIPLE_T_K;
    let sum: f64 = TERMS.iter().map(|(a, b)| a * theta.powf(*b)).sum();
    TRIPLE_P_PA * (sum / theta).exp()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// IAPWS R7-97(2012), table 35: computer-program check values.
    #[test]
    fn iapws_r7_97_table_35() {
        for (t_k, mpa) in [
            (300.0, 0.353_658_941e-2),
            (500.0, 0.263_889_776e1),
            (600.0, 0.123_443_146e2),
        ] {
            let p = liquid_pressure(t_k) / 1e6;
            assert!(
                (p / mpa - 1.0).abs() < 1e-8,
                "{t_k} K: {p}, table {mpa} MPa"
            );
        }
    }

    /// IAPWS R14-08(2011), check value at 230 K: 8.94735e-6 MPa.
    #[test]
    fn iapws_r14_08_sublimation() {
        let p = ice_pressure(230.0) / 1e6;
        assert!((p / 8.947_35e-6 - 1.0).abs() < 1e-6, "{p} MPa");
    }
}
