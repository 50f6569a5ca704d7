//! Many runs of one job, each a little different within the tolerances.
//!
//! A tolerance of ±x is taken as two standard deviations of a normal
//! distribution, cut off at three; a gauge's class as the bounds of an even
//! one. Members come in mirrored pairs, so that medians are steady.

use super::job::Job;
use super::operate;
use super::request::Request;
use super::run::Run;
use crate::assemble::{Prepared, Variation};
use quantity::Quantity as _;
use rand::{RngExt as _, SeedableRng};
use rand_pcg::Pcg64Mcg;
use station::{Reads, Station};
use std::sync::atomic::{AtomicUsize, Ordering};

/// Runs that came to an end, and what kept the others from it.
#[derive(Debug, Default)]
pub(super) struct Members {
    pub runs: Vec<Run>,
    pub failures: Vec<String>,
}

impl Members {
    /// A run that broke off tells nothing of what comes after: where the run as specified came to
    /// its end, such members stand among the failures and not in the bands.
    pub fn beside(mut self, specified: &Run) -> Members {
        if specified.whole {
            let (runs, broken): (Vec<Run>, Vec<Run>) =
                self.runs.into_iter().partition(|run| run.whole);
            let why = broken.into_iter().map(|run| run.stopped_because);
            self.failures.extend(why);
            self.runs = runs;
        }
        self
    }
}

/// Runs the whole ensemble on as many threads as the machine has.
pub(super) fn run(
    prepared: &Prepared,
    job: &Job,
    request: &Request,
    progress: &(dyn Fn(usize) + Sync),
) -> Members {
    let variations = variations(prepared.station(), request.members, request.seed);
    let threads = std::thread::available_parallelism().map_or(1, usize::from);
    let share = variations.len().div_ceil(threads).max(1);
    let done = AtomicUsize::new(0);
    let one = |variation: &Variation| {
        let result = operate::run_member(prepared, job, variation).map_err(|e| e.to_string());
        progress(done.fetch_add(1, Ordering::Relaxed) + 1);
        result
    };
    let results: Vec<Result<Run, String>> = std::thread::scope(|scope| {
        let chunks = variations.chunks(share);
        let handles: Vec<_> = chunks
            .map(|chunk| scope.spawn(|| chunk.iter().map(one).collect::<Vec<_>>()))
            .collect();
        let joined = handles.into_iter().map(|handle| {
            handle
                .join()
                .unwrap_or_else(|_| vec![Err("a member of the ensemble failed".into())])
        });
        joined.flatten().collect()
    });
    let mut members = Members::default();
    for result in results {
        match result {
            Ok(run) => members.runs.push(run),
            Err(why) => members.failures.push(why),
        }
    }
    members
}

/// How the members differ: the same seed gives the same members.
fn variations(station: &Station, members: usize, seed: u64) -> Vec<Variation> {
    let mut random = Pcg64Mcg::seed_from_u64(seed);
    let mut list = Vec::with_capacity(members);
    while list.len() < members {
        let draw: [f64; 10] = std::array::from_fn(|i| {
            // the last two are gauges: even; the rest normal
            if i < 8 {
                normal(&mut random)
            } else {
                random.random_range(-1.0..1.0)
            }
        });
        list.push(variation(station, &draw));
        if list.len() < members {
            list.push(variation(station, &draw.map(|x| -x)));
        }
    }
    list
}

/// A normal number cut off at three standard deviations, in units of the
/// tolerance (two standard deviations). Box and Muller, Ann. Math. Stat. 29 (1958) 610.
fn normal(random: &mut Pcg64Mcg) -> f64 {
    let u: f64 = 1.0 - random.random::<f64>();
    let angle = std::f64::consts::TAU * random.random::<f64>();
    0.5 * ((-2.0 * u.ln()).sqrt() * angle.cos()).clamp(-3.0, 3.0)
}

fn variation(station: &Station, draw: &[f64; 10]) -> Variation {
    let t = &station.tolerances;
    let factor = |tolerance: f64, x: f64| (1.0 + tolerance * x).max(0.1);
    let gauge = t
        .start_pressure
        .map_or_else(|| tower_gauge_error(station), |d| d.si());
    Variation {
        delivery: factor(t.delivery.as_ratio(), draw[0]),
        pmv: factor(t.pmv.as_ratio(), draw[1]),
        relief: factor(t.relief.as_ratio(), draw[2]),
        disc: factor(t.burst_disc.map_or(0.0, |d| d.as_ratio()), draw[3]),
        tower_volume: factor(t.volume.as_ratio(), draw[4]),
        cylinder_volume: factor(t.volume.as_ratio(), draw[5]),
        heat: factor(t.heat_transfer.as_ratio(), draw[6]),
        intake_k: t.intake_temperature.as_kelvin() * draw[7],
        tower_start_pa: gauge * draw[8],
        cylinder_start_pa: gauge * draw[9],
    }
}

/// Largest error of the best gauge for the starting pressures, Pa: its class
/// (% of span, EN 837-1); 1 bar where there is no gauge.
fn tower_gauge_error(station: &Station) -> f64 {
    let suits = |reads: Reads| matches!(reads, Reads::Tower | Reads::Line);
    let errors = station.gauges.iter().filter(|g| suits(g.reads));
    let least = errors
        .map(|g| g.greatest_error().si())
        .fold(f64::INFINITY, f64::min);
    if least.is_finite() { least } else { 1e5 }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A tolerance of ±x is two standard deviations, cut off at three (definition, see above):
    /// mean 0, standard deviation 1/2, none beyond 3/2.
    #[test]
    fn normal_numbers() {
        let mut random = Pcg64Mcg::seed_from_u64(3);
        let draws: Vec<f64> = (0..20_000).map(|_| normal(&mut random)).collect();
        let n = draws.len() as f64;
        let mean = draws.iter().sum::<f64>() / n;
        let deviation = (draws.iter().map(|x| x * x).sum::<f64>() / n).sqrt();
        assert!(mean.abs() < 0.015, "{mean}");
        assert!((deviation - 0.5).abs() < 0.01, "{deviation}");
        assert!(draws.iter().all(|x| x.abs() <= 1.5));
        // a normal distribution has 68.27 % within one standard deviation
        let within = draws.iter().filter(|x| x.abs() < 0.5).count() as f64 / n;
        assert!((within - 0.6827).abs() < 0.01, "{within}");
    }

    fn station() -> Station {
        let text = include_str!("../../../../stations/boathouse.toml");
        station::read(text).station.unwrap()
    }

    /// Members come in mirrored pairs; more members begin with the same ones.
    #[test]
    fn members_are_mirrored() {
        let station = station();
        let some = variations(&station, 8, 11);
        for pair in some.chunks(2) {
            let (a, b) = (pair[0], pair[1]);
            assert!((a.delivery + b.delivery - 2.0).abs() < 1e-12, "{a:?} {b:?}");
            assert!((a.intake_k + b.intake_k).abs() < 1e-12, "{a:?} {b:?}");
            assert!((a.tower_start_pa + b.tower_start_pa).abs() < 1e-9);
        }
        assert_eq!(variations(&station, 5, 11), some[..5]);
        assert_ne!(variations(&station, 8, 12), some);
        assert_eq!(variations(&station, 0, 11), []);
    }

    /// Run one by one, members are the same to the last bit as run side by side.
    #[test]
    fn threads_do_not_matter() {
        let station = station();
        let request = Request {
            members: 5,
            ..Request::default()
        };
        let job = Job::of(&station, &request).unwrap();
        let prepared = Prepared::new(&station, &job.conditions, job.cylinders.clone()).unwrap();
        let together = run(&prepared, &job, &request, &|_| {});
        assert!(together.failures.is_empty());
        let alone = variations(&station, 5, request.seed);
        assert_eq!(alone.len(), together.runs.len());
        for (variation, run) in alone.iter().zip(&together.runs) {
            let again = operate::run_member(&prepared, &job, variation).unwrap();
            assert_eq!(again.samples, run.samples);
            assert_eq!(again.last, run.last);
            assert_eq!(again.effort, run.effort);
        }
    }
}
