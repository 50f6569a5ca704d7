//! `fillstead book cylinder`, `trace`, `fills` and `hours`: questions to the records.

use std::path::PathBuf;

use book::Subject;
use clap::Args;

use crate::cli::answer::{Answer, Done, Exit};
use crate::cli::render::book::asked as page;
use crate::usecase::book::{cylinder as register, hours as counts, trace as batch};

/// Which cylinder.
#[derive(Args)]
pub struct CylinderArguments {
    /// The book
    book: PathBuf,
    /// The cylinder; the whole register without it
    cylinder: Option<String>,
    /// Pressure wanted, such as "232 bar"
    #[arg(long, value_name = "P", requires = "cylinder")]
    to: Option<String>,
    /// Another cylinder on the same line; may be given again
    #[arg(long, value_name = "ID", requires = "cylinder")]
    with: Vec<String>,
    /// A relief valve or regulator of this fill line alone holds it at this pressure
    #[arg(long, value_name = "P", requires = "cylinder")]
    protected_at: Option<String>,
    /// The latest so many events of its history [default: 30]
    #[arg(long, value_name = "N", requires = "cylinder")]
    last: Option<usize>,
    /// The day, for the register [default: today at the station]
    #[arg(long, value_name = "DATE", conflicts_with = "cylinder")]
    today: Option<String>,
    /// Answer as JSON
    #[arg(long)]
    json: bool,
}

/// Runs `fillstead book cylinder`.
pub fn cylinder(arguments: &CylinderArguments) -> Done {
    let Some(id) = &arguments.cylinder else {
        let register = register::all(&arguments.book, arguments.today.as_deref())?;
        return match arguments.json {
            true => Answer::json(&register, Exit::Fine),
            false => Ok(Answer::fine(page::register(&register))),
        };
    };
    let asked = register::Asked {
        to: arguments.to.clone(),
        with: arguments.with.clone(),
        protected_at: arguments.protected_at.clone(),
        last: arguments.last,
    };
    let found = register::one(&arguments.book, id, &asked)?;
    let exit = match found.gate.may {
        true => Exit::Fine,
        false => Exit::Findings,
    };
    match arguments.json {
        true => Answer::json(&found, exit),
        false => Ok(Answer {
            text: page::cylinder(&found),
            exit,
        }),
    }
}

/// What is traced.
#[derive(Args)]
#[command(after_help = TRACE_HELP)]
pub struct TraceArguments {
    /// The book
    book: PathBuf,
    /// Begin: the number of an entry, such as an air test's, or a day
    #[arg(long, value_name = "ENTRY|DATE")]
    from: Option<String>,
    /// End, the same way
    #[arg(long, value_name = "ENTRY|DATE")]
    to: Option<String>,
    /// Where this cylinder's air came from
    #[arg(long, value_name = "ID", conflicts_with_all = ["from", "to", "person"])]
    cylinder: Option<String>,
    /// Where this person's air came from
    #[arg(long, value_name = "NAME", conflicts_with_all = ["from", "to"])]
    person: Option<String>,
    /// Answer as JSON
    #[arg(long)]
    json: bool,
}

const TRACE_HELP: &str = "\
Examples:
  fillstead book trace club.book --from 41 --to 97     between two air tests
  fillstead book trace club.book --from 2026-05-01     since a day
  fillstead book trace club.book --cylinder A1         back to runs, cartridge and air tests

An air test's batch begins with the day of its sample. One clean test never clears a batch.";

/// Runs `fillstead book trace`.
pub fn trace(arguments: &TraceArguments) -> Done {
    let subject = match (&arguments.cylinder, &arguments.person) {
        (Some(id), _) => Some(Subject::Cylinder(id.clone())),
        (None, Some(name)) => Some(Subject::Person(name.clone())),
        (None, None) => None,
    };
    if let Some(subject) = subject {
        let found = batch::back(&arguments.book, &subject)?;
        return match arguments.json {
            true => Answer::json(&found, Exit::Fine),
            false => Ok(Answer::fine(page::origins(&found))),
        };
    }
    let (from, to) = (arguments.from.as_deref(), arguments.to.as_deref());
    let found = batch::batch(&arguments.book, from, to)?;
    match arguments.json {
        true => Answer::json(&found, Exit::Fine),
        false => Ok(Answer::fine(page::batch(&found))),
    }
}

/// Which fills.
#[derive(Args)]
pub struct FillsArguments {
    /// The book
    book: PathBuf,
    /// From this day on
    #[arg(long, value_name = "DATE")]
    from: Option<String>,
    /// To the end of this day
    #[arg(long, value_name = "DATE")]
    to: Option<String>,
    /// For this person
    #[arg(long, value_name = "NAME")]
    person: Option<String>,
    /// Of this cylinder
    #[arg(long, value_name = "ID")]
    cylinder: Option<String>,
    /// Answer as JSON
    #[arg(long)]
    json: bool,
}

/// Runs `fillstead book fills`.
pub fn fills(arguments: &FillsArguments) -> Done {
    let asked = counts::Asked {
        from: arguments.from.as_deref(),
        to: arguments.to.as_deref(),
        person: arguments.person.as_deref(),
        cylinder: arguments.cylinder.as_deref(),
    };
    let found = counts::fills(&arguments.book, &asked)?;
    match arguments.json {
        true => Answer::json(&found, Exit::Fine),
        false => Ok(Answer::fine(page::fills(&found))),
    }
}

/// Whose hours.
#[derive(Args)]
pub struct HoursArguments {
    /// The book
    book: PathBuf,
    /// Answer as JSON
    #[arg(long)]
    json: bool,
}

/// Runs `fillstead book hours`.
pub fn hours(arguments: &HoursArguments) -> Done {
    let found = counts::hours(&arguments.book)?;
    match arguments.json {
        true => Answer::json(&found, Exit::Fine),
        false => Ok(Answer::fine(page::hours(&found))),
    }
}
