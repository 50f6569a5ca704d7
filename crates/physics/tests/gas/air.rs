//! Dry air against published check values of its own equation.
//!
//! Here is what the paper and other programs of its equation print; grids
//! computed for this project are in [`crate::reference`].

use crate::data::{air, air_as_mixture};
use physics::gas::{Composition, Gas, State, ZERO_T_K};

/// 1 atm, Pa.
const ATMOSPHERE_PA: f64 = 101_325.0;
/// Gas constant of the source, J/(mol·K).
const R_MOLAR: f64 = 8.31451;
/// Molar mass in the source, kg/mol: its speeds of sound hold for it.
const MOLAR_MASS_OF_PAPER: f64 = 28.9586e-3;

/// Enthalpy and entropy of air as an ideal gas at `t` and 1 atm, per kg.
fn ideal_at_one_atmosphere(gas: &Gas, t: f64) -> [f64; 2] {
    let (rho, r) = (1e-7, gas.specific_gas_constant());
    let state = gas.state_rho_t(rho, t).unwrap();
    let dilution = r * (rho * r * t / ATMOSPHERE_PA).ln();
    [state.u + r * t, state.s + dilution]
}

/// A row of the table: K, MPa, then mol/dm³, J/mol, J/mol, J/(mol·K),
/// J/(mol·K), J/(mol·K), m/s, each as printed.
type Printed = (f64, f64, [&'static str; 7]);

/// Lemmon et al. (2000), table A2, rows within our range, as the tests of the
/// open library pychemqt repeat them. The zero of the table is set by the
/// constants −13.841928076 and 17.275266575·τ of its table 12: they give the
/// ideal gas at 298.15 K and 101325 Pa 8649.340 J/mol and 198.6856 J/(mol·K).
#[test]
fn lemmon_2000_table_a2() {
    let rows: [Printed; 3] = [
        (
            100.0,
            0.101325,
            [
                "0.12449", "2028.2", "2842.1", "166.61", "21.09", "30.13", "198.2",
            ],
        ),
        (
            130.0,
            1.0,
            [
                "1.0295", "2461.1", "3432.5", "153.79", "22.05", "34.69", "216.8",
            ],
        ),
        (
            500.0,
            0.2,
            [
                "0.048077", "10418.", "14578.", "208.20", "21.51", "29.84", "446.6",
            ],
        ),
    ];
    let gas = air();
    let m = gas.molar_mass();
    let [h_zero, s_zero] = ideal_at_one_atmosphere(&gas, 298.15);
    for (t, mpa, printed) in rows {
        let state = gas.state_p_t(mpa * 1e6, t).unwrap();
        let got = [
            state.rho / m / 1e3,
            (state.u - h_zero) * m + 8649.340,
            (state.h - h_zero) * m + 8649.340,
            (state.s - s_zero) * m + 198.6856,
            state.cv * m,
            state.cp * m,
            state.w * (m / MOLAR_MASS_OF_PAPER).sqrt(),
        ];
        for (got, want) in got.into_iter().zip(printed) {
            let digits = want.split('.').nth(1).unwrap().len() as i32;
            let half_a_digit = 0.5 * 10f64.powi(-digits) * (1.0 + 1e-9);
            let number: f64 = want.parse().unwrap();
            assert!(
                (got - number).abs() <= half_a_digit,
                "{t} K {mpa} MPa: {got}, table {want}"
            );
        }
    }
}

/// Check values the authors of the SIA library (D. G. Wright, R. Feistel et al.,
/// Ocean Science 6 (2010) 695, Fortran module `Air_1`, V1.1) print for dry air at
/// 300 K and 0.001 kg/m³, for the molar mass used here. Derivatives of the
/// Helmholtz energy f(T, ρ); f = 0 where enthalpy and entropy are zero, in the
/// real gas at 273.15 K and 101325 Pa.
#[test]
fn helmholtz_derivatives_of_the_sia_library() {
    let gas = air();
    let zero = gas.state_p_t(ATMOSPHERE_PA, ZERO_T_K).unwrap();
    let (t, rho) = (300.0, 0.001);
    let state = gas.state_rho_t(rho, t).unwrap();
    let State { p_pa, cv, .. } = state;
    let s = state.s - zero.s;
    let pairs = [
        ("f", state.u - zero.h - t * s, -696_239.965_190),
        ("f_T", -s, -2_124.551_454_56),
        ("f_rho", p_pa / rho.powi(2), 86_114_714.959_6),
        ("f_TT", -cv / t, -2.392_423_908_06),
        ("f_Trho", state.dp_dt_rho / rho.powi(2), 287_049.624_545),
        (
            "f_rhorho",
            (state.dp_drho_t - 2.0 * p_pa / rho) / rho.powi(2),
            -86_114_738_036.1,
        ),
    ];
    for (name, got, want) in pairs {
        assert!(
            (got / want - 1.0).abs() < 1e-11,
            "{name} = {got}, library {want}"
        );
    }
}

/// Density of air at 0 °C and 1 atm in the same module: 1.29275937468394 kg/m³
/// with the molar mass of the paper.
#[test]
fn density_at_the_ice_point() {
    let gas = air();
    let state = gas.state_p_t(ATMOSPHERE_PA, ZERO_T_K).unwrap();
    let got = state.rho / gas.molar_mass();
    let want = 1.292_759_374_683_94 / MOLAR_MASS_OF_PAPER;
    assert!(
        (got / want - 1.0).abs() < 1e-12,
        "{got} mol/m3, library {want}"
    );
}

/// IAPWS guideline on the fugacity of H₂O in humid air (G11-15, number from
/// memory): the second virial coefficient of dry air at 200 K is
/// −3.92722567e-5 m³/mol, as the open library iapws repeats it.
#[test]
fn second_virial_of_iapws() {
    let (gas, want) = (air(), -3.927_225_67e-5);
    // Low enough for the third coefficient, high enough for the digits of 1 + 2Bρ.
    let molar_density = 1e-3;
    let state = gas
        .state_rho_t(molar_density * gas.molar_mass(), 200.0)
        .unwrap();
    let r_t = gas.specific_gas_constant() * 200.0;
    // ∂p/∂ρ = R·T·(1 + 2Bρ + …)
    let got = (state.dp_drho_t / r_t - 1.0) / (2.0 * molar_density);
    assert!((got / want - 1.0).abs() < 1e-7, "B = {got}, IAPWS {want}");
}

/// Air has its own equation only if it is exactly air.
#[test]
fn which_equation() {
    let by_hand = Composition::new([0.7812, 0.2096, 0.0092, 0.0, 0.0]).unwrap();
    let nearly = Composition::new([0.7812 - 1e-7, 0.2096 + 1e-7, 0.0092, 0.0, 0.0]).unwrap();
    let density = |gas: Gas| gas.state_p_t(200e5, 250.0).unwrap().rho / gas.molar_mass();
    let (own, mixed) = (density(Gas::air()), density(air_as_mixture()));
    assert_eq!(density(air()), own);
    assert_eq!(density(Gas::new(by_hand)), own);
    assert!((density(Gas::new(nearly)) / mixed - 1.0).abs() < 1e-6);
    assert!((own / mixed - 1.0).abs() > 1e-4, "{own} and {mixed}");
    assert!(by_hand.is_dry_air() && !nearly.is_dry_air());
}

/// A composition speaks of the equation that [`Gas::new`] gives it. The molar
/// mass of dry air is 28.96546 g/mol (Picard et al., Metrologia 45 (2008) 149);
/// N₂ 28.0134, O₂ 31.9988, Ar 39.948 make 28.9586 (Lemmon et al. 2000).
#[test]
fn constants_are_those_of_the_equation() {
    for composition in [
        Composition::dry_air(),
        Composition::nitrox(0.32).unwrap(),
        Composition::trimix(0.18, 0.45).unwrap(),
    ] {
        let gas = Gas::new(composition);
        assert_eq!(gas.molar_mass(), composition.molar_mass());
        assert_eq!(
            gas.specific_gas_constant(),
            composition.specific_gas_constant()
        );
        let thin = gas.state_rho_t(1e-7, 300.0).unwrap();
        let r = thin.p_pa / (thin.rho * thin.t_k);
        assert!((r / gas.specific_gas_constant() - 1.0).abs() < 1e-9, "{r}");
    }
    assert_eq!(air().molar_mass(), 28.96546e-3);
    let r = air().specific_gas_constant() * 28.96546e-3;
    assert!((r / R_MOLAR - 1.0).abs() < 1e-15, "{r}");
    let sum = air_as_mixture().molar_mass();
    assert!((sum - MOLAR_MASS_OF_PAPER).abs() < 1e-7, "{sum}");
}
