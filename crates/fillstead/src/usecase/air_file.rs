//! An air test on the disk judged by a standard, today.
//!
//! Not here: what stands in the file ([`super::air`]) and the limits ([`insight::air`]).

use std::path::Path;

use crate::usecase::air::{AirProblem, AirReport, Text, judge_file};
use crate::usecase::clock::today;
use crate::usecase::{Trouble, file};

/// What is asked, as typed.
#[derive(Clone, Debug, Default)]
pub struct Asked {
    /// Name of the standard.
    pub standard: Option<String>,
    /// The day.
    pub today: Option<String>,
}

/// Judges the results in this file.
pub fn judged(path: &Path, own: Option<&Path>, asked: &Asked) -> Result<AirReport, Vec<Trouble>> {
    let one = |trouble: Trouble| vec![trouble];
    let today = today(asked.today.as_deref()).map_err(one)?;
    let text = file::read_as(path, "file of results").map_err(one)?;
    let own_text = own.map(|path| file::read_as(path, "standard of your own"));
    let own_text = own_text
        .transpose()
        .map_err(|trouble| one(trouble.about("own")))?;
    let standard = asked.standard.as_deref();
    judge_file(&text, standard, own_text.as_deref(), Some(today)).map_err(|problems| {
        problems
            .into_iter()
            .map(|p| trouble(p, path, own))
            .collect()
    })
}

/// The same with the file or option it is about.
fn trouble(problem: AirProblem, path: &Path, own: Option<&Path>) -> Trouble {
    let place = match (problem.text, own) {
        (Text::OwnStandard, Some(own)) => own,
        _ => path,
    };
    let what = match problem.line {
        Some(line) => format!("line {line} of {}: {}", place.display(), problem.cause),
        None => problem.cause,
    };
    let trouble = Trouble::new(what, problem.remedy);
    match problem.text {
        Text::Results => trouble,
        Text::OwnStandard => trouble.about("own"),
        Text::StandardName => trouble.about("standard"),
    }
}
