//! One run: in which air, and what of it is written into the answer.

use super::LoggedRun;
use super::answer::RunWater;
use super::carry::{Aired, Carry};
use super::path::Rebuilt;
use crate::forecast::request::{DrainPlan, ForecastError};
use crate::water::answer::Range;
use crate::water::{Plan, Walked, condensate_ml};
use quantity::Volume;

/// Vapour behind the separator rises by so much per kelvin (saturation pressure of water at 20 to
/// 40 °C, IAPWS: 6.2 to 5.3 %).
const VAPOUR_PER_K: f64 = 0.06;
/// How far the day's air may lie from the station file's where nobody read it, K: standard
/// (common practice, no source).
const UNREAD_K: f64 = 6.0;

impl<'a> Carry<'a> {
    /// The machine in the run's air; says what of it had to be assumed.
    pub fn air_of(
        &self,
        run: &LoggedRun,
        notes: &mut Vec<String>,
    ) -> Result<Aired<'a>, ForecastError> {
        let station = self.prepared.station();
        let unread = run.intake_temperature.is_none();
        let mut missing = Vec::new();
        if unread {
            missing.push("temperature");
        }
        if run.humidity.is_none() {
            missing.push("humidity");
        }
        if !missing.is_empty() {
            let what = missing.join(" and ");
            notes.push(format!(
                "{what} of the air were not read: the station file's"
            ));
        }
        if run.drains.is_none() {
            notes.push("no drain was written down: taken as drained when due".into());
        }
        let tower = run
            .tower_start
            .filter(|tower| tower.as_bar() >= 0.0)
            .unwrap_or(self.prepared.tower_start);
        let ambient = run.intake_temperature.unwrap_or(station.intake.temperature);
        let prepared = self.prepared.in_air(ambient.as_kelvin(), tower);
        let humidity = run.humidity.unwrap_or(station.intake.humidity);
        let plan = Plan::Asked(DrainPlan::WhenDue);
        let wet = self.wet.in_air(&prepared, humidity, plan)?;
        Ok(Aired {
            prepared,
            wet,
            humidity,
            unread,
        })
    }

    pub fn record(
        &mut self,
        run: &LoggedRun,
        aired: &Aired,
        rebuilt: &Rebuilt,
        walked: &Walked,
        crept_in_g: Option<Range>,
        notes: Vec<String>,
    ) {
        let water = &walked.water;
        let off_k = if aired.unread {
            UNREAD_K
        } else {
            0.5 * self
                .prepared
                .station()
                .tolerances
                .intake_temperature
                .as_kelvin()
        };
        let parts = [water.uncertainty, rebuilt.doubt, VAPOUR_PER_K * off_k];
        let uncertainty = parts.iter().map(|u| u * u).sum::<f64>().sqrt();
        self.doubt_g += uncertainty * water.to_purifier_g;
        let b = &mut self.balance;
        b.intake_g += water.intake_g;
        b.separator_g += water.separator_g;
        b.to_purifier_g += water.to_purifier_g;
        b.kept_g += walked.kept_g;
        b.to_cylinders_g += water.to_cylinder_g.unwrap_or(0.0);
        self.running_s += rebuilt.ran_s;
        self.air_kg += rebuilt.air_kg;
        self.ended_day = Some(run.start_day + rebuilt.ran_s / 86_400.0);
        let volumes = || run.drains.iter().flatten().filter_map(|d| d.volume);
        let drained_ml = volumes()
            .next()
            .map(|_| volumes().map(Volume::as_millilitre).sum());
        self.runs.push(RunWater {
            name: run.name.clone(),
            start_day: run.start_day,
            ran_min: rebuilt.ran_s / 60.0,
            expected_min: rebuilt.expected_s.map(|s| s / 60.0),
            air_kg: rebuilt.air_kg,
            intake_c: aired.prepared.ambient_k - 273.15,
            humidity: aired.humidity.as_ratio(),
            intake_g: water.intake_g,
            condensate_ml: condensate_ml(water.separator_g),
            drained_ml,
            overflow_g: water.overflow_g,
            to_purifier_g: water.to_purifier_g,
            crept_in_g,
            held_g: self.bed.held_kg() * 1e3,
            uncertainty,
            notes,
        });
    }
}
