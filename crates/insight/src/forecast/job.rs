//! A request made definite: which cylinders, in which groups, from which start.
//!
//! Everything taken for granted on the way is written down. Refusals are made
//! here, before anything is computed. Not here: the run (see [`super::operate`]).

use super::answer::Assumption;
use super::cylinders::{groups, specs, wanted};
use super::request::{ForecastError, Request, Until};
use crate::assemble::{Conditions, CylinderSpec};
use crate::fault::Fault;
use quantity::{GaugePressure, UnitSystem};
use station::{Drive, Place, Station};

/// Longest run that can be asked for, s.
const LONGEST_RUN_S: f64 = 48.0 * 3600.0;
/// Readings kept of all runs together.
const MOST_READINGS: f64 = 2e6;

/// What is going to be done.
#[derive(Debug, Clone)]
pub(super) struct Job {
    pub conditions: Conditions,
    /// In the order they are filled.
    pub cylinders: Vec<CylinderSpec>,
    /// Indices of cylinders filled together, group after group.
    pub groups: Vec<Vec<usize>>,
    pub until: Until,
    pub change_over_s: f64,
    pub sample_every_s: f64,
    pub assumed: Vec<Assumption>,
}

impl Job {
    pub fn of(station: &Station, request: &Request) -> Result<Job, ForecastError> {
        refuse_engine_indoors(station)?;
        let sample_every_s = request.sample_every.as_second();
        if !(1.0..=3600.0).contains(&sample_every_s) {
            return Err(unfit(
                "readings are given every 1 s to 1 h",
                "Choose a time in between",
            ));
        }
        not_too_much(request)?;
        let mut assumed = Vec::new();
        let wanted = wanted(station, request, &mut assumed)?;
        let cylinders = specs(station, request, &wanted, &mut assumed)?;
        let groups = groups(station, &cylinders)?;
        let conditions = conditions(station, request, &mut assumed);
        faults_fit(station, &request.faults)?;
        if conditions.tower.as_bar() < 0.0 {
            return Err(unfit(
                "the tower cannot start below 0 on the gauge",
                "Give what the tower gauge shows before the start",
            ));
        }
        if request.until != Until::Full && groups.len() > 1 {
            return Err(unfit(
                format!(
                    "a run of fixed length fills one set of cylinders, not {}",
                    groups.len()
                ),
                "Name no more cylinders than there are whips, or fill until full",
            ));
        }
        Ok(Job {
            conditions,
            cylinders,
            groups,
            until: request.until,
            change_over_s: request.change_over.as_second().max(0.0),
            sample_every_s,
            assumed,
        })
    }
}

/// Refuses what would fill the memory with readings nobody can read.
fn not_too_much(request: &Request) -> Result<(), ForecastError> {
    let Until::For(time) = request.until else {
        return Ok(());
    };
    if !(1.0..=LONGEST_RUN_S).contains(&time.as_second()) {
        return Err(unfit(
            "a run lasts between 1 s and 48 h",
            "Choose a time in between",
        ));
    }
    let readings = time.as_second() / request.sample_every.as_second();
    let kept = readings * (request.members as f64 + 1.0);
    if kept > MOST_READINGS {
        return Err(unfit(
            format!(
                "{readings:.0} readings of {} runs are more than can be kept",
                request.members
            ),
            "Give readings less often, or fewer members",
        ));
    }
    Ok(())
}

pub(super) fn unfit(what: impl Into<String>, remedy: impl Into<String>) -> ForecastError {
    ForecastError::Unfit {
        what: what.into(),
        remedy: remedy.into(),
    }
}

pub(super) fn assume(
    assumed: &mut Vec<Assumption>,
    what: impl Into<String>,
    why: impl Into<String>,
) {
    assumed.push(Assumption {
        what: what.into(),
        why: why.into(),
    });
}

fn refuse_engine_indoors(station: &Station) -> Result<(), ForecastError> {
    let engine = matches!(
        station.compressor.drive,
        Some(Drive::Petrol | Drive::Diesel)
    );
    if engine && station.intake.place == Some(Place::Indoors) {
        return Err(ForecastError::Refused {
            why: "an engine-driven compressor draws its air indoors: exhaust reaches the intake, \
                  and carbon monoxide kills"
                .into(),
            way_forward: "Run it outdoors with the intake upwind and away from the exhaust, then \
                          correct `place` in [intake]"
                .into(),
        });
    }
    Ok(())
}

/// A pressure in the station's own unit.
pub(super) fn shown(station: &Station, p: GaugePressure) -> String {
    let (number, unit) = match station.units {
        UnitSystem::Metric => (p.as_bar(), "bar"),
        UnitSystem::Us => (p.as_psi(), "psi"),
    };
    format!("{number:.0} {unit}")
}

fn conditions(station: &Station, request: &Request, assumed: &mut Vec<Assumption>) -> Conditions {
    let zero = GaugePressure::bar(0.0);
    let tower = request
        .tower
        .or(station.now.tower)
        .unwrap_or_else(|| match &station.pmv {
            Some(pmv) => {
                let what = format!("tower at {} before the start", shown(station, pmv.closes));
                assume(
                    assumed,
                    what,
                    "not given: the PMV's closing pressure, which it keeps after a stop",
                );
                pmv.closes
            }
            None => {
                assume(
                    assumed,
                    "tower empty before the start",
                    "not given, and no PMV keeps it up",
                );
                zero
            }
        });
    let line = station.now.line.unwrap_or_else(|| {
        assume(assumed, "whip bled to zero before the start", "not given");
        zero
    });
    Conditions {
        ambient: request
            .intake_temperature
            .unwrap_or(station.intake.temperature),
        tower,
        line,
        water_bath: request.water_bath,
        faults: request.faults.clone(),
    }
}

/// Faults of parts that are not fitted cannot be asked for.
fn faults_fit(station: &Station, faults: &[Fault]) -> Result<(), ForecastError> {
    for fault in faults {
        let missing = match fault {
            Fault::PmvStuckOpen
            | Fault::PmvStuckShut
            | Fault::PmvHigh(_)
            | Fault::PmvLow(_)
            | Fault::PmvLeaksBack(_) => station
                .pmv
                .is_none()
                .then_some("pressure maintaining valve"),
            Fault::ReliefHigh(_)
            | Fault::ReliefLow(_)
            | Fault::ReliefWeeps(_)
            | Fault::ReliefStuckShut => station.relief.is_none().then_some("final relief valve"),
            Fault::StageValveLeak(stage, _) if *stage > station.compressor.stage_count => {
                return Err(unfit(
                    format!(
                        "there is no stage {stage}: the compressor has {}",
                        station.compressor.stage_count
                    ),
                    "Name a stage it has, counted from the intake",
                ));
            }
            _ => None,
        };
        if let Some(part) = missing {
            return Err(unfit(
                format!("a fault was given for the {part}, but the station file has none"),
                "Leave the fault out, or describe the part in the station file",
            ));
        }
    }
    Ok(())
}
