//! Random plants worked by random hands: nothing is lost, nothing hangs.

use super::*;
use proptest::prelude::*;
use proptest::test_runner::RngSeed;

const VESSELS: usize = 4;

fn vessel() -> impl Strategy<Value = Vessel> {
    let sizes = prop_oneof![0.02..0.5f64, 0.5..5.0f64, 5.0..60.0f64];
    (
        sizes,
        any::<bool>(),
        0.2..30.0f64,
        0.1..5.0f64,
        278.0..311.0f64,
    )
        .prop_map(|(litres, wall, inside, outside, around)| Vessel {
            surroundings_k: around,
            ..if wall {
                walled("vessel", litres, 500.0 * litres + 500.0, inside, outside)
            } else {
                bare("vessel", litres, outside)
            }
        })
}

fn link_between() -> impl Strategy<Value = Link> {
    let gate = prop_oneof![
        1 => Just(Gate::Open),
        3 => (0usize..3).prop_map(Gate::Hand),
        3 => (0usize..3).prop_map(Gate::Auto),
        1 => Just(Gate::Disc(0)),
    ];
    let area = prop_oneof![1e-4..1e-2f64, 0.05..3.0f64];
    (0..VESSELS, 0..VESSELS, area, any::<bool>(), gate).prop_map(
        |(from, to, mm2, two_way, gate)| {
            let (to, mm2) = if to == from {
                // outwards: small, so that vessels are not emptied into the liquid
                (End::Atmosphere, 0.02 * mm2)
            } else {
                (End::Vessel(to), mm2)
            };
            Link {
                two_way,
                ..link("link", from, to, mm2, gate)
            }
        },
    )
}

fn valve() -> impl Strategy<Value = AutoValve> {
    let actions = prop_oneof![
        4 => Just(Action::Snap),
        4 => Just(Action::Proportional),
        1 => Just(Action::StuckOpen),
        1 => Just(Action::StuckShut),
    ];
    let gap = prop_oneof![0.005..0.1f64, 0.5..60.0f64];
    (0..VESSELS, 65.0..300.0f64, gap, 0.5..30.0f64, actions).prop_map(
        |(senses, opens, gap, travel, action)| AutoValve {
            senses,
            action,
            fully_open_pa: gauge((opens + travel) * BAR),
            ..snap("valve", gauge(opens * BAR), gauge((opens - gap) * BAR))
        },
    )
}

fn plants() -> impl Strategy<Value = Plant> {
    let parts = (
        prop::collection::vec(vessel(), VESSELS),
        prop::collection::vec(link_between(), 1..9),
        prop::collection::vec(valve(), 3),
        (0..VESSELS, 150.0..350.0f64),
        (30.0..400.0f64, 285.0..320.0f64, any::<bool>()),
    );
    parts.prop_map(
        |(vessels, links, valves, (senses, bursts), (litres, arriving, declines))| {
            let mut plant = plant(vessels);
            plant.links = links;
            plant.valves = valves;
            plant.discs = vec![Disc {
                name: "disc".into(),
                senses,
                bursts_pa: gauge(bursts * BAR),
            }];
            plant.hand_valves = vec![hand("first"), hand("second"), hand("third")];
            plant.compressor = compressor(litres, arriving);
            if declines {
                let kg = litres * 2e-5;
                let flow = Curve::monotone(&[(1e5, kg), (2e7, 0.9 * kg), (4e7, 0.0)]).unwrap();
                let arriving = Arriving::at_one(Arc::new(gas().isotherm(arriving).unwrap()));
                plant.compressor = Some(Compressor {
                    into: 0,
                    delivery: Delivery::of_curve(flow, arriving),
                });
            }
            plant
        },
    )
}

fn controls() -> impl Strategy<Value = Vec<(f64, Control)>> {
    let control = prop_oneof![
        any::<bool>().prop_map(Control::Compressor),
        (0usize..3, prop_oneof![Just(0.0), Just(1.0), 0.0..1.0f64])
            .prop_map(|(valve, opening)| Control::Hand { valve, opening }),
    ];
    let wait = prop_oneof![Just(0.0), 0.1..20.0f64, 20.0..600.0f64];
    prop::collection::vec((wait, control), 1..14)
}

/// Pressures are positive, temperatures those of a gas, wherever one looks.
fn plausible(sim: &Sim) -> Result<(), TestCaseError> {
    for snapshot in sim
        .events()
        .iter()
        .map(|e| &e.snapshot)
        .chain(sim.samples())
    {
        for v in &snapshot.vessels {
            prop_assert!(
                v.p_pa > 0.0 && v.mass_kg > 0.0,
                "{v:?} at {} s",
                snapshot.t_s
            );
            prop_assert!(
                (60.0..700.0).contains(&v.t_k),
                "{v:?} at {} s",
                snapshot.t_s
            );
        }
    }
    let b = sim.balance();
    prop_assert!(
        b.mass_residual.abs() < 1e-6,
        "mass residual {} kg",
        b.mass_residual_kg
    );
    // a share has little meaning where hardly any energy crossed the boundary
    prop_assert!(
        b.energy_residual.abs() < 1e-6 || b.energy_residual_j.abs() < 1e-4,
        "energy residual {} J, share {}",
        b.energy_residual_j,
        b.energy_residual
    );
    for out in &b.mass_out_kg {
        prop_assert!(*out >= -1e-9, "{out} kg let out");
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 1000,
        rng_seed: RngSeed::Fixed(20_260_103),
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    #[test]
    fn any_plant_in_any_hands(
        plant in plants(),
        starts in prop::collection::vec((1.0..280.0f64, 275.0..315.0f64), VESSELS),
        controls in controls(),
    ) {
        let starts: Vec<Start> = starts.iter().map(|(bar, k)| start(bar * BAR, *k)).collect();
        let mut sim = Sim::new(&plant, gas(), &starts).unwrap().sampled_every(10.0);
        let mut stopped = None;
        for (wait, control) in controls.into_iter().chain([(900.0, Control::Compressor(false))]) {
            sim.control(control);
            let until = sim.t_s() + wait;
            match sim.advance(until, &[]) {
                Outcome::Reached => prop_assert_eq!(sim.t_s(), until),
                Outcome::Watched(i) => prop_assert!(false, "watch {} of none", i),
                Outcome::Stopped(reason) => {
                    stopped = Some(reason);
                    break;
                }
            }
        }
        plausible(&sim)?;
        let (effort, seconds) = (sim.effort(), sim.t_s());
        let most = 2000.0 + 50.0 * seconds;
        prop_assert!((effort.steps + effort.rejected) as f64 <= most, "{:?} in {} s", effort, seconds);
        prop_assert!(sim.events().len() as f64 <= 100.0 + 10.0 * seconds, "{} events", sim.events().len());
        if let Some(reason) = stopped {
            let named = matches!(reason, StopReason::GasOutOfRange { .. });
            prop_assert!(named, "{}", reason);
        }
    }
}
