//! Runs turned into an answer: events with their bands, readings, ends.
//!
//! Not here: running (see [`super::operate`]), printing.

use super::answer::{
    Assumption, BalanceAnswer, Band, CylinderSample, EffortAnswer, Forecast, ForecastEvent, Sample,
    WithoutPmv,
};
use super::band::{band, band_of};
use super::ends::Ends;
use super::ensemble::Members;
use super::job::Job;
use super::request::ForecastError;
use super::run::{Run, RunEvent};
use crate::assemble::Prepared;
use crate::fault::Fault;
use crate::water::answer::{PmvSetting, PurifierAnswer, WaterAnswer};
use physics::sim::Snapshot;

const ZERO_C: f64 = 273.15;

/// The answer of a forecast.
pub(super) fn answer(
    prepared: &Prepared,
    job: &Job,
    specified: &Run,
    members: &Members,
    wet: WetAnswers,
) -> Result<Forecast, ForecastError> {
    let reader = Reader::of(prepared, specified);
    let runs = &members.runs;
    let one = Ends {
        prepared,
        job,
        reader: &reader,
        specified,
        runs,
    };
    let ends = (0..job.cylinders.len()).map(|i| one.end(i));
    Ok(Forecast {
        station: prepared.station().name.clone(),
        invented: prepared.station().invented,
        events: with_drains(
            events(job, &reader, specified, runs),
            &reader,
            specified,
            wet.water.as_ref(),
        ),
        samples: samples(job, &reader, specified, runs),
        cylinders: ends.collect::<Result<_, _>>()?,
        without_pmv: wet.without_pmv,
        water: wet.water,
        water_missing: wet.water_missing,
        purifier: wet.purifier,
        pmv_settings: wet.pmv_settings,
        balance: balance(specified),
        stopped_because: specified.stopped_because.clone(),
        members: runs.len(),
        members_failed: members.failures.clone(),
        assumed: job.assumed.iter().chain(&wet.assumed).cloned().collect(),
        effort: EffortAnswer {
            steps: specified.effort.steps,
            rejected: specified.effort.rejected,
            evaluations: specified.effort.evaluations,
        },
    })
}

/// What follows the water of the run as specified.
pub(super) struct WetAnswers {
    pub water: Option<WaterAnswer>,
    pub water_missing: Option<String>,
    pub purifier: Option<PurifierAnswer>,
    pub without_pmv: Option<WithoutPmv>,
    pub pmv_settings: Vec<PmvSetting>,
    pub assumed: Vec<Assumption>,
}

/// The events with the drains among them.
fn with_drains(
    mut events: Vec<ForecastEvent>,
    reader: &Reader,
    specified: &Run,
    water: Option<&WaterAnswer>,
) -> Vec<ForecastEvent> {
    for drain in water.iter().flat_map(|water| &water.drains) {
        let near = |s: &&Snapshot| (s.t_s - drain.t_s).abs();
        let nearest = specified
            .samples
            .iter()
            .min_by(|a, b| near(a).total_cmp(&near(b)));
        let Some(snapshot) = nearest else { continue };
        events.push(ForecastEvent {
            t_s: drain.t_s,
            kind: "drain_due",
            cylinder: None,
            tower_bar: reader.tower(snapshot),
            line_bar: reader.line(snapshot),
            when: None,
            share: 1.0,
        });
    }
    events.sort_by(|a, b| a.t_s.total_cmp(&b.t_s));
    events
}

/// Reads snapshots as the station's gauges do, offsets included.
pub(super) struct Reader<'a> {
    prepared: &'a Prepared<'a>,
    tower: usize,
    line: usize,
    tower_offset_bar: f64,
    line_offset_bar: f64,
}

impl<'a> Reader<'a> {
    fn of(prepared: &'a Prepared, run: &Run) -> Reader<'a> {
        let (mut tower_offset_bar, mut line_offset_bar) = (0.0, 0.0);
        for fault in &prepared.faults {
            match fault {
                Fault::TowerGaugeOffset(by) => tower_offset_bar += by.as_bar(),
                Fault::LineGaugeOffset(by) => line_offset_bar += by.as_bar(),
                _ => {}
            }
        }
        let (tower, line) = (run.places.tower, run.places.line);
        Reader {
            prepared,
            tower,
            line,
            tower_offset_bar,
            line_offset_bar,
        }
    }

    pub fn bar(&self, snapshot: &Snapshot, vessel: usize) -> f64 {
        let bar = self.prepared.gauge_bar(snapshot.vessels[vessel].p_pa);
        // what is left in an emptied vessel cools and draws the needle to its stop, not below
        if bar.abs() < 0.01 { 0.0 } else { bar }
    }

    fn tower(&self, snapshot: &Snapshot) -> f64 {
        self.bar(snapshot, self.tower) + self.tower_offset_bar
    }

    fn line(&self, snapshot: &Snapshot) -> f64 {
        self.bar(snapshot, self.line) + self.line_offset_bar
    }
}

fn events(job: &Job, reader: &Reader, specified: &Run, runs: &[Run]) -> Vec<ForecastEvent> {
    let name = |i: usize| job.cylinders[i].id.clone();
    let one = |(index, event): (usize, &RunEvent)| {
        let times: Vec<f64> = runs
            .iter()
            .filter_map(|run| counterpart(specified, index, run))
            .map(|e| e.snapshot.t_s)
            .collect();
        ForecastEvent {
            t_s: event.snapshot.t_s,
            kind: event.kind,
            cylinder: event.cylinder.map(name),
            tower_bar: reader.tower(&event.snapshot),
            line_bar: reader.line(&event.snapshot),
            // cooling is followed in the run as specified only
            share: if event.kind == "cooled" {
                1.0
            } else {
                share(times.len(), runs.len())
            },
            when: band_of(times, runs.len()),
        }
    };
    let mut events: Vec<ForecastEvent> = specified.events.iter().enumerate().map(one).collect();
    events.extend(unexpected(reader, specified, runs));
    events.sort_by(|a, b| a.t_s.total_cmp(&b.t_s));
    events
}

/// The same event in a member: the n-th of its kind, counted from the start, or
/// from the end for what comes after the last stop (valves may cycle more or
/// less often on the way there).
fn counterpart<'r>(specified: &Run, index: usize, run: &'r Run) -> Option<&'r RunEvent> {
    let event = &specified.events[index];
    let same = |e: &&RunEvent| e.kind == event.kind && e.cylinder == event.cylinder;
    let stopped = specified
        .events
        .iter()
        .rposition(|e| e.kind == "compressor_stopped");
    if stopped.is_some_and(|stopped| index > stopped) {
        let from_end = specified.events[index + 1..].iter().filter(same).count();
        return run.events.iter().rev().filter(same).nth(from_end);
    }
    let from_start = specified.events[..index].iter().filter(same).count();
    run.events.iter().filter(same).nth(from_start)
}

/// Protective events that some members have and the run as specified has not.
fn unexpected(reader: &Reader, specified: &Run, runs: &[Run]) -> Vec<ForecastEvent> {
    ["relief_lifted", "disc_burst"]
        .into_iter()
        .filter(|kind| specified.first(kind, None).is_none())
        .filter_map(|kind| {
            let hits: Vec<&RunEvent> = runs
                .iter()
                .filter_map(|r| r.events.iter().find(|e| e.kind == kind))
                .collect();
            let first = hits.first()?;
            let times: Vec<f64> = hits.iter().map(|e| e.snapshot.t_s).collect();
            let when = band(times.clone());
            Some(ForecastEvent {
                t_s: when.map_or(first.snapshot.t_s, |w| w.median),
                kind,
                cylinder: None,
                tower_bar: reader.tower(&first.snapshot),
                line_bar: reader.line(&first.snapshot),
                when,
                share: share(hits.len(), runs.len()),
            })
        })
        .collect()
}

fn share(hits: usize, of: usize) -> f64 {
    if of == 0 {
        1.0
    } else {
        hits as f64 / of as f64
    }
}

fn samples(job: &Job, reader: &Reader, specified: &Run, runs: &[Run]) -> Vec<Sample> {
    let delivery = |p| reader.prepared.interstage_bar(p);
    specified
        .samples
        .iter()
        .enumerate()
        .map(|(k, snapshot)| {
            let running = specified
                .running
                .iter()
                .any(|(from, to)| (*from..*to).contains(&snapshot.t_s));
            let first = &snapshot.vessels[specified.places.first];
            let tower = &snapshot.vessels[reader.tower];
            let tower_bar = reader.tower(snapshot);
            Sample {
                t_s: snapshot.t_s,
                tower_bar,
                tower_c: tower.t_k - ZERO_C,
                line_bar: reader.line(snapshot),
                stages_bar: if running {
                    delivery(first.p_pa)
                } else {
                    Vec::new()
                },
                running,
                tower: band(at(runs, k, |s| reader.tower(s))).unwrap_or(Band::of(tower_bar)),
                cylinders: cylinders(job, reader, specified, runs, k, snapshot),
            }
        })
        .collect()
}

fn cylinders(
    job: &Job,
    reader: &Reader,
    specified: &Run,
    runs: &[Run],
    k: usize,
    snapshot: &Snapshot,
) -> Vec<CylinderSample> {
    let one = |(spec, &vessel): (&crate::assemble::CylinderSpec, &usize)| {
        let reading = &snapshot.vessels[vessel];
        let bar = reader.bar(snapshot, vessel);
        CylinderSample {
            id: spec.id.clone(),
            bar,
            gas_c: reading.t_k - ZERO_C,
            wall_c: reading.wall_k - ZERO_C,
            band: band(at(runs, k, |s| reader.bar(s, vessel))).unwrap_or(Band::of(bar)),
        }
    };
    job.cylinders
        .iter()
        .zip(&specified.places.cylinders)
        .map(one)
        .collect()
}

/// One figure of the k-th sample in every member; a member that has ended
/// keeps its last reading.
fn at(runs: &[Run], k: usize, figure: impl Fn(&Snapshot) -> f64) -> Vec<f64> {
    runs.iter()
        .map(|run| figure(run.samples.get(k).unwrap_or(&run.last)))
        .collect()
}

fn balance(run: &Run) -> BalanceAnswer {
    let b = &run.balance;
    let mut let_out_kg: Vec<(String, f64)> = Vec::new();
    for (name, mass) in run.link_names.iter().zip(&b.mass_out_kg) {
        match let_out_kg.iter_mut().find(|(known, _)| known == name) {
            Some((_, sum)) => *sum += mass,
            None if *mass > 1e-9 => let_out_kg.push((name.clone(), *mass)),
            None => {}
        }
    }
    BalanceAnswer {
        mass: b.mass_residual,
        energy: b.energy_residual,
        delivered_kg: b.mass_in_kg,
        let_out_kg,
        work_kwh: b.work_j / 3.6e6,
    }
}
