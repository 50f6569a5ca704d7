//! What each fault does to the plant.
//!
//! Worn rings and leaking stage valves act on the train (see
//! [`super::compressor`]), a blocked purifier on the spaces (see
//! [`super::air_path`]), gauge offsets on what is read; the rest is here.

use super::{Places, Prepared};
use crate::fault::Fault;
use physics::nozzle::Orifice;
use physics::sim::{Action, AutoValve, End, Gate, Link, Plant};
use quantity::Quantity as _;

/// Applies the faults of `prepared` to one member's plant.
pub(super) fn apply(prepared: &Prepared, plant: &mut Plant, places: &mut Places) {
    for fault in &prepared.faults {
        match fault {
            Fault::PmvStuckOpen => act(plant, places.pmv, Action::StuckOpen),
            Fault::PmvStuckShut => act(plant, places.pmv, Action::StuckShut),
            Fault::PmvHigh(by) => shift(plant, places.pmv, by.si()),
            Fault::PmvLow(by) => shift(plant, places.pmv, -by.si()),
            Fault::ReliefStuckShut => act(plant, places.relief, Action::StuckShut),
            Fault::ReliefHigh(by) => shift(plant, places.relief, by.si()),
            Fault::ReliefLow(by) => shift(plant, places.relief, -by.si()),
            Fault::PmvLeaksBack(flow) => {
                let pmv = places.pmv.and_then(|pmv| passage(plant, pmv));
                if let Some((from, to)) = pmv {
                    let area_m2 = leak_area(prepared, flow.si());
                    plant.links.push(leak("pmv leak", from, to, area_m2));
                }
            }
            Fault::ReliefWeeps(flow) => {
                let from = places
                    .relief
                    .map_or(places.tower, |i| plant.valves[i].senses);
                let area_m2 = leak_area(prepared, flow.si());
                plant
                    .links
                    .push(leak("relief weeping", from, End::Atmosphere, area_m2));
            }
            Fault::TowerLeak(flow) => {
                let area_m2 = leak_area(prepared, flow.si());
                plant
                    .links
                    .push(leak("tower leak", places.tower, End::Atmosphere, area_m2));
            }
            Fault::WhipLeak(flow) => {
                let area_m2 = leak_area(prepared, flow.si());
                plant
                    .links
                    .push(leak("whip leak", whip(places), End::Atmosphere, area_m2));
            }
            Fault::WornRings(_)
            | Fault::StageValveLeak(..)
            | Fault::PurifierBlocked(_)
            | Fault::TowerGaugeOffset(_)
            | Fault::LineGaugeOffset(_) => {}
        }
    }
}

fn act(plant: &mut Plant, valve: Option<usize>, action: Action) {
    if let Some(valve) = valve.and_then(|i| plant.valves.get_mut(i)) {
        valve.action = action;
    }
}

fn shift(plant: &mut Plant, valve: Option<usize>, by_pa: f64) {
    let atmosphere = plant.atmosphere_pa;
    if let Some(AutoValve {
        opens_pa,
        closes_pa,
        fully_open_pa,
        ..
    }) = valve.and_then(|i| plant.valves.get_mut(i))
    {
        // a spring set lower than nothing still needs a little to lift
        let by_pa = by_pa.max(atmosphere + 1e4 - *closes_pa);
        *opens_pa += by_pa;
        *closes_pa += by_pa;
        *fully_open_pa += by_pa;
    }
}

/// The spaces before and behind a valve.
fn passage(plant: &Plant, valve: usize) -> Option<(usize, End)> {
    let link = plant
        .links
        .iter()
        .find(|link| link.gate == Gate::Auto(valve))?;
    Some((link.from, link.to))
}

fn leak(name: &str, from: usize, to: End, area_m2: f64) -> Link {
    Link {
        name: name.into(),
        from,
        to,
        area_m2,
        two_way: true,
        gate: Gate::Open,
    }
}

/// Where a leaking whip loses its air: the first hose, where they are told apart.
fn whip(places: &Places) -> usize {
    places.hoses.first().map_or(places.line, |hose| hose.vessel)
}

/// Effective area that loses this much free air (m³/s) at working pressure.
pub(super) fn leak_area(prepared: &Prepared, free_m3_s: f64) -> f64 {
    let p_pa = prepared.absolute(prepared.station.compressor.working_pressure);
    let density = |p_pa| {
        prepared
            .gas
            .state_p_t(p_pa, prepared.ambient_k)
            .map(|s| s.rho)
    };
    let (Ok(inside), Ok(outside)) = (density(p_pa), density(prepared.atmosphere_pa)) else {
        return 0.0;
    };
    let per_area = Orifice { area_m2: 1.0 }
        .flow(p_pa, inside, prepared.atmosphere_pa)
        .mass;
    free_m3_s * outside / per_area
}
