//! Arguments that do not parse: the parser's reasons in our words.

use clap::error::{ContextKind as Kind, ContextValue as Value, ErrorKind};

use crate::cli::answer::{Answer, Done};
use crate::usecase::Trouble;

/// The help asked for, or what is wrong with the arguments.
pub fn explain(error: &clap::Error) -> Done {
    match error.kind() {
        ErrorKind::DisplayHelp | ErrorKind::DisplayVersion => Ok(Answer::fine(error.to_string())),
        _ => Err(Trouble::new(what(error), remedy(error)).into()),
    }
}

fn what(error: &clap::Error) -> String {
    let argument = bare(&said(error, Kind::InvalidArg));
    match error.kind() {
        ErrorKind::UnknownArgument => match argument.starts_with('-') {
            true => format!("there is no option {argument} here"),
            false => format!("\"{argument}\" is one argument too many"),
        },
        ErrorKind::InvalidSubcommand => {
            format!(
                "there is no command \"{}\"",
                said(error, Kind::InvalidSubcommand)
            )
        }
        ErrorKind::MissingSubcommand | ErrorKind::DisplayHelpOnMissingArgumentOrSubcommand => {
            "no command is given".to_owned()
        }
        ErrorKind::MissingRequiredArgument => format!("{argument} is missing"),
        ErrorKind::ArgumentConflict => match bare(&said(error, Kind::PriorArg)) {
            prior if prior == argument => format!("{argument} is given twice"),
            prior => format!("{argument} and {prior} do not go together"),
        },
        ErrorKind::InvalidValue if said(error, Kind::InvalidValue).is_empty() => {
            format!("{argument} lacks its value")
        }
        ErrorKind::InvalidValue | ErrorKind::ValueValidation => {
            format!(
                "{argument}: \"{}\" is not a whole number",
                said(error, Kind::InvalidValue)
            )
        }
        ErrorKind::TooManyValues => format!("{argument} takes no value"),
        _ => first_line(&error.to_string()),
    }
}

fn remedy(error: &clap::Error) -> String {
    let near = [Kind::SuggestedArg, Kind::SuggestedSubcommand].map(|kind| said(error, kind));
    if let Some(near) = near.iter().find(|near| !near.is_empty()) {
        return format!("did you mean {near}?");
    }
    match error.kind() {
        ErrorKind::ValueValidation => return "write a whole number from 0, such as 200".to_owned(),
        ErrorKind::TooManyValues => return "leave the value out".to_owned(),
        ErrorKind::InvalidValue => return "write its value after it, in quotes".to_owned(),
        ErrorKind::ArgumentConflict => return "leave one of them out".to_owned(),
        ErrorKind::InvalidSubcommand
        | ErrorKind::MissingSubcommand
        | ErrorKind::DisplayHelpOnMissingArgumentOrSubcommand => {
            return "--help lists the commands".to_owned();
        }
        _ => {}
    }
    match error.get(Kind::Usage) {
        Some(usage) => format!(
            "{}; --help explains it",
            usage.to_string().replacen("Usage", "usage", 1)
        ),
        None => "--help explains what can be given".to_owned(),
    }
}

/// An argument's name without the mark of its value.
fn bare(argument: &str) -> String {
    let name = argument.split([' ', '=']).next().unwrap_or(argument);
    name.trim_matches(['<', '>', '[', ']', ',']).to_owned()
}

/// What the parser says under this heading; several joined by commas.
fn said(error: &clap::Error, kind: Kind) -> String {
    match error.get(kind) {
        Some(Value::String(text)) => text.clone(),
        Some(Value::Strings(texts)) => texts.join(", "),
        Some(other) => other.to_string(),
        None => String::new(),
    }
}

fn first_line(text: &str) -> String {
    text.lines()
        .next()
        .unwrap_or("")
        .trim_start_matches("error: ")
        .to_owned()
}
