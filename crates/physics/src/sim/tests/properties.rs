//! What must hold whatever the numbers: more makes no less.

use super::*;
use proptest::prelude::*;
use proptest::test_runner::RngSeed;

/// A fill of one cylinder.
#[derive(Debug, Clone, Copy)]
struct Fill {
    delivery: f64,
    litres: f64,
    pmv_bar: f64,
    tower_bar: f64,
    from_bar: f64,
    leak_mm2: f64,
}

impl Fill {
    fn plant(self) -> Plant {
        let mut plant = machine();
        plant.vessels[CYLINDER] = walled(
            "cylinder",
            self.litres,
            560.0 * self.litres,
            1.7 * self.litres,
            0.25 * self.litres,
        );
        plant.valves[PMV] = snap(
            "pmv",
            gauge(self.pmv_bar * BAR),
            gauge((self.pmv_bar - 20.0) * BAR),
        );
        plant.links[6].area_m2 = self.leak_mm2 * 1e-6;
        let compressor = plant.compressor.as_mut().unwrap();
        compressor.delivery = compressor.delivery.scaled(self.delivery);
        plant
    }

    /// When 200 bar is reached, and when the first gas enters the line, s.
    fn times(self) -> (f64, f64) {
        let plant = self.plant();
        let gauges = [
            self.tower_bar * BAR,
            self.from_bar * BAR,
            self.from_bar * BAR,
        ];
        let mut sim = at_rest(&plant, gauges).with_tolerance(1e-6);
        turn(&mut sim, FILL, 1.0);
        sim.control(Control::Compressor(true));
        let outcome = sim.advance(1e6, &[rising(CYLINDER, gauge(200.0 * BAR))]);
        assert_eq!(outcome, Outcome::Watched(0), "{self:?}");
        assert_conserved(&sim);
        (sim.t_s(), first(&sim, EventKind::ValveOpened(PMV)).unwrap())
    }
}

fn fills() -> impl Strategy<Value = Fill> {
    (
        0.6..3.0f64,
        3.0..20.0f64,
        60.0..150.0f64,
        0.0..50.0f64,
        2.0..150.0f64,
        0.0..0.005f64,
    )
        .prop_map(
            |(delivery, litres, pmv_bar, tower_bar, from_bar, leak_mm2)| Fill {
                delivery,
                litres,
                pmv_bar,
                tower_bar,
                from_bar,
                leak_mm2,
            },
        )
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 40,
        rng_seed: RngSeed::Fixed(20_260_102),
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    /// Delivering more never fills later, nor opens the PMV later.
    #[test]
    fn more_delivery_is_never_slower(fill in fills(), factor in 1.02..2.0f64) {
        let more = Fill { delivery: fill.delivery * factor, ..fill };
        let ((full, opened), (full_more, opened_more)) = (fill.times(), more.times());
        prop_assert!(full_more <= full, "{full_more} s with more, {full} s");
        prop_assert!(opened_more <= opened, "PMV: {opened_more} s with more, {opened} s");
    }

    /// A larger cylinder is never full earlier.
    #[test]
    fn a_larger_cylinder_is_never_earlier(fill in fills(), factor in 1.02..2.0f64) {
        let larger = Fill { litres: fill.litres * factor, ..fill };
        let (small, large) = (fill.times().0, larger.times().0);
        prop_assert!(large >= small, "larger {large} s, smaller {small} s");
    }

    /// A PMV set higher never lets the first air through sooner.
    #[test]
    fn a_higher_pmv_never_delivers_sooner(fill in fills(), by_bar in 1.0..40.0f64) {
        let higher = Fill { pmv_bar: fill.pmv_bar + by_bar, ..fill };
        let (low, high) = (fill.times().1, higher.times().1);
        prop_assert!(high > low, "higher {high} s, lower {low} s");
    }

    /// A leak never fills sooner; a cylinder fuller at the start never later.
    #[test]
    fn leaks_and_head_starts(fill in fills(), more_mm2 in 0.001..0.01f64, head in 1.0..40.0f64) {
        let leaking = Fill { leak_mm2: fill.leak_mm2 + more_mm2, ..fill };
        let ahead = Fill { from_bar: fill.from_bar + head, ..fill };
        let (plain, leaking, ahead) = (fill.times().0, leaking.times().0, ahead.times().0);
        prop_assert!(leaking >= plain, "leaking {leaking} s, tight {plain} s");
        prop_assert!(ahead <= plain, "fuller at the start {ahead} s, plain {plain} s");
    }
}
