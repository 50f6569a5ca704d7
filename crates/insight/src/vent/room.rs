//! The station at rest: its spaces, and the hand valves that let them out.
//!
//! Not here: following one opening ([`super::run`]).

use super::answer::{Fall, StoredEnergy, Way};
use super::run::{self, Opening};
use super::{energy, stays};
use crate::assemble::{
    Assembly, Conditions, CylinderSpec, Prepared, Variation, empty_mass, reference_c, water_volume,
};
use crate::forecast::request::ForecastError;
use physics::gas::{Composition, Gas};
use physics::nozzle::Orifice;
use physics::sim::{End, Gate, HandValve, Link, Plant, Start};
use quantity::{GaugePressure, Length, Quantity as _, Volume};
use station::{CylinderKind, Station};

/// Discharge coefficients of rounded and of sharp-edged passages (common practice, no source).
const ROUNDED: f64 = 0.9;
const SHARP: f64 = 0.6;

/// A hand valve to be opened: its names, bore and place.
struct Handle<'a> {
    what: &'a str,
    through: &'a str,
    bore: Length,
    hand: usize,
    vessel: usize,
}

/// The station at rest.
pub(super) struct Room<'s> {
    station: &'s Station,
    prepared: Prepared<'s>,
    assembly: Assembly,
}

impl<'s> Room<'s> {
    /// The station under these conditions, with one full cylinder of each kind.
    pub fn new(station: &'s Station, conditions: &Conditions) -> Result<Room<'s>, ForecastError> {
        let gas = Gas::new(Composition::dry_air());
        let kinds = station.cylinder_kinds.iter();
        let full: Vec<CylinderSpec> = kinds
            .map(|kind| spec(&gas, kind))
            .collect::<Result<_, _>>()?;
        let prepared = Prepared::new(station, conditions, full)?;
        Ok(Room {
            station,
            assembly: prepared.assembly(&Variation::NONE)?,
            prepared,
        })
    }

    /// The whip through its bleed, the tower through its vent and its drain.
    pub fn station_ways(&self) -> Result<Vec<Way>, ForecastError> {
        let mut plant = self.assembly.plant.clone();
        let places = &self.assembly.places;
        let drain_bore = self.station.separator.drain_bore;
        let drain = add(
            &mut plant,
            "drain",
            places.separator,
            self.area_m2(drain_bore),
        );
        let mut handles = vec![Handle {
            what: "whip",
            through: "bleed",
            bore: self.station.whip.bleed_bore,
            hand: places.bleed,
            vessel: places.line,
        }];
        handles.extend(self.tower_vent());
        handles.push(Handle {
            what: "tower",
            through: "drain",
            bore: drain_bore,
            hand: drain,
            vessel: places.separator,
        });
        let one =
            |handle: &Handle| self.way(&plant, &self.assembly.starts, handle, &places.cylinders);
        handles.iter().map(one).collect()
    }

    /// The tower's vent, where one is fitted.
    fn tower_vent(&self) -> Option<Handle<'static>> {
        let plant = &self.assembly.plant;
        let mut valves = plant.hand_valves.iter();
        let hand = valves.position(|v| v.name == "tower vent")?;
        let link = plant.links.iter().find(|l| l.gate == Gate::Hand(hand))?;
        Some(Handle {
            what: "tower",
            through: "tower vent",
            bore: self.station.vent.as_ref()?.bore,
            hand,
            vessel: link.from,
        })
    }

    /// Each cylinder kind, full and taken off, through its own valve.
    pub fn cylinders(&self, bore: Length) -> Result<Vec<Way>, ForecastError> {
        let all = 0..self.prepared.cylinders.len();
        let ways = all.map(|index| self.cylinder(index, bore));
        Ok(ways
            .collect::<Result<Vec<_>, _>>()?
            .into_iter()
            .flatten()
            .collect())
    }

    /// One cylinder kind, full and taken off, through its own valve.
    fn cylinder(&self, index: usize, bore: Length) -> Result<Option<Way>, ForecastError> {
        let whole = &self.assembly.plant;
        let (Some(spec), Some(&vessel)) = (
            self.prepared.cylinders.get(index),
            self.assembly.places.cylinders.get(index),
        ) else {
            return Ok(None);
        };
        let (Some(itself), Some(start)) =
            (whole.vessels.get(vessel), self.assembly.starts.get(vessel))
        else {
            return Ok(None);
        };
        let mut plant = Plant {
            gas: whole.gas.clone(),
            atmosphere_pa: whole.atmosphere_pa,
            vessels: vec![itself.clone()],
            links: Vec::new(),
            valves: Vec::new(),
            discs: Vec::new(),
            hand_valves: Vec::new(),
            compressor: None,
        };
        let hand = add(&mut plant, "cylinder valve", 0, self.area_m2(bore));
        let handle = Handle {
            what: &spec.id,
            through: "cylinder valve",
            bore,
            hand,
            vessel: 0,
        };
        self.way(&plant, &[*start], &handle, &[]).map(Some)
    }

    fn way(
        &self,
        plant: &Plant,
        starts: &[Start],
        handle: &Handle,
        skip: &[usize],
    ) -> Result<Way, ForecastError> {
        let opening = Opening {
            plant,
            starts,
            gas: &self.prepared.gas,
            hand: handle.hand,
            vessel: handle.vessel,
        };
        let followed = run::follow(&opening)?;
        let from_pa = starts.get(handle.vessel).map_or(0.0, |s| s.p_pa);
        let litres = 1e3 * run::volume_m3(plant, starts, &followed.held, from_pa);
        let built = self.discharge();
        Ok(Way {
            what: handle.what.to_owned(),
            through: handle.through.to_owned(),
            bore_mm: handle.bore.as_millimetre(),
            from_bar: self.prepared.gauge_bar(from_pa),
            litres,
            to_1_bar: fall(followed.first_s, followed.ideal_first_s, built),
            to_zero: fall(followed.zero_s, followed.ideal_zero_s, built),
            coldest_c: followed.coldest_k - 273.15,
            stays: stays::stays(&opening, &followed, skip),
            ended_early: followed.ended_early,
        })
    }

    /// The discharge coefficient that the assembled plant has in its bleed.
    fn discharge(&self) -> f64 {
        let bleed = Gate::Hand(self.assembly.places.bleed);
        let link = self.assembly.plant.links.iter().find(|l| l.gate == bleed);
        let hole = Orifice::round(self.station.whip.bleed_bore.si(), 1.0);
        link.map_or(1.0, |l| l.area_m2 / hole.area_m2)
    }

    fn area_m2(&self, bore: Length) -> f64 {
        Orifice::round(bore.si(), self.discharge()).area_m2
    }

    /// The energy in every space.
    pub fn stored(
        &self,
        tower: GaugePressure,
        line: GaugePressure,
    ) -> Result<Vec<StoredEnergy>, ForecastError> {
        let atmosphere_pa = self.prepared.atmosphere_pa;
        let station = self.station;
        let housing = station.separator.volume.si() + station.purifier.volume.si();
        let one = |what: &str, volume, p| energy::stored(what, volume, p, atmosphere_pa);
        let mut all = vec![
            one("whip", station.whip.volume, line),
            one("tower", Volume::cubic_metre(housing), tower),
        ];
        for spec in &self.prepared.cylinders {
            all.push(one(&spec.id, spec.water, spec.rated));
        }
        for bank in &station.banks {
            let volume = water_volume(&self.prepared.gas, &bank.vessel)?;
            let rated = bank.vessel.working_pressure.value;
            all.push(one(&format!("bank {}", bank.id), volume, rated));
        }
        Ok(all)
    }
}

/// A hand valve to the open air, added to a plant: its number.
pub(super) fn add(plant: &mut Plant, name: &str, from: usize, area_m2: f64) -> usize {
    plant.hand_valves.push(HandValve { name: name.into() });
    let hand = plant.hand_valves.len() - 1;
    plant.links.push(Link {
        name: name.into(),
        from,
        to: End::Atmosphere,
        area_m2,
        two_way: false,
        gate: Gate::Hand(hand),
    });
    hand
}

/// Times go as one over the discharge coefficient.
fn fall(s: Option<f64>, ideal_s: f64, built: f64) -> Fall {
    Fall {
        s,
        low_s: s.map(|s| s * built / ROUNDED),
        high_s: s.map(|s| s * built / SHARP),
        ideal_s,
    }
}

/// A cylinder kind, full.
fn spec(gas: &Gas, kind: &CylinderKind) -> Result<CylinderSpec, ForecastError> {
    let water = water_volume(gas, &kind.vessel)?;
    let rated = kind.vessel.working_pressure;
    Ok(CylinderSpec {
        id: kind.id.clone(),
        kind: kind.id.clone(),
        water,
        rated: rated.value,
        rated_text: rated.to_string(),
        reference_c: reference_c(&kind.vessel),
        material: kind.vessel.material,
        mass: empty_mass(&kind.vessel, water).0,
        start: rated.value,
        stop: rated.value,
    })
}
