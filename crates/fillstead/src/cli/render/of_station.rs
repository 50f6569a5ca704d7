//! An answer drawn from a station file, as JSON.
//!
//! Not here: the answers' own fields, which each command hands over.

use serde::Serialize;
use serde_json::Value;

use crate::cli::render::{assumed, problems};
use crate::usecase::station::StationFile;

/// The answer's own fields, then what the station file left open or warned of.
#[derive(Serialize)]
pub struct OfStation<T> {
    #[serde(flatten)]
    answer: T,
    station_assumed: Value,
    station_problems: Value,
}

impl<T> OfStation<T> {
    /// This answer, drawn from this file.
    pub fn new(answer: T, file: &StationFile) -> OfStation<T> {
        OfStation {
            answer,
            station_assumed: assumed::json(&file.reading.assumed),
            station_problems: problems::json(file),
        }
    }
}
