//! What a run will do: from a station file and some wishes to a forecast.

use std::path::Path;

use insight::forecast::answer::Forecast;
use insight::forecast::forecast;
use insight::forecast::request::{ForecastError, Request};
use insight::ladder::Ladder;

use quantity::GaugePressure;
use station::Station;

use crate::draw::trace::{self, Medium, Trace};
use crate::usecase::Trouble;
use crate::usecase::station::StationFile;
pub use crate::usecase::wishes::Wishes;

/// A forecast with what it was made from.
pub struct Answer {
    /// The station file, usable.
    pub file: StationFile,
    /// What was asked.
    pub request: Request,
    /// The faults asked for, as typed.
    pub faults: Vec<String>,
    /// The forecast.
    pub forecast: Forecast,
}

impl Answer {
    /// The gauges through time, as an SVG that stands alone.
    pub fn svg(&self) -> String {
        let Some(station) = self.file.station() else {
            return String::new();
        };
        let trace = Trace {
            forecast: &self.forecast,
            ladder: &Ladder::of(station),
            units: station.units,
            readings: &[],
            measured: &[],
        };
        trace::draw(&trace, Medium::Screen).standalone()
    }
}

/// Why there is no forecast.
pub enum Unanswered {
    /// The input does not do.
    Trouble(Trouble),
    /// The station file has errors.
    Unusable(Box<StationFile>),
    /// It must not be done, so it is not forecast either.
    Refused(Trouble),
}

impl From<Trouble> for Unanswered {
    fn from(trouble: Trouble) -> Unanswered {
        Unanswered::Trouble(trouble)
    }
}

/// Forecasts a run; `progress` is told how many runs of the ensemble are done.
pub fn forecast_run(
    path: &Path,
    wishes: &Wishes,
    progress: &(dyn Fn(usize) + Sync),
) -> Result<Answer, Unanswered> {
    forecast_of(StationFile::open(path)?, wishes, progress)
}

/// Forecasts a run of the station in a file already read.
pub fn forecast_of(
    file: StationFile,
    wishes: &Wishes,
    progress: &(dyn Fn(usize) + Sync),
) -> Result<Answer, Unanswered> {
    let Some(station) = file.station() else {
        return Err(Unanswered::Unusable(Box::new(file)));
    };
    let (request, forecast) = forecast_station(station, wishes, progress)?;
    Ok(Answer {
        file,
        request,
        faults: wishes.faults.clone(),
        forecast,
    })
}

/// The same for a station at hand.
pub fn forecast_station(
    station: &Station,
    wishes: &Wishes,
    progress: &(dyn Fn(usize) + Sync),
) -> Result<(Request, Forecast), Unanswered> {
    let request = wishes.request(station.units)?;
    tower_can_be_at(station, request.tower.or(station.now.tower))?;
    let forecast = forecast(station, &request, progress).map_err(unanswered)?;
    Ok((request, forecast))
}

/// No tower stands above the pressure at which its relief valve lifts.
pub(super) fn tower_can_be_at(
    station: &Station,
    tower: Option<GaugePressure>,
) -> Result<(), Trouble> {
    let working = station.compressor.working_pressure;
    let (most, why) = match &station.relief {
        Some(relief) => (relief.lifts, "at which its relief valve lifts"),
        None => (working, "the compressor's working pressure"),
    };
    let Some(tower) = tower.filter(|tower| *tower > most) else {
        return Ok(());
    };
    let shown = |p| quantity::show(p, station.units.preferred::<GaugePressure>(), 0);
    let what = format!(
        "the tower cannot stand at {}: that is above {}, {why}",
        shown(tower),
        shown(most)
    );
    Err(Trouble::new(
        what,
        "read the gauge and its unit again, and the figure in the file",
    )
    .about("tower"))
}

/// A sentence as the part of one: without its capital.
pub fn clause(sentence: &str) -> String {
    let mut letters = sentence.chars();
    match letters.next() {
        Some(first) if letters.as_str().starts_with(char::is_lowercase) => {
            first.to_lowercase().chain(letters).collect()
        }
        _ => sentence.to_owned(),
    }
}

/// The same as trouble, refusals too: for answers that need a forecast on their way.
pub(super) fn trouble_of(error: ForecastError) -> Trouble {
    match unanswered(error) {
        Unanswered::Trouble(trouble) | Unanswered::Refused(trouble) => trouble,
        Unanswered::Unusable(file) => Trouble::new(
            format!("{} has errors", file.name),
            "correct the station file first",
        ),
    }
}

pub(super) fn unanswered(error: ForecastError) -> Unanswered {
    match error {
        ForecastError::Refused { why, way_forward } => {
            Unanswered::Refused(Trouble::new(why, clause(&way_forward)))
        }
        ForecastError::Unfit { what, remedy } => Trouble::new(what, clause(&remedy)).into(),
        ForecastError::Machine(cause) => Trouble::new(
            format!("the machine as described cannot be computed: {cause}"),
            "check [compressor] in the station file",
        )
        .into(),
        ForecastError::Plant(cause) => Trouble::new(
            format!("the station as described cannot be run: {cause}"),
            "check the station file",
        )
        .into(),
        ForecastError::Moist(_) | ForecastError::Water(_) => Trouble::new(
            error.to_string(),
            "check the air at the intake and the pressures in the station file",
        )
        .into(),
        ForecastError::Purifier(cause) => Trouble::new(
            format!("the purifier as described cannot be computed: {cause}"),
            "check [purifier] and its beds in the station file",
        )
        .into(),
        ForecastError::Gas(cause) => Trouble::new(
            format!("the gas model has no answer for this station: {cause}"),
            "check temperatures and pressures in the station file and in what you asked",
        )
        .into(),
    }
}
