//! Viscosity and thermal conductivity of air.
//!
//! Used for the heat films in [`crate::heat`] only, where a few per cent do
//! not matter; the equations themselves are good to 1-2 %. The other breathing
//! mixtures are given air's values (helium mixtures conduct better: their
//! films are under-stated).
//!
//! **Source** E. W. Lemmon and R. T. Jacobsen, Viscosity and thermal
//! conductivity equations for nitrogen, oxygen, argon, and air, Int. J.
//! Thermophys. 25 (2004) 21. Coefficients and check values from memory;
//! the latter agree with an independent implementation (CoolProp 8.0.0). The
//! critical enhancement of the conductivity is left out: 4 % at 200 K and
//! 290 kg/m³, under 0.5 % above 300 K.

const T_REDUCING_K: f64 = 132.6312;
/// mol/m³ → reduced density; the molar mass is air's, 28.9586 g/mol.
const RHO_REDUCING_KG_M3: f64 = 10.4477e3 * 0.028_958_6;
const LENNARD_JONES_K: f64 = 103.3;
const LENNARD_JONES_NM: f64 = 0.360;

/// (N, t, d, l) of N·τ^t·δ^d·exp(−δ^l), no exponential where l = 0.
type Term = (f64, f64, i32, i32);

const VISCOSITY: [Term; 5] = [
    (10.72, 0.2, 1, 0),
    (1.122, 0.05, 4, 0),
    (0.002019, 2.4, 9, 0),
    (-8.876, 0.6, 1, 1),
    (-0.02916, 3.6, 8, 1),
];

const CONDUCTIVITY: [Term; 6] = [
    (8.743, 0.1, 1, 0),
    (14.76, 0.0, 2, 0),
    (-16.62, 0.5, 3, 2),
    (3.793, 2.7, 7, 2),
    (-6.142, 0.3, 7, 2),
    (-0.3778, 1.3, 11, 2),
];

fn residual(terms: &[Term], tau: f64, delta: f64) -> f64 {
    terms
        .iter()
        .map(|&(n, t, d, l)| {
            let damping = if l == 0 { 1.0 } else { (-delta.powi(l)).exp() };
            n * tau.powf(t) * delta.powi(d) * damping
        })
        .sum()
}

/// Viscosity of dilute air, µPa·s.
fn dilute_viscosity(t_k: f64) -> f64 {
    let x = (t_k / LENNARD_JONES_K).ln();
    let omega = (0.431 + x * (-0.4623 + x * (0.08406 + x * (0.005341 + x * -0.00331)))).exp();
    0.0266958 * (28.9586 * t_k).sqrt() / (LENNARD_JONES_NM * LENNARD_JONES_NM * omega)
}

/// Dynamic viscosity of air, Pa·s, at density ρ in kg/m³ and T in K.
///
/// **Holds** 70-2000 K to 1000 bar within 2 % (paper's statement).
pub fn viscosity(rho: f64, t_k: f64) -> f64 {
    let (tau, delta) = (T_REDUCING_K / t_k, rho / RHO_REDUCING_KG_M3);
    (dilute_viscosity(t_k) + residual(&VISCOSITY, tau, delta)) * 1e-6
}

/// Thermal conductivity of air, W/(m·K), at density ρ in kg/m³ and T in K.
///
/// **Holds** 70-2000 K to 1000 bar within 2 %, away from the critical point.
pub fn conductivity(rho: f64, t_k: f64) -> f64 {
    let (tau, delta) = (T_REDUCING_K / t_k, rho / RHO_REDUCING_KG_M3);
    let dilute = 1.308 * dilute_viscosity(t_k) + 1.405 * tau.powf(-1.1) - 1.036 * tau.powf(-0.3);
    (dilute + residual(&CONDUCTIVITY, tau, delta)) * 1e-3
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Check values of the paper's table V for air (from memory):
    /// T in K, density in mol/dm³, viscosity in µPa·s, conductivity in mW/(m·K),
    /// tolerance of the conductivity.
    #[test]
    fn lemmon_jacobsen_2004_table_v() {
        let rows = [
            (100.0, 0.0, 7.09559, 9.35902, 1e-5),
            (300.0, 0.0, 18.5230, 26.3529, 1e-5),
            // these two include the critical enhancement left out here
            (200.0, 10.0, 21.1392, 35.3185, 4e-2),
            (300.0, 5.0, 21.3241, 32.6062, 5e-3),
        ];
        for (t, mol, eta, lambda, tolerance) in rows {
            let rho = mol * 28.9586;
            let (got_eta, got_lambda) = (viscosity(rho, t) * 1e6, conductivity(rho, t) * 1e3);
            assert!(
                (got_eta / eta - 1.0).abs() < 1e-5,
                "{t} K {mol}: {got_eta} µPa·s, paper {eta}"
            );
            assert!(
                (got_lambda / lambda - 1.0).abs() < tolerance,
                "{t} K {mol}: {got_lambda} mW/(m·K), paper {lambda}"
            );
        }
    }

    /// Both grow with density, and stay finite and positive, over the range used.
    #[test]
    fn sweep() {
        for t in (200..=450).step_by(10) {
            let mut before = (0.0, 0.0);
            for rho in (0..=450).step_by(10) {
                let now = (
                    viscosity(rho as f64, t as f64),
                    conductivity(rho as f64, t as f64),
                );
                assert!(
                    now.0 > before.0 && now.1 > before.1 && now.0 < 1e-4,
                    "{t} K {rho} kg/m³"
                );
                before = now;
            }
        }
    }
}
