//! How well each suspect explains what was read and noticed, and what that makes of its probability.
//!
//! P(cause | readings, notes) ∝ prior · p(readings | cause) · Π P(note | cause), the middle factor
//! by [`physics::fit`]. Not here: what it means for a setting ([`super::found`]).

use super::causes::Knowledge;
use super::runs::Runs;
use super::signs::{self, Meaning, Note};
use super::space::Space;
use super::suspects::Suspect;
use physics::fit::{Fit, Predicted, Readings, careful, fit};
use std::sync::atomic::{AtomicUsize, Ordering};

/// Rounds of a fit.
const ROUNDS: usize = 6;
/// Sizes tried before a fit, in standard numbers.
const FIRST: [f64; 5] = [-1.6, -0.6, 0.3, 1.2, 2.2];
/// Readings off by no more than this, in scales, are explained well.
const WELL: f64 = 1.2;
/// A distance counts at most so many scales: one wild reading is not rubbish.
const WILDEST: f64 = 5.0;
/// A second start is worth a fit while it is not worse than this.
const ANOTHER_VALLEY: f64 = 5.0;
/// From this probability on a suspect is fitted carefully.
const WORTH_CARE: f64 = 0.03;
/// A relief valve heard about when the run has it lift: how near, s.
const ABOUT_S: f64 = 90.0;
/// How often it is heard then.
const HEARD: f64 = 0.9;
/// Scale of what readings would be if nothing known here explained them: share of the highest
/// reading expected, and at least so many bar.
const ELSE_SHARE: f64 = 0.16;
const ELSE_BAR: f64 = 20.0;

/// A suspect weighed.
#[derive(Debug, Clone)]
pub(super) struct Weighed {
    pub suspect: Suspect,
    pub fit: Fit,
    /// ln of prior · evidence · notes, up to what is the same for all.
    pub log_weight: f64,
    /// Its probability among all.
    pub weight: f64,
    /// Runs made for it.
    pub runs: usize,
}

/// What everything is weighed against.
pub(super) struct Scales<'a> {
    pub space: &'a Space<'a>,
    pub known: &'a Knowledge,
    pub notes: &'a [Note],
}

impl Scales<'_> {
    /// Weighs all suspects on as many threads as the machine has. Those that cannot be run at all
    /// are left out.
    pub fn weigh(&self, suspects: Vec<Suspect>, progress: &(dyn Fn(usize) + Sync)) -> Vec<Weighed> {
        let threads = std::thread::available_parallelism().map_or(1, usize::from);
        let (next, done) = (AtomicUsize::new(0), AtomicUsize::new(0));
        let work = || {
            let mut mine = Vec::new();
            while let Some(suspect) = suspects.get(next.fetch_add(1, Ordering::Relaxed)) {
                mine.extend(self.one(suspect));
                progress(done.fetch_add(1, Ordering::Relaxed) + 1);
            }
            mine
        };
        let mut all: Vec<Weighed> = std::thread::scope(|scope| {
            let workers: Vec<_> = (0..threads).map(|_| scope.spawn(work)).collect();
            let joined = workers.into_iter().map(|w| {
                w.join()
                    .unwrap_or_else(|panic| std::panic::resume_unwind(panic))
            });
            joined.flatten().collect()
        });
        // the same order whichever thread was first
        let place = |w: &Weighed| suspects.iter().position(|s| *s == w.suspect);
        all.sort_by_key(place);
        all
    }

    /// How well the best of the suspects explains the readings before anything is fitted: to
    /// choose between ways in which the run may have gone.
    pub fn outlook(&self, suspects: &[Suspect]) -> f64 {
        let values = self.space.values();
        let of = |suspect: &Suspect| {
            let mut runs = Runs::new(self.space, suspect);
            let floor = self.space.floor();
            let readings = Readings {
                values: &values,
                floor: &floor,
            };
            let starts = self.starts(&mut runs, readings);
            let p = runs.predict(starts.first()?)?;
            Some(suspect.prior.ln() - cost(&values, &p))
        };
        let threads = std::thread::available_parallelism().map_or(1, usize::from);
        let share = suspects.len().div_ceil(threads).max(1);
        std::thread::scope(|scope| {
            let chunks = suspects.chunks(share);
            let workers: Vec<_> = chunks
                .map(|chunk| {
                    scope.spawn(move || {
                        chunk
                            .iter()
                            .filter_map(of)
                            .fold(f64::NEG_INFINITY, f64::max)
                    })
                })
                .collect();
            let joined = workers.into_iter().map(|w| {
                w.join()
                    .unwrap_or_else(|panic| std::panic::resume_unwind(panic))
            });
            joined.fold(f64::NEG_INFINITY, f64::max)
        })
    }

    /// Takes the likeliest once more, carefully: their ranges are what is told.
    pub fn carefully(&self, weighed: &mut [Weighed]) {
        let (values, floor) = (self.space.values(), self.space.floor());
        let readings = Readings {
            values: &values,
            floor: &floor,
        };
        let worth = weighed.iter_mut().filter(|w| w.weight > WORTH_CARE);
        let again = |w: &mut Weighed| {
            let suspect = w.suspect.clone();
            let mut runs = Runs::new(self.space, &suspect);
            if let Some(fit) = careful(&mut |z| runs.predict(z), readings, &w.fit) {
                w.log_weight += fit.log_evidence - w.fit.log_evidence;
                w.fit = fit;
            }
            w.runs += runs.made;
        };
        std::thread::scope(|scope| {
            for w in worth {
                scope.spawn(move || again(w));
            }
        });
    }

    fn one(&self, suspect: &Suspect) -> Option<Weighed> {
        let (values, floor) = (self.space.values(), self.space.floor());
        let readings = Readings {
            values: &values,
            floor: &floor,
        };
        let mut runs = Runs::new(self.space, suspect);
        let mut best: Option<Fit> = None;
        for start in self.starts(&mut runs, readings) {
            // the first valley explains the readings: no need to look into another
            if best
                .as_ref()
                .is_some_and(|fit| off(&values, &fit.predicted) < WELL)
            {
                break;
            }
            let found = fit(&mut |z| runs.predict(z), readings, &start, ROUNDS);
            let better = |f: &Fit| {
                best.as_ref()
                    .is_none_or(|b| f.log_evidence > b.log_evidence)
            };
            if let Some(found) = found.filter(better) {
                best = Some(found);
            }
        }
        let fit = best?;
        let settings = self.space.settings(suspect, &fit.z);
        let relief_s = runs.trace(&settings)?.relief_s;
        let notes = self.log_notes(&suspect.ids, relief_s);
        Some(Weighed {
            log_weight: suspect.prior.ln() + fit.log_evidence + notes,
            suspect: suspect.clone(),
            weight: 0.0,
            runs: runs.made,
            fit,
        })
    }

    /// Where fits begin: everything else as specified, the sizes as the best of a few; and where
    /// one size alone is asked for, the next best too, if it is another valley.
    fn starts(&self, runs: &mut Runs, readings: Readings) -> Vec<Vec<f64>> {
        let dims = self.space.dims.len();
        let sizes = runs.suspect.sizes();
        let mut best = vec![0.0; dims + sizes];
        let mut costs = [f64::INFINITY; FIRST.len()];
        for i in dims..dims + sizes {
            for (cost_of, z) in costs.iter_mut().zip(FIRST) {
                best[i] = z;
                let p = runs.predict(&best);
                *cost_of = p.map_or(f64::INFINITY, |p| cost(readings.values, &p) + 0.5 * z * z);
            }
            best[i] = FIRST[least(&costs)];
        }
        let mut starts = vec![best];
        let first = least(&costs);
        if sizes == 1 && runs.suspect.ids.len() == 1 {
            let known = costs[first];
            for near in first.saturating_sub(1)..=first + 1 {
                if let Some(cost) = costs.get_mut(near) {
                    *cost = f64::INFINITY;
                }
            }
            let second = least(&costs);
            if costs[second] < known + ANOTHER_VALLEY {
                let mut other = starts[0].clone();
                other[dims] = FIRST[second];
                starts.push(other);
            }
        }
        starts
    }

    /// ln of how likely the notes are under these causes.
    pub fn log_notes(&self, ids: &[&str], relief_s: Option<f64>) -> f64 {
        let mut sum = 0.0;
        let mut counted: Vec<usize> = Vec::new();
        for note in self.notes {
            for meaning in &note.meaning {
                let Meaning::Sign { which, met } = meaning else {
                    continue;
                };
                // the same sign met again tells little more
                if counted.contains(which) {
                    continue;
                }
                counted.push(*which);
                let mut share = signs::share(self.known, *which, ids);
                let lifting =
                    relief_s.is_some_and(|lifts| note.t_s.is_none_or(|t| t > lifts - ABOUT_S));
                if signs::of_relief(self.known, *which) && lifting {
                    share = share.max(HEARD);
                }
                sum += if *met { share.ln() } else { (1.0 - share).ln() };
            }
        }
        sum
    }

    /// What is left over: a machine that does something not known here.
    pub fn something_else(&self, prior: f64) -> Option<f64> {
        let sound = Suspect::sound(prior);
        let mut runs = Runs::new(self.space, &sound);
        let z = vec![0.0; self.space.dims.len()];
        let expected = runs.predict(&z)?;
        let most = expected.mean.iter().copied().fold(0.0, f64::max);
        let wide = (ELSE_SHARE * most).max(ELSE_BAR);
        let floor = self.space.floor();
        let plain = |_: &[f64]| {
            let scale = expected.scale.iter().map(|s| s.hypot(wide)).collect();
            Some(Predicted {
                mean: expected.mean.clone(),
                scale,
            })
        };
        let values = self.space.values();
        let readings = Readings {
            values: &values,
            floor: &floor,
        };
        let fit = fit(&mut { plain }, readings, &[], 0)?;
        Some(prior.ln() + fit.log_evidence + self.log_notes(&["something_else"], None))
    }
}

/// Root mean square of what the readings are off, in scales, none counted wilder than
/// [`WILDEST`].
pub(super) fn off(values: &[f64], p: &Predicted) -> f64 {
    let off = values.iter().zip(&p.mean).zip(&p.scale);
    let sum: f64 = off
        .map(|((y, m), s)| ((y - m) / s).abs().min(WILDEST).powi(2))
        .sum();
    (sum / values.len().max(1) as f64).sqrt()
}

/// The place of the least; the first of equals.
fn least(costs: &[f64]) -> usize {
    let at = (0..costs.len()).min_by(|a, b| costs[*a].total_cmp(&costs[*b]));
    at.unwrap_or(0)
}

/// How far readings are from what is expected, wild ones counted little; before a fit, when
/// starting pressures and the watch still stand in the way.
fn cost(values: &[f64], p: &Predicted) -> f64 {
    let off = values.iter().zip(&p.mean).zip(&p.scale);
    off.map(|((y, m), s)| ((y - m) / s).powi(2).ln_1p()).sum()
}

/// Turns logarithmic weights into probabilities: those of the suspects, and what is left over.
pub(super) fn normalise(weighed: &mut [Weighed], left: f64) -> f64 {
    let most = weighed.iter().map(|w| w.log_weight).fold(left, f64::max);
    let mut sum = (left - most).exp();
    for w in weighed.iter_mut() {
        w.weight = (w.log_weight - most).exp();
        sum += w.weight;
    }
    for w in weighed.iter_mut() {
        w.weight /= sum;
    }
    (left - most).exp() / sum
}
