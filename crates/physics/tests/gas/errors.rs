//! What is refused, and how.

use crate::data::air;
use physics::gas::{Composition, Gas, GasError};
use proptest::prelude::*;

fn nitrogen() -> Gas {
    Gas::new(Composition::nitrox(0.0).unwrap())
}

#[test]
fn bad_compositions_are_named() {
    let bad = |fractions| match Composition::new(fractions) {
        Err(GasError::BadComposition { why, .. }) => why,
        other => panic!("{fractions:?} gave {other:?}"),
    };
    assert!(bad([f64::NAN, 0.2, 0.0, 0.0, 0.0]).contains("finite"));
    assert!(bad([f64::INFINITY, 0.2, 0.0, 0.0, 0.0]).contains("finite"));
    assert!(bad([1.1, -0.1, 0.0, 0.0, 0.0]).contains("negative"));
    assert!(bad([0.7, 0.2, 0.0, 0.0, 0.0]).contains("sum"));
    assert!(bad([0.0; 5]).contains("sum"));
    assert!(Composition::nitrox(1.2).is_err());
    assert!(Composition::nitrox(f64::NAN).is_err());
    assert!(Composition::trimix(0.6, 0.5).is_err());
    assert!(Composition::trimix(0.3, 0.7).is_ok());
}

#[test]
fn a_nearly_complete_sum_is_completed() {
    let x = Composition::new([0.79 + 5e-7, 0.21, 0.0, 0.0, 0.0])
        .unwrap()
        .fractions();
    assert!((x.iter().sum::<f64>() - 1.0).abs() < 1e-15);
}

/// Nitrogen boils at 77.36 K at one atmosphere and at 90 K near 3.6 bar (NIST
/// webbook, from memory): at 90 K and 50 bar it is a liquid.
#[test]
fn a_liquid_root_is_refused() {
    let result = nitrogen().state_p_t(50e5, 90.0);
    assert_eq!(
        result,
        Err(GasError::LiquidRoot {
            p_pa: 50e5,
            t_k: 90.0
        })
    );
    assert!(nitrogen().state_p_t(3e5, 90.0).is_ok());
}

/// Vapour pressures from the reference equations in CoolProp 8.0.0, Pa. The
/// guard may be off by 5 %.
#[test]
fn pure_components_are_gas_only_below_their_vapour_pressure() {
    let saturated = [
        (
            0,
            [(85.0, 228_864.0), (100.0, 778_275.0), (120.0, 2_510_584.0)],
        ),
        (
            1,
            [(85.0, 56_831.0), (100.0, 254_005.0), (120.0, 1_022_279.0)],
        ),
        (
            2,
            [(85.0, 78_897.0), (100.0, 323_767.0), (120.0, 1_213_038.0)],
        ),
    ];
    for (k, points) in saturated {
        let mut x = [0.0; 5];
        x[k] = 1.0;
        let gas = Gas::new(Composition::new(x).unwrap());
        for (t, p) in points {
            assert!(gas.state_p_t(0.95 * p, t).is_ok(), "component {k} {t} K");
            let result = gas.state_p_t(1.05 * p, t);
            assert!(
                matches!(result, Err(GasError::LiquidRoot { .. })),
                "{k} {t} K: {result:?}"
            );
        }
    }
}

/// Dew pressures of air (Lemmon et al. 2000) by CoolProp 8.0.0, Pa. The guard
/// is 3 to 7 % too cautious.
#[test]
fn air_is_gas_only_below_its_dew_pressure() {
    let dew = [
        (80.0, 82_321.0),
        (100.0, 567_424.0),
        (120.0, 2_006_744.0),
        (130.0, 3_308_350.0),
    ];
    for (t, p) in dew {
        assert!(air().state_p_t(0.93 * p, t).is_ok(), "{t} K");
        assert!(air().state_p_t(1.01 * p, t).is_err(), "{t} K");
    }
}

/// Air at 100 K: dew near 5.7 bar, bubble near 6.6 bar (Lemmon et al. 2000
/// by CoolProp 8.0.0), so 6 bar lies between.
#[test]
fn between_dew_and_bubble_is_two_phase() {
    assert!(air().state_p_t(5.0e5, 100.0).is_ok());
    assert!(matches!(
        air().state_p_t(6.0e5, 100.0),
        Err(GasError::TwoPhase { .. })
    ));
    let gas = air().state_p_t(5.0e5, 100.0).unwrap();
    let result = air().state_rho_t(4.0 * gas.rho, 100.0);
    assert!(
        matches!(
            result,
            Err(GasError::TwoPhase { .. } | GasError::LiquidRoot { .. })
        ),
        "{result:?}"
    );
}

#[test]
fn compressed_liquid_by_density_is_refused() {
    let result = nitrogen().state_rho_t(780.0, 90.0);
    assert!(
        matches!(
            result,
            Err(GasError::TwoPhase { .. } | GasError::LiquidRoot { .. })
        ),
        "{result:?}"
    );
}

#[test]
fn out_of_range_repeats_the_numbers() {
    let error = air().state_p_t(700e5, 300.0).unwrap_err();
    assert_eq!(
        error.to_string(),
        "pressure 700.0 bar absolute is outside 0 to 600 bar"
    );
    let error = air().state_p_t(1e5, 700.0).unwrap_err();
    assert_eq!(
        error.to_string(),
        "temperature 700 K is outside 80 to 600 K"
    );
    assert!(matches!(
        air().state_rho_t(900.0, 300.0),
        Err(GasError::OutOfRange { .. })
    ));
    assert!(matches!(
        air().state_rho_u(1.0, 1e7),
        Err(GasError::OutOfRange { .. })
    ));
    assert!(air().isotherm(100.0).is_err());
}

/// CO₂ freezes at 216.6 K: a mixture with much of it is not modelled colder.
#[test]
fn much_carbon_dioxide_raises_the_lowest_temperature() {
    let gas = Gas::new(Composition::new([0.74, 0.2, 0.01, 0.0, 0.05]).unwrap());
    assert!(gas.state_p_t(10e5, 210.0).is_err());
    assert!(gas.state_p_t(10e5, 220.0).is_ok());
}

#[test]
fn nan_is_refused_everywhere() {
    let gas = air();
    for (a, b) in [(f64::NAN, 300.0), (1e5, f64::NAN), (f64::NAN, f64::NAN)] {
        assert!(matches!(
            gas.state_p_t(a, b),
            Err(GasError::OutOfRange { .. })
        ));
        assert!(matches!(
            gas.state_rho_t(a, b),
            Err(GasError::OutOfRange { .. })
        ));
        assert!(matches!(
            gas.state_rho_u(a, b),
            Err(GasError::OutOfRange { .. })
        ));
    }
    assert!(gas.isotherm(f64::NAN).is_err());
}

proptest! {
    /// No number whatever makes a solver panic or return a non-finite state.
    #[test]
    fn any_numbers_give_a_finite_state_or_an_error(a in any::<f64>(), b in any::<f64>()) {
        let gas = air();
        for state in [gas.state_p_t(a, b), gas.state_rho_t(a, b), gas.state_rho_u(a, b)]
            .into_iter()
            .flatten()
        {
            prop_assert!(state.w.is_finite() && state.cp > 0.0 && state.s.is_finite());
        }
    }

    /// The same with numbers near the range, liquid region included.
    #[test]
    fn numbers_near_the_range_give_a_gas_or_an_error(
        p in 1.0..7e7f64, t in 60.0..650.0f64, o2 in 0.0..1.0f64
    ) {
        let gas = Gas::new(Composition::nitrox(o2).unwrap());
        if let Ok(state) = gas.state_p_t(p, t) {
            prop_assert!((state.p_pa / p - 1.0).abs() < 1e-10);
            prop_assert!(state.dp_drho_t > 0.0 && state.cv > 0.0 && state.cp > state.cv);
            let again = gas.state_rho_t(state.rho, t).unwrap();
            prop_assert!((again.p_pa / p - 1.0).abs() < 1e-10);
        }
    }
}
