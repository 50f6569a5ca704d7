//! What is wrong, how sure, and what to read next: readings in, a diagnosis out.
//!
//! Start at [`diagnose_file`], or [`diagnose_rows`] for lines at hand. Nothing is stored. Not here:
//! the computation ([`insight::diagnose`]), how its figures are said.

pub mod check;
pub mod from_run;
pub mod kept;
pub mod said;
pub mod sent;
pub mod text;
pub mod valve;

use std::path::Path;

use insight::diagnose::answer::{Diagnosis, Standing};
use insight::diagnose::diagnose;
use insight::diagnose::request::{Request, Row, RowProblem, read};
use station::Station;

use super::file::read_as;
use super::forecast::{Unanswered, tower_can_be_at, unanswered};
use super::station::StationFile;
use super::wishes::Wishes;
use crate::usecase::Trouble;

/// What is known beside the readings, as typed; empty fields take the station's figures.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Asked {
    /// `ID` or `ID@START`, in the order of filling.
    pub cylinders: Vec<String>,
    /// Tower gauge before the start.
    pub tower: Option<String>,
    /// Air at the intake.
    pub intake_temperature: Option<String>,
}

/// A diagnosis with what it was made from.
pub struct Answer {
    /// The station file, usable.
    pub file: StationFile,
    /// What was passed over in them, in parts of sentences.
    pub remarks: Vec<String>,
    /// The diagnosis.
    pub diagnosis: Diagnosis,
}

/// Why there is no diagnosis.
pub enum Undone {
    /// The input does not do.
    Wrong {
        /// Lines that cannot be used.
        lines: Vec<RowProblem>,
        /// What else is wrong.
        troubles: Vec<Trouble>,
    },
    /// The station file has errors.
    Unusable(Box<StationFile>),
    /// It is not done, on purpose.
    Refused(Trouble),
}

impl From<Trouble> for Undone {
    fn from(trouble: Trouble) -> Undone {
        vec![trouble].into()
    }
}

impl From<Vec<Trouble>> for Undone {
    fn from(troubles: Vec<Trouble>) -> Undone {
        Undone::Wrong {
            lines: Vec::new(),
            troubles,
        }
    }
}

/// Diagnoses the readings in a file; `-` is the standard input. `progress` is told how many runs
/// are done.
pub fn diagnose_file(
    station: &Path,
    readings: &Path,
    asked: &Asked,
    progress: &(dyn Fn(usize) + Sync),
) -> Result<Answer, Undone> {
    if station == Path::new("-") && readings == Path::new("-") {
        let what = "both files cannot come from the standard input";
        return Err(Trouble::new(what, "name one of them").into());
    }
    let file = StationFile::open(station)?;
    let text = read_as(readings, "list of readings")?;
    diagnose_text(file, &text, asked, progress)
}

/// Diagnoses readings written as text.
pub fn diagnose_text(
    file: StationFile,
    text: &str,
    asked: &Asked,
    progress: &(dyn Fn(usize) + Sync),
) -> Result<Answer, Undone> {
    let Some(station) = file.station() else {
        return Err(Undone::Unusable(Box::new(file)));
    };
    let lines = text::rows(text)?;
    let diagnosis = diagnose_rows(station, &lines.rows, asked, progress)?;
    Ok(Answer {
        file,
        remarks: lines.remarks,
        diagnosis,
    })
}

/// Diagnoses lines at hand.
pub fn diagnose_rows(
    station: &Station,
    rows: &[Row],
    asked: &Asked,
    progress: &(dyn Fn(usize) + Sync),
) -> Result<Diagnosis, Undone> {
    let request = request(station, rows, asked)?;
    diagnose(station, &request, progress).map_err(|error| undone(unanswered(error)))
}

/// The request meant.
pub fn request(station: &Station, rows: &[Row], asked: &Asked) -> Result<Request, Undone> {
    let wishes = Wishes {
        cylinders: asked.cylinders.clone(),
        tower: asked.tower.clone(),
        intake_temperature: asked.intake_temperature.clone(),
        ..Wishes::default()
    };
    let wished = wishes.request(station.units).and_then(|wished| {
        tower_can_be_at(station, wished.tower)?;
        Ok(wished)
    });
    // What is wrong is told all at once.
    match (read(station, rows), wished) {
        (Ok(readings), Ok(wished)) => Ok(Request {
            readings,
            cylinders: wished.cylinders,
            tower: wished.tower,
            intake_temperature: wished.intake_temperature,
        }),
        (readings, wished) => Err(Undone::Wrong {
            lines: readings.err().unwrap_or_default(),
            troubles: wished.err().into_iter().collect(),
        }),
    }
}

/// A line that cannot be used, as trouble: `line 4, reading: ...`.
pub fn line_trouble(problem: &RowProblem) -> Trouble {
    let what = format!("line {}, {}: {}", problem.line, problem.field, problem.what);
    Trouble::new(what, problem.remedy.clone())
}

/// Whether a person has something to look into.
pub fn found_something(diagnosis: &Diagnosis) -> bool {
    !matches!(diagnosis.standing, Standing::Sound | Standing::NoReadings)
}

/// Why there is none.
fn undone(why: Unanswered) -> Undone {
    match why {
        Unanswered::Trouble(trouble) => trouble.into(),
        Unanswered::Refused(trouble) => Undone::Refused(trouble),
        Unanswered::Unusable(file) => Undone::Unusable(file),
    }
}
