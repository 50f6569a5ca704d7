//! Hoses one by one, with every valve a hand works at, and the drain.
//!
//! A forecast lumps panel and hoses into one space and opens what must be open; somebody who
//! learns must be able to do it in the wrong order. Not here: the spaces before the panel
//! ([`super::air_path`]).

use super::air_path::{DISCHARGE, area, hand, outlet};
use super::vessels::Films;
use super::{Hose, Places, Prepared, Variation};
use physics::nozzle::Orifice;
use physics::sim::{End, Link, Plant, Start};
use quantity::Quantity as _;

/// Bore of a cylinder's valve, m (common practice, no source).
const CYLINDER_VALVE_M: f64 = 4e-3;
/// Bore of a hose's free end, m (common practice, no source).
const HOSE_END_M: f64 = 5e-3;

/// The panel's share of the space that the file gives for hoses and panel together: as much as a
/// hose has (an estimate).
pub(super) fn panel_share(prepared: &Prepared) -> f64 {
    match prepared.hands_on {
        true => 1.0 / (count(prepared) + 1.0),
        false => 1.0,
    }
}

fn count(prepared: &Prepared) -> f64 {
    prepared.station.whip.count.max(1) as f64
}

/// One hose for each cylinder, and the drain.
pub(super) fn hang(
    prepared: &Prepared,
    v: &Variation,
    ambient_k: f64,
    plant: &mut Plant,
    places: &mut Places,
) {
    let separator = &prepared.station.separator;
    let gate = hand(plant, "drain");
    places.drain = Some(plant.hand_valves.len() - 1);
    let bore = area(separator.drain_bore);
    plant
        .links
        .push(outlet("drain", places.separator, bore, gate));
    for i in 0..prepared.cylinders.len() {
        let hose = hose(prepared, i, v, ambient_k, plant, places);
        places.fills.push(hose.fill);
        places.bleed = hose.bleed;
        places.hoses.push(hose);
    }
}

/// A hose with its valves, and the cylinder behind it.
fn hose(
    prepared: &Prepared,
    i: usize,
    v: &Variation,
    ambient_k: f64,
    plant: &mut Plant,
    places: &mut Places,
) -> Hose {
    let whip = &prepared.station.whip;
    let volume_m3 = whip.volume.si() * v.tower_volume / (count(prepared) + 1.0);
    let vessel = plant.vessels.len();
    let mut own = Films::line(volume_m3, ambient_k, v.heat);
    own.name = "hose".into();
    let (films, spec) = (&prepared.films, &prepared.cylinders[i]);
    let other = films.cylinder(i, spec, v.cylinder_volume, ambient_k, v.heat);
    plant.vessels.extend([own, other]);
    places.cylinders.push(vessel + 1);
    let mut passage = |name: &str, from, to, area_m2, two_way| {
        let gate = hand(plant, name);
        plant.links.push(Link {
            two_way,
            to,
            ..outlet(name, from, area_m2, gate)
        });
        plant.hand_valves.len() - 1
    };
    let round = |bore_m: f64| Orifice::round(bore_m, DISCHARGE).area_m2;
    let (fill, bleed) = (area(whip.fill_bore), area(whip.bleed_bore));
    let (end, valve) = (round(HOSE_END_M), round(CYLINDER_VALVE_M));
    let (here, cylinder) = (End::Vessel(vessel), End::Vessel(vessel + 1));
    Hose {
        vessel,
        fill: passage("fill valve", places.line, here, fill, true),
        bleed: passage("bleed", vessel, End::Atmosphere, bleed, false),
        end: passage("hose end", vessel, End::Atmosphere, end, false),
        valve: passage("cylinder valve", vessel, cylinder, valve, true),
    }
}

/// Puts the hoses' starts between those of the cylinders: as the line.
pub(super) fn start(prepared: &Prepared, places: &Places, starts: &mut Vec<Start>) {
    for hose in &places.hoses {
        let line = starts.get(places.line).copied();
        let line = line.unwrap_or(Start {
            p_pa: prepared.atmosphere_pa,
            t_k: prepared.ambient_k,
        });
        starts.insert(hose.vessel, line);
    }
}
