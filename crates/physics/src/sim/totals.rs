//! What crossed the boundary, what remained, and why a run could not go on.

use super::engine::Sim;
use super::event::{Balance, StopReason};
use super::plant::Thermal;
use super::rosenbrock::Stalled;

/// Beyond these a run that stalls has come to an end of the gas model: colder
/// than this it nears the liquid, above these it nears the tables' upper ends.
const COLD_K: f64 = 200.0;
const HOT_K: f64 = 480.0;
const HIGH_PA: f64 = 499e5;

impl Sim<'_> {
    /// Mass (kg) and energy (J) in all vessels and walls.
    pub(super) fn contents(&self) -> (f64, f64) {
        let (mut mass, mut energy) = (0.0, 0.0);
        for (i, &row) in self.layout.mass.iter().enumerate() {
            mass += self.y[row];
            energy += self.y[row + 1];
            if let (Thermal::Walled { capacity_j_k, .. }, Some(wall)) =
                (&self.plant.vessels[i].thermal, self.layout.wall[i])
            {
                energy += capacity_j_k * self.y[wall];
            }
        }
        (mass, energy)
    }

    /// Totals since the start and what does not add up.
    pub fn balance(&self) -> Balance {
        let totals = &self.layout.totals;
        let out = |i: &Option<usize>| i.map_or(0.0, |row| self.y[row]);
        let mass_out_kg: Vec<f64> = totals.mass_out.iter().map(out).collect();
        let (mass, energy) = self.contents();
        let mass_in_kg = self.y[totals.mass_in];
        let out_kg: f64 = mass_out_kg.iter().sum();
        let mass_residual_kg = mass - self.initial.0 - mass_in_kg + out_kg;
        let (came, left, heat_j) = (
            self.y[totals.enthalpy_in],
            self.y[totals.enthalpy_out],
            self.y[totals.heat],
        );
        let energy_residual_j = energy - self.initial.1 - came + left - heat_j;
        let mass_scale = mass
            .max(self.initial.0)
            .max(mass_in_kg)
            .max(f64::MIN_POSITIVE);
        let energy_scale = [came, left, heat_j, energy - self.initial.1]
            .iter()
            .fold(1.0, |m: f64, x| m.max(x.abs()));
        Balance {
            mass_in_kg,
            mass_out_kg,
            mass_residual_kg,
            mass_residual: mass_residual_kg / mass_scale,
            energy_residual_j,
            energy_residual: energy_residual_j / energy_scale,
            heat_j,
            work_j: self.y[totals.work],
        }
    }

    /// Why the integrator could not go on, in terms of the plant.
    pub(super) fn explain(&self, stalled: Stalled) -> StopReason {
        let vessels = 0..self.plant.vessels.len();
        let reading = |i: usize| self.read_vessel(i, &self.y);
        let upper = |i: &usize| reading(*i).p_pa > HIGH_PA || reading(*i).t_k > HOT_K;
        let lost = |i: &usize| reading(*i).t_k.is_nan();
        let coldest = |a: &usize, b: &usize| reading(*a).t_k.total_cmp(&reading(*b).t_k);
        let outside = vessels
            .clone()
            .find(lost)
            .or_else(|| vessels.clone().find(upper))
            .or_else(|| vessels.min_by(coldest));
        match (stalled, outside) {
            (Stalled::NoRates | Stalled::StepTooSmall, Some(i)) => {
                let reading = reading(i);
                let cold = reading.t_k.is_nan() || reading.t_k < COLD_K;
                if stalled == Stalled::StepTooSmall && !cold && !upper(&i) {
                    return StopReason::StepTooSmall { t_s: self.t_s };
                }
                StopReason::GasOutOfRange {
                    vessel: self.plant.vessels[i].name.clone(),
                    p_pa: reading.p_pa,
                    t_k: reading.t_k,
                }
            }
            _ => StopReason::StepTooSmall { t_s: self.t_s },
        }
    }
}
