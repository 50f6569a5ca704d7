//! A station's model turned into a plant that can be run.
//!
//! Start at [`Prepared::new`]: everything that all members of an ensemble
//! share (gas table, films, delivery). [`Prepared::assembly`] then makes the
//! plant of one member. Figures that no station file gives (discharge
//! coefficients, film areas) are constants here, each with its reason.

mod air_path;
mod compressor;
mod faults;
mod hoses;
mod vessels;

use crate::fault::Fault;
use crate::forecast::request::ForecastError;
use physics::gas::{Composition, Gas, GasTable, Isotherm};
use physics::machine::{Arriving, Delivery};
use physics::sim::{Plant, Start};
use quantity::{GaugePressure, Temperature};
use station::Station;
use std::sync::Arc;
use vessels::Films;

pub use vessels::{CylinderSpec, volume_of, water_volume};
pub(crate) use vessels::{empty_mass, reference_c};

/// How one member of an ensemble differs from the station as specified.
/// Factors are one and differences zero for the station itself.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Variation {
    /// Factor on the air delivered.
    pub delivery: f64,
    /// Factor on both PMV settings.
    pub pmv: f64,
    /// Factor on both relief settings.
    pub relief: f64,
    /// Factor on the burst pressure.
    pub disc: f64,
    /// Factor on the tower's and the line's volume.
    pub tower_volume: f64,
    /// Factor on the cylinders' volumes.
    pub cylinder_volume: f64,
    /// Factor on every heat film.
    pub heat: f64,
    /// Difference of the intake's temperature, K.
    pub intake_k: f64,
    /// Difference of the tower's pressure at the start, Pa.
    pub tower_start_pa: f64,
    /// Difference of the cylinders' pressures at the start, Pa.
    pub cylinder_start_pa: f64,
}

impl Variation {
    /// The station as specified.
    pub const NONE: Variation = Variation {
        delivery: 1.0,
        pmv: 1.0,
        relief: 1.0,
        disc: 1.0,
        tower_volume: 1.0,
        cylinder_volume: 1.0,
        heat: 1.0,
        intake_k: 0.0,
        tower_start_pa: 0.0,
        cylinder_start_pa: 0.0,
    };
}

/// What all members share.
#[derive(Debug, Clone)]
pub struct Prepared<'s> {
    station: &'s Station,
    /// The gas equation.
    pub gas: Gas,
    table: Arc<GasTable>,
    /// Atmospheric pressure, Pa.
    pub atmosphere_pa: f64,
    /// Air temperature at the intake and around the vessels, K.
    pub ambient_k: f64,
    delivery: Delivery,
    /// Isotherms some kelvin below and above the temperature at which air arrives.
    arriving: [Arc<Isotherm>; 2],
    arriving_k: f64,
    films: Films,
    /// The cylinders, in the order they are filled.
    pub cylinders: Vec<CylinderSpec>,
    /// The tower's pressure at the start.
    pub tower_start: GaugePressure,
    line_start: GaugePressure,
    /// What is wrong.
    pub faults: Vec<Fault>,
    /// Runs as if no PMV were fitted: the comparison's other side.
    pub pmv_removed: bool,
    /// Every part a hand can work at is there by itself: each hose with its valves and its end, the
    /// drain, the purifier behind its bed. A forecast's operator needs none of that.
    pub hands_on: bool,
}

/// A plant ready to run, and where to find things in it.
#[derive(Debug, Clone)]
pub struct Assembly {
    /// The plant.
    pub plant: Plant,
    /// Its initial state.
    pub starts: Vec<Start>,
    /// Where things are.
    pub places: Places,
}

/// Indices into an assembled plant.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Places {
    /// The vessel the tower gauge reads.
    pub tower: usize,
    /// The vessel that is, or holds, the separator.
    pub separator: usize,
    /// The vessel that is, or holds, the purifier.
    pub purifier: usize,
    /// The vessel the compressor delivers into.
    pub first: usize,
    /// The vessel the whips hang on.
    pub line: usize,
    /// Each cylinder's vessel.
    pub cylinders: Vec<usize>,
    /// Each cylinder's fill valve, among the hand valves.
    pub fills: Vec<usize>,
    /// The whip's bleed, among the hand valves.
    pub bleed: usize,
    /// The PMV, among the valves.
    pub pmv: Option<usize>,
    /// The final relief valve, among the valves.
    pub relief: Option<usize>,
    /// The tower vent, among the hand valves.
    pub vent: Option<usize>,
    /// The drain, among the hand valves: only where [`Prepared::hands_on`].
    pub drain: Option<usize>,
    /// The hoses one by one: only where [`Prepared::hands_on`].
    pub hoses: Vec<Hose>,
}

/// A hose that is worked by hand: its vessel, the rest among the hand valves.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Hose {
    /// Its own space.
    pub vessel: usize,
    /// On the panel, before it.
    pub fill: usize,
    /// Lets it out.
    pub bleed: usize,
    /// Its free end, where no cylinder is on it.
    pub end: usize,
    /// On the cylinder.
    pub valve: usize,
}

/// What a run is prepared for.
#[derive(Debug, Clone)]
pub struct Conditions {
    /// Air temperature at the intake and around the vessels.
    pub ambient: Temperature,
    /// Tower gauge at the start.
    pub tower: GaugePressure,
    /// Gauge pressure in the line at the start.
    pub line: GaugePressure,
    /// Whether the cylinders stand in water.
    pub water_bath: bool,
    /// What is wrong.
    pub faults: Vec<Fault>,
}

/// Half the distance between the two isotherms of arriving air, K.
const ARRIVING_SPREAD_K: f64 = 5.0;

impl<'s> Prepared<'s> {
    /// Prepares a station for many runs: no cylinder on it yet, the tower where the PMV shuts.
    ///
    /// **Errors** a station that cannot be computed.
    pub fn at_rest(station: &'s Station) -> Result<Prepared<'s>, ForecastError> {
        let nothing = GaugePressure::bar(0.0);
        let conditions = Conditions {
            ambient: station.intake.temperature,
            tower: station.pmv.as_ref().map_or(nothing, |pmv| pmv.closes),
            line: nothing,
            water_bath: false,
            faults: Vec::new(),
        };
        Prepared::new(station, &conditions, Vec::new())
    }

    /// Prepares a station for running under these conditions with these cylinders.
    pub fn new(
        station: &'s Station,
        conditions: &Conditions,
        cylinders: Vec<CylinderSpec>,
    ) -> Result<Prepared<'s>, ForecastError> {
        let gas = Gas::new(Composition::dry_air());
        let table = Arc::new(GasTable::new(&gas)?);
        let atmosphere_pa = station.ambient_pressure.as_pascal();
        let ambient_k = conditions.ambient.as_kelvin();
        let approach = station.compressor.cooler_approach.as_kelvin();
        let arriving_k = ambient_k + approach;
        let arriving = [
            Arc::new(gas.isotherm(arriving_k - ARRIVING_SPREAD_K)?),
            Arc::new(gas.isotherm(arriving_k + ARRIVING_SPREAD_K)?),
        ];
        let films = Films::prepare(&gas, station, &cylinders, ambient_k, conditions.water_bath)?;
        let mut prepared = Prepared {
            station,
            table,
            atmosphere_pa,
            ambient_k,
            delivery: compressor::nothing_yet(&arriving[0], atmosphere_pa)?,
            arriving,
            arriving_k,
            films,
            cylinders,
            tower_start: conditions.tower,
            line_start: conditions.line,
            faults: conditions.faults.clone(),
            pmv_removed: false,
            hands_on: false,
            gas,
        };
        prepared.delivery = compressor::delivery(&prepared)?;
        Ok(prepared)
    }

    /// The same with every part by itself that a hand can work at.
    #[must_use]
    pub fn hands_on(mut self) -> Prepared<'s> {
        self.hands_on = true;
        self
    }

    /// The same machine as in another preparation: its swept volumes do not
    /// depend on what is bolted on behind it.
    #[must_use]
    pub fn with_machine_of(mut self, other: &Prepared) -> Prepared<'s> {
        self.delivery = other.delivery.clone();
        self
    }

    /// The same machine in air of another temperature and with another tower pressure at the
    /// start, for following its water: flow changes with the density of the intake air. Not for
    /// running: films and the heat of arriving air stay as they were.
    #[must_use]
    pub(crate) fn in_air(&self, ambient_k: f64, tower_start: GaugePressure) -> Prepared<'s> {
        let approach = self.station.compressor.cooler_approach.as_kelvin();
        Prepared {
            ambient_k,
            arriving_k: ambient_k + approach,
            delivery: self.delivery.scaled(self.ambient_k / ambient_k),
            tower_start,
            ..self.clone()
        }
    }

    /// The same machine for other cylinders in other air, delivering `delivery` times as much.
    pub(crate) fn for_run(
        &self,
        conditions: &Conditions,
        cylinders: Vec<CylinderSpec>,
        delivery: f64,
    ) -> Result<Prepared<'s>, ForecastError> {
        let ambient_k = conditions.ambient.as_kelvin();
        let same = self.in_air(ambient_k, conditions.tower);
        let around = |k: f64| self.gas.isotherm(same.arriving_k + k).map(Arc::new);
        let films = Films::prepare(
            &self.gas,
            self.station,
            &cylinders,
            ambient_k,
            conditions.water_bath,
        )?;
        Ok(Prepared {
            arriving: [around(-ARRIVING_SPREAD_K)?, around(ARRIVING_SPREAD_K)?],
            films,
            cylinders,
            line_start: conditions.line,
            faults: conditions.faults.clone(),
            delivery: same.delivery.scaled(delivery),
            ..same
        })
    }

    /// The same machine with these things wrong instead.
    ///
    /// **Errors** a machine that cannot be computed with a stage that leaks so much.
    pub(crate) fn ailing(&self, faults: Vec<Fault>) -> Result<Prepared<'s>, ForecastError> {
        let of_stages = |f: &Fault| matches!(f, Fault::StageValveLeak(..) | Fault::WornRings(_));
        let stages = faults.iter().any(of_stages);
        let mut other = Prepared {
            faults,
            ..self.clone()
        };
        if stages {
            other.delivery = compressor::delivery(&other)?;
        }
        Ok(other)
    }

    /// The station this was prepared from.
    pub fn station(&self) -> &'s Station {
        self.station
    }

    /// The plant of one member.
    pub fn assembly(&self, variation: &Variation) -> Result<Assembly, ForecastError> {
        let mut assembly = air_path::build(self, variation)?;
        faults::apply(self, &mut assembly.plant, &mut assembly.places);
        Ok(assembly)
    }

    /// Delivery as one member has it.
    fn delivery_of(&self, variation: &Variation) -> Delivery {
        let ambient = self.ambient_k + variation.intake_k;
        let density = self.ambient_k / ambient;
        let [low, high] = self.arriving.clone();
        let arriving = Arriving::between(low, high, self.arriving_k + variation.intake_k);
        self.delivery
            .scaled(variation.delivery * density)
            .with_arriving(arriving)
    }

    /// Mass flow as specified against this absolute pressure, kg/s.
    pub fn flow(&self, p_pa: f64) -> f64 {
        self.delivery
            .at(p_pa)
            .map_or(0.0, |delivered| delivered.mass)
    }

    /// Absolute pressure in each cooler, the last being that behind the last
    /// stage, Pa. Where stages are not known, only the last.
    pub fn cooler_pa(&self, p_pa: f64) -> Vec<f64> {
        let mut pressures = self.delivery.interstage_pa(p_pa);
        pressures.push(p_pa);
        pressures
    }

    /// What the gauges after each stage but the last show against this absolute
    /// pressure at the compressor's outlet, bar.
    pub fn interstage_bar(&self, p_pa: f64) -> Vec<f64> {
        self.delivery
            .interstage_pa(p_pa)
            .into_iter()
            .map(|p| self.gauge_bar(p))
            .collect()
    }

    /// Temperature at each stage's discharge against this absolute pressure at
    /// the compressor's outlet, °C, by the file's exponent of compression. Empty
    /// where stages are not known.
    pub fn discharge_c(&self, p_pa: f64) -> Vec<f64> {
        let discharges = self.delivery.discharge_k(p_pa).into_iter();
        discharges.map(|t_k| t_k - 273.15).collect()
    }

    /// Absolute pressure of a gauge reading here, Pa.
    pub fn absolute(&self, gauge: GaugePressure) -> f64 {
        gauge.above(self.station.ambient_pressure).as_pascal()
    }

    /// Gauge reading in bar of an absolute pressure here.
    pub fn gauge_bar(&self, p_pa: f64) -> f64 {
        (p_pa - self.atmosphere_pa) / 1e5
    }
}
