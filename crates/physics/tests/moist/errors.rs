//! Bad input is told apart, in words a person can act on.

use physics::gas::{Composition, Gas};
use physics::moist::{
    Moist, MoistError, MoistTable, Phase, saturation_pressure_ice, saturation_pressure_liquid,
};

use crate::data::{ATM, BAR, air, kelvin};

#[test]
fn humidity_over_a_hundred() {
    let error = air()
        .mole_fraction(ATM, kelvin(20.0), 1.2, Phase::Liquid)
        .unwrap_err();
    assert_eq!(
        error,
        MoistError::Supersaturated {
            relative_humidity: 1.2
        }
    );
    assert!(
        error.to_string().starts_with("120.0 % relative humidity"),
        "{error}"
    );
    let error = air()
        .relative_humidity(ATM, kelvin(20.0), 0.05, Phase::Liquid)
        .unwrap_err();
    assert!(
        matches!(error, MoistError::Supersaturated { .. }),
        "{error}"
    );
}

#[test]
fn frost_point_above_the_air() {
    let error = air()
        .mole_fraction_at_point(ATM, kelvin(-30.0), kelvin(-20.0), Phase::Ice)
        .unwrap_err();
    let text = error.to_string();
    assert!(
        text.contains("frost point -20.00 °C is above the air temperature -30.00 °C"),
        "{text}"
    );
}

#[test]
fn outside_the_range() {
    let moist = air();
    for (t_c, phase) in [
        (-20.1, Phase::Liquid),
        (80.1, Phase::Liquid),
        (0.02, Phase::Ice),
        (-80.1, Phase::Stable),
        (f64::NAN, Phase::Stable),
        (f64::INFINITY, Phase::Liquid),
    ] {
        let error = moist.saturated(ATM, kelvin(t_c), phase).unwrap_err();
        assert!(
            matches!(error, MoistError::Temperature { .. }),
            "{t_c} {error}"
        );
    }
    for bar in [0.49, 451.0, -1.0, f64::NAN] {
        let error = moist
            .saturated(bar * BAR, kelvin(20.0), Phase::Liquid)
            .unwrap_err();
        assert!(
            matches!(error, MoistError::Pressure { .. }),
            "{bar} {error}"
        );
        let error = moist.dew_point(bar * BAR, 0.01).unwrap_err();
        assert!(
            matches!(error, MoistError::Pressure { .. }),
            "{bar} {error}"
        );
    }
    let error = moist
        .saturated(500.0 * BAR, kelvin(20.0), Phase::Liquid)
        .unwrap_err();
    assert_eq!(
        error.to_string(),
        "pressure 500.000 bar absolute is outside 0.5 to 450 bar"
    );
    let error = saturation_pressure_ice(kelvin(5.0)).unwrap_err();
    assert_eq!(
        error.to_string(),
        "ice at 5.00 °C is outside -80.00 to 0.01 °C"
    );
    assert!(saturation_pressure_liquid(f64::NAN).is_err());
}

#[test]
fn no_dew_point() {
    let moist = air();
    for y in [1e-9, 0.9] {
        let error = moist.dew_point(ATM, y).unwrap_err();
        let text = error.to_string();
        assert!(
            text.contains("has its dew point outside -20.00 to 80.00 °C"),
            "{text}"
        );
    }
    for y in [-1e-6, f64::NAN, f64::INFINITY] {
        let error = moist.frost_point(ATM, y).unwrap_err();
        assert!(
            error
                .to_string()
                .starts_with("mole fraction of water must be"),
            "{error}"
        );
    }
}

#[test]
fn other_gases() {
    for composition in [Composition::nitrox(0.32), Composition::trimix(0.18, 0.45)] {
        let error = Moist::new(&Gas::new(composition.unwrap())).unwrap_err();
        assert!(matches!(error, MoistError::NotAir { .. }), "{error}");
        assert!(
            error.to_string().starts_with("the gas is not dry air"),
            "{error}"
        );
    }
}

#[test]
fn table_says_none() {
    let table = MoistTable::new(&air(), Phase::Liquid).unwrap();
    for (bar, t_c) in [
        (0.49, 20.0),
        (450.1, 20.0),
        (10.0, -20.1),
        (10.0, 80.1),
        (f64::NAN, 20.0),
        (10.0, f64::NAN),
        (-1.0, 20.0),
    ] {
        assert_eq!(
            table.y_sat(bar * BAR, kelvin(t_c)),
            None,
            "{bar} bar {t_c} °C"
        );
    }
}
