//! Single formulas of reciprocating compression.
//!
//! Symbols: c clearance as a share of swept volume, r pressure ratio p₂/p₁,
//! n polytropic exponent, R specific gas constant in J/(kg·K), T in K.
//! Not here: how stages act together (see [`super::Train`]).

/// Volumetric efficiency of a stage by its clearance, η = 1 − c·(r^(1/n) − 1).
///
/// **Holds** r ≥ 1; falls to zero at r = (1 + 1/c)^n and is negative beyond.
/// **Leaves out** valve losses, heating of the intake, leakage.
/// **Source** any textbook of reciprocating compressors.
pub fn volumetric_efficiency(clearance: f64, ratio: f64, n: f64) -> f64 {
    1.0 - clearance * (ratio.powf(1.0 / n) - 1.0)
}

/// Temperature after polytropic compression, T₂ = T₁·r^((n−1)/n), K.
pub fn discharge_temperature(t1_k: f64, ratio: f64, n: f64) -> f64 {
    t1_k * ratio.powf((n - 1.0) / n)
}

/// Work of polytropic compression and delivery of an ideal gas,
/// w = n/(n−1)·R·T₁·(r^((n−1)/n) − 1), J/kg; isothermal R·T₁·ln r where n = 1.
///
/// **Holds** n ≥ 1, r > 0. At interstage pressures above 100 bar real air takes
/// up to a tenth more: multiply by the mean compressibility.
pub fn polytropic_work(t1_k: f64, ratio: f64, n: f64, r_specific: f64) -> f64 {
    if (n - 1.0).abs() < 1e-9 {
        return r_specific * t1_k * ratio.ln();
    }
    let exponent = (n - 1.0) / n;
    r_specific * t1_k / exponent * (ratio.powf(exponent) - 1.0)
}

/// Polytropic exponent of an ideal gas of ratio of heats k compressed with
/// polytropic efficiency η_p: n = k·η_p/(1 − k·(1 − η_p)).
pub fn exponent_from_efficiency(k: f64, polytropic_efficiency: f64) -> f64 {
    k * polytropic_efficiency / (1.0 - k * (1.0 - polytropic_efficiency))
}

/// Ratio of each of `stages` equal stages between two absolute pressures.
pub fn equal_ratio(p1_pa: f64, p2_pa: f64, stages: u32) -> f64 {
    (p2_pa / p1_pa).powf(1.0 / f64::from(stages.max(1)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::nozzle::R_AIR;

    fn close(got: f64, want: f64, relative: f64, what: &str) {
        assert!(
            (got / want - 1.0).abs() < relative,
            "{what}: {got}, source says {want}"
        );
    }

    /// Y. A. Çengel, M. A. Boles, Thermodynamics, example 7-13: air from 100 kPa
    /// and 300 K to 900 kPa, R = 0.287 kJ/(kg·K): isentropic, polytropic 1.3,
    /// isothermal, two stages of 1.3 cooled back at 300 kPa, kJ/kg.
    #[test]
    fn cengel_example_7_13() {
        let r = 287.0;
        close(
            polytropic_work(300.0, 9.0, 1.4, r),
            263.212e3,
            1e-5,
            "isentropic",
        );
        close(
            polytropic_work(300.0, 9.0, 1.3, r),
            246.391e3,
            1e-5,
            "polytropic",
        );
        close(
            polytropic_work(300.0, 9.0, 1.0, r),
            189.181e3,
            1e-5,
            "isothermal",
        );
        close(
            2.0 * polytropic_work(300.0, 3.0, 1.3, r),
            215.324e3,
            1e-5,
            "two stages",
        );
    }

    /// The `fluids` library's documented examples: isothermal and isentropic
    /// work 1 → 10 bar at 300 K per mole, temperature rise, exponent from
    /// polytropic efficiency (Couper; GPSA Engineering Data Book).
    #[test]
    fn fluids_examples() {
        let r = 8.314_462_618;
        close(
            polytropic_work(300.0, 10.0, 1.0, r),
            5743.4273,
            1e-6,
            "isothermal, J/mol",
        );
        close(
            polytropic_work(300.0, 10.0, 1.4, r) / 0.78,
            10416.877,
            1e-6,
            "isentropic, J/mol",
        );
        let after = discharge_temperature(286.8, 432.4 / 54.05, 1.4);
        close(after, 519.5231, 1e-6, "temperature after, K");
        close(
            exponent_from_efficiency(1.4, 0.78),
            1.578035,
            1e-6,
            "exponent",
        );
    }

    /// Equal stages from the open air at 20 °C, n = 1.3: four to 300 bar gauge,
    /// three to 225: ratio, interstage pressures, temperature, work per m³ of
    /// free air (derived from the textbook formulas, independent calculation).
    #[test]
    fn equal_stages_to_filling_pressure() {
        for (stages, p2, ratio, t2_c, kj_per_m3) in [
            (4, 301.01325, 4.151617, 134.00, 682.994),
            (3, 226.01325, 6.06465, 171.21, 679.450),
        ] {
            let r = equal_ratio(1.01325e5, p2 * 1e5, stages);
            close(r, ratio, 1e-6, "ratio");
            let t2 = discharge_temperature(293.15, r, 1.3) - 273.15;
            assert!((t2 - t2_c).abs() < 0.01, "{t2} °C, expected {t2_c}");
            let work = f64::from(stages) * polytropic_work(293.15, r, 1.3, R_AIR);
            close(
                work * 101_325.0 / (R_AIR * 293.15) / 1e3,
                kj_per_m3,
                2e-6,
                "kJ per m³",
            );
        }
        let interstage: Vec<f64> = (1..=3).map(|k| 1.01325 * 4.151617f64.powi(k)).collect();
        for (got, want) in interstage.iter().zip([4.207, 17.464, 72.505]) {
            close(*got, want, 2e-4, "interstage");
        }
    }

    /// Textbook: clearance 5 %, ratio 7, n = 1.3; 3 %, ratio 4; and the ratio of no flow.
    #[test]
    fn volumetric_efficiency_by_clearance() {
        close(
            volumetric_efficiency(0.05, 7.0, 1.3),
            0.826619,
            1e-6,
            "5 %, 7",
        );
        close(
            volumetric_efficiency(0.03, 4.0, 1.3),
            0.942855,
            1e-6,
            "3 %, 4",
        );
        assert!(
            volumetric_efficiency(0.05, 52.35, 1.3).abs() < 1e-4,
            "no flow at 52.35"
        );
        assert_eq!(volumetric_efficiency(0.05, 1.0, 1.3), 1.0);
    }

    #[test]
    fn sweep_is_finite_and_monotone() {
        let mut before = (1.1, 0.0, -1.0);
        for i in 0..500 {
            let ratio = 1.0 + 0.05 * f64::from(i);
            let now = (
                volumetric_efficiency(0.04, ratio, 1.3),
                discharge_temperature(293.15, ratio, 1.3),
                polytropic_work(293.15, ratio, 1.3, R_AIR),
            );
            assert!(
                now.0 < before.0 && now.1 > before.1 && now.2 > before.2,
                "ratio {ratio}"
            );
            before = now;
        }
    }
}
