//! What programs can ask, as a table: address, inputs, answer, and what is called for it.

mod machine;
mod records;
mod writing;

use axum::http::StatusCode;
use serde::Serialize;
use serde_json::Value;

use super::asked::Asked;
use super::failure::Failure;
use crate::usecase::Trouble;
use crate::web::App;
use crate::web::person::Person;

/// How an operation is asked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verb {
    /// It reads.
    Get,
    /// It takes a JSON object.
    Post,
}

/// What kind of input.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// A text, with its unit where it is a figure.
    Text,
    /// A whole number.
    Whole,
    /// Yes or no.
    Flag,
    /// A text, as often as wanted.
    Several,
}

/// One input.
#[derive(Debug)]
pub struct Parameter {
    /// Its name: that of the command's option.
    pub name: &'static str,
    /// What it is, in a few words.
    pub about: &'static str,
    /// What may be given.
    pub example: &'static str,
    /// What kind it is.
    pub kind: Kind,
    /// Whether it must be given.
    pub needed: bool,
}

/// What is sent with a request.
#[derive(Clone, Copy, Debug)]
pub enum Body {
    /// Nothing.
    Nothing,
    /// These inputs.
    Fields(&'static [Parameter]),
    /// The fields of the form named in the address, and who and when.
    Form,
    /// The fields of a fill with its line, and who and when.
    Fill,
    /// The entry, why, and its fields as they should have been.
    Correction,
}

/// One operation.
pub struct Operation {
    /// How it is asked.
    pub verb: Verb,
    /// Where, below the root.
    pub path: &'static str,
    /// What it answers, in a line.
    pub about: &'static str,
    /// What may stand in the address after `?`.
    pub query: &'static [Parameter],
    /// What is sent with it.
    pub body: Body,
    /// The name of its answer's schema.
    pub answer: &'static str,
    /// What answers it.
    pub run: fn(&App, &Person, &Asked) -> Done,
}

/// What an operation comes to.
pub type Done = Result<(StatusCode, Value), Failure>;

/// Every operation.
pub static OPERATIONS: [Operation; 22] = [
    machine::STATION,
    machine::AUDIT,
    machine::FORECAST,
    machine::DIAGNOSE,
    machine::VENT,
    machine::AIR,
    machine::CONVERT,
    records::ENTRIES,
    records::ENTRY,
    records::CYLINDERS,
    records::CYLINDER,
    records::DUE,
    records::TRACE,
    records::FILLS,
    records::HOURS,
    records::DRIFT,
    records::CARTRIDGE,
    records::COST,
    records::VERIFY,
    writing::ADD,
    writing::FILL,
    writing::CORRECT,
];

/// A text that may be given.
const fn may(name: &'static str, about: &'static str, example: &'static str) -> Parameter {
    Parameter {
        name,
        about,
        example,
        kind: Kind::Text,
        needed: false,
    }
}

/// The same of another kind.
const fn of(kind: Kind, parameter: Parameter) -> Parameter {
    Parameter { kind, ..parameter }
}

/// The same where it must be given.
const fn must(parameter: Parameter) -> Parameter {
    Parameter {
        needed: true,
        ..parameter
    }
}

/// An operation that reads.
const fn reads(
    path: &'static str,
    about: &'static str,
    query: &'static [Parameter],
    answer: &'static str,
    run: fn(&App, &Person, &Asked) -> Done,
) -> Operation {
    Operation {
        verb: Verb::Get,
        path,
        about,
        query,
        body: Body::Nothing,
        answer,
        run,
    }
}

/// An answer as asked.
fn told(answer: &impl Serialize) -> Done {
    as_value(StatusCode::OK, answer)
}

fn as_value(status: StatusCode, answer: &impl Serialize) -> Done {
    let value = serde_json::to_value(answer).map_err(|error| {
        let what = format!("the answer cannot be written as JSON: {error}");
        let failure = Failure::from(Trouble::new(what, "ask for less, or at the command line"));
        failure.with(StatusCode::INTERNAL_SERVER_ERROR)
    })?;
    Ok((status, value))
}
