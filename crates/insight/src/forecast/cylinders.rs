//! The cylinders of a job: which, from which pressure, to which, in which groups.
//!
//! Refusals that concern cylinders are made here. Not here: the rest of a job
//! (see [`super::job`]).

use super::answer::Assumption;
use super::job::{assume, shown, unfit};
use super::request::{CylinderStart, ForecastError, Request};
use crate::assemble::{CylinderSpec, empty_mass, reference_c, water_volume};
use physics::gas::{Composition, Gas};
use quantity::{GaugePressure, Typed};
use station::{CylinderKind, Station};

/// Two ratings on one line may differ by this much before the job is refused, bar.
const SAME_RATING_BAR: f64 = 1.0;

/// The cylinders asked for; the station's first where none are.
pub(super) fn wanted(
    station: &Station,
    request: &Request,
    assumed: &mut Vec<Assumption>,
) -> Result<Vec<CylinderStart>, ForecastError> {
    if !request.cylinders.is_empty() {
        return Ok(request.cylinders.clone());
    }
    let first = station.cylinders.first().map(|c| c.id.clone());
    let Some(id) = first.or_else(|| station.cylinder_kinds.first().map(|k| k.id.clone())) else {
        return Err(unfit(
            "the station file names no cylinder to fill",
            "Add a [[cylinder_kind]] with its water_volume and working_pressure",
        ));
    };
    assume(
        assumed,
        format!("cylinder {id}"),
        "none was named: the station's first is taken",
    );
    Ok(vec![CylinderStart { id, start: None }])
}

fn kind_of<'s>(station: &'s Station, id: &str) -> Option<&'s CylinderKind> {
    let kind = station
        .cylinders
        .iter()
        .find(|c| c.id == id)
        .map_or(id, |c| c.kind.as_str());
    station.cylinder_kinds.iter().find(|k| k.id == kind)
}

fn unknown_cylinder(station: &Station, id: &str) -> ForecastError {
    let names: Vec<&str> = station
        .cylinders
        .iter()
        .map(|c| c.id.as_str())
        .chain(station.cylinder_kinds.iter().map(|k| k.id.as_str()))
        .collect();
    let likeness = |name: &&&str| strsim::jaro_winkler(&id.to_lowercase(), &name.to_lowercase());
    let near = names
        .iter()
        .max_by(|a, b| likeness(a).total_cmp(&likeness(b)));
    let remedy = match near.filter(|name| likeness(name) > 0.75) {
        Some(name) => format!("Did you mean `{name}`? The file has: {}", names.join(", ")),
        None => format!("The file has: {}", names.join(", ")),
    };
    unfit(
        format!("the station file has no cylinder or kind called `{id}`"),
        remedy,
    )
}

pub(super) fn specs(
    station: &Station,
    request: &Request,
    wanted: &[CylinderStart],
    assumed: &mut Vec<Assumption>,
) -> Result<Vec<CylinderSpec>, ForecastError> {
    let gas = Gas::new(Composition::dry_air());
    let mut specs: Vec<CylinderSpec> = Vec::new();
    for want in wanted {
        let kind = kind_of(station, &want.id).ok_or_else(|| unknown_cylinder(station, &want.id))?;
        let water = water_volume(&gas, &kind.vessel)?;
        let (mass, estimated) = empty_mass(&kind.vessel, water);
        if estimated {
            let what = format!("{}: empty mass {:.1} kg", want.id, mass.as_kilogram());
            assume(
                assumed,
                what,
                "from its size and material (common practice, no source)",
            );
        }
        let repeats = specs
            .iter()
            .filter(|s| s.id == want.id || s.id.starts_with(&format!("{} #", want.id)));
        let id = match repeats.count() {
            0 => want.id.clone(),
            n => format!("{} #{}", want.id, n + 1),
        };
        let rated = kind.vessel.working_pressure;
        let start = start_pressure(station, want, rated, assumed);
        let stop = stop_pressure(station, request, &id, rated, assumed)?;
        if start.as_bar() >= stop.as_bar() - 0.5 {
            return Err(unfit(
                format!("{id} already holds {}", shown(station, start)),
                format!(
                    "Filling would stop at {}: start lower, or leave it out",
                    shown(station, stop)
                ),
            ));
        }
        if start.as_bar() < 0.0 {
            return Err(unfit(
                format!("{id} cannot start below 0 on the gauge"),
                "Give the pressure its gauge shows before filling",
            ));
        }
        specs.push(CylinderSpec {
            id,
            kind: kind.id.clone(),
            water,
            rated: rated.value,
            rated_text: rated.to_string(),
            reference_c: reference_c(&kind.vessel),
            material: kind.vessel.material,
            mass,
            start,
            stop,
        });
    }
    Ok(specs)
}

fn start_pressure(
    station: &Station,
    want: &CylinderStart,
    rated: Typed<GaugePressure>,
    assumed: &mut Vec<Assumption>,
) -> GaugePressure {
    let known = station
        .now
        .cylinders
        .iter()
        .find(|(id, _)| *id == want.id)
        .map(|(_, p)| *p);
    want.start.or(known).unwrap_or_else(|| {
        // By the cylinder's stamp, not by the units of whoever reads: the run is the same for all.
        let start = match rated.unit.symbol {
            "psi" => GaugePressure::psi(500.0),
            _ => GaugePressure::bar(50.0),
        };
        let what = format!("{} starts at {}", want.id, shown(station, start));
        assume(
            assumed,
            what,
            "its pressure was not given: write it as ID@PRESSURE",
        );
        start
    })
}

fn stop_pressure(
    station: &Station,
    request: &Request,
    id: &str,
    rated: Typed<GaugePressure>,
    assumed: &mut Vec<Assumption>,
) -> Result<GaugePressure, ForecastError> {
    let working = station.compressor.working_pressure;
    if let Some(stop) = request.stop_at {
        let within = stop.as_bar() <= rated.value.as_bar() + 0.05;
        if !within {
            return Err(ForecastError::Refused {
                why: format!(
                    "{} is above the rating of {id}, {rated}",
                    shown(station, stop)
                ),
                way_forward: format!(
                    "Stop at {rated} on the gauge at most, let it cool, and top up to {rated}"
                ),
            });
        }
        return Ok(stop);
    }
    if rated.value.as_bar() > working.as_bar() {
        let what = format!("{id}: filling stops at {}", shown(station, working));
        assume(
            assumed,
            what,
            format!("the compressor goes no higher; the cylinder is rated {rated}"),
        );
        return Ok(working);
    }
    Ok(rated.value)
}

/// Cylinders filled together: as many as there are whips, all of one rating.
pub(super) fn groups(
    station: &Station,
    specs: &[CylinderSpec],
) -> Result<Vec<Vec<usize>>, ForecastError> {
    let whips = station.whip.count.max(1);
    let all: Vec<usize> = (0..specs.len()).collect();
    let groups: Vec<Vec<usize>> = all.chunks(whips).map(<[usize]>::to_vec).collect();
    for group in &groups {
        let ratings = || group.iter().map(|i| &specs[*i]);
        let low = ratings().min_by(|a, b| a.rated.as_bar().total_cmp(&b.rated.as_bar()));
        let high = ratings().max_by(|a, b| a.rated.as_bar().total_cmp(&b.rated.as_bar()));
        if let (Some(low), Some(high)) = (low, high)
            && high.rated.as_bar() - low.rated.as_bar() > SAME_RATING_BAR
        {
            return Err(ForecastError::Refused {
                why: format!(
                    "{} (rated {}) and {} (rated {}) would hang on one line: the lower rating \
                     governs everything connected",
                    low.id, low.rated_text, high.id, high.rated_text
                ),
                way_forward: "Fill them one after the other, or give the lower one a line of its \
                              own with a regulator and relief valve"
                    .into(),
            });
        }
    }
    Ok(groups)
}
