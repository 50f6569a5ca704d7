//! What escaping air does: its thrust, how long it lasts, and the energy it held.
//!
//! Start at [`Stored`] for the energy formulas, [`jet_thrust_n`] for a loose
//! hose, [`isothermal_vent_s`] for the time. These are closed forms for an
//! ideal gas, to stand beside a simulation with the real one.
//! Not here: the simulation itself ([`crate::sim`]), and at which distance a
//! person may stand: the distances below were made for pressure tests.

use crate::nozzle::{CRITICAL_RATIO, EXPANSION_EXPONENT, R_AIR, choked_ideal_flow};

/// Energy of one kilogram of TNT as ASME PCC-2 takes it, J.
pub const PCC2_TNT_J: f64 = 4_266_920.0;
/// Energy of one kilogram of TNT as the Berkeley safety office takes it, J (4.62 kJ/g).
pub const BERKELEY_TNT_J: f64 = 4.62e6;
/// Stored energy above which the Berkeley safety office calls a vessel highly hazardous, J.
pub const BERKELEY_HAZARD_J: f64 = 100e3;
/// Scaled distance of ASME PCC-2, m/kg^(1/3).
pub const PCC2_SCALED_DISTANCE: f64 = 20.0;
/// Atmospheric pressure as written into the formula of ASME PCC-2, Pa.
const PCC2_ATMOSPHERE_PA: f64 = 101_000.0;

/// Thrust of a jet leaving a straight hole into the air, N,
///
/// choked: F = A·(p₀·(1+k)·(2/(k+1))^(k/(k−1)) − pₐ);
/// else: F = A·pₐ·k·M², with M² = 2/(k−1)·((p₀/pₐ)^((k−1)/k) − 1)
///
/// | symbol | is | unit |
/// |---|---|---|
/// | A | area of the hole | m² |
/// | p₀ | stagnation pressure before it, absolute | Pa |
/// | pₐ | atmosphere | Pa |
/// | k | [`EXPANSION_EXPONENT`]: for air 1.4, so the choked factor is 1.267876 | 1 |
///
/// **Holds** for any p₀; none below pₐ. Both forms meet at the critical ratio.
/// **Leaves out** losses in the hose, which make it less, and the real gas.
/// **Source** momentum balance over isentropic one-dimensional flow, NACA
/// Report 1135 (1953).
pub fn jet_thrust_n(p0_pa: f64, atmosphere_pa: f64, area_m2: f64) -> f64 {
    let k = EXPANSION_EXPONENT;
    if p0_pa <= atmosphere_pa {
        return 0.0;
    }
    if atmosphere_pa / p0_pa <= CRITICAL_RATIO {
        return area_m2 * (p0_pa * (1.0 + k) * CRITICAL_RATIO - atmosphere_pa);
    }
    let mach_squared = 2.0 / (k - 1.0) * ((p0_pa / atmosphere_pa).powf((k - 1.0) / k) - 1.0);
    area_m2 * atmosphere_pa * k * mach_squared
}

/// Time for a vessel to fall from p₁ to p₂ into the air through a hole, at
/// constant temperature, ideal gas, k = 1.4, s,
///
/// choked (p ≥ p* = pₐ/0.528282): t = τ·ln(p₁/p₂);
/// below: t = τ·ψ*·√7·(S(p₁) − S(p₂)), S = s + 2s³/3 + s⁵/5,
/// s = √((p/pₐ)^(2/7) − 1), ψ* = 0.684731, τ = V/(C*·√T·A·R)
///
/// | symbol | is | unit |
/// |---|---|---|
/// | V, A | gas space, effective area C_d·A of the hole | m³, m² |
/// | T | temperature of gas and surroundings | K |
/// | p₁, p₂, pₐ | from, to, atmosphere, absolute | Pa |
///
/// **Holds** for p₁ ≥ p₂ ≥ pₐ: it reaches the atmosphere in a finite time.
/// Zero where p₂ ≥ p₁. **Leaves out** cooling of the gas (where the wall gives
/// no heat it takes 5·(x^(1/7) − 1)/ln x times as long, x = p₁/p₂: 0.71 for
/// small x, 1.11 for 330) and the real gas's density.
/// **Source** choked part: textbook closed form; subsonic part: integral of
/// ṁ = C_d·A·p·ψ(r)/√(RT) for k = 1.4 with r^(2/7) = 1/(1+s²).
pub fn isothermal_vent_s(
    volume_m3: f64,
    area_m2: f64,
    t_k: f64,
    p1_pa: f64,
    p2_pa: f64,
    atmosphere_pa: f64,
) -> f64 {
    let (high, low) = (p1_pa, p2_pa.max(atmosphere_pa));
    if high <= low {
        return 0.0;
    }
    let per_pressure = choked_ideal_flow(area_m2, 1.0, t_k, R_AIR, EXPANSION_EXPONENT);
    let tau = volume_m3 / (per_pressure * R_AIR * t_k);
    let critical = atmosphere_pa / CRITICAL_RATIO;
    let choked = (high.max(critical) / low.max(critical)).ln();
    let slow = |p: f64| subsonic_integral(p.min(critical) / atmosphere_pa);
    let subsonic = CHOKED_PSI * 7f64.sqrt() * (slow(high) - slow(low));
    tau * (choked + subsonic)
}

/// √k·(2/(k+1))^((k+1)/(2(k−1))) for k = 1.4.
const CHOKED_PSI: f64 = 0.684_731_456_377_270_4;

/// S of [`isothermal_vent_s`] at a ratio of pressure to atmosphere, 1 or more.
fn subsonic_integral(ratio: f64) -> f64 {
    let square = ((2.0 / 7.0) * ratio.ln()).exp_m1().max(0.0);
    let s = square.sqrt();
    s * (1.0 + square * (2.0 / 3.0 + square / 5.0))
}

/// Air held under pressure, for the formulas of stored energy. Information
/// only: they treat air as ideal and differ among themselves by a factor of two.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stored {
    /// Gas space, m³.
    pub volume_m3: f64,
    /// Absolute pressure, Pa.
    pub p_pa: f64,
    /// Atmosphere, Pa.
    pub atmosphere_pa: f64,
}

impl Stored {
    /// Energy of isentropic expansion as ASME PCC-2 has it for k = 1.4, J,
    ///
    /// E = 2.5·Pₜ·V·(1 − (101000/Pₜ)^0.286), Pₜ in Pa absolute, V in m³
    ///
    /// **Holds** for Pₜ above 101 000 Pa, else zero. **Source** ASME PCC-2-2008,
    /// appendix II.
    pub fn pcc2_j(self) -> f64 {
        let ratio = (PCC2_ATMOSPHERE_PA / self.p_pa).min(1.0);
        2.5 * self.p_pa * self.volume_m3 * (1.0 - ratio.powf(0.286))
    }

    /// Energy to raise the pressure at constant volume (Brode), J,
    ///
    /// E = (p − pₐ)·V/(k − 1), k = 1.4
    ///
    /// **Source** Brode (1959), as quoted in handbooks of explosion hazards
    /// (from memory); an upper figure.
    pub fn brode_j(self) -> f64 {
        let excess = (self.p_pa - self.atmosphere_pa).max(0.0);
        excess * self.volume_m3 / (EXPANSION_EXPONENT - 1.0)
    }

    /// Most work that could be had at the temperature of the surroundings
    /// (isothermal availability), J,
    ///
    /// E = p·V·(ln(p/pₐ) − 1 + pₐ/p)
    ///
    /// **Source** availability of an ideal gas at ambient temperature
    /// (textbook); above 30 atmospheres the highest of the three.
    pub fn isothermal_availability_j(self) -> f64 {
        let ratio = self.p_pa / self.atmosphere_pa;
        if ratio <= 1.0 {
            return 0.0;
        }
        self.p_pa * self.volume_m3 * (ratio.ln() - 1.0 + 1.0 / ratio)
    }
}

/// Mass of TNT of this energy as ASME PCC-2 counts it, kg: E/4 266 920.
pub fn pcc2_tnt_kg(energy_j: f64) -> f64 {
    energy_j / PCC2_TNT_J
}

/// Distance by the cube-root law of ASME PCC-2, m,
///
/// R = R_scaled·(n·m)^(1/3), R_scaled = [`PCC2_SCALED_DISTANCE`]
///
/// with m the TNT equivalent in kg and n = 1, or 2 in the variant that a later
/// page of the same document prints. **Source** ASME PCC-2-2008, appendix
/// III (n = 1 seen; n = 2 on a secondary page).
pub fn pcc2_distance_m(tnt_kg: f64, multiple: f64) -> f64 {
    PCC2_SCALED_DISTANCE * (multiple * tnt_kg).cbrt()
}

/// Least distance of ASME PCC-2 for pneumatic tests, m: 30 up to 135.5 MJ, 60 up
/// to 271 MJ; beyond that it gives none. **Source** ASME PCC-2-2008, appendix III.
pub fn pcc2_least_distance_m(energy_j: f64) -> Option<f64> {
    if energy_j <= 135.5e6 {
        Some(30.0)
    } else if energy_j <= 271e6 {
        Some(60.0)
    } else {
        None
    }
}

#[cfg(test)]
mod tests;
