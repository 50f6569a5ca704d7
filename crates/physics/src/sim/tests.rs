//! Checks of the simulation against closed forms, identities and trade facts.
//!
//! Start at [`machine`]: the small station most tests run. Whole runs against
//! an independent model are in `tests/replay.rs`; the integrator alone is
//! tested beside it.

mod changed;
mod closed_forms;
mod jacobian;
mod properties;
mod random;
mod reporting;
mod sliding;
mod trade;

use super::*;
use crate::curve::Curve;
use crate::gas::{Composition, Gas, GasTable};
use crate::heat::{GasFilm, OuterFilm};
use crate::machine::{Arriving, Delivery};
use std::sync::{Arc, LazyLock};

pub(super) const BAR: f64 = 1e5;
/// Pound-force per square inch, Pa: 0.45359237·9.80665/0.0254² (exact by definition).
pub(super) const PSI: f64 = 6_894.757_293_168;
pub(super) const ATMOSPHERE: f64 = 101_325.0;
/// 20 °C.
pub(super) const ROOM_K: f64 = 293.15;

static AIR: LazyLock<(Gas, Arc<GasTable>)> = LazyLock::new(|| {
    let gas = Gas::new(Composition::dry_air());
    let table = Arc::new(GasTable::new(&gas).unwrap());
    (gas, table)
});

pub(super) fn gas() -> &'static Gas {
    &AIR.0
}

/// An absolute pressure from a gauge pressure.
pub(super) fn gauge(pa: f64) -> f64 {
    pa + ATMOSPHERE
}

/// Vessels in a room at 20 °C and nothing else yet.
pub(super) fn plant(vessels: Vec<Vessel>) -> Plant {
    Plant {
        gas: AIR.1.clone(),
        atmosphere_pa: ATMOSPHERE,
        vessels,
        links: Vec::new(),
        valves: Vec::new(),
        discs: Vec::new(),
        hand_valves: Vec::new(),
        compressor: None,
    }
}

/// A vessel whose gas meets its surroundings through a conductance, W/K.
pub(super) fn bare(name: &str, litres: f64, watt_per_k: f64) -> Vessel {
    Vessel {
        name: name.into(),
        volume_m3: litres * 1e-3,
        surroundings_k: ROOM_K,
        thermal: Thermal::Bare(OuterFilm::Constant(watt_per_k)),
    }
}

/// A vessel with a wall: heat capacity J/K, conductances inside and outside W/K.
pub(super) fn walled(name: &str, litres: f64, capacity: f64, inside: f64, outside: f64) -> Vessel {
    Vessel {
        thermal: Thermal::Walled {
            capacity_j_k: capacity,
            inside: GasFilm::Constant(inside),
            outside: OuterFilm::Constant(outside),
        },
        ..bare(name, litres, 0.0)
    }
}

pub(super) fn link(name: &str, from: usize, to: End, mm2: f64, gate: Gate) -> Link {
    Link {
        name: name.into(),
        from,
        to,
        area_m2: mm2 * 1e-6,
        two_way: false,
        gate,
    }
}

pub(super) fn hand(name: &str) -> HandValve {
    HandValve { name: name.into() }
}

/// A snap valve on vessel 0 between two absolute pressures.
pub(super) fn snap(name: &str, opens_pa: f64, closes_pa: f64) -> AutoValve {
    AutoValve {
        name: name.into(),
        senses: 0,
        opens_pa,
        closes_pa,
        fully_open_pa: opens_pa + BAR,
        action: Action::Snap,
    }
}

/// A compressor into vessel 0: free air in L/min, arriving at `arriving_k`.
pub(super) fn compressor(litres_per_minute: f64, arriving_k: f64) -> Option<Compressor> {
    let rho = gas().state_p_t(ATMOSPHERE, ROOM_K).unwrap().rho;
    let flow = Curve::constant(rho * litres_per_minute / 60_000.0);
    let arriving = Arriving::at_one(Arc::new(gas().isotherm(arriving_k).unwrap()));
    Some(Compressor {
        into: 0,
        delivery: Delivery::of_curve(flow, arriving),
    })
}

pub(super) fn start(p_pa: f64, t_k: f64) -> Start {
    Start { p_pa, t_k }
}

pub(super) fn rising(vessel: usize, threshold_pa: f64) -> Watch {
    Watch {
        vessel,
        threshold_pa,
        rising: true,
    }
}

pub(super) fn falling(vessel: usize, threshold_pa: f64) -> Watch {
    Watch {
        vessel,
        threshold_pa,
        rising: false,
    }
}

pub(super) const TOWER: usize = 0;
pub(super) const LINE: usize = 1;
pub(super) const CYLINDER: usize = 2;
/// Hand valves of [`machine`].
pub(super) const BLEED: usize = 0;
pub(super) const FILL: usize = 1;
pub(super) const VENT: usize = 2;
/// Automatic valves of [`machine`].
pub(super) const PMV: usize = 0;
pub(super) const RELIEF: usize = 1;

/// A small station in US units, of our own invention: PMV opens at 800 psi and
/// closes at 500, working pressure 3000 psi, relief lifts at 3300 and has
/// closed again at 3000, disc 4000; 100 L/min, 2 L tower, a 12 L cylinder.
pub(super) fn machine() -> Plant {
    let psi = |p: f64| gauge(p * PSI);
    let mut plant = plant(vec![
        walled("tower", 2.0, 6000.0, 8.0, 2.0),
        bare("line", 0.05, 0.2),
        walled("cylinder", 12.0, 6700.0, 20.0, 3.0),
    ]);
    plant.valves = vec![
        snap("pmv", psi(800.0), psi(500.0)),
        AutoValve {
            fully_open_pa: psi(3400.0),
            action: Action::Proportional,
            ..snap("relief", psi(3300.0), psi(3000.0))
        },
    ];
    plant.discs = vec![Disc {
        name: "disc".into(),
        senses: TOWER,
        bursts_pa: psi(4000.0),
    }];
    plant.hand_valves = vec![hand("bleed"), hand("fill valve"), hand("vent")];
    plant.links = vec![
        link("pmv", TOWER, End::Vessel(LINE), 1.0, Gate::Auto(PMV)),
        link("relief", TOWER, End::Atmosphere, 2.0, Gate::Auto(RELIEF)),
        link("disc", TOWER, End::Atmosphere, 20.0, Gate::Disc(0)),
        link("bleed", LINE, End::Atmosphere, 0.05, Gate::Hand(BLEED)),
        Link {
            two_way: true,
            ..link(
                "fill valve",
                LINE,
                End::Vessel(CYLINDER),
                1.0,
                Gate::Hand(FILL),
            )
        },
        link("vent", TOWER, End::Atmosphere, 0.3, Gate::Hand(VENT)),
        link("leak", TOWER, End::Atmosphere, 0.0, Gate::Open),
    ];
    plant.compressor = compressor(100.0, 303.15);
    plant
}

/// [`machine`] or a change of it, at room temperature, from gauge pressures in Pa.
pub(super) fn at_rest(plant: &Plant, gauges: [f64; 3]) -> Sim<'_> {
    let starts = gauges.map(|p| start(gauge(p), ROOM_K));
    Sim::new(plant, gas(), &starts).unwrap()
}

pub(super) fn turn(sim: &mut Sim, valve: usize, opening: f64) {
    sim.control(Control::Hand { valve, opening });
}

/// When a kind of event first happened, s.
pub(super) fn first(sim: &Sim, kind: EventKind) -> Option<f64> {
    sim.events()
        .iter()
        .find(|e| e.kind == kind)
        .map(|e| e.snapshot.t_s)
}

pub(super) fn p(sim: &Sim, vessel: usize) -> f64 {
    sim.snapshot().vessels[vessel].p_pa
}

/// Mass and energy add up to a part in a million.
#[track_caller]
pub(super) fn assert_conserved(sim: &Sim) {
    let b = sim.balance();
    assert!(
        b.mass_residual.abs() < 1e-6,
        "mass residual {} kg",
        b.mass_residual_kg
    );
    assert!(
        b.energy_residual.abs() < 1e-6,
        "energy residual {} J",
        b.energy_residual_j
    );
}

#[track_caller]
pub(super) fn close(got: f64, want: f64, within: f64, what: &str) {
    assert!(
        (got - want).abs() <= within,
        "{what}: {got}, expected {want} within {within}"
    );
}
