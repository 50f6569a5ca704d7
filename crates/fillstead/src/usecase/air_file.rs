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
    let text = file::read_as(path, "file of results").map_err(one)?;
    let own_text = own.map(|path| file::read_as(path, "standard of your own"));
    let own_text = own_text
        .transpose()
        .map_err(|trouble| one(trouble.about("own")))?;
    let name = |path: &Path| path.display().to_string();
    let names = (name(path), own.map(name));
    judge(
        &text,
        own_text.as_deref(),
        (&names.0, names.1.as_deref()),
        asked,
    )
}

/// Judges results that are at hand, and what people call them.
pub fn judged_text(
    text: &str,
    called: &str,
    own: Option<&str>,
    asked: &Asked,
) -> Result<AirReport, Vec<Trouble>> {
    judge(text, own, (called, own.map(|_| "own")), asked)
}

fn judge(
    text: &str,
    own: Option<&str>,
    names: (&str, Option<&str>),
    asked: &Asked,
) -> Result<AirReport, Vec<Trouble>> {
    let today = today(asked.today.as_deref()).map_err(|trouble| vec![trouble])?;
    let told = |problems: Vec<AirProblem>| {
        let one = |problem| trouble(problem, names.0, names.1);
        problems.into_iter().map(one).collect()
    };
    judge_file(text, asked.standard.as_deref(), own, Some(today)).map_err(told)
}

/// The same with the file or option it is about.
fn trouble(problem: AirProblem, path: &str, own: Option<&str>) -> Trouble {
    let place = match (problem.text, own) {
        (Text::OwnStandard, Some(own)) => own,
        _ => path,
    };
    let what = match problem.line {
        Some(line) => format!("line {line} of {}: {}", place, problem.cause),
        None => problem.cause,
    };
    let trouble = Trouble::new(what, problem.remedy);
    match problem.text {
        Text::Results => trouble,
        Text::OwnStandard => trouble.about("own"),
        Text::StandardName => trouble.about("standard"),
    }
}
