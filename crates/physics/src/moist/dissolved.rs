//! Air dissolved in the liquid water, which gives off the less vapour for it.
//!
//! Not here: gases other than those of air.

use super::R;
use super::saturation::liquid_pressure;

/// A gas of the air, as it dissolves in water.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Dissolving {
    /// N₂.
    Nitrogen,
    /// O₂.
    Oxygen,
    /// Ar.
    Argon,
}

impl Dissolving {
    /// In the order of [`crate::gas::Composition::fractions`].
    pub(super) const ALL: [Self; 3] = [Self::Nitrogen, Self::Oxygen, Self::Argon];

    /// A, B, C of IAPWS G7-04, table 2.
    fn coefficients(self) -> (f64, f64, f64) {
        match self {
            Self::Nitrogen => (-9.675_78, 4.721_62, 11.705_85),
            Self::Oxygen => (-9.448_33, 4.438_22, 11.420_05),
            Self::Argon => (-8.409_54, 4.295_87, 10.527_79),
        }
    }

    /// Volume one mole takes up in water, m³/mol: handbook values near 25 °C,
    /// from memory. One cm³/mol more changes the vapour by less than 1e-4.
    fn molar_volume(self) -> f64 {
        match self {
            Self::Nitrogen => 33e-6,
            Self::Oxygen | Self::Argon => 32e-6,
        }
    }
}

/// Henry's constant k of a gas in water: fugacity of the gas over its mole
/// fraction in the liquid, Pa.
///
/// ln(k/p*) = A/Tr + B·τ^0.355/Tr + C·Tr^−0.41·exp τ, with Tr = T/647.096 K,
/// τ = 1 − Tr and p* the saturation pressure.
///
/// **Holds** from 278 (N₂), 274 (O₂), 273 K (Ar) to 568 K; extrapolated to
/// 253 K here, where dissolved air takes some 1 % off the vapour at 450 bar.
/// **Source** IAPWS G7-04, equation 3. p* by IAPWS R7-97 in place of its own
/// reference; they differ by less than 1e-4.
pub fn henry_constant(gas: Dissolving, t_k: f64) -> f64 {
    let (a, b, c) = gas.coefficients();
    let tr = t_k / 647.096;
    let tau = 1.0 - tr;
    let ln = a / tr + b * tau.powf(0.355) / tr + c * tr.powf(-0.41) * tau.exp();
    liquid_pressure(t_k) * ln.exp()
}

/// Mole fraction dissolved in water at absolute pressure `p_pa`, per unit of
/// (1 − y), for a gas with the given mole fractions and fugacity coefficient.
///
/// x = Σ zᵢ·φ·p/(kᵢ·exp(vᵢ(p − p*)/(R·T)))
///
/// **Leaves out** that each gas has its own φ: they differ by some 10 % at
/// 400 bar, the vapour by 0.03 %.
pub(super) fn dissolved_air(fractions: &[f64], phi: f64, p_pa: f64, t_k: f64) -> f64 {
    let rise = (p_pa - liquid_pressure(t_k)) / (R * t_k);
    let one = |(fraction, gas): (&f64, Dissolving)| {
        let resistance = henry_constant(gas, t_k) * (gas.molar_volume() * rise).exp();
        fraction * phi * p_pa / resistance
    };
    fractions.iter().zip(Dissolving::ALL).map(one).sum()
}
