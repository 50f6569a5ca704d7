//! The hand-written Jacobian against central differences.

use super::super::layout::Layout;
use super::super::modes::{Modes, Stand};
use super::super::rates::Equations;
use super::super::rosenbrock::System;
use super::super::stream::Local;
use super::*;
use crate::heat::{FillingFilm, Medium, VesselShape};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;

const SNAPPED: usize = 0;
const HELD: usize = 1;
const LIFTING: usize = 2;
const STUCK: usize = 3;

/// Every kind of vessel, film, link, gate and valve at once.
fn everything() -> Plant {
    let shape = VesselShape::cylinder(0.012, 4.0, 5e-3);
    let film = FillingFilm::prepare(gas(), shape).unwrap();
    let outside = |area| OuterFilm::natural(Medium::Air, area, 0.6, ROOM_K, 1.0).unwrap();
    let mut cylinder = walled("cylinder", 12.0, 6700.0, 0.0, 0.0);
    cylinder.thermal = Thermal::Walled {
        capacity_j_k: 6700.0,
        inside: GasFilm::Filling(film),
        outside: outside(0.35),
    };
    let mut bank = bare("bank", 50.0, 0.0);
    bank.thermal = Thermal::Bare(outside(1.1));
    let mut plant = plant(vec![
        walled("tower", 2.0, 6000.0, 8.0, 2.0),
        bare("line", 0.05, 0.2),
        cylinder,
        bank,
    ]);
    let valve = |name: &str, senses, bar: f64, action| AutoValve {
        senses,
        action,
        fully_open_pa: (bar + 15.0) * BAR,
        ..snap(name, bar * BAR, (bar - 30.0) * BAR)
    };
    plant.valves = vec![
        valve("snapped", 0, 100.0, Action::Snap),
        valve("held", 2, 200.0, Action::Snap),
        valve("lifting", 0, 240.0, Action::Proportional),
        valve("stuck", 1, 240.0, Action::StuckOpen),
    ];
    plant.discs = vec![Disc {
        name: "disc".into(),
        senses: 0,
        bursts_pa: 300.0 * BAR,
    }];
    plant.hand_valves = vec![hand("half open")];
    let two_way = |link: Link| Link {
        two_way: true,
        ..link
    };
    plant.links = vec![
        link("pmv", 0, End::Vessel(1), 1.0, Gate::Auto(SNAPPED)),
        two_way(link("fill", 1, End::Vessel(2), 0.8, Gate::Hand(0))),
        two_way(link("bank", 3, End::Vessel(1), 0.5, Gate::Open)),
        link("held", 2, End::Vessel(3), 0.7, Gate::Auto(HELD)),
        link("relief", 0, End::Atmosphere, 2.0, Gate::Auto(LIFTING)),
        link(
            "lifting into the line",
            0,
            End::Vessel(1),
            1.5,
            Gate::Auto(LIFTING),
        ),
        link(
            "held, from elsewhere",
            0,
            End::Atmosphere,
            0.4,
            Gate::Auto(HELD),
        ),
        link("stuck", 1, End::Atmosphere, 0.1, Gate::Auto(STUCK)),
        link("disc", 0, End::Atmosphere, 5.0, Gate::Disc(0)),
        link("leak", 2, End::Atmosphere, 0.01, Gate::Open),
    ];
    let flow = [(1.0, 3e-3), (150.0, 2.6e-3), (330.0, 2.4e-3), (500.0, 1e-3)];
    let flow = Curve::monotone(&flow.map(|(bar, kg)| (bar * BAR, kg))).unwrap();
    let low = Arc::new(gas().isotherm(295.0).unwrap());
    let high = Arc::new(gas().isotherm(305.0).unwrap());
    let arriving = Arriving::between(low, high, 301.0);
    plant.compressor = Some(Compressor {
        into: 0,
        delivery: Delivery::of_curve(flow, arriving),
    });
    plant
}

/// A state of [`everything`]: bar and K per vessel, two walls, a lift, an opening.
fn state_of(
    plant: &Plant,
    layout: &Layout,
    gases: &[(f64, f64)],
    walls: [f64; 2],
    lift: f64,
) -> Vec<f64> {
    let mut y = vec![0.0; layout.len()];
    for ((vessel, row), (bar, t_k)) in plant.vessels.iter().zip(&layout.mass).zip(gases) {
        let state = gas().state_p_t(bar * BAR, *t_k).unwrap();
        y[*row] = state.rho * vessel.volume_m3;
        y[*row + 1] = y[*row] * state.u;
    }
    for (row, wall) in layout.wall.iter().flatten().zip(walls) {
        y[*row] = wall;
    }
    y[layout.lift[LIFTING].unwrap()] = lift;
    y
}

/// Compares every entry; `scale` of a column is the size of its state.
fn check(plant: &Plant, layout: &Layout, modes: &Modes, y: &[f64]) -> Result<(), TestCaseError> {
    let mut locals = vec![Local::default(); plant.vessels.len()];
    let mut equations = Equations {
        plant,
        layout,
        modes,
        relative_tolerance: 1e-6,
        vessels: &mut locals,
    };
    let (n, all) = (layout.states, layout.len());
    let (mut rates, mut again) = (vec![0.0; all], vec![0.0; all]);
    let mut exact = vec![0.0; all * n];
    prop_assert!(equations.jacobian(y, &mut rates, &mut exact));
    prop_assert!(equations.rates(y, &mut again));
    for (a, b) in rates.iter().zip(&again) {
        prop_assert!(
            (a - b).abs() <= 1e-9 * (a.abs() + 1e-3),
            "rates {a} and {b}"
        );
    }
    for column in 0..n {
        let energy_of = layout.mass.iter().find(|row| *row + 1 == column);
        let size = energy_of.map_or(y[column].abs().max(1e-3), |mass| 2e5 * y[*mass]);
        let step = 1e-7 * size;
        let mut at = |shift: f64| {
            let mut moved = y.to_vec();
            moved[column] += shift;
            let mut rates = vec![0.0; all];
            assert!(equations.rates(&moved, &mut rates));
            rates
        };
        let (above, below) = (at(step), at(-step));
        for row in 0..all {
            let difference = (above[row] - below[row]) / (2.0 * step);
            let slope = exact[column * all + row];
            // rounding of the rates, seen through the small step
            let noise = 1e-13 * (again[row].abs() + 1.0) / step;
            let allowed = 2e-4 * slope.abs().max(difference.abs()) + noise;
            prop_assert!(
                (slope - difference).abs() <= allowed,
                "row {row} column {column} of {n}: {slope}, by differences {difference}"
            );
        }
    }
    Ok(())
}

/// What the modes may be: compressor, snap valve, disc, opening of the hand valve.
fn modes_of(plant: &Plant, running: bool, lifted: bool, burst: bool, opening: f64) -> Modes {
    let mut modes = Modes::at_rest(plant);
    modes.running = running;
    modes.stands[SNAPPED] = if lifted { Stand::Lifted } else { Stand::Shut };
    modes.stands[HELD] = Stand::Holding { since: 0.0 };
    modes.burst[0] = burst;
    modes.hands[0] = opening;
    modes
}

/// Not within a whisker of a kink, where left and right slopes differ: equal
/// pressures, ends of a valve's travel, the nodes of tables.
fn away_from_kinks(plant: &Plant, gases: &[(f64, f64)], lift: f64) -> bool {
    let far = |a: f64, b: f64| (a - b).abs() > 1e-3;
    let valve = &plant.valves[LIFTING];
    let ends = |p: f64, low: f64| [p - low, p - low - 15.0].iter().all(|d| d.abs() > 1e-3);
    let (p0, p2) = (gases[0].0, gases[2].0);
    let (up, down) = (valve.opens_pa / BAR, valve.closes_pa / BAR);
    let lifts = [(p0 - up) / 15.0, (p0 - down) / 15.0];
    far(p0, gases[1].0)
        && far(gases[1].0, p2)
        && far(gases[3].0, gases[1].0)
        && far(p2, gases[3].0)
        && ends(p0, up)
        && ends(p0, down)
        && far(p2, 170.0)
        && far(p2, 200.0)
        && [150.0, 330.0].iter().all(|node| far(p0, *node))
        && lifts.iter().all(|x| far(x.clamp(0.0, 1.0), lift))
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 300,
        rng_seed: RngSeed::Fixed(20_260_101),
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    #[test]
    fn slopes_are_derivatives(
        gases in prop::collection::vec((2.0..320.0f64, 230.0..400.0f64), 4),
        walls in [250.0..350.0f64, 250.0..350.0f64],
        lift in 0.0..1.0f64,
        opening in 0.0..1.0f64,
        flags in [any::<bool>(), any::<bool>(), any::<bool>()],
    ) {
        let plant = everything();
        prop_assume!(away_from_kinks(&plant, &gases, lift));
        let layout = Layout::of(&plant);
        let modes = modes_of(&plant, flags[0], flags[1], flags[2], opening);
        let y = state_of(&plant, &layout, &gases, walls, lift);
        check(&plant, &layout, &modes, &y)?;
    }

    /// Near rest, where flows are smoothed: pressures a few kPa apart.
    #[test]
    fn slopes_near_rest(
        bar in 10.0..300.0f64,
        apart in prop::collection::vec(-0.3..0.3f64, 3),
        t_k in 260.0..340.0f64,
        opening in 0.0..1.0f64,
    ) {
        let plant = everything();
        let pressures = [bar, bar + apart[0], bar + apart[1], bar + apart[2]];
        let gases = pressures.map(|bar| (bar, t_k));
        prop_assume!(away_from_kinks(&plant, &gases, 0.3));
        let layout = Layout::of(&plant);
        let modes = modes_of(&plant, true, true, false, opening);
        let y = state_of(&plant, &layout, &gases, [t_k + 0.02, t_k - 1.0], 0.3);
        check(&plant, &layout, &modes, &y)?;
    }
}
