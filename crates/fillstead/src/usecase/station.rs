//! The station file: read and judged, or begun.

use std::path::Path;

use station::{Answers, Problem, Reading, Severity, Station};

use crate::usecase::{Trouble, file};

/// A station file as found.
pub struct StationFile {
    /// Its name as typed.
    pub name: String,
    /// Its text.
    pub text: String,
    /// What it says, what is wrong with it, what is assumed.
    pub reading: Reading,
}

impl StationFile {
    /// Reads the file, problems and all.
    pub fn open(path: &Path) -> Result<StationFile, Trouble> {
        let text = file::read_text(path)?;
        let name = if path == Path::new("-") {
            "standard input".to_owned()
        } else {
            path.display().to_string()
        };
        Ok(StationFile::of_text(name, text))
    }

    /// The same of a text that is at hand.
    pub fn of_text(name: impl Into<String>, text: impl Into<String>) -> StationFile {
        let text = text.into();
        StationFile {
            name: name.into(),
            reading: station::read(&text),
            text,
        }
    }

    /// How many errors it has.
    pub fn errors(&self) -> usize {
        self.count(Severity::Error)
    }

    /// How many warnings it has.
    pub fn warnings(&self) -> usize {
        self.count(Severity::Warning)
    }

    /// The station, if the file can be used.
    pub fn station(&self) -> Option<&Station> {
        self.reading.usable()
    }

    fn count(&self, severity: Severity) -> usize {
        self.reading
            .problems
            .iter()
            .filter(|p| p.severity == severity)
            .count()
    }
}

/// The text of a new station file; everything that does not fit together where it does not.
pub fn begin(answers: &Answers) -> Result<String, Vec<Trouble>> {
    let trouble = |Problem {
                       message, remedy, ..
                   }| Trouble::new(message, remedy);
    station::new_file(answers).map_err(|problems| problems.into_iter().map(trouble).collect())
}
