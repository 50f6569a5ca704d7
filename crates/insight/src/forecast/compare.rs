//! What the pressure maintaining valve earns: the same run without one, and
//! with other settings.

use super::answer::WithoutPmv;
use super::job::Job;
use super::meter;
use super::operate;
use super::request::{ForecastError, Request};
use super::run::Run;
use crate::assemble::{Prepared, Variation};
use crate::water::answer::PmvSetting;
use crate::water::{Cartridge, Followed, Wet, follow};
use quantity::{Fraction, GaugePressure};

/// Time between the samples of a run whose water is followed, s.
const FOLLOW_EVERY_S: f64 = 5.0;
/// Mass that counts as air having passed into the line, kg.
const PASSED_KG: f64 = 1e-4;

/// A run of a job sampled finely enough to follow its water.
pub(super) fn fine_run(prepared: &Prepared, job: &Job) -> Result<Run, ForecastError> {
    let fine = Job {
        sample_every_s: FOLLOW_EVERY_S,
        ..job.clone()
    };
    operate::run(prepared, &fine, &Variation::NONE)
}

/// A run as the water ledger needs it.
pub(super) fn followed(run: &Run) -> Followed<'_> {
    Followed {
        samples: &run.samples,
        running: &run.running,
        separator: run.places.separator,
        purifier: run.places.purifier,
        first: run.places.first,
    }
}

/// One side of the comparison.
struct Side {
    first_air_s: Option<f64>,
    full_s: Option<f64>,
    lowest_tower_bar: Option<f64>,
    share_below: f64,
    to_purifier_g: Option<f64>,
}

/// Compares the job with and without the PMV. Without one, bleeding the whip
/// after the last run has emptied the tower too.
pub(super) fn without_pmv(
    prepared: &Prepared,
    job: &Job,
    wet: Option<&Wet>,
    with: &Run,
) -> Result<Option<WithoutPmv>, ForecastError> {
    let Some(pmv) = &prepared.station().pmv else {
        return Ok(None);
    };
    let mut removed = prepared.clone();
    removed.pmv_removed = true;
    let without = fine_run(&removed, job)?;
    let opened = with.first("pmv_opened", None);
    let with = side(prepared, wet, with, pmv.opens)?;
    let without = side(&removed, wet, &without, pmv.opens)?;
    Ok(Some(WithoutPmv {
        // the event is exact, the samples are five seconds apart
        first_air_s: (opened.or(with.first_air_s), without.first_air_s),
        full_s: (with.full_s, without.full_s),
        lowest_tower_bar: (with.lowest_tower_bar, without.lowest_tower_bar),
        share_below_opening: (with.share_below, without.share_below),
        to_purifier_g: with.to_purifier_g.zip(without.to_purifier_g),
    }))
}

fn side(
    prepared: &Prepared,
    wet: Option<&Wet>,
    run: &Run,
    opens: GaugePressure,
) -> Result<Side, ForecastError> {
    let opens_pa = prepared.absolute(opens);
    let places = &run.places;
    let beyond = |s: &physics::sim::Snapshot| -> f64 {
        s.vessels[places.line..].iter().map(|v| v.mass_kg).sum()
    };
    let mut side = Side {
        first_air_s: None,
        full_s: last_full(run),
        lowest_tower_bar: None,
        share_below: 0.0,
        to_purifier_g: wet
            .map(|wet| follow(prepared, wet, &followed(run), None))
            .transpose()?
            .map(|water| water.to_purifier_g),
    };
    let (mut passed, mut below) = (0.0, 0.0);
    for pair in run.samples.windows(2) {
        let gained = beyond(&pair[1]) - beyond(&pair[0]);
        if gained <= PASSED_KG {
            continue;
        }
        let tower = pair[1].vessels[places.tower].p_pa;
        side.first_air_s = side.first_air_s.or(Some(pair[0].t_s));
        let tower_bar = prepared.gauge_bar(tower);
        side.lowest_tower_bar = Some(
            side.lowest_tower_bar
                .map_or(tower_bar, |lowest| lowest.min(tower_bar)),
        );
        passed += gained;
        below += if tower < 0.98 * opens_pa { gained } else { 0.0 };
    }
    side.share_below = below / f64::max(passed, f64::MIN_POSITIVE);
    Ok(side)
}

/// When the last cylinder was full; none where one never was.
fn last_full(run: &Run) -> Option<f64> {
    let times: Option<Vec<f64>> = run
        .full
        .iter()
        .map(|full| full.as_ref().map(|s| s.t_s))
        .collect();
    times?.into_iter().max_by(f64::total_cmp)
}

/// The first fill with each of the PMV settings asked for: the closing pressure
/// keeps its ratio to the opening pressure.
pub(super) fn pmv_settings(
    fitted: &Prepared,
    request: &Request,
    humidity: Fraction,
) -> Result<Vec<PmvSetting>, ForecastError> {
    request
        .compare_pmv
        .iter()
        .map(|opens| pmv_setting(fitted, request, humidity, *opens))
        .collect()
}

fn pmv_setting(
    machine: &Prepared,
    request: &Request,
    humidity: Fraction,
    opens: GaugePressure,
) -> Result<PmvSetting, ForecastError> {
    let station = machine.station();
    let working = station.compressor.working_pressure;
    let Some(fitted) = &station.pmv else {
        return Err(unfit(
            "PMV settings were asked for, but the station file has no PMV",
            "Describe [pmv] in the station file",
        ));
    };
    if !(opens.as_bar() > 1.0 && opens.as_bar() < working.as_bar()) {
        return Err(unfit(
            format!(
                "a PMV opening at {:.0} bar makes no sense here",
                opens.as_bar()
            ),
            format!("Choose settings between 1 and {:.0} bar", working.as_bar()),
        ));
    }
    let ratio = fitted.closes.as_bar() / fitted.opens.as_bar();
    let mut other = station.clone();
    if let Some(pmv) = &mut other.pmv {
        pmv.opens = opens;
        pmv.closes = GaugePressure::bar(opens.as_bar() * ratio);
        other.now.tower = Some(pmv.closes);
    }
    let request = Request {
        tower: None,
        compare_pmv: Vec::new(),
        ..request.clone()
    };
    let job = Job::of(&other, &request)?;
    let prepared = Prepared::new(&other, &job.conditions, job.cylinders.clone())?;
    let prepared = prepared.with_machine_of(machine);
    let wet = Wet::new(&prepared, humidity, request.drain)?;
    let run = fine_run(&prepared, &job)?;
    let mut cartridge = Cartridge::fresh(&other, &request.adsorbents)?;
    let water = follow(&prepared, &wet, &followed(&run), cartridge.as_mut())?;
    let cartridge_h = match (&cartridge, Cartridge::fresh(&other, &request.adsorbents)?) {
        (Some(used), Some(fresh)) => {
            let passing = fresh.hours_like(wet.moist(), used)?;
            Some(passing.times(meter(&run, used)))
        }
        _ => None,
    };
    Ok(PmvSetting {
        opens_bar: opens.as_bar(),
        closes_bar: opens.as_bar() * ratio,
        to_purifier_g: water.to_purifier_g,
        below_pmv_g: water.below_pmv_g,
        drain_interval_min: water.drain_interval_min,
        cartridge_h,
        full_s: last_full(&run),
    })
}

fn unfit(what: impl Into<String>, remedy: impl Into<String>) -> ForecastError {
    ForecastError::Unfit {
        what: what.into(),
        remedy: remedy.into(),
    }
}
