//! What a run will do, and how sure that is.
//!
//! Start at [`forecast`]. The run as specified gives events, readings and the
//! curve; an ensemble over the station's tolerances gives the bands.
//! Not here: the physics ([`physics::sim`]), the plant ([`crate::assemble`]).

pub mod answer;
mod band;
mod compare;
mod cylinders;
mod ends;
mod ensemble;
mod job;
mod operate;
pub mod plain;
mod recorded;
pub mod request;
mod run;
mod summary;

pub(crate) use recorded::recorded;

use answer::{Assumption, Forecast};
use physics::sim::Sim;
use quantity::GaugePressure;
use request::{ForecastError, Request};
use station::Station;

use crate::assemble::{Prepared, Variation};
use crate::water::answer::PurifierAnswer;
use crate::water::{Cartridge, Wet, follow, stand};

/// Room temperature below which drying beds are not computed, K.
const COLDEST_BED_K: f64 = 253.15;
/// How often a stop is lowered in frost: each time the gas is a little colder.
const LOWERED_AT_MOST: usize = 3;

/// Forecasts a run of `station` as `request` asks. `progress` is told how many
/// members of the ensemble are done.
///
/// **Errors** a refusal, a request that does not fit the station file, or a
/// station that cannot be computed: each says what to do.
pub fn forecast(
    station: &Station,
    request: &Request,
    progress: &(dyn Fn(usize) + Sync),
) -> Result<Forecast, ForecastError> {
    let mut job = job::Job::of(station, request)?;
    let prepared = Prepared::new(station, &job.conditions, job.cylinders.clone())?;
    let mut specified = operate::run_and_cool(&prepared, &job)?;
    for _ in 0..LOWERED_AT_MOST {
        if !stop_lower_in_frost(&prepared, &mut job, &specified)? {
            break;
        }
        specified = operate::run_and_cool(&prepared, &job)?;
    }
    let (members, wet) = std::thread::scope(|scope| {
        let wet = scope.spawn(|| wet_or_why(station, request, &prepared, &job));
        let members = ensemble::run(&prepared, &job, request, progress);
        (
            members,
            wet.join()
                .unwrap_or_else(|panic| std::panic::resume_unwind(panic)),
        )
    });
    let wet = wet?;
    let members = members.beside(&specified);
    summary::answer(&prepared, &job, &specified, &members, wet)
}

/// In frost the gas at the stop can be colder than the temperature at which the
/// rating holds: filled to the rating it would warm up past it. Such a cylinder
/// is stopped where it settles to its rating. True where `run` shows that a stop
/// had to be lowered: the job is then another than the one run.
fn stop_lower_in_frost(
    prepared: &Prepared,
    job: &mut job::Job,
    run: &run::Run,
) -> Result<bool, ForecastError> {
    let mut lowered = false;
    for (i, spec) in job.cylinders.iter_mut().enumerate() {
        let Some(full) = &run.full[i] else { continue };
        let gas_k = full.vessels[run.places.cylinders[i]].t_k;
        let most = ends::stop_for_rating(prepared, spec, gas_k)?;
        if spec.stop.as_bar() <= most + 0.05 {
            continue;
        }
        spec.stop = GaugePressure::bar(most);
        lowered = true;
        let stopped = format!("{} is stopped", spec.id);
        job.assumed
            .retain(|known| !known.what.starts_with(&stopped));
        job.assumed.push(Assumption {
            what: format!("{stopped} at {most:.0} bar"),
            why: format!(
                "in this cold it would warm up past its rating, {}",
                spec.rated_text
            ),
        });
    }
    Ok(lowered)
}

/// The water's answers; where the moisture model has none, the run is forecast
/// all the same and says why its water is not.
fn wet_or_why(
    station: &Station,
    request: &Request,
    prepared: &Prepared,
    job: &job::Job,
) -> Result<summary::WetAnswers, ForecastError> {
    match wet_answers(station, request, prepared, job) {
        Err(
            why @ (ForecastError::Moist(_) | ForecastError::Water(_) | ForecastError::Purifier(_)),
        ) => Ok(summary::WetAnswers {
            water: None,
            water_missing: Some(why.to_string()),
            purifier: None,
            without_pmv: compare::without_pmv(
                prepared,
                job,
                None,
                &compare::fine_run(prepared, job)?,
            )?,
            pmv_settings: Vec::new(),
            assumed: Vec::new(),
        }),
        other => other,
    }
}

/// The water of the run as specified, its cartridge, and what the PMV earns.
fn wet_answers(
    station: &Station,
    request: &Request,
    prepared: &Prepared,
    job: &job::Job,
) -> Result<summary::WetAnswers, ForecastError> {
    let humidity = request.humidity.unwrap_or(station.intake.humidity);
    let wet = Wet::new(prepared, humidity, request.drain)?;
    let run = compare::fine_run(prepared, job)?;
    let (mut cartridge, mut assumed) = aged_cartridge(station, request, prepared, &wet, &run)?;
    let crept_in = match (&mut cartridge, request.stored) {
        (Some(cartridge), Some(stored)) => stand(prepared, &wet, cartridge, stored)?,
        _ => None,
    };
    let water = follow(prepared, &wet, &compare::followed(&run), cartridge.as_mut())?;
    let answered = cartridge
        .as_ref()
        .map(|cartridge| cartridge.answer(prepared, &wet));
    let purifier = answered.transpose()?.flatten();
    if cartridge.is_some() && purifier.is_none() {
        let what = "no hours are given for the purifier".into();
        assumed.push(Assumption {
            what,
            why: "no air passed it in this run".into(),
        });
    }
    let meter = cartridge
        .as_ref()
        .map_or(1.0, |cartridge| meter(&run, cartridge));
    let purifier = purifier.map(|answer| PurifierAnswer {
        crept_in_g: crept_in,
        ..answer.in_hours_of(meter)
    });
    Ok(summary::WetAnswers {
        without_pmv: compare::without_pmv(prepared, job, Some(&wet), &run)?,
        pmv_settings: compare::pmv_settings(prepared, request, humidity)?,
        water: Some(water),
        water_missing: None,
        purifier,
        assumed,
    })
}

/// Running hours of the machine in an hour in which air passes the cartridge: air passes in bleeds
/// too, and not before the tower is up. People count what the hour meter shows.
fn meter(run: &run::Run, cartridge: &Cartridge) -> f64 {
    let passing_s = cartridge.met().seconds;
    let ran_s = run.running_s();
    if passing_s > 0.0 && ran_s > 0.0 {
        ran_s / passing_s
    } else {
        1.0
    }
}

/// The cartridge as old as it is: it has run its hours at this run's conditions.
fn aged_cartridge(
    station: &Station,
    request: &Request,
    prepared: &Prepared,
    wet: &Wet,
    run: &run::Run,
) -> Result<(Option<Cartridge>, Vec<Assumption>), ForecastError> {
    if prepared.ambient_k < COLDEST_BED_K {
        let what = "the purifier is left out".into();
        let why = "nothing is known of its beds below -20 °C".into();
        return Ok((None, vec![Assumption { what, why }]));
    }
    let Some(mut cartridge) = Cartridge::fresh(station, &request.adsorbents)? else {
        return Ok((None, Vec::new()));
    };
    let since_change = match (station.now.hours, station.purifier.changed_at_hours) {
        (Some(now), Some(then)) => Some(now.as_second() - then.as_second()),
        _ => None,
    };
    let age_s = request
        .cartridge_age
        .map(|age| age.as_second())
        .or(since_change);
    let (what, why) = match age_s {
        Some(age) if age > 0.0 => {
            let mut rehearsal = cartridge.clone();
            follow(prepared, wet, &compare::followed(run), Some(&mut rehearsal))?;
            let passing = age / meter(run, &rehearsal);
            cartridge.aged(wet.moist(), &rehearsal, passing)?;
            let hours = age / 3600.0;
            (
                format!("the cartridge has run {hours:.1} h"),
                "at conditions like today's: its real history is not known",
            )
        }
        Some(_) => ("the cartridge is fresh".into(), "its hours say so"),
        None => (
            "the cartridge is fresh".into(),
            "neither its running hours nor those of the machine are known",
        ),
    };
    Ok((
        Some(cartridge),
        vec![Assumption {
            what,
            why: why.into(),
        }],
    ))
}

/// The station of a request set up and stepped by hand: for benches and tests
/// of the run alone. Gives the simulation's effort.
pub fn run_once(
    station: &Station,
    request: &Request,
) -> Result<physics::sim::rosenbrock::Effort, ForecastError> {
    let job = job::Job::of(station, request)?;
    let prepared = Prepared::new(station, &job.conditions, job.cylinders.clone())?;
    Ok(operate::run(&prepared, &job, &Variation::NONE)?.effort)
}

/// A request made definite, its refusals made, and the station prepared for it; with what was taken
/// for granted. For those who run it otherwise than an operator would.
pub(crate) fn prepared<'s>(
    station: &'s Station,
    request: &Request,
) -> Result<(Prepared<'s>, Vec<Assumption>), ForecastError> {
    let job = job::Job::of(station, request)?;
    let prepared = Prepared::new(station, &job.conditions, job.cylinders)?;
    Ok((prepared, job.assumed))
}

/// Opens the fill valves of a group and starts the machine.
pub(crate) fn begin(sim: &mut Sim, fills: impl Iterator<Item = usize>) {
    use physics::sim::Control;
    for valve in fills {
        sim.control(Control::Hand {
            valve,
            opening: 1.0,
        });
    }
    sim.control(Control::Compressor(true));
}
