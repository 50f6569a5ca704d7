//! Flow through orifices, valves and relief seats; venting to the air.
//!
//! Start at [`Orifice::flow`]: what every valve and leak of the simulation
//! uses. [`api_520_area`] is the published sizing equation beside it.
//! Not here: when a valve opens (see [`crate::sim`]) and whether it is the
//! right valve.
//! Invariant: mass flow and its slopes are continuous through Δp = 0.

/// Ratio of specific heats taken for the expansion in an orifice.
///
/// The density upstream is the real gas's; the expansion itself is that of an
/// ideal diatomic gas. Above about 100 bar the real exponent differs by some
/// per cent: discharge coefficients of small valves are known no better.
pub const EXPANSION_EXPONENT: f64 = 1.4;

/// Pressure ratio below which the throat is choked: (2/(k+1))^(k/(k-1)), k = 1.4.
pub const CRITICAL_RATIO: f64 = 0.528_281_787_717_174;

/// Pressure difference over which flow through a nearly shut passage rises
/// smoothly from rest, Pa.
pub const SMOOTHING_PA: f64 = 1.0e4;

/// A passage with its effective area C_d·A.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Orifice {
    /// Discharge coefficient times area, m².
    pub area_m2: f64,
}

/// Mass flow and its slopes with the three pressures and densities it depends on.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Flow {
    /// Mass flow, kg/s, from upstream to downstream (never negative).
    pub mass: f64,
    /// ∂ṁ/∂p₁ at constant ρ₁.
    pub by_p1: f64,
    /// ∂ṁ/∂ρ₁ at constant p₁.
    pub by_rho1: f64,
    /// ∂ṁ/∂p₂.
    pub by_p2: f64,
}

impl Orifice {
    /// A round hole of this diameter with this discharge coefficient.
    pub fn round(bore_m: f64, discharge_coefficient: f64) -> Orifice {
        Orifice {
            area_m2: discharge_coefficient * std::f64::consts::FRAC_PI_4 * bore_m * bore_m,
        }
    }

    /// Mass flow of gas at (p₁, ρ₁) into a space at p₂,
    ///
    /// ṁ = C_d·A · √(p₁ρ₁) · ψ(r) · λ(Δp), with r = max(p₂/p₁, r_c),
    /// ψ = √(2k/(k−1) · (r^(2/k) − r^((k+1)/k))), λ = (Δp/(Δp + Δp₀))^1.5
    ///
    /// | symbol | is | unit |
    /// |---|---|---|
    /// | p₁, p₂ | pressures before and behind, absolute | Pa |
    /// | ρ₁ | real-gas density before the orifice | kg/m³ |
    /// | k | [`EXPANSION_EXPONENT`], 1.4 | 1 |
    /// | Δp₀ | [`SMOOTHING_PA`] | Pa |
    ///
    /// **Holds** for any pair of pressures; none flows when p₂ ≥ p₁. The factor
    /// λ makes flow rise as Δp² from rest, so that a check valve has no kink;
    /// at Δp = 10 bar it takes 1.5 % off.
    /// **Leaves out** approach velocity, friction, real-gas expansion exponent.
    /// **Source** isentropic nozzle flow, NACA Report 1135 (1953), with a
    /// discharge coefficient.
    pub fn flow(self, p1_pa: f64, rho1: f64, p2_pa: f64) -> Flow {
        let dp = p1_pa - p2_pa;
        if !(dp > 0.0 && self.area_m2 > 0.0 && rho1 > 0.0) {
            return Flow::default();
        }
        let ratio = p2_pa / p1_pa;
        let (psi, psi_by_ratio) = if ratio <= CRITICAL_RATIO {
            (CHOKED_PSI, 0.0)
        } else {
            subsonic_psi(dp / p1_pa)
        };
        let share = dp / (dp + SMOOTHING_PA);
        let smooth = share * share.sqrt();
        let smooth_by_dp = 1.5 * smooth * SMOOTHING_PA / (dp * (dp + SMOOTHING_PA));
        let root = self.area_m2 * (p1_pa * rho1).sqrt();
        let mass = root * psi * smooth;
        let by_ratio = root * psi_by_ratio * smooth;
        let by_dp = root * psi * smooth_by_dp;
        Flow {
            mass,
            by_p1: 0.5 * mass / p1_pa - by_ratio * ratio / p1_pa + by_dp,
            by_rho1: 0.5 * mass / rho1,
            by_p2: by_ratio / p1_pa - by_dp,
        }
    }
}

/// ψ at the critical ratio for k = 1.4: √k·(2/(k+1))^((k+1)/(2(k−1))).
const CHOKED_PSI: f64 = 0.684_731_456_377_270_4;

/// ψ²/(1 − r) for k = 1.4 as a polynomial in 1 − r over 0 to 1 − r_c, lowest
/// power first: fitted to 7·(r^(10/7) − r^(12/7))/(1 − r), relative error 1e-11.
/// Two powers fewer a flow; the simulation spends a tenth of its time here.
const SUBSONIC: [f64; 11] = [
    2.000000000006487,
    -2.142857146179391,
    2.7931709680677124e-7,
    0.02914542830002648,
    0.02264103588236968,
    0.014807530678324557,
    0.020363470443655093,
    -0.021931206556211807,
    0.0775631028166635,
    -0.08723062739204396,
    0.061742578961697436,
];

/// ψ and dψ/dr above the critical ratio, k = 1.4, from the relative drop 1 − r.
fn subsonic_psi(drop: f64) -> (f64, f64) {
    let (mut share, mut slope) = (0.0, 0.0);
    for coefficient in SUBSONIC.iter().rev() {
        slope = slope * drop + share;
        share = share * drop + coefficient;
    }
    let psi = (share * drop).sqrt();
    (psi, -(share + drop * slope) / (2.0 * psi))
}

/// Choked mass flow of an ideal gas through a hole, kg/s,
///
/// ṁ = A·p₁·√(k/(R·T₁))·(2/(k+1))^((k+1)/(2(k−1)))
///
/// with A in m² (times its discharge coefficient), p₁ in Pa absolute, T₁ in K
/// and R in J/(kg·K). **Holds** while p₂/p₁ ≤ (2/(k+1))^(k/(k−1)).
/// **Source** NACA Report 1135 (1953).
pub fn choked_ideal_flow(area_m2: f64, p1_pa: f64, t1_k: f64, r_specific: f64, k: f64) -> f64 {
    let exponent = (k + 1.0) / (2.0 * (k - 1.0));
    area_m2 * p1_pa * (k / (r_specific * t1_k)).sqrt() * (2.0 / (k + 1.0)).powf(exponent)
}

/// The coefficient C of the API 520 gas equation,
/// C = 0.03948·√(k·(2/(k+1))^((k+1)/(k−1))), in √(kg·kmol·K)/(mm²·h·kPa).
///
/// **Source** API Standard 520 Part I, critical flow, SI form.
pub fn api_520_coefficient(k: f64) -> f64 {
    0.03948 * (k * (2.0 / (k + 1.0)).powf((k + 1.0) / (k - 1.0))).sqrt()
}

/// What the API 520 gas equation needs to size a relief valve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ReliefDuty {
    /// Mass flow to relieve, kg/h.
    pub flow_kg_h: f64,
    /// Relieving temperature, K.
    pub t_k: f64,
    /// Compressibility at the inlet, 1.
    pub z: f64,
    /// Molar mass, kg/kmol.
    pub molar_mass: f64,
    /// Ratio of specific heats, 1.
    pub k: f64,
    /// Relieving pressure p₁ = set + allowed overpressure + atmosphere, kPa absolute.
    pub p1_kpa: f64,
    /// Discharge coefficient K_d: 0.975 for a valve, 0.62 for a disc alone.
    pub kd: f64,
}

/// Required orifice area of a relief valve in choked flow, mm²,
///
/// A = W/(C·K_d·p₁) · √(T·Z/M)
///
/// (capacity correction for back-pressure K_b and for a disc upstream K_c are
/// both one). **Source** API Standard 520 Part I, critical flow, SI form.
pub fn api_520_area(duty: ReliefDuty) -> f64 {
    duty.flow_kg_h / (api_520_coefficient(duty.k) * duty.kd * duty.p1_kpa)
        * (duty.t_k * duty.z / duty.molar_mass).sqrt()
}

/// Time for a vessel to fall from p₁ to p₂ through a choked hole at constant
/// temperature (ideal gas), s,
///
/// t = τ·ln(p₁/p₂), τ = V/(C*·√T·A·R), C* = √(k/R)·(2/(k+1))^((k+1)/(2(k−1)))
///
/// **Holds** while the flow stays choked (p₂ above about 1.9 bar absolute when
/// venting to the air) and the gas keeps its temperature.
pub fn isothermal_blowdown_s(
    volume_m3: f64,
    area_m2: f64,
    t_k: f64,
    p1_pa: f64,
    p2_pa: f64,
) -> f64 {
    let r = R_AIR;
    let per_pressure = choked_ideal_flow(area_m2, 1.0, t_k, r, EXPANSION_EXPONENT);
    volume_m3 / (per_pressure * r * t_k) * (p1_pa / p2_pa).ln()
}

/// Specific gas constant of dry air as an ideal gas, J/(kg·K): 8314.462618/28.9647.
pub const R_AIR: f64 = 287.055;

#[cfg(test)]
mod tests;
