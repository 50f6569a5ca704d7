//! What the compressor delivers, from whatever the owner knows of it.
//!
//! Swept volumes are taken from the file or solved for; a charging rate is
//! reproduced by simulating the very test that defines it. Worn rings and
//! leaking stage valves act here; other faults are in [`super::faults`].

use super::vessels::{CylinderSpec, Films};
use super::{Prepared, Variation};
use crate::fault::Fault;
use crate::forecast::request::ForecastError;
use physics::curve::Curve;
use physics::gas::Isotherm;
use physics::machine::{Arriving, Delivery, MachineError, Sizing, Stage, Train, sized_for};
use physics::sim::{Control, Outcome, Sim, Watch};
use quantity::Quantity as _;
use quantity::{AbsolutePressure, GaugePressure, Mass, Volume};
use station::{DeliveryPoint, Material, Output};
use std::sync::Arc;

/// Highest pressure for which delivery is prepared, Pa absolute.
const HIGHEST_PA: f64 = 490e5;
/// The cylinder of the charging-rate test: 10 L, steel, filled from 0 to 200 bar
/// (common practice, no source).
const TEST_LITRES: f64 = 10.0;
const TEST_BAR: f64 = 200.0;
const TEST_MASS_KG: f64 = 12.0;

/// A delivery that stands in while the real one is prepared: nothing flows.
pub(super) fn nothing_yet(
    arriving: &Arc<Isotherm>,
    atmosphere_pa: f64,
) -> Result<Delivery, ForecastError> {
    let flow = Curve::monotone(&[(atmosphere_pa, 0.0), (HIGHEST_PA, 0.0)])?;
    Ok(Delivery::of_curve(flow, Arriving::at_one(arriving.clone())))
}

/// The station's delivery at today's intake temperature, faults included.
pub(super) fn delivery(prepared: &Prepared) -> Result<Delivery, ForecastError> {
    let station = prepared.station;
    let rated = Rated::of(prepared)?;
    let (train, scale) = rated_train(prepared, &rated)?;
    let today = at_temperature(prepared, &train, prepared.ambient_k)?;
    let of_stages = tabulated(prepared, &with_faults(today, &prepared.faults))?.scaled(scale);
    let delivery = match &station.compressor.output {
        Output::Delivery(points) => measured(prepared, &rated, points)?.with_stages_of(&of_stages),
        _ => of_stages,
    };
    let worn: f64 = prepared
        .faults
        .iter()
        .map(|fault| {
            if let Fault::WornRings(lost) = fault {
                lost.as_ratio()
            } else {
                0.0
            }
        })
        .sum();
    Ok(delivery.losing(
        worn.min(1.0),
        prepared.absolute(station.compressor.working_pressure),
    ))
}

/// The train that the file describes or implies, and the factor on its flow
/// that a charging rate asks for.
fn rated_train(prepared: &Prepared, rated: &Rated) -> Result<(Train, f64), ForecastError> {
    match &prepared.station.compressor.output {
        Output::Stages(_) => Ok((stated_train(prepared)?, 1.0)),
        Output::FreeAirDelivery(rate) => Ok((rated.train(prepared, rate.si() * rated.rho)?, 1.0)),
        Output::ChargingRate(rate) => {
            let train = rated.train(prepared, rate.si() * rated.rho)?;
            let scale = charging_scale(prepared, &train, rate.si())?;
            Ok((train, scale))
        }
        Output::Delivery(points) => {
            let last = points.last().map_or(0.0, |point| point.free_air.si());
            Ok((rated.train(prepared, last * rated.rho)?, 1.0))
        }
    }
}

/// The measured delivery, at today's intake temperature.
fn measured(
    prepared: &Prepared,
    rated: &Rated,
    points: &[DeliveryPoint],
) -> Result<Delivery, ForecastError> {
    let rho = rated.rho * rated.t_k / prepared.ambient_k;
    let leaking: f64 = stage_factor(&prepared.faults, prepared.station.compressor.stage_count)
        .iter()
        .product();
    let flow: Vec<(f64, f64)> = points
        .iter()
        .map(|point| {
            (
                prepared.absolute(point.at),
                point.free_air.si() * rho * leaking,
            )
        })
        .collect();
    let arriving = Arriving::at_one(prepared.arriving[0].clone());
    Ok(Delivery::of_curve(Curve::monotone(&flow)?, arriving))
}

/// The intake at which the file's figures hold.
struct Rated {
    t_k: f64,
    rho: f64,
}

impl Rated {
    fn of(prepared: &Prepared) -> Result<Rated, ForecastError> {
        let t_k = prepared.station.intake.temperature.as_kelvin();
        let rho = prepared.gas.state_p_t(prepared.atmosphere_pa, t_k)?.rho;
        Ok(Rated { t_k, rho })
    }

    /// A train that delivers `mass` kg/s at working pressure.
    fn train(&self, prepared: &Prepared, mass: f64) -> Result<Train, ForecastError> {
        let compressor = &prepared.station.compressor;
        let sizing = Sizing {
            stages: compressor.stage_count as u32,
            mass,
            intake_pa: prepared.atmosphere_pa,
            working_pa: prepared.absolute(compressor.working_pressure),
            intake_k: self.t_k,
            cooled_k: self.t_k + compressor.cooler_approach.as_kelvin(),
            clearance: compressor.clearance.as_ratio(),
            n: compressor.polytropic_exponent,
        };
        Ok(sized_for(&prepared.gas, sizing)?)
    }
}

/// The train whose cylinders the file describes.
fn stated_train(prepared: &Prepared) -> Result<Train, ForecastError> {
    let compressor = &prepared.station.compressor;
    let Output::Stages(stages) = &compressor.output else {
        return Err(MachineError::NoStages.into());
    };
    let speed = compressor.speed.ok_or_else(|| ForecastError::Unfit {
        what: "stages are described by their swept volume, but the speed is missing".into(),
        remedy: "Write `speed = \"1450 rpm\"` (your machine's) in [compressor]".into(),
    })?;
    let intake_k = prepared.station.intake.temperature.as_kelvin();
    let mut train = Vec::new();
    let mut suction_k = intake_k;
    for stage in stages {
        train.push(Stage {
            displacement: stage.swept_volume.si() * speed.si(),
            clearance: stage.clearance.as_ratio(),
            n: stage.polytropic_exponent,
            intake_factor: 1.0,
            suction: Arc::new(prepared.gas.isotherm(suction_k)?),
        });
        suction_k = intake_k + stage.cooler_approach.as_kelvin();
    }
    let r_specific = prepared.gas.composition().specific_gas_constant();
    Ok(Train {
        stages: train,
        r_specific,
    })
}

/// The same cylinders drawing air at another temperature.
fn at_temperature(prepared: &Prepared, train: &Train, t_k: f64) -> Result<Train, ForecastError> {
    let rated_k = prepared.station.intake.temperature.as_kelvin();
    let mut moved = train.clone();
    let mut known: Vec<(f64, Arc<Isotherm>)> = Vec::new();
    for stage in &mut moved.stages {
        let wanted = stage.suction.t_k() - rated_k + t_k;
        let found = known.iter().find(|(t, _)| (t - wanted).abs() < 1e-9);
        stage.suction = match found {
            Some((_, isotherm)) => isotherm.clone(),
            None => {
                let isotherm = Arc::new(prepared.gas.isotherm(wanted)?);
                known.push((wanted, isotherm.clone()));
                isotherm
            }
        };
    }
    Ok(moved)
}

fn with_faults(mut train: Train, faults: &[Fault]) -> Train {
    let factors = stage_factor(faults, train.stages.len());
    for (stage, factor) in train.stages.iter_mut().zip(factors) {
        stage.intake_factor *= factor;
    }
    train
}

/// Share of its intake that each stage keeps when its valves leak back.
fn stage_factor(faults: &[Fault], stages: usize) -> Vec<f64> {
    let mut factors = vec![1.0; stages];
    for fault in faults {
        let Fault::StageValveLeak(stage, lost) = fault else {
            continue;
        };
        if let Some(factor) = stage.checked_sub(1).and_then(|i| factors.get_mut(i)) {
            *factor *= 1.0 - lost.as_ratio();
        }
    }
    factors
}

fn tabulated(prepared: &Prepared, train: &Train) -> Result<Delivery, ForecastError> {
    let arriving = Arriving::at_one(prepared.arriving[0].clone());
    Ok(Delivery::of_train(
        train,
        prepared.atmosphere_pa,
        HIGHEST_PA,
        arriving,
    )?)
}

/// The factor by which a train sized for the nominal rate must deliver more or
/// less so that the simulated test takes its nominal time: litres × bar ÷ rate.
fn charging_scale(
    prepared: &Prepared,
    train: &Train,
    rate_m3_s: f64,
) -> Result<f64, ForecastError> {
    let station = prepared.station;
    let end = GaugePressure::bar(TEST_BAR.min(station.compressor.working_pressure.as_bar()));
    let wanted_s = TEST_LITRES * 1e-3 * end.as_bar() / rate_m3_s;
    let spec = CylinderSpec {
        id: "test cylinder".into(),
        kind: "test cylinder".into(),
        water: Volume::litre(TEST_LITRES),
        rated: end,
        rated_text: String::new(),
        reference_c: 15.0,
        material: Material::Steel,
        mass: Mass::kilogram(TEST_MASS_KG),
        start: GaugePressure::bar(0.0),
        stop: end,
    };
    let rated_k = station.intake.temperature.as_kelvin();
    let cylinders = vec![spec];
    let films = Films::prepare(&prepared.gas, station, &cylinders, rated_k, false)?;
    let opens = station
        .pmv
        .as_ref()
        .map_or(GaugePressure::bar(0.0), |pmv| pmv.opens);
    let mut test = Prepared {
        films,
        cylinders,
        ambient_k: rated_k,
        arriving_k: rated_k + station.compressor.cooler_approach.as_kelvin(),
        tower_start: opens,
        line_start: GaugePressure::bar(0.0),
        faults: Vec::new(),
        hands_on: false,
        delivery: tabulated(prepared, train)?,
        ..prepared.clone()
    };
    let unscaled = test.delivery.clone();
    let mut scale = 1.0;
    for _ in 0..3 {
        test.delivery = unscaled.scaled(scale);
        let Some(took_s) = filling_time(&test)? else {
            return Err(MachineError::CannotReach {
                stages: train.stages.len(),
                p_pa: end
                    .above(AbsolutePressure::pascal(prepared.atmosphere_pa))
                    .as_pascal(),
            }
            .into());
        };
        scale *= took_s / wanted_s;
    }
    Ok(scale)
}

/// Seconds from the start to the test cylinder's stop pressure.
fn filling_time(test: &Prepared) -> Result<Option<f64>, ForecastError> {
    let assembly = test.assembly(&Variation::NONE)?;
    let mut sim = Sim::new(&assembly.plant, &test.gas, &assembly.starts)?;
    for fill in &assembly.places.fills {
        sim.control(Control::Hand {
            valve: *fill,
            opening: 1.0,
        });
    }
    sim.control(Control::Compressor(true));
    let watch = Watch {
        vessel: assembly.places.cylinders[0],
        threshold_pa: test.absolute(test.cylinders[0].stop),
        rising: true,
    };
    Ok(match sim.advance(1e6, &[watch]) {
        Outcome::Watched(_) => Some(sim.t_s()),
        Outcome::Reached | Outcome::Stopped(_) => None,
    })
}
