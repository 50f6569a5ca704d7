//! A run's minutes as a charging rate that neither the cylinders nor the weather move.
//!
//! How fast a machine fills depends on the pressures, the tower, the cylinders' heat and the
//! density of the air drawn in. All of that is in the forecast of the same run, so the plainest
//! measure is its minutes over the minutes written down. Not here: its trend
//! ([`super::trend()`]).

use super::Point;
use super::limits::gauge_uncertainty;
use crate::forecast::recorded;
use crate::forecast::request::ForecastError;
use crate::logged::LoggedRun;
use physics::gas::{Composition, Gas};
use physics::moist::Moist;
use physics::water::weather_phase;
use quantity::{Fraction, Quantity as _, Temperature};
use serde::Serialize;
use station::{Reads, Station};

/// Standard uncertainty of a time written down, min: to the minute at both ends (common practice,
/// no source).
const CLOCK_MIN: f64 = 0.4;
/// Standard uncertainty of a gauge that the station file does not describe, Pa.
const NO_GAUGE_PA: f64 = 4e5;

/// The charging rate of one run.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RatePoint {
    /// The run.
    pub name: String,
    /// When it began, days.
    pub day: f64,
    /// What the machine took, min.
    pub measured_min: f64,
    /// What the station as described takes for the same, min.
    pub forecast_min: f64,
    /// Air drawn in over what the station as described draws in, by volume at the intake: 1 as
    /// described, lower for a slower machine.
    pub rate_ratio: f64,
    /// Its standard uncertainty.
    pub standard_uncertainty: f64,
    /// Dry air delivered, kg: into cylinders, tower and whip.
    pub air_kg: f64,
    /// Mean volume drawn in, L/min, at the pressure, temperature and humidity of that day's air.
    pub free_air_l_min: f64,
    /// Mean dry air delivered, kg/min.
    pub air_kg_min: f64,
    /// The same had the intake air been as the station file says.
    pub air_kg_min_at_station_intake: f64,
    /// What was taken for granted.
    pub assumed: Vec<String>,
}

impl RatePoint {
    /// As a reading of [`Setting::ChargingRate`](super::Setting::ChargingRate).
    pub fn point(&self, running_h: Option<f64>) -> Point {
        Point {
            day: self.day,
            running_h,
            value: self.rate_ratio,
            standard_uncertainty: self.standard_uncertainty,
        }
    }
}

/// The charging rate of a recorded run against the forecast of the same.
///
/// rate ratio = t_forecast / t_measured · (1 − y_station) / (1 − y_run)
///
/// The forecast has the day's temperature; the last factor is for the water vapour drawn in with
/// the air (mole fraction y), which goes down the drain. Its relative uncertainty has the gauges
/// at both ends (√2·u/Δp), the clock, the cylinders' volumes and the intake's temperature.
///
/// **Errors** a run without minutes or fills, or one that the station as described cannot do.
pub fn measured_rate(station: &Station, run: &LoggedRun) -> Result<RatePoint, ForecastError> {
    let Some(ran) = run.ran.filter(|ran| ran.as_second() >= 60.0) else {
        return Err(ForecastError::Unfit {
            what: format!("run {} has no time to tell a rate by", run.name),
            remedy: "Write down when the machine was started and stopped".into(),
        });
    };
    let forecast = recorded(station, run)?;
    let intake = Intake::of(station)?;
    let t = run.intake_temperature.unwrap_or(station.intake.temperature);
    let humidity = run.humidity.unwrap_or(station.intake.humidity);
    let (then, rated) = (
        intake.dry_kg_m3(t, humidity)?,
        intake.dry_kg_m3(station.intake.temperature, station.intake.humidity)?,
    );
    let (measured_min, forecast_min) = (ran.as_minute(), forecast.ran_s / 60.0);
    // the forecast knows the temperature of the day and the humidity of the file
    let as_forecast = intake.dry_kg_m3(t, Fraction::percent(0.0))?
        * intake.dry_share(station.intake.temperature, station.intake.humidity)?;
    let rate_ratio = forecast_min / measured_min * as_forecast / then;
    let air_kg_min = forecast.delivered_kg / measured_min;
    Ok(RatePoint {
        name: run.name.clone(),
        day: run.start_day,
        measured_min,
        forecast_min,
        rate_ratio,
        standard_uncertainty: rate_ratio * doubt(station, run, measured_min),
        air_kg: forecast.delivered_kg,
        free_air_l_min: air_kg_min / then * 1e3,
        air_kg_min,
        air_kg_min_at_station_intake: air_kg_min * rated / then,
        assumed: forecast.assumed,
    })
}

/// Relative standard uncertainty.
fn doubt(station: &Station, run: &LoggedRun, measured_min: f64) -> f64 {
    let gauge = gauge_uncertainty(station, Reads::Line)
        .or_else(|| gauge_uncertainty(station, Reads::Tower))
        .unwrap_or(NO_GAUGE_PA);
    let volume: f64 = run.fills.iter().map(|f| f.water_volume.si()).sum();
    let gained: f64 = run
        .fills
        .iter()
        .map(|f| f.water_volume.si() * (f.to.si() - f.from.si()))
        .sum();
    let t = &station.tolerances;
    let parts = [
        std::f64::consts::SQRT_2 * gauge * volume / gained,
        CLOCK_MIN / measured_min,
        0.5 * t.volume.as_ratio() / (run.fills.len() as f64).sqrt(),
        0.5 * t.intake_temperature.as_kelvin() / 293.0,
    ];
    parts.iter().map(|u| u * u).sum::<f64>().sqrt()
}

/// The air at the intake.
struct Intake {
    gas: Gas,
    moist: Moist,
    p_pa: f64,
}

impl Intake {
    fn of(station: &Station) -> Result<Intake, ForecastError> {
        let gas = Gas::new(Composition::dry_air());
        Ok(Intake {
            moist: Moist::new(&gas)?,
            gas,
            p_pa: station.ambient_pressure.as_pascal(),
        })
    }

    /// Mole fraction of dry air in the air drawn in.
    fn dry_share(&self, t: Temperature, humidity: Fraction) -> Result<f64, ForecastError> {
        let t_k = t.as_kelvin();
        let y =
            self.moist
                .mole_fraction(self.p_pa, t_k, humidity.as_ratio(), weather_phase(t_k))?;
        Ok(1.0 - y)
    }

    /// Dry air in a cubic metre drawn in, kg: at weather pressure an ideal mixture.
    fn dry_kg_m3(&self, t: Temperature, humidity: Fraction) -> Result<f64, ForecastError> {
        let rho = self.gas.state_p_t(self.p_pa, t.as_kelvin())?.rho;
        Ok(rho * self.dry_share(t, humidity)?)
    }
}
