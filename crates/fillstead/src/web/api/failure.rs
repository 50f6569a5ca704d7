//! Why there is no answer, for programs: the errors of the command line, and HTTP's number.

use axum::Json;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use serde_json::Value;

use crate::usecase::as_json::{error, problems};
use crate::usecase::diagnose::{Undone, line_trouble};
use crate::usecase::forecast::Unanswered;
use crate::usecase::station::StationFile;
use crate::usecase::{Trouble, audit};

/// Why there is no answer.
#[derive(Debug)]
pub struct Failure {
    /// HTTP's number.
    pub status: StatusCode,
    refused: bool,
    troubles: Vec<Trouble>,
    problems: Option<Value>,
}

impl Failure {
    /// A failure of this number.
    pub fn of(status: StatusCode, what: &str, remedy: &str) -> Failure {
        Failure {
            status,
            ..Trouble::new(what, remedy).into()
        }
    }

    /// The same with another number.
    pub fn with(self, status: StatusCode) -> Failure {
        Failure { status, ..self }
    }

    /// As it is sent.
    pub fn answer(&self) -> Response {
        let word = if self.refused { "refused" } else { "error" };
        let exit = if self.refused { 1 } else { 2 };
        let plain = |trouble: &Trouble| trouble.what.clone();
        let value = error(word, exit, &self.troubles, plain, self.problems.as_ref());
        answered(self.status, &value)
    }
}

impl From<Trouble> for Failure {
    fn from(trouble: Trouble) -> Failure {
        vec![trouble].into()
    }
}

impl From<Vec<Trouble>> for Failure {
    fn from(troubles: Vec<Trouble>) -> Failure {
        Failure {
            status: StatusCode::UNPROCESSABLE_ENTITY,
            refused: false,
            troubles,
            problems: None,
        }
    }
}

impl From<Unanswered> for Failure {
    fn from(unanswered: Unanswered) -> Failure {
        match unanswered {
            Unanswered::Trouble(trouble) => trouble.into(),
            Unanswered::Unusable(file) => unusable(&file),
            Unanswered::Refused(trouble) => Failure {
                status: StatusCode::CONFLICT,
                refused: true,
                ..trouble.into()
            },
        }
    }
}

impl From<Undone> for Failure {
    fn from(undone: Undone) -> Failure {
        match undone {
            Undone::Wrong { lines, troubles } => {
                let told = lines.iter().map(line_trouble);
                let mut all: Vec<Trouble> = told.map(|t| t.about("readings")).collect();
                all.extend(troubles);
                all.into()
            }
            Undone::Unusable(file) => unusable(&file),
            Undone::Refused(trouble) => Unanswered::Refused(trouble).into(),
        }
    }
}

impl From<audit::Unanswered> for Failure {
    fn from(unanswered: audit::Unanswered) -> Failure {
        match unanswered {
            audit::Unanswered::Trouble(trouble) => trouble.into(),
            audit::Unanswered::Unusable(file) => unusable(&file),
        }
    }
}

/// The station file has errors.
fn unusable(file: &StationFile) -> Failure {
    let remedy = "correct it, and add it to the book: `fillstead book add BOOK station FILE`";
    Failure {
        status: StatusCode::CONFLICT,
        problems: Some(problems(file)),
        ..Trouble::new("the book's station file has errors", remedy).into()
    }
}

/// A refusal that says one thing, with what to do.
pub fn refusal(status: StatusCode, sentence: &str) -> Response {
    let (what, remedy) = sentence
        .split_once(". ")
        .unwrap_or((sentence, "ask in another way"));
    Failure::of(status, what, remedy.trim_end_matches('.')).answer()
}

/// A value as it is sent.
pub fn answered(status: StatusCode, value: &Value) -> Response {
    (status, Json(value)).into_response()
}
