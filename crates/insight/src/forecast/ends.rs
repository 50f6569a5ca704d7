//! How each cylinder ends up: settled pressures, heat, air held.
//!
//! Not here: what happens on the way (see [`super::summary`]).

use super::answer::{Band, CylinderEnd};
use super::band::{band, band_of};
use super::job::Job;
use super::request::ForecastError;
use super::run::Run;
use super::summary::Reader;
use crate::assemble::{CylinderSpec, Prepared};
use physics::sim::VesselReading;
use quantity::Quantity as _;

/// Reference temperatures at which settled pressures are given, °C: the second is 70 °F.
const SETTLED_C: [f64; 2] = [15.0, 21.1];
const ZERO_C: f64 = 273.15;
/// Free litres are counted at 15 °C and 1 atm.
const FREE_PA: f64 = 101_325.0;

/// What the ends of all cylinders are made from.
pub(super) struct Ends<'a> {
    pub prepared: &'a Prepared<'a>,
    pub job: &'a Job,
    pub reader: &'a Reader<'a>,
    pub specified: &'a Run,
    pub runs: &'a [Run],
}

impl Ends<'_> {
    /// How cylinder `i` of the job ends up.
    pub fn end(&self, i: usize) -> Result<CylinderEnd, ForecastError> {
        let (spec, specified) = (&self.job.cylinders[i], self.specified);
        let vessel = specified.places.cylinders[i];
        let [cool, warm] = [
            self.settled(i, SETTLED_C[0])?,
            self.settled(i, SETTLED_C[1])?,
        ];
        let shut = &specified.shut[i].vessels[vessel];
        let gas = &self.prepared.gas;
        let begun = gas.state_p_t(self.prepared.absolute(spec.start), self.prepared.ambient_k)?;
        let free = gas.state_p_t(FREE_PA, SETTLED_C[0] + ZERO_C)?;
        let full = self
            .runs
            .iter()
            .filter_map(|r| r.full[i].as_ref())
            .map(|s| s.t_s)
            .collect();
        Ok(CylinderEnd {
            id: spec.id.clone(),
            kind: spec.kind.clone(),
            water_litres: spec.water.as_litre(),
            rated: spec.rated_text.clone(),
            rated_bar: spec.rated.as_bar(),
            start_bar: spec.start.as_bar(),
            stop_bar: spec.stop.as_bar(),
            full_s: specified.full[i].as_ref().map(|s| s.t_s),
            full: band_of(full, self.runs.len()),
            settled_bar_15c: cool.0,
            settled_bar_21c: warm.0,
            settled_15c: cool.1,
            settled_21c: warm.1,
            stop_for_rating_bar: stop_for_rating(self.prepared, spec, shut.t_k)?,
            reference_c: spec.reference_c,
            gas_c_max: self.hottest(i, |v| v.t_k),
            wall_c_max: self.hottest(i, |v| v.wall_k),
            fastest_bar_min: self.fastest(vessel),
            air_kg: shut.mass_kg,
            air_added_kg: shut.mass_kg - begun.rho * spec.water.si(),
            free_litres: shut.mass_kg / free.rho * 1e3,
        })
    }

    /// Settled at `c` °C: as specified, and in the ensemble.
    fn settled(&self, i: usize, c: f64) -> Result<(f64, Band), ForecastError> {
        let specified = self.settled_bar(self.specified, i, c)?;
        let values = self
            .runs
            .iter()
            .filter_map(|run| self.settled_bar(run, i, c).ok())
            .collect();
        Ok((specified, band(values).unwrap_or(Band::of(specified))))
    }

    /// Gauge pressure of a cylinder's air at rest at `c` °C: real gas, constant mass.
    fn settled_bar(&self, run: &Run, i: usize, c: f64) -> Result<f64, ForecastError> {
        let reading = &run.shut[i].vessels[run.places.cylinders[i]];
        let state = self
            .prepared
            .gas
            .state_rho_t(reading.mass_kg / run.volumes_m3[i], c + ZERO_C)?;
        Ok(self.prepared.gauge_bar(state.p_pa))
    }

    fn hottest(&self, i: usize, t_k: fn(&VesselReading) -> f64) -> f64 {
        let vessel = self.specified.places.cylinders[i];
        let seen = self
            .specified
            .samples
            .iter()
            .chain([&self.specified.shut[i]]);
        seen.map(|s| t_k(&s.vessels[vessel]))
            .fold(f64::NEG_INFINITY, f64::max)
            - ZERO_C
    }

    /// Fastest rise of a cylinder's pressure between samples, bar/min.
    fn fastest(&self, vessel: usize) -> f64 {
        self.specified
            .samples
            .windows(2)
            .map(|w| {
                let rise = self.reader.bar(&w[1], vessel) - self.reader.bar(&w[0], vessel);
                rise / (w[1].t_s - w[0].t_s) * 60.0
            })
            .fold(0.0, f64::max)
    }
}

/// What the gauge must show at gas temperature `gas_k` for the air to settle to
/// the rating at its reference temperature, bar.
pub(super) fn stop_for_rating(
    prepared: &Prepared,
    spec: &CylinderSpec,
    gas_k: f64,
) -> Result<f64, ForecastError> {
    let (gas, reference_k) = (&prepared.gas, spec.reference_c + ZERO_C);
    let rho = gas
        .state_p_t(prepared.absolute(spec.rated), reference_k)?
        .rho;
    Ok(prepared.gauge_bar(gas.state_rho_t(rho, gas_k)?.p_pa))
}
