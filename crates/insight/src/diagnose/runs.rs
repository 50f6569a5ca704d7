//! Runs of one suspect, kept while only readings differ.
//!
//! Not here: making a run ([`super::course`]).

use super::course::Trace;
use super::settings::Settings;
use super::space::Space;
use super::suspects::Suspect;
use physics::fit::{Fit, Predicted};
use std::rc::Rc;

/// The same run asked again and again while only readings differ: runs are kept.
pub(super) struct Runs<'a> {
    pub space: &'a Space<'a>,
    pub suspect: &'a Suspect,
    kept: Vec<(Settings, Option<Rc<Trace>>)>,
    pub made: usize,
}

/// So many runs are kept.
const KEPT: usize = 16;

impl<'a> Runs<'a> {
    pub fn new(space: &'a Space<'a>, suspect: &'a Suspect) -> Runs<'a> {
        Runs {
            space,
            suspect,
            kept: Vec::new(),
            made: 0,
        }
    }

    pub fn trace(&mut self, settings: &Settings) -> Option<Rc<Trace>> {
        let of = settings.of_machine();
        if let Some(i) = self.kept.iter().position(|(known, _)| *known == of) {
            // the latest used is the last to go
            let found = self.kept.remove(i);
            let trace = found.1.clone();
            self.kept.push(found);
            return trace;
        }
        let trace = self.space.trace(settings).map(Rc::new);
        self.made += 1;
        if self.kept.len() == KEPT {
            self.kept.remove(0);
        }
        self.kept.push((of, trace.clone()));
        trace
    }

    /// Standard deviation of each datum by what is still open in the fit, beside its own error.
    /// Slopes are taken on both sides and the flatter one counts: at the stop and the bleed one
    /// side alone would say far too much. No doubt is wider than all that a gauge can show.
    pub fn doubt(&mut self, fit: &Fit, base: &Predicted) -> Vec<f64> {
        const STEP: f64 = 0.3;
        let mut slopes: Vec<Vec<f64>> = Vec::new();
        for j in 0..fit.z.len() {
            let mut side = |step: f64| {
                let mut z = fit.z.clone();
                z[j] += step;
                self.predict(&z)
            };
            let (up, down) = (side(STEP), side(-STEP));
            let slope = |i: usize| {
                let of = |p: &Option<Predicted>, step: f64| {
                    p.as_ref().map(|p| (p.mean[i] - base.mean[i]) / step)
                };
                match (of(&up, STEP), of(&down, -STEP)) {
                    (Some(a), Some(b)) if a * b <= 0.0 => 0.0,
                    (Some(a), Some(b)) => a.abs().min(b.abs()).copysign(a),
                    (Some(a), None) | (None, Some(a)) => a,
                    (None, None) => 0.0,
                }
            };
            slopes.push((0..base.mean.len()).map(slope).collect());
        }
        let widest = base.mean.iter().copied().fold(1.0, f64::max) / 2.0;
        let sd = |i: usize| {
            let mut variance = 0.0;
            for (a, x) in slopes.iter().enumerate() {
                for (b, y) in slopes.iter().enumerate() {
                    variance += x[i] * y[i] * fit.covariance[(a, b)];
                }
            }
            variance.max(0.0).sqrt().min(widest)
        };
        (0..base.mean.len()).map(sd).collect()
    }

    pub fn predict(&mut self, z: &[f64]) -> Option<Predicted> {
        let settings = self.space.settings(self.suspect, z);
        let trace = self.trace(&settings)?;
        self.space.readings(&trace, &settings, z)
    }
}
