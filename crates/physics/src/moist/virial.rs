//! How molecules of water and air meet in pairs and threes.
//!
//! Not here: the dry air at high density, which is an equation of state of its
//! own; its two coefficients serve only to correct it for the water in it.

use super::MoistError;
use crate::gas::Gas;

/// Virial coefficients of air (a) and water (w) at one temperature, molar:
/// B in m³/mol, C in m⁶/mol².
///
/// With t = T/100 K:
///
/// | field | is | source |
/// |---|---|---|
/// | `baa`, `caaa` | low-density limits of the equation of state | [`Gas`] |
/// | `baw` | Σ a·t^b | IAPWS G8-10; Harvey & Huang (2007) |
/// | `caaw` | Σ a·t⁻ⁱ | Hyland & Wexler (1983), as in IAPWS G11-15 |
/// | `caww` | −exp Σ b·t⁻ⁱ | Hyland & Wexler (1983), as in IAPWS G11-15 |
/// | `bww`, `cwww` | low-density limits of the terms with d ≤ 2 | IAPWS R6-95 |
///
/// **Holds** from 193 to 473 K.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Virials {
    /// Air with air.
    pub baa: f64,
    /// Air with water.
    pub baw: f64,
    /// Water with water.
    pub bww: f64,
    /// Three of air.
    pub caaa: f64,
    /// Two of air, one of water.
    pub caaw: f64,
    /// One of air, two of water.
    pub caww: f64,
    /// Three of water.
    pub cwww: f64,
}

impl Virials {
    /// The coefficients at `t_k` for air as `gas`.
    ///
    /// **Errors** where the gas has no state at low density and `t_k`.
    pub fn new(gas: &Gas, t_k: f64) -> Result<Self, MoistError> {
        let (baa, caaa) = of_air(gas, t_k)?;
        let (bww, cwww) = of_water(t_k);
        let t = t_k / 100.0;
        Ok(Self {
            baa,
            baw: air_water(t),
            bww,
            caaa,
            caaw: air_air_water(t),
            caww: air_water_water(t),
            cwww,
        })
    }

    /// B of the mixture less B of dry air, at mole fraction `y` of water.
    pub(super) fn excess_b(&self, y: f64) -> f64 {
        let a = 1.0 - y;
        (a * a - 1.0) * self.baa + 2.0 * a * y * self.baw + y * y * self.bww
    }

    /// C of the mixture less C of dry air.
    pub(super) fn excess_c(&self, y: f64) -> f64 {
        let a = 1.0 - y;
        (a.powi(3) - 1.0) * self.caaa
            + 3.0 * a * a * y * self.caaw
            + 3.0 * a * y * y * self.caww
            + y.powi(3) * self.cwww
    }

    /// ln φ of water vapour at molar density `rho` and compressibility `z`,
    ///
    /// 2ρ(Baw(1−y) + Bww·y) + ³⁄₂ρ²(Caaw(1−y)² + 2Caww·y(1−y) + Cwww·y²) − ln Z
    pub(super) fn ln_fugacity_coefficient(&self, y: f64, rho: f64, z: f64) -> f64 {
        let a = 1.0 - y;
        let pairs = self.baw * a + self.bww * y;
        let threes = self.caaw * a * a + 2.0 * self.caww * a * y + self.cwww * y * y;
        2.0 * rho * pairs + 1.5 * rho * rho * threes - z.ln()
    }
}

/// Baw, m³/mol. **Source** IAPWS G8-10, equation 7 of G11-15.
fn air_water(t: f64) -> f64 {
    let cm3 = 66.5687 * t.powf(-0.237) - 238.834 * t.powf(-1.048) - 176.755 * t.powf(-3.183);
    cm3 * 1e-6
}

/// Caaw, m⁶/mol². **Source** equation 8 of IAPWS G11-15.
fn air_air_water(t: f64) -> f64 {
    let x = 1.0 / t;
    let sum = 0.482_737e-3
        + x * (0.105_678e-2 + x * (-0.656_394e-2 + x * (0.294_442e-1 - x * 0.319_317e-1)));
    sum * 1e-6
}

/// Caww, m⁶/mol². **Source** equation 9 of IAPWS G11-15.
fn air_water_water(t: f64) -> f64 {
    let x = 1.0 / t;
    -1e-6 * (-10.728_876 + x * (34.7802 + x * (-38.3383 + x * 33.406))).exp()
}

/// B and C of the gas from Z at two low densities: (Z − 1)/ρ = B + C·ρ + …
fn of_air(gas: &Gas, t_k: f64) -> Result<(f64, f64), MoistError> {
    /// The lower of the two densities, mol/m³.
    const THIN: f64 = 10.0;
    let slope = |rho: f64| -> Result<f64, MoistError> {
        Ok((gas.state_rho_t(rho * gas.molar_mass(), t_k)?.z - 1.0) / rho)
    };
    let (near, far) = (slope(THIN)?, slope(2.0 * THIN)?);
    Ok((2.0 * near - far, (far - near) / THIN))
}

/// The terms n·δ^d·τ^t (times exp(−δ^c) where c > 0) of IAPWS R6-95 that
/// survive in B and C: (n, d, t, c). Its Gaussian terms start at δ³; its two
/// critical terms are below 1e-180 at 353 K.
const WATER_TERMS: [(f64, i32, f64, i32); 14] = [
    (0.125_335_479_355_23e-1, 1, -0.5, 0),
    (0.789_576_347_228_28e1, 1, 0.875, 0),
    (-0.878_032_033_035_61e1, 1, 1.0, 0),
    (0.318_025_093_454_18, 2, 0.5, 0),
    (-0.261_455_338_593_58, 2, 0.75, 0),
    (-0.668_565_723_079_65, 1, 4.0, 1),
    (0.204_338_109_509_65, 1, 6.0, 1),
    (-0.662_126_050_396_87e-4, 1, 12.0, 1),
    (-0.192_327_211_560_02, 2, 1.0, 1),
    (-0.257_090_430_034_38, 2, 5.0, 1),
    (-0.107_936_009_089_32, 1, 7.0, 2),
    (0.176_114_910_087_52e-1, 2, 1.0, 2),
    (0.221_322_951_675_46, 2, 9.0, 2),
    (-0.402_476_697_635_28, 2, 10.0, 2),
];

/// Bww and Cwww: first and second derivative of the residual at zero density.
fn of_water(t_k: f64) -> (f64, f64) {
    /// Critical temperature, K, and molar density, mol/m³, of IAPWS R6-95.
    const CRITICAL: (f64, f64) = (647.096, 322.0 / super::WATER_MOLAR_MASS);
    let tau = CRITICAL.0 / t_k;
    let (mut first, mut second) = (0.0, 0.0);
    for (n, d, t, c) in WATER_TERMS {
        let term = n * tau.powf(t);
        match (d, c) {
            (1, 1) => {
                first += term;
                second -= 2.0 * term;
            }
            (1, _) => first += term,
            _ => second += 2.0 * term,
        }
    }
    (first / CRITICAL.1, second / CRITICAL.1.powi(2))
}
