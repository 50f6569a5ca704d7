//! Letting a station's air out: from a station file to times, pushes and what stays.
//!
//! Not here: the computation ([`insight::vent`]).

use std::path::Path;

use insight::vent::answer::VentAnswer;
use insight::vent::{VentRequest, vent};
use quantity::{GaugePressure, Length, Temperature};

use crate::usecase::Trouble;
use crate::usecase::forecast::{Unanswered, tower_can_be_at, unanswered};
use crate::usecase::station::StationFile;
use crate::usecase::trouble::within;

/// What is asked, as typed; empty fields take the station's figures.
#[derive(Clone, Debug, Default)]
pub struct Asked {
    /// Tower gauge at the start.
    pub tower: Option<String>,
    /// Pressure in the whip at the start.
    pub line: Option<String>,
    /// Air around the machine.
    pub temperature: Option<String>,
    /// Bore of a fill hose.
    pub hose_bore: Option<String>,
    /// Narrowest passage of a cylinder's own valve.
    pub valve_bore: Option<String>,
}

/// An answer with what it was made from.
pub struct Answer {
    /// The station file, usable.
    pub file: StationFile,
    /// What letting its air out takes.
    pub vent: VentAnswer,
}

/// Follows every way out of the station in this file.
pub fn vent_file(path: &Path, asked: &Asked) -> Result<Answer, Unanswered> {
    vent_of(StationFile::open(path)?, asked)
}

/// Follows every way out of the station in a file already read.
pub fn vent_of(file: StationFile, asked: &Asked) -> Result<Answer, Unanswered> {
    let Some(station) = file.station() else {
        return Err(Unanswered::Unusable(Box::new(file)));
    };
    let request = asked.request()?;
    tower_can_be_at(station, request.tower)?;
    let vent = vent(station, &request).map_err(unanswered)?;
    Ok(Answer { file, vent })
}

impl Asked {
    fn request(&self) -> Result<VentRequest, Trouble> {
        let dial = |field, text: &Option<String>| {
            let (none, most) = (GaugePressure::bar(0.0), GaugePressure::bar(450.0));
            optional(text, |t| Ok(within(field, t, none, most)?.value))
        };
        let bore = |field, text: &Option<String>| {
            let (least, most) = (Length::millimetre(0.05), Length::millimetre(50.0));
            optional(text, |t| Ok(within(field, t, least, most)?.value))
        };
        let (cold, hot) = (Temperature::celsius(-40.0), Temperature::celsius(60.0));
        Ok(VentRequest {
            tower: dial("tower", &self.tower)?,
            line: dial("line", &self.line)?,
            temperature: optional(&self.temperature, |t| {
                Ok(within("temperature", t, cold, hot)?.value)
            })?,
            hose_bore: bore("hose-bore", &self.hose_bore)?,
            valve_bore: bore("valve-bore", &self.valve_bore)?,
        })
    }
}

fn optional<T>(
    text: &Option<String>,
    read: impl Fn(&str) -> Result<T, Trouble>,
) -> Result<Option<T>, Trouble> {
    text.as_deref().map(read).transpose()
}
