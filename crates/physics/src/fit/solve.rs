//! The fit itself: the likeliest parameters, and the evidence by Laplace's method.
//!
//! Posterior of z given readings y: p(z|y) ∝ N(z; 0, 1) · Π f((yᵢ − mᵢ(z))/σᵢ)/σᵢ. Its maximum z*
//! (with f Student's t) is found by reweighted least squares, wᵢ = (ν+1)/(ν+rᵢ²)/σᵢ², with the damping of Levenberg and
//! Marquardt and slopes carried on by Broyden's update, because each costs a run of the model. Near z* the
//! posterior is taken as normal with the inverse of H = 1 + JᵀWJ as covariance (with f for good readings and slips, W the probability of a
//! good one), so that
//! ln p(y) ≈ ln p(y|z*) − ½|z*|² − ½ ln det H
//! (MacKay, Information Theory, Inference and Learning Algorithms (2003) ch. 27).

use super::student;
use nalgebra::{Cholesky, DMatrix, DVector, Dyn};

/// Step of a difference quotient, in prior standard deviations: wide enough to look past the
/// unevenness that switching valves give a model.
const STEP: f64 = 0.2;
/// The same where both sides are taken.
const BOTH: f64 = 0.4;
/// Longest move of one parameter in one round, in prior standard deviations.
const LONGEST: f64 = 1.5;
/// Gain below which the search ends: it would change a probability by a twentieth.
const ENOUGH: f64 = 0.05;
/// Moved further than this since the slopes were taken, in prior standard deviations, they are
/// taken again for the evidence.
const FAR: f64 = 0.6;
/// Damping at the start, its growth where a step does not gain, and the most tries.
const DAMPING: f64 = 1e-3;
const GROWTH: f64 = 20.0;
const TRIES: usize = 4;

/// What a model says of all readings.
#[derive(Debug, Clone, PartialEq)]
pub struct Predicted {
    /// The readings expected.
    pub mean: Vec<f64>,
    /// The scale of each one's error.
    pub scale: Vec<f64>,
}

/// The likeliest parameters.
#[derive(Debug, Clone)]
pub struct Fit {
    /// The parameters.
    pub z: Vec<f64>,
    /// Their covariance.
    pub covariance: DMatrix<f64>,
    /// Change of each prediction with each parameter: one row a reading.
    pub slopes: DMatrix<f64>,
    /// What the model says there.
    pub predicted: Predicted,
    /// ln p(y): how well the model explains the readings, its freedom paid for.
    pub log_evidence: f64,
}

/// Readings to be explained.
#[derive(Debug, Clone, Copy)]
pub struct Readings<'a> {
    /// What was read.
    pub values: &'a [f64],
    /// The scale below which no reading's error lies: a model gains nothing by a larger one.
    pub floor: &'a [f64],
}

/// Fits `predict` to `readings`, beginning at `start`, in at most `rounds` rounds. `predict` gives
/// nothing where the model cannot be run.
///
/// None where the model cannot be run at the start.
pub fn fit(
    predict: &mut dyn FnMut(&[f64]) -> Option<Predicted>,
    readings: Readings,
    start: &[f64],
    rounds: usize,
) -> Option<Fit> {
    let mut search = Search { predict, readings };
    let mut here = search.at(DVector::from_row_slice(start))?;
    let mut slopes = search.slopes(&here)?;
    let mut moved = 0.0;
    for _ in 0..rounds {
        let Some(next) = search.step(&here, &slopes) else {
            if moved == 0.0 {
                break;
            }
            // the slopes were carried too far: once more from here
            slopes = search.slopes(&here)?;
            moved = 0.0;
            continue;
        };
        let gained = here.cost - next.cost;
        moved += (&next.z - &here.z).norm();
        carry(&mut slopes, &here, &next);
        here = next;
        if gained < ENOUGH {
            break;
        }
    }
    if moved > FAR {
        slopes = search.slopes(&here)?;
    }
    search.evaluated(here, slopes)
}

/// The same fit with its slopes taken on both sides, the flatter one counting, none where they
/// disagree in sign: at a cliff, as where a valve just opens or does not, one side alone would
/// make a range far too narrow. For fits that matter: it costs two runs a parameter.
pub fn careful(
    predict: &mut dyn FnMut(&[f64]) -> Option<Predicted>,
    readings: Readings,
    fit: &Fit,
) -> Option<Fit> {
    let mut search = Search { predict, readings };
    let here = search.at(DVector::from_row_slice(&fit.z))?;
    let mut slopes = DMatrix::zeros(here.predicted.mean.len(), here.z.len());
    for j in 0..here.z.len() {
        let mut side = |step: f64| {
            let mut z = here.z.clone();
            z[j] += step;
            search.predicted(&z)
        };
        let (up, down) = (side(BOTH), side(-BOTH));
        for (i, at) in here.predicted.mean.iter().enumerate() {
            let slope =
                |p: &Option<Predicted>, step: f64| p.as_ref().map(|p| (p.mean[i] - at) / step);
            slopes[(i, j)] = match (slope(&up, BOTH), slope(&down, -BOTH)) {
                (Some(a), Some(b)) if a * b <= 0.0 => 0.0,
                (Some(a), Some(b)) if a.abs() < b.abs() => a,
                (_, Some(b)) => b,
                (Some(a), None) => a,
                (None, None) => 0.0,
            };
        }
    }
    search.evaluated(here, slopes)
}

/// Broyden's update: the least change of the slopes that makes them right for the step just made
/// (Broyden, Math. Comp. 19 (1965) 577). It saves a run of the model for each parameter.
fn carry(slopes: &mut DMatrix<f64>, here: &Here, next: &Here) {
    let step = &next.z - &here.z;
    let length = step.norm_squared();
    if length == 0.0 {
        return;
    }
    let change = (next.predicted.mean.iter().zip(&here.predicted.mean)).map(|(a, b)| a - b);
    let change = DVector::from_iterator(here.predicted.mean.len(), change);
    let missed = change - &*slopes * &step;
    slopes.ger(1.0 / length, &missed, &step, 1.0);
}

struct Search<'a> {
    predict: &'a mut dyn FnMut(&[f64]) -> Option<Predicted>,
    readings: Readings<'a>,
}

/// A place in the search.
struct Here {
    z: DVector<f64>,
    predicted: Predicted,
    /// −ln posterior, up to a constant.
    cost: f64,
}

impl Search<'_> {
    fn predicted(&mut self, z: &DVector<f64>) -> Option<Predicted> {
        let predicted = (self.predict)(z.as_slice())?;
        let fits = predicted.mean.len() == self.readings.values.len();
        let mut all = predicted.mean.iter().chain(&predicted.scale);
        (fits && all.all(|v| v.is_finite())).then_some(predicted)
    }

    fn at(&mut self, z: DVector<f64>) -> Option<Here> {
        let predicted = self.predicted(&z)?;
        let mut cost = 0.5 * z.norm_squared();
        for (i, y) in self.readings.values.iter().enumerate() {
            let scale = predicted.scale[i];
            cost += student::cost((y - predicted.mean[i]) / scale);
            cost += (scale / self.readings.floor[i]).ln().max(0.0);
        }
        Some(Here { z, predicted, cost })
    }

    /// Change of each prediction with each parameter, moved towards its prior's middle, or away
    /// where that cannot be run.
    fn slopes(&mut self, here: &Here) -> Option<DMatrix<f64>> {
        let mut slopes = DMatrix::zeros(here.predicted.mean.len(), here.z.len());
        for j in 0..here.z.len() {
            let step = if here.z[j] > 0.0 { -STEP } else { STEP };
            let (moved, step) = [step, -step].into_iter().find_map(|step| {
                let mut z = here.z.clone();
                z[j] += step;
                Some((self.predicted(&z)?, step))
            })?;
            for (i, (a, b)) in moved.mean.iter().zip(&here.predicted.mean).enumerate() {
                slopes[(i, j)] = (a - b) / step;
            }
        }
        Some(slopes)
    }

    /// A step that gains; none where there is none.
    fn step(&mut self, here: &Here, slopes: &DMatrix<f64>) -> Option<Here> {
        let (h, gradient) = self.curvature(here, slopes, student::weight);
        let mut damping = DAMPING;
        for _ in 0..TRIES {
            let mut damped = h.clone();
            for j in 0..damped.nrows() {
                damped[(j, j)] *= 1.0 + damping;
            }
            let mut step = damped.cholesky()?.solve(&gradient);
            let longest = step.amax();
            if longest > LONGEST {
                step *= LONGEST / longest;
            }
            if let Some(next) = self.at(&here.z + step)
                && next.cost < here.cost
            {
                return Some(next);
            }
            damping *= GROWTH;
        }
        None
    }

    /// H = 1 + JᵀWJ and JᵀW(y − m) − z, for weights of residuals in scales.
    fn curvature(
        &self,
        here: &Here,
        slopes: &DMatrix<f64>,
        weight: fn(f64) -> f64,
    ) -> (DMatrix<f64>, DVector<f64>) {
        let n = here.z.len();
        let mut h = DMatrix::identity(n, n);
        let mut gradient = -here.z.clone();
        for (i, y) in self.readings.values.iter().enumerate() {
            let scale = here.predicted.scale[i];
            let off = y - here.predicted.mean[i];
            let w = weight(off / scale) / (scale * scale);
            let row = slopes.row(i).transpose();
            gradient += &row * (w * off);
            h.ger(w, &row, &row, 1.0);
        }
        (h, gradient)
    }

    fn evaluated(&self, here: Here, slopes: DMatrix<f64>) -> Option<Fit> {
        let (h, _) = self.curvature(&here, &slopes, student::good);
        let whole: Cholesky<f64, Dyn> = h.cholesky()?;
        let log_det: f64 = whole.l().diagonal().iter().map(|d| 2.0 * d.ln()).sum();
        let mut log_likelihood = 0.0;
        for (i, y) in self.readings.values.iter().enumerate() {
            let scale = here.predicted.scale[i];
            let r = (y - here.predicted.mean[i]) / scale;
            log_likelihood += student::log_density(r, scale);
        }
        Some(Fit {
            log_evidence: log_likelihood - 0.5 * here.z.norm_squared() - 0.5 * log_det,
            z: here.z.as_slice().to_vec(),
            covariance: whole.inverse(),
            slopes,
            predicted: here.predicted,
        })
    }
}
