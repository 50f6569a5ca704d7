//! Hours the cartridge has left in today's air.

use super::carry::{Carry, Today, pass};
use super::path::rebuild;
use super::{LoggedFill, LoggedRun};
use crate::assemble::{Prepared, water_volume};
use crate::forecast::request::ForecastError;
use crate::water::answer::Range;
use quantity::{GaugePressure, Volume};

/// Hours left are counted on runs like the last ones: so many of them.
const LIKE_LAST: usize = 10;

impl Carry<'_> {
    /// Hours left in today's air on runs like the last ones; the range of what it holds widens
    /// that of the bed itself, by the hours its grams are worth.
    pub fn hours_left(
        &self,
        runs: &[LoggedRun],
        today: &Today,
        held: &Range,
    ) -> Result<(Range, &'static str), ForecastError> {
        let since = &runs[self.first.min(runs.len())..];
        let mut like: Vec<LoggedRun> = since.iter().rev().take(LIKE_LAST).cloned().collect();
        like.retain(|run| run.ran.is_some() || !run.fills.is_empty());
        if like.is_empty() {
            like.push(ordinary(self.prepared)?);
        }
        let mut rehearsal = self.fresh.clone();
        rehearsal.begin_run();
        let (mut ran_s, mut brought_g) = (0.0, 0.0);
        for run in &mut like {
            run.intake_temperature = today.intake_temperature;
            run.humidity = today.humidity;
            let aired = self.air_of(run, &mut Vec::new())?;
            if let Some(rebuilt) = rebuild(&aired.prepared, run)? {
                let walked = pass(&aired.prepared, &aired.wet, &rebuilt, &mut rehearsal)?;
                ran_s += rebuilt.ran_s;
                brought_g += walked.water.to_purifier_g;
            }
        }
        let (bed, mostly) = self
            .bed
            .clone()
            .remaining_like(self.wet.moist(), &rehearsal)?;
        // hours of the bed count the bleeds too; nobody's hour meter does
        let meter = ran_s / rehearsal.met().seconds.max(1.0);
        let grams_h = brought_g / (ran_s / 3600.0).max(1e-9);
        let worth = |grams: f64| grams / grams_h.max(1e-9);
        let range = Range {
            low: (bed.low * meter - worth(held.high - held.mid)).max(0.0),
            mid: bed.mid * meter,
            high: bed.high * meter + worth(held.mid - held.low),
        };
        Ok((range, mostly))
    }
}

/// The run a new cartridge is counted on: the station's first kind of cylinder from a quarter of
/// its pressure.
fn ordinary(prepared: &Prepared) -> Result<LoggedRun, ForecastError> {
    let station = prepared.station();
    let kind = station.cylinder_kinds.first();
    let working = station.compressor.working_pressure;
    let rated = kind.map_or(working, |k| k.vessel.working_pressure.value);
    let to = GaugePressure::bar(rated.as_bar().min(working.as_bar()));
    let water_volume = match kind {
        Some(kind) => water_volume(&prepared.gas, &kind.vessel)?,
        None => Volume::litre(10.0),
    };
    Ok(LoggedRun {
        name: "an ordinary run".into(),
        start_day: 0.0,
        ran: None,
        intake_temperature: None,
        humidity: None,
        tower_start: None,
        fills: vec![LoggedFill {
            id: "an ordinary cylinder".into(),
            water_volume,
            from: GaugePressure::bar(0.25 * to.as_bar()),
            to,
            settled: None,
        }],
        drains: None,
        stood_days: None,
        stood_tower: None,
        fresh_cartridge: false,
    })
}
