//! Liquid water and ice under pressure: how strongly they give off vapour.
//!
//! Not here: the vapour's side of the balance ([`super::air`]).

use super::saturation::{ice_pressure, liquid_pressure};
use super::virial::Virials;
use super::{R, WATER_MOLAR_MASS};

/// Specific volume, m³/kg, and isothermal compressibility, 1/Pa.
#[derive(Debug, Clone, Copy)]
struct Volume {
    v: f64,
    kappa: f64,
}

/// Pure liquid water or ice at one temperature.
#[derive(Debug, Clone, Copy)]
pub(super) struct Condensed {
    /// Pressure at which it is in balance with its own vapour, Pa.
    pub(super) p_sat_pa: f64,
    rt: f64,
    volume: Volume,
    ln_phi_sat: f64,
}

impl Condensed {
    /// Liquid water within [`super::LIQUID_T_RANGE_K`].
    pub(super) fn liquid(t_k: f64, virials: &Virials) -> Self {
        Self::new(t_k, liquid_pressure(t_k), liquid_volume(t_k), virials)
    }

    /// Ice within [`super::ICE_T_RANGE_K`].
    pub(super) fn ice(t_k: f64, virials: &Virials) -> Self {
        Self::new(t_k, ice_pressure(t_k), ice_volume(t_k), virials)
    }

    fn new(t_k: f64, p_sat_pa: f64, volume: Volume, virials: &Virials) -> Self {
        let rt = R * t_k;
        Self {
            p_sat_pa,
            rt,
            volume,
            ln_phi_sat: ln_phi_pure(p_sat_pa / rt, virials),
        }
    }

    /// Fugacity at absolute pressure `p_pa`, Pa:
    ///
    /// f = p_sat·φ_sat·exp(∫v·dp/(R·T)), the volume integral from p_sat to p
    /// being v₀(Δ − κΔ²/2 + (1 + n)κ²Δ³/6) with n = 6, the rise of the bulk
    /// modulus with pressure (handbook, from memory; near enough for ice: the
    /// term is 5e-4 of the integral at 450 bar over liquid, 2e-5 over ice).
    ///
    /// **Holds** to 450 bar within 3e-5 of IAPWS R6-95 over the liquid.
    pub(super) fn fugacity(&self, p_pa: f64) -> f64 {
        const BULK_MODULUS_SLOPE: f64 = 6.0;
        let rise = p_pa - self.p_sat_pa;
        let squeeze = self.volume.kappa * rise;
        let shape = 1.0 - squeeze / 2.0 + (1.0 + BULK_MODULUS_SLOPE) * squeeze * squeeze / 6.0;
        let poynting = self.volume.v * WATER_MOLAR_MASS * rise * shape / self.rt;
        self.p_sat_pa * (self.ln_phi_sat + poynting).exp()
    }
}

/// ln φ of pure vapour at pressure over RT `x` (mol/m³), to second order:
/// Bx + (C − B²)x²/2.
fn ln_phi_pure(x: f64, virials: &Virials) -> f64 {
    let Virials { bww, cwww, .. } = *virials;
    bww * x + (cwww - bww * bww) * x * x / 2.0
}

/// Liquid water at 0.1 MPa. With α = 10/(593 − T), β = 10/(T − 232):
/// v = R·10 K/p·(a₅ + Σ aᵢαⁿ + Σ bᵢβᵐ), and likewise ∂v/∂p.
///
/// **Holds** from 253.15 to 383.15 K, supercooled included.
/// **Source** IAPWS SR6-08(2011), equations 2 and 3, table 1.
fn liquid_volume(t_k: f64) -> Volume {
    /// (factor, power) of α, then of β, for the volume.
    const V_ALPHA: [(f64, i32); 5] = [
        (6.744_584_46e3, 4),
        (-2.225_216_04e5, 5),
        (1.002_312_47e8, 7),
        (-1.635_521_18e9, 8),
        (8.322_996_58e9, 9),
    ];
    const V_BETA: [(f64, i32); 6] = [
        (5.785_452_92e-3, 1),
        (-1.531_956_65e-2, 2),
        (3.113_378_59e-2, 3),
        (-4.235_462_41e-2, 4),
        (3.387_135_07e-2, 5),
        (-1.199_467_61e-2, 6),
    ];
    /// The same for its slope in pressure.
    const S_ALPHA: [(f64, i32); 5] = [
        (-7.524_587_8e-6, 1),
        (-1.376_741_8e-2, 3),
        (1.062_729_3e1, 5),
        (-2.045_779_5e2, 6),
        (1.203_741_4e3, 7),
    ];
    const S_BETA: [(f64, i32); 7] = [
        (-3.109_147_0e-6, 1),
        (2.896_491_9e-5, 3),
        (-1.311_276_3e-4, 4),
        (3.041_045_3e-4, 5),
        (-3.903_459_4e-4, 6),
        (2.340_311_7e-4, 7),
        (-4.851_010_1e-5, 9),
    ];
    /// Specific gas constant, J/(kg·K), of that release; times 10 K / 0.1 MPa.
    const SCALE: f64 = 461.518_05 * 10.0 / 0.1e6;
    let (alpha, beta) = (10.0 / (593.0 - t_k), 10.0 / (t_k - 232.0));
    let v = SCALE * (1.937_631_57e-2 + powers(&V_ALPHA, alpha) + powers(&V_BETA, beta));
    let slope = SCALE / 0.1e6 * (powers(&S_ALPHA, alpha) + powers(&S_BETA, beta));
    Volume {
        v,
        kappa: -slope / v,
    }
}

fn powers(terms: &[(f64, i32)], x: f64) -> f64 {
    terms.iter().map(|(factor, n)| factor * x.powi(*n)).sum()
}

/// Ice at low pressure, from its state at the triple point: volume by a
/// parabola and compressibility by a line in T.
///
/// **Holds** from 193 to 273.16 K within 2e-5 (volume) and 0.3 %
/// (compressibility) of IAPWS R10-06.
/// **Source** triple-point volume and compressibility: IAPWS R10-06(2009),
/// table 6; the slopes fitted here to that release's equation of state.
fn ice_volume(t_k: f64) -> Volume {
    let x = t_k - 273.16;
    Volume {
        v: 0.109_085_812_737e-2 * (1.0 + x * (1.616_905e-4 + x * 3.091_3e-7)),
        kappa: 0.117_793_449_348e-9 + 1.636_2e-13 * x,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// IAPWS SR6-08(2011): density at 260 K and 0.1 MPa, as printed by the
    /// package `iapws` 1.5.5 (`_Liquid(260)["rho"]`). IAPWS R6-95: density at
    /// 300 K, 0.099 241 8 MPa is 996.556 kg/m³ (its table 7, from memory).
    #[test]
    fn liquid_density() {
        let cold = 1.0 / liquid_volume(260.0).v;
        assert!((cold - 997.068_360_271).abs() < 1e-6, "{cold}");
        let warm = 1.0 / liquid_volume(300.0).v;
        assert!((warm - 996.556).abs() < 2e-3, "{warm}");
    }

    /// Compressibility of water has its least value near 46 °C, 4.42e-10 1/Pa
    /// (handbook, from memory).
    #[test]
    fn liquid_compressibility() {
        let k = liquid_volume(319.0).kappa;
        assert!((k / 4.415e-10 - 1.0).abs() < 0.003, "{k}");
    }

    /// IAPWS R10-06 equation of state in the package `iapws` 1.5.5, at 0.1 MPa.
    #[test]
    fn ice_against_r10_06() {
        for (t_k, rho, kappa) in [
            (273.16, 916.720_2, 1.177_867e-10),
            (253.15, 919.565_1, 1.142_813e-10),
            (233.15, 922.219_1, 1.109_083e-10),
            (213.15, 924.658_4, 1.077_112e-10),
            (193.15, 926.854_4, 1.047_429e-10),
        ] {
            let ice = ice_volume(t_k);
            assert!((ice.v * rho - 1.0).abs() < 3e-5, "{t_k} K: {}", 1.0 / ice.v);
            assert!(
                (ice.kappa / kappa - 1.0).abs() < 0.004,
                "{t_k} K: {}",
                ice.kappa
            );
        }
    }

    /// ∫v·dp from 0.1 to 45 MPa against Gibbs energies of IAPWS R6-95
    /// (CoolProp 8.0.0) and R10-06 (`iapws` 1.5.5), J/kg.
    #[test]
    fn squeezing() {
        let integral = |volume: Volume, from: f64| {
            let rt = 8.314 * 300.0;
            let body = Condensed {
                p_sat_pa: from,
                rt,
                volume,
                ln_phi_sat: 0.0,
            };
            (body.fugacity(45e6) / from).ln() * rt / WATER_MOLAR_MASS
        };
        for (t_k, joules) in [(273.16, 44418.56), (293.15, 44537.24), (333.15, 45231.84)] {
            let ours = integral(liquid_volume(t_k), 0.1e6);
            assert!((ours / joules - 1.0).abs() < 1e-4, "{t_k} K: {ours}");
        }
        let ice = integral(ice_volume(233.15), 611.657e-6);
        assert!((ice / 48674.8 - 1.0).abs() < 1e-4, "ice {ice}");
    }
}
