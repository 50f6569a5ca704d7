//! What a command comes to: a text and an exit status, or a failure with its remedy.

use std::process::ExitCode;

use serde_json::Value;

use crate::cli::terminal::harmless;
use crate::usecase::Trouble;
use crate::usecase::as_json::error;

/// What came of a command.
pub type Done = Result<Answer, Failure>;

/// Exit statuses.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Exit {
    /// As asked, nothing found.
    Fine = 0,
    /// Findings, or a refusal.
    Findings = 1,
    /// Input that cannot be used.
    BadInput = 2,
}

impl From<Exit> for ExitCode {
    fn from(exit: Exit) -> ExitCode {
        ExitCode::from(exit as u8)
    }
}

/// Something to print.
pub struct Answer {
    /// For the standard output, with its last line break.
    pub text: String,
    /// The exit status.
    pub exit: Exit,
}

impl Answer {
    /// An answer with nothing amiss.
    pub fn fine(text: String) -> Answer {
        Answer {
            text,
            exit: Exit::Fine,
        }
    }

    /// A JSON value as an answer.
    pub fn json(value: &impl serde::Serialize, exit: Exit) -> Done {
        let text = serde_json::to_string_pretty(value).map_err(|error| {
            let what = format!("the answer cannot be written as JSON: {error}");
            Failure::from(Trouble::new(what, "ask without --json"))
        })?;
        Ok(Answer {
            text: text + "\n",
            exit,
        })
    }
}

/// Why there is no answer.
#[derive(Debug)]
pub struct Failure {
    /// The exit status.
    exit: Exit,
    /// `error`, or `refused`.
    word: &'static str,
    /// What is wrong, one by one.
    troubles: Vec<Trouble>,
    /// Problems in a file, as text to stand before the rest and as JSON.
    problems: Option<(String, Value)>,
}

impl From<Trouble> for Failure {
    fn from(trouble: Trouble) -> Failure {
        vec![trouble].into()
    }
}

impl From<Vec<Trouble>> for Failure {
    fn from(troubles: Vec<Trouble>) -> Failure {
        Failure {
            exit: Exit::BadInput,
            word: "error",
            troubles,
            problems: None,
        }
    }
}

impl Failure {
    /// Something that is not done, on purpose.
    pub fn refused(trouble: Trouble) -> Failure {
        Failure {
            exit: Exit::Findings,
            word: "refused",
            ..trouble.into()
        }
    }

    /// The same, with the problems of a file: as text, and as JSON.
    pub fn with_problems(self, text: String, json: Value) -> Failure {
        Failure {
            problems: Some((text, json)),
            ..self
        }
    }

    /// The exit status.
    pub fn exit(&self) -> Exit {
        self.exit
    }

    /// For people.
    pub fn text(&self) -> String {
        let problems = self.problems.as_ref().map_or("", |(text, _)| text);
        let word = self.word;
        let one = |trouble: &Trouble| {
            let (what, remedy) = (harmless(&what(trouble)), harmless(&trouble.remedy));
            format!("{word}: {what}\n  help: {remedy}\n")
        };
        problems.to_owned() + &self.troubles.iter().map(one).collect::<String>()
    }

    /// For programs: `{"error": {"what", "remedy", "kind", "exit", ...}}`.
    pub fn json(&self) -> String {
        let problems = self.problems.as_ref().map(|(_, problems)| problems);
        let error = error(self.word, self.exit as u8, &self.troubles, what, problems);
        format!("{error:#}\n")
    }
}

/// What is wrong, with the option it is about before it.
fn what(trouble: &Trouble) -> String {
    match trouble.field {
        Some(field) => format!("--{field}: {}", trouble.what),
        None => trouble.what.clone(),
    }
}
