//! Carbon and catalyst: order and capacity.

use physics::purifier::{
    BedKind::{Carbon, Catalyst, Drying},
    OrderProblem, PurifierError, carbon_seconds, catalyst_air, check_order,
};

/// A catalyst for carbon monoxide needs dry air (general literature).
#[test]
fn orders() {
    assert_eq!(check_order(&[Drying, Catalyst, Carbon]), []);
    assert_eq!(check_order(&[Drying, Carbon]), []);
    assert_eq!(check_order(&[Carbon]), []);
    assert_eq!(check_order(&[]), []);
    let before = OrderProblem::CatalystBeforeDrying {
        catalyst: 0,
        drying: 2,
    };
    let carbon = OrderProblem::CarbonBeforeDrying {
        carbon: 1,
        drying: 2,
    };
    assert_eq!(check_order(&[Catalyst, Carbon, Drying]), [before, carbon]);
    let alone = OrderProblem::CatalystWithoutDrying { catalyst: 1 };
    assert_eq!(check_order(&[Carbon, Catalyst]), [alone]);
    assert!(
        before
            .to_string()
            .contains("(bed 1) stands before the drying bed (bed 3)")
    );
}

#[test]
fn catalysts_must_stay_dry() {
    assert_eq!(catalyst_air(2e-5, 1e-4), Ok(None));
    let wet = catalyst_air(2e-4, 1e-4).unwrap().unwrap();
    assert!(wet.to_string().contains("not working"), "{wet}");
    assert!(catalyst_air(f64::NAN, 1e-4).is_err());
}

/// 100 g at 5 to 20 per cent by mass, 0.1 mg of oil in each of 6 m³ an hour:
/// 5 g / 0.6 mg/h = 8333 h, and four times that.
#[test]
fn carbon_by_hand() {
    let (low, high) = carbon_seconds(0.1, 0.6e-6 / 3600.0).unwrap();
    assert!((low / 3600.0 - 8333.3).abs() < 0.1, "{low}");
    assert!((high / low - 4.0).abs() < 1e-12);
    assert_eq!(
        carbon_seconds(0.1, 0.0).map(|(low, _)| low),
        Ok(f64::INFINITY)
    );
    assert!(matches!(
        carbon_seconds(0.0, 1e-9),
        Err(PurifierError::EmptyBed { .. })
    ));
    assert!(carbon_seconds(0.1, -1e-9).is_err());
}
