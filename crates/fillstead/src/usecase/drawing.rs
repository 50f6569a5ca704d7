//! A station as a drawing: its air path with symbols.
//!
//! Not here: the drawing itself ([`crate::draw`]).

use std::path::Path;

use station::Station;

use crate::draw::Drawing;
use crate::draw::schematic::{self, wide};
use crate::usecase::Trouble;
use crate::usecase::station::StationFile;

/// A station drawn.
pub struct Answer {
    /// The station file, usable.
    pub file: StationFile,
    /// Its name.
    pub station: String,
    /// Whether the file says of itself that its station is invented.
    pub invented: bool,
    /// The drawing.
    pub drawing: Drawing,
    /// The same as rows: number, part, setting.
    pub table: crate::draw::Table,
}

/// Why there is no drawing.
pub enum Unanswered {
    /// The file cannot be read.
    Trouble(Trouble),
    /// The station file has errors.
    Unusable(Box<StationFile>),
}

/// Draws the air path of the station in this file.
pub fn air_path(path: &Path) -> Result<Answer, Unanswered> {
    let file = StationFile::open(path).map_err(Unanswered::Trouble)?;
    let Some(station) = file.station() else {
        return Err(Unanswered::Unusable(Box::new(file)));
    };
    let Station { name, invented, .. } = station;
    Ok(Answer {
        station: name.clone(),
        invented: *invented,
        drawing: wide(station, &[], PAGE),
        table: schematic::table(station),
        file,
    })
}

/// Width a file is drawn for: a sheet of paper lying, px.
const PAGE: f64 = 1040.0;
