//! The moment inside a step at which a valve, a disc or a watch is set off.
//!
//! Not here: what happens then (see [`super::engine`]).

use super::engine::{FIRED_PA, Sim};
use super::modes::{Guard, Trigger};

/// In steps shorter than this no pressure can rise and fall again unseen, s.
const SHORT_STEP_S: f64 = 0.5;

impl Sim<'_> {
    /// The earliest guard that fires within the last step, as a share of it.
    pub(super) fn first_fired(&self, h: f64) -> Option<(f64, Trigger)> {
        let mut earliest: Option<(f64, Trigger)> = None;
        // guards on one vessel share its pressures half-way and at the end
        let mut known = (usize::MAX, [f64::NAN; 2]);
        let looks_inside = h > SHORT_STEP_S;
        for i in 0..self.guards.len() {
            let guard = self.guards[i];
            let limit = earliest.map_or(1.0, |(theta, _)| theta);
            if known.0 != guard.vessel || limit < 1.0 {
                let at = |theta: f64| self.pressure(guard.vessel, theta);
                let half = if looks_inside {
                    at(0.5 * limit)
                } else {
                    f64::NAN
                };
                let pressures = [half, at(limit)];
                known = (guard.vessel, pressures);
            }
            let fired = [0.5 * limit, limit]
                .into_iter()
                .zip(known.1)
                .find(|(_, p)| guard.excess(*p) > 0.0);
            if let Some((late, _)) = fired {
                earliest = Some((self.locate(&guard, late, h), guard.what));
            }
        }
        earliest
    }

    /// How far past its threshold a guard is at a share of the last step, Pa.
    fn excess(&self, guard: &Guard, theta: f64) -> f64 {
        guard.excess(self.pressure(guard.vessel, theta))
    }

    /// A vessel's pressure at a share of the last step, Pa; NaN where there is none.
    fn pressure(&self, vessel: usize, theta: f64) -> f64 {
        let row = self.layout.mass[vessel];
        let mass = self.stepper.dense_at(&self.y, theta, row);
        let energy = self.stepper.dense_at(&self.y, theta, row + 1);
        let volume = self.plant.vessels[vessel].volume_m3;
        let reading = self.plant.gas.pt(mass / volume, energy / mass);
        reading.map_or(f64::NAN, |(p, _)| p)
    }

    /// The share of the step at which the guard fires: false position (Illinois)
    /// between the step's start and `late`, where it has fired.
    fn locate(&self, guard: &Guard, late: f64, h: f64) -> f64 {
        let (mut a, mut fa) = (0.0, self.excess(guard, 0.0).min(0.0));
        let (mut b, mut fb) = (late, self.excess(guard, late));
        for _ in 0..60 {
            if (b - a) * h < 1e-10 || fb < FIRED_PA {
                break;
            }
            let share = if fb > fa { fa / (fa - fb) } else { 0.5 };
            let c = (a + share * (b - a)).clamp(a + 0.001 * (b - a), b - 0.001 * (b - a));
            let fc = self.excess(guard, c);
            if fc > 0.0 {
                (b, fb) = (c, fc);
                fa *= 0.5;
            } else {
                (a, fa) = (c, fc);
                fb *= 0.5;
            }
        }
        b
    }
}
