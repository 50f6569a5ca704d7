//! The forecast of a run that has been: same cylinders, same pressures, same air.
//!
//! Not here: the comparison with what was measured ([`crate::drift`]).

use super::job::{Job, unfit};
use super::operate;
use super::request::{CylinderStart, ForecastError, Request};
use crate::assemble::{Prepared, Variation};
use crate::logged::{LoggedFill, LoggedRun};
use quantity::{GaugePressure, Typed};
use station::{Capacity, CylinderKind, Material, Station, Vessel};

/// What the station should have taken for a recorded run.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Recorded {
    /// Time with the machine running, s.
    pub ran_s: f64,
    /// Air delivered, kg.
    pub delivered_kg: f64,
    /// What was taken for granted.
    pub assumed: Vec<String>,
}

/// Runs the station through a recorded run as its file describes it.
///
/// **Errors** a run without fills, a fill that ends no higher than it began, or that the
/// simulation does not reach.
pub(crate) fn recorded(station: &Station, run: &LoggedRun) -> Result<Recorded, ForecastError> {
    if run.fills.is_empty() {
        return Err(unfit(
            format!("run {} has no fill to compare", run.name),
            "Write down which cylinders were filled, from which pressure to which",
        ));
    }
    let mut as_it_was = station.clone();
    // what has been is not refused again
    as_it_was.intake.place = None;
    as_it_was.cylinders.clear();
    as_it_was.cylinder_kinds = kinds(&run.fills)?;
    let request = Request {
        cylinders: run
            .fills
            .iter()
            .enumerate()
            .map(|(i, fill)| CylinderStart {
                id: name(i),
                start: Some(fill.from),
            })
            .collect(),
        intake_temperature: run.intake_temperature,
        tower: run.tower_start,
        members: 0,
        ..Request::default()
    };
    let mut job = Job::of(&as_it_was, &request)?;
    for (spec, fill) in job.cylinders.iter_mut().zip(&run.fills) {
        spec.stop = fill.to;
    }
    let prepared = Prepared::new(&as_it_was, &job.conditions, job.cylinders.clone())?;
    let done = operate::run(&prepared, &job, &Variation::NONE)?;
    if done.full.iter().any(Option::is_none) {
        return Err(unfit(
            format!(
                "the station as described does not get through run {}: {}",
                run.name, done.stopped_because
            ),
            "Check the pressures written down, and the station file",
        ));
    }
    Ok(Recorded {
        ran_s: done.running.iter().map(|(from, to)| to - from).sum(),
        delivered_kg: done.balance.mass_in_kg,
        assumed: job
            .assumed
            .iter()
            .map(|a| format!("{}: {}", a.what, a.why))
            .collect(),
    })
}

fn name(i: usize) -> String {
    format!("cylinder {}", i + 1)
}

/// The recorded cylinders as kinds of their own, rated alike: what hung on one line is known to
/// have been filled.
fn kinds(fills: &[LoggedFill]) -> Result<Vec<CylinderKind>, ForecastError> {
    let highest = fills.iter().map(|f| f.to.as_bar()).fold(1.0, f64::max);
    let Ok(rated) = quantity::parse::<GaugePressure>(&format!("{highest:.3} bar")) else {
        return Err(unfit(
            format!("a cylinder filled to {highest} bar makes no sense"),
            "Correct the pressures written down",
        ));
    };
    let kind = |(i, fill): (usize, &LoggedFill)| -> Result<CylinderKind, ForecastError> {
        if fill.to.as_bar() <= fill.from.as_bar() + 0.5 {
            return Err(unfit(
                format!(
                    "{} was filled from {:.0} to {:.0} bar: there is nothing to compare",
                    fill.id,
                    fill.from.as_bar(),
                    fill.to.as_bar()
                ),
                "Correct the pressures, or leave the fill out",
            ));
        }
        Ok(CylinderKind {
            id: name(i),
            vessel: vessel(fill, rated),
        })
    };
    fills.iter().enumerate().map(kind).collect()
}

fn vessel(fill: &LoggedFill, rated: Typed<GaugePressure>) -> Vessel {
    Vessel {
        capacity: Capacity::Water(fill.water_volume),
        working_pressure: rated,
        test_pressure: None,
        material: Material::Steel,
        mass: None,
    }
}
