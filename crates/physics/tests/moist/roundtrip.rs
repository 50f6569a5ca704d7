//! There and back again.

use std::sync::LazyLock;

use physics::moist::{Moist, P_RANGE_PA, Phase};
use proptest::prelude::*;

use crate::data::air;

static AIR: LazyLock<Moist> = LazyLock::new(air);

fn any_phase() -> impl Strategy<Value = Phase> {
    prop_oneof![Just(Phase::Liquid), Just(Phase::Ice), Just(Phase::Stable)]
}

proptest! {
    /// The point of saturated air is its temperature.
    #[test]
    fn point_of_saturated_air(p_pa in P_RANGE_PA.0..P_RANGE_PA.1, share in 0.0..=1.0f64, phase in any_phase()) {
        let (low, high) = phase.t_range_k();
        let t_k: f64 = low + share * (high - low);
        let there = AIR.saturated(p_pa, t_k.min(high), phase).unwrap();
        let back = AIR.point(p_pa, there.mole_fraction, phase).unwrap();
        prop_assert!((back.t_k - t_k).abs() < 1e-6, "{t_k} K, back {back:?}");
        prop_assert!(back.uncertainty_k > 0.0 && back.uncertainty_k < 4.0, "{back:?}");
    }

    /// Humidity to mole fraction and back; saturated air has 100 %.
    #[test]
    fn humidity(p_pa in P_RANGE_PA.0..P_RANGE_PA.1, t_c in -20.0..80.0f64, share in 0.0..=1.0f64) {
        let t_k = t_c + 273.15;
        let y = AIR.mole_fraction(p_pa, t_k, share, Phase::Liquid).unwrap();
        let back = AIR.relative_humidity(p_pa, t_k, y, Phase::Liquid).unwrap();
        prop_assert!((back - share).abs() < 1e-12, "{share}, back {back}");
        let full = AIR.mole_fraction_at_point(p_pa, t_k, t_k, Phase::Liquid).unwrap();
        prop_assert!((AIR.relative_humidity(p_pa, t_k, full, Phase::Liquid).unwrap() - 1.0).abs() < 1e-12);
    }

    /// Mixing ratio and back.
    #[test]
    fn mixing_ratio(y in 0.0..0.95f64) {
        let back = AIR.mole_fraction_of_kg_per_kg_dry(AIR.kg_per_kg_dry(y));
        prop_assert!((back - y).abs() < 1e-14, "{y}, back {back}");
    }
}
