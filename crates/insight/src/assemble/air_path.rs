//! Vessels, links and valves in the order the station file says.
//!
//! Walking along the air path, every non-return valve, every PMV and a choked
//! purifier ends one pressurised space and begins the next; relief valve, disc,
//! vent and gauge stand on the space they are reached in.

use super::faults::leak_area;
use super::vessels::{Films, TowerPart};
use super::{Assembly, Places, Prepared, Variation, hoses};
use crate::fault::Fault;
use crate::forecast::request::ForecastError;
use physics::nozzle::Orifice;
use physics::sim::{
    Action, AutoValve, Compressor, Disc, End, Gate, HandValve, Link, Plant, Start, Vessel,
};
use quantity::Length;
use quantity::Quantity as _;
use station::Element;

/// Discharge coefficient of valves and passages whose own is not known
/// (common practice, no source; sharp-edged holes 0.6, rounded 0.9).
pub(super) const DISCHARGE: f64 = 0.7;
/// Discharge coefficient of a burst disc (API Standard 520 Part I).
const DISC_DISCHARGE: f64 = 0.62;
/// Bore of pipes and check valves between spaces, m (common practice, no source).
const PIPE_BORE_M: f64 = 4e-3;
/// Gas space of a stretch of pipe that holds no vessel, m³.
const PIPE_VOLUME_M3: f64 = 2e-5;

/// Passage of a bed that chokes nothing, where separator and purifier are told apart, m.
const OPEN_BED_M: f64 = 8e-3;

/// One pressurised space.
struct Space {
    separator_m3: f64,
    purifier_m3: f64,
    /// How gas comes in from the space before; none for the first.
    entry: Option<Entry>,
}

enum Entry {
    Check,
    Pmv,
    Bed(Length),
}

/// Where elements stand, as they are met.
#[derive(Default)]
struct Found {
    spaces: Vec<Space>,
    gauge: Option<usize>,
    relief: Option<usize>,
    disc: Option<usize>,
    vent: Option<usize>,
    separator: Option<usize>,
    purifier: Option<usize>,
}

impl Found {
    fn here(&self) -> usize {
        self.spaces.len().saturating_sub(1)
    }

    fn begin(&mut self, entry: Option<Entry>) {
        self.spaces.push(Space {
            separator_m3: 0.0,
            purifier_m3: 0.0,
            entry,
        });
    }

    /// A stretch of pipe behind a check with nothing on it.
    fn bare(&self) -> bool {
        let here = self.here();
        let on_it = [self.gauge, self.relief, self.disc, self.vent];
        here > 0 && self.empty() && !on_it.contains(&Some(here))
    }

    fn empty(&self) -> bool {
        self.spaces
            .last()
            .is_none_or(|s| s.separator_m3 + s.purifier_m3 == 0.0)
    }
}

/// Builds the plant of one member.
pub(super) fn build(prepared: &Prepared, v: &Variation) -> Result<Assembly, ForecastError> {
    let found = walk(prepared, v.tower_volume);
    let ambient_k = prepared.ambient_k + v.intake_k;
    let line = found.here();
    let tower = found.gauge.or(found.separator).unwrap_or(0);
    let mut plant = Plant {
        gas: prepared.table.clone(),
        atmosphere_pa: prepared.atmosphere_pa,
        vessels: housings(prepared, &found, v, ambient_k),
        links: Vec::new(),
        valves: Vec::new(),
        discs: Vec::new(),
        hand_valves: Vec::new(),
        compressor: Some(Compressor {
            into: 0,
            delivery: prepared.delivery_of(v),
        }),
    };
    let mut places = Places {
        tower,
        separator: found.separator.unwrap_or(0),
        purifier: found.purifier.or(found.separator).unwrap_or(0),
        first: 0,
        line,
        cylinders: Vec::new(),
        fills: Vec::new(),
        bleed: 0,
        pmv: None,
        relief: None,
        vent: None,
        drain: None,
        hoses: Vec::new(),
    };
    join(prepared, &found, v, &mut plant, &mut places);
    protect(prepared, &found, v, &mut plant, &mut places);
    if prepared.hands_on {
        hoses::hang(prepared, v, ambient_k, &mut plant, &mut places);
    } else {
        hang(prepared, v, ambient_k, &mut plant, &mut places);
    }
    let mut starts = starts(prepared, v, &found, line, ambient_k);
    hoses::start(prepared, &places, &mut starts);
    Ok(Assembly {
        plant,
        starts,
        places,
    })
}

fn walk(prepared: &Prepared, volume: f64) -> Found {
    let station = prepared.station;
    let blocked = prepared.faults.iter().find_map(|fault| match fault {
        Fault::PurifierBlocked(bore) => Some(*bore),
        _ => None,
    });
    let bore = blocked.or(station.purifier.flow_bore);
    let mut found = Found::default();
    found.begin(None);
    for element in &station.air_path.order {
        let here = found.here();
        match element {
            // the compressor's own valves already keep air from flowing back into it
            Element::Check if found.empty() => {}
            Element::Check => found.begin(Some(Entry::Check)),
            // the PMV passes nothing back itself: a check right before it adds nothing
            Element::Pmv if found.bare() => found.spaces[here].entry = Some(Entry::Pmv),
            Element::Pmv => found.begin(Some(Entry::Pmv)),
            Element::Separator => {
                found.spaces[here].separator_m3 += station.separator.volume.si() * volume;
                found.separator = Some(here);
            }
            Element::Purifier => {
                let open = prepared.hands_on.then(|| Length::metre(OPEN_BED_M));
                if let Some(bore) = bore.or(open) {
                    found.begin(Some(Entry::Bed(bore)));
                }
                let here = found.here();
                found.purifier = Some(here);
                found.spaces[here].purifier_m3 += station.purifier.volume.si() * volume;
            }
            Element::Gauge => found.gauge = Some(here),
            Element::Relief => found.relief = Some(here),
            Element::BurstDisc => found.disc = Some(here),
            Element::Vent => found.vent = Some(here),
        }
    }
    found
}

/// The spaces as vessels; the whips belong to the last.
fn housings(prepared: &Prepared, found: &Found, v: &Variation, ambient_k: f64) -> Vec<Vessel> {
    let station = prepared.station;
    let whole = (station.separator.volume.si() + station.purifier.volume.si()) * v.tower_volume;
    let whips = station.whip.volume.si() * v.tower_volume * hoses::panel_share(prepared);
    let last = found.here();
    let one = |(i, space): (usize, &Space)| {
        let housing = space.separator_m3 + space.purifier_m3;
        let extra = if i == last { whips } else { 0.0 };
        if housing == 0.0 {
            return Films::line(extra.max(PIPE_VOLUME_M3), ambient_k, v.heat);
        }
        let name = match (space.separator_m3 > 0.0, space.purifier_m3 > 0.0) {
            (true, false) => "separator",
            (false, true) => "purifier",
            _ => "tower",
        };
        let part = TowerPart {
            name,
            volume_m3: housing + extra,
            purifier_m3: space.purifier_m3,
            share: housing / whole,
        };
        prepared.films.tower(station, &part, ambient_k, v.heat)
    };
    found.spaces.iter().enumerate().map(one).collect()
}

/// Links between the spaces.
fn join(prepared: &Prepared, found: &Found, v: &Variation, plant: &mut Plant, places: &mut Places) {
    for (i, space) in found.spaces.iter().enumerate().skip(1) {
        let (name, bore, two_way, gate) = match (&space.entry, &prepared.station.pmv) {
            (Some(Entry::Bed(bore)), _) => ("purifier bed", *bore, true, Gate::Open),
            (Some(Entry::Pmv), Some(pmv)) => {
                places.pmv = Some(plant.valves.len());
                let (opens, closes) = (pmv.opens.si() * v.pmv, pmv.closes.si() * v.pmv);
                plant.valves.push(AutoValve {
                    name: "pmv".into(),
                    senses: i - 1,
                    opens_pa: prepared.atmosphere_pa + opens,
                    closes_pa: prepared.atmosphere_pa + closes,
                    fully_open_pa: prepared.atmosphere_pa + opens + pmv.full_open_above.si(),
                    action: if prepared.pmv_removed {
                        Action::StuckOpen
                    } else {
                        action(pmv.action)
                    },
                });
                ("pmv", pmv.bore, false, Gate::Auto(plant.valves.len() - 1))
            }
            _ => ("check", Length::metre(PIPE_BORE_M), false, Gate::Open),
        };
        let area_m2 = area(bore);
        let to = End::Vessel(i);
        plant.links.push(Link {
            name: name.into(),
            from: i - 1,
            to,
            area_m2,
            two_way,
            gate,
        });
    }
}

/// Relief valve, burst disc, tower vent, and a leak the file knows of.
fn protect(
    prepared: &Prepared,
    found: &Found,
    v: &Variation,
    plant: &mut Plant,
    places: &mut Places,
) {
    let station = prepared.station;
    let atmosphere = prepared.atmosphere_pa;
    let tower = places.tower;
    if let Some(relief) = &station.relief {
        let senses = found.relief.unwrap_or(tower);
        let (lifts, reseats) = (relief.lifts.si() * v.relief, relief.reseats.si() * v.relief);
        places.relief = Some(plant.valves.len());
        plant.valves.push(AutoValve {
            name: "relief".into(),
            senses,
            opens_pa: atmosphere + lifts,
            closes_pa: atmosphere + reseats,
            fully_open_pa: atmosphere + lifts + relief.full_lift_above.si(),
            action: action(relief.action),
        });
        let gate = Gate::Auto(plant.valves.len() - 1);
        plant
            .links
            .push(outlet("relief", senses, area(relief.bore), gate));
    }
    if let Some(disc) = &station.burst_disc {
        let senses = found.disc.unwrap_or(tower);
        let bursts_pa = atmosphere + disc.bursts.si() * v.disc;
        plant.discs.push(Disc {
            name: "burst disc".into(),
            senses,
            bursts_pa,
        });
        let area_m2 = Orifice::round(disc.bore.si(), DISC_DISCHARGE).area_m2;
        plant
            .links
            .push(outlet("burst disc", senses, area_m2, Gate::Disc(0)));
    }
    if let Some(leak) = station.tower.leak {
        let area_m2 = leak_area(prepared, leak.si());
        plant
            .links
            .push(outlet("tower leak", tower, area_m2, Gate::Open));
    }
    if let Some(vent) = &station.vent {
        let gate = hand(plant, "tower vent");
        places.vent = Some(plant.hand_valves.len() - 1);
        plant.links.push(outlet(
            "tower vent",
            found.vent.unwrap_or(tower),
            area(vent.bore),
            gate,
        ));
    }
}

/// Bleed, fill valves and cylinders on the line.
fn hang(
    prepared: &Prepared,
    v: &Variation,
    ambient_k: f64,
    plant: &mut Plant,
    places: &mut Places,
) {
    let whip = &prepared.station.whip;
    let gate = hand(plant, "bleed");
    places.bleed = plant.hand_valves.len() - 1;
    plant
        .links
        .push(outlet("bleed", places.line, area(whip.bleed_bore), gate));
    for (i, spec) in prepared.cylinders.iter().enumerate() {
        let vessel = plant.vessels.len();
        let films = &prepared.films;
        plant
            .vessels
            .push(films.cylinder(i, spec, v.cylinder_volume, ambient_k, v.heat));
        let gate = hand(plant, "fill valve");
        places.fills.push(plant.hand_valves.len() - 1);
        places.cylinders.push(vessel);
        plant.links.push(Link {
            name: "fill valve".into(),
            from: places.line,
            to: End::Vessel(vessel),
            area_m2: area(whip.fill_bore),
            two_way: true,
            gate,
        });
    }
}

fn starts(
    prepared: &Prepared,
    v: &Variation,
    found: &Found,
    line: usize,
    ambient_k: f64,
) -> Vec<Start> {
    let at = |p_pa: f64| Start {
        p_pa: p_pa.max(prepared.atmosphere_pa),
        t_k: ambient_k,
    };
    // without a PMV, bleeding the whip after the last run emptied the tower too
    let empty = prepared.pmv_removed;
    let kept = if empty {
        prepared.atmosphere_pa
    } else {
        prepared.absolute(prepared.tower_start)
    };
    let tower = kept + if empty { 0.0 } else { v.tower_start_pa };
    let line_pa = if empty {
        prepared.atmosphere_pa
    } else {
        prepared.absolute(prepared.line_start)
    };
    let mut starts = vec![at(tower); found.spaces.len()];
    if line > 0 {
        starts[line] = at(line_pa);
    }
    for spec in &prepared.cylinders {
        starts.push(at(prepared.absolute(spec.start) + v.cylinder_start_pa));
    }
    starts
}

pub(super) fn outlet(name: &str, from: usize, area_m2: f64, gate: Gate) -> Link {
    Link {
        name: name.into(),
        from,
        to: End::Atmosphere,
        area_m2,
        two_way: false,
        gate,
    }
}

pub(super) fn hand(plant: &mut Plant, name: &str) -> Gate {
    plant.hand_valves.push(HandValve { name: name.into() });
    Gate::Hand(plant.hand_valves.len() - 1)
}

pub(super) fn area(bore: Length) -> f64 {
    Orifice::round(bore.si(), DISCHARGE).area_m2
}

fn action(action: station::Action) -> Action {
    match action {
        station::Action::Snap => Action::Snap,
        station::Action::Proportional => Action::Proportional,
    }
}
