//! Vessels with their walls and films: tower, line, cylinders.
//!
//! What no station file says is taken from here, marked with its origin.

use crate::forecast::request::ForecastError;
use physics::gas::{Composition, Gas, GasError};
use physics::heat::{FillingFilm, GasFilm, Medium, OuterFilm, VesselShape};
use physics::sim::{Thermal, Vessel};
use quantity::Quantity as _;
use quantity::{GaugePressure, Mass, Volume};
use station::{Capacity, Material, Station};

/// Length over diameter of cylinders and towers (common practice, no source).
const SLENDERNESS: f64 = 3.5;
/// Bore through which a cylinder is filled, m (common practice, no source).
const CYLINDER_INLET_M: f64 = 4e-3;
/// Bore through which air enters the tower, m (common practice, no source).
const TOWER_INLET_M: f64 = 6e-3;
/// Inner bore of fill hoses, m (common practice, no source).
const HOSE_BORE_M: f64 = 5e-3;
/// Film between gas and hose, W/(m²·K): turbulent flow, an estimate.
const HOSE_FILM: f64 = 150.0;
/// Heat capacity of hose and panel per m² of inner surface, J/(m²·K): an estimate.
const HOSE_CAPACITY: f64 = 12_000.0;
/// 70 °F, at which US service pressures hold, °C.
const US_REFERENCE_C: f64 = 21.1;

/// Outer surface of 2 mm beads per volume of gas space between them, 1/m: 6·(1−ε)/(ε·d), ε = 0.4.
const BED_SURFACE: f64 = 4500.0;
/// Film between slow gas and beads, W/(m²·K): an estimate at Nusselt number 2.
const BED_FILM: f64 = 20.0;
/// Specific heat capacity of adsorbents, J/(kg·K) (handbook value, from memory).
const BED_HEAT: f64 = 900.0;

/// One cylinder of a job.
#[derive(Debug, Clone, PartialEq)]
pub struct CylinderSpec {
    /// Name in the answer; unique in the job.
    pub id: String,
    /// Its kind.
    pub kind: String,
    /// Water volume.
    pub water: Volume,
    /// Working (service) pressure.
    pub rated: GaugePressure,
    /// The same as stamped.
    pub rated_text: String,
    /// Temperature at which the rating holds, °C.
    pub reference_c: f64,
    /// What it is made of.
    pub material: Material,
    /// Mass of the empty cylinder.
    pub mass: Mass,
    /// Pressure at the start.
    pub start: GaugePressure,
    /// Pressure at which filling stops.
    pub stop: GaugePressure,
}

/// Specific heat capacity of a wall, J/(kg·K) (handbook values, from memory).
fn specific_heat(material: Material) -> f64 {
    match material {
        Material::Steel => 470.0,
        Material::Aluminium => 896.0,
        Material::Composite => 1000.0,
    }
}

/// Empty mass per litre of water volume where the file does not give it, kg/L
/// (common practice, no source).
fn mass_per_litre(material: Material) -> f64 {
    match material {
        Material::Steel => 1.2,
        Material::Aluminium => 1.3,
        Material::Composite => 0.6,
    }
}

/// Water volume of a vessel, with ordinary air for a nominal content.
///
/// **Errors** a pressure beyond what the gas equation knows.
pub fn volume_of(vessel: &station::Vessel) -> Result<Volume, GasError> {
    water_volume(&Gas::new(Composition::dry_air()), vessel)
}

/// Water volume of a vessel; a nominal content is free air at 21.1 °C and 1 atm
/// held at service pressure, real gas.
pub fn water_volume(gas: &Gas, vessel: &station::Vessel) -> Result<Volume, GasError> {
    match vessel.capacity {
        Capacity::Water(volume) => Ok(volume),
        Capacity::FreeAir(free) => {
            let t_k = US_REFERENCE_C + 273.15;
            let held = gas.state_p_t(vessel.working_pressure.value.as_pascal() + 101_325.0, t_k)?;
            let outside = gas.state_p_t(101_325.0, t_k)?;
            Ok(Volume::cubic_metre(
                free.as_cubic_metre() * outside.rho / held.rho,
            ))
        }
    }
}

/// The temperature (°C) at which this vessel's rating holds: 21.1 where it is
/// stamped in psi, else 15.
pub(crate) fn reference_c(vessel: &station::Vessel) -> f64 {
    if vessel.working_pressure.unit.symbol == "psi" {
        US_REFERENCE_C
    } else {
        15.0
    }
}

/// The empty mass, as given or estimated, and whether it was estimated.
pub(crate) fn empty_mass(vessel: &station::Vessel, water: Volume) -> (Mass, bool) {
    match vessel.mass {
        Some(mass) => (mass, false),
        None => (
            Mass::kilogram(mass_per_litre(vessel.material) * water.as_litre()),
            true,
        ),
    }
}

/// A pressurised space of the tower's housing.
pub(super) struct TowerPart {
    /// What it is called.
    pub name: &'static str,
    /// Its whole gas space, m³.
    pub volume_m3: f64,
    /// The part of it that is purifier, m³.
    pub purifier_m3: f64,
    /// Its share of the housing's metal.
    pub share: f64,
}

/// Heat films of every vessel, as specified.
#[derive(Debug, Clone)]
pub(super) struct Films {
    tower_inside: FillingFilm,
    tower_outside: OuterFilm,
    /// Per cylinder: inside and outside.
    cylinders: Vec<(FillingFilm, OuterFilm)>,
}

impl Films {
    pub fn prepare(
        gas: &Gas,
        station: &Station,
        cylinders: &[CylinderSpec],
        ambient_k: f64,
        water_bath: bool,
    ) -> Result<Films, ForecastError> {
        let tower_m3 = station.separator.volume.si() + station.purifier.volume.si();
        let shape = VesselShape::cylinder(tower_m3, SLENDERNESS, TOWER_INLET_M);
        let medium = if water_bath {
            Medium::Water
        } else {
            Medium::Air
        };
        let outside = |shape: VesselShape, medium| {
            let height = SLENDERNESS * shape.diameter_m;
            OuterFilm::natural(medium, shape.area_m2, height, ambient_k, 1.0)
        };
        let one = |spec: &CylinderSpec| -> Result<_, ForecastError> {
            let shape = VesselShape::cylinder(spec.water.si(), SLENDERNESS, CYLINDER_INLET_M);
            Ok((FillingFilm::prepare(gas, shape)?, outside(shape, medium)?))
        };
        Ok(Films {
            tower_inside: FillingFilm::prepare(gas, shape)?,
            tower_outside: outside(shape, Medium::Air)?,
            cylinders: cylinders.iter().map(one).collect::<Result<_, _>>()?,
        })
    }

    /// A part of the tower's housing. The beads of a purifier bed have so much
    /// surface that gas, bed and wall share one temperature within seconds.
    pub fn tower(&self, station: &Station, part: &TowerPart, ambient_k: f64, heat: f64) -> Vessel {
        let tower = &station.tower;
        let metal = tower.wall_mass.as_kilogram() * specific_heat(tower.material);
        let beds: f64 = station
            .purifier
            .beds
            .iter()
            .map(|bed| bed.mass.as_kilogram())
            .sum();
        let inside = if part.purifier_m3 > 0.0 {
            GasFilm::Constant(heat * BED_SURFACE * BED_FILM * part.purifier_m3)
        } else {
            GasFilm::Filling(self.tower_inside.scaled(part.share * heat))
        };
        let bed_share = if part.purifier_m3 > 0.0 { 1.0 } else { 0.0 };
        let thermal = Thermal::Walled {
            capacity_j_k: part.share * metal + bed_share * beds * BED_HEAT,
            inside,
            outside: self.tower_outside.scaled(part.share * heat),
        };
        Vessel {
            name: part.name.into(),
            volume_m3: part.volume_m3,
            surroundings_k: ambient_k,
            thermal,
        }
    }

    /// The line with its whips.
    pub fn line(volume_m3: f64, ambient_k: f64, heat: f64) -> Vessel {
        let area_m2 = 4.0 * volume_m3 / HOSE_BORE_M;
        let thermal = Thermal::Walled {
            capacity_j_k: HOSE_CAPACITY * area_m2,
            inside: GasFilm::Constant(heat * HOSE_FILM * area_m2),
            outside: OuterFilm::Constant(heat * 10.0 * 2.0 * area_m2),
        };
        Vessel {
            name: "line".into(),
            volume_m3,
            surroundings_k: ambient_k,
            thermal,
        }
    }

    /// One cylinder.
    pub fn cylinder(
        &self,
        index: usize,
        spec: &CylinderSpec,
        volume_factor: f64,
        ambient_k: f64,
        heat: f64,
    ) -> Vessel {
        let (inside, outside) = &self.cylinders[index];
        let thermal = Thermal::Walled {
            capacity_j_k: spec.mass.as_kilogram() * specific_heat(spec.material),
            inside: GasFilm::Filling(inside.scaled(heat)),
            outside: outside.scaled(heat),
        };
        let volume_m3 = spec.water.si() * volume_factor;
        Vessel {
            name: spec.id.clone(),
            volume_m3,
            surroundings_k: ambient_k,
            thermal,
        }
    }
}
