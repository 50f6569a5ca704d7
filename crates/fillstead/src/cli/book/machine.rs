//! `fillstead book due`, `drift`, `cartridge` and `cost`: what follows from the records by
//! computation.

use std::path::{Path, PathBuf};

use clap::Args;

use crate::cli::answer::{Answer, Done, Exit};
use crate::cli::render::book::machine as page;
use crate::usecase::book::{cost as costs, drift as drifts, due as dues};
use crate::usecase::file;

/// What is due.
#[derive(Args)]
#[command(after_help = "Exit status: 0 nothing is due, 1 something is, or filling is locked.")]
pub struct DueArguments {
    /// The book
    book: PathBuf,
    /// The day [default: today at the station]
    #[arg(long, value_name = "DATE")]
    today: Option<String>,
    /// Examinations of cylinders that are in time too
    #[arg(long)]
    all: bool,
    /// Write the due dates as a calendar (iCalendar), never over an existing file; - prints it
    #[arg(long, value_name = "FILE")]
    ical: Option<PathBuf>,
    /// Answer as JSON
    #[arg(long)]
    json: bool,
}

/// Runs `fillstead book due`.
pub fn due(arguments: &DueArguments) -> Done {
    let found = dues::due(&arguments.book, arguments.today.as_deref())?;
    let exit = match found.urgent() {
        true => Exit::Findings,
        false => Exit::Fine,
    };
    if let Some(target) = &arguments.ical {
        let text = dues::calendar(&arguments.book, &found)?;
        if target == Path::new("-") {
            return Ok(Answer { text, exit });
        }
        file::write_new(target, &text)?;
    }
    match arguments.json {
        true => Answer::json(&found, exit),
        false => Ok(Answer {
            text: page::due(&found, arguments.all),
            exit,
        }),
    }
}

/// What moves.
#[derive(Args)]
pub struct DriftArguments {
    /// The book
    book: PathBuf,
    /// The day [default: today at the station]
    #[arg(long, value_name = "DATE")]
    today: Option<String>,
    /// Answer as JSON
    #[arg(long)]
    json: bool,
}

/// Runs `fillstead book drift`.
pub fn drift(arguments: &DriftArguments) -> Done {
    let found = drifts::drift(&arguments.book, arguments.today.as_deref())?;
    match arguments.json {
        true => Answer::json(&found, Exit::Fine),
        false => Ok(Answer::fine(page::drift(&found))),
    }
}

/// Whose cartridge.
#[derive(Args)]
pub struct CartridgeArguments {
    /// The book
    book: PathBuf,
    /// Answer as JSON
    #[arg(long)]
    json: bool,
}

/// Runs `fillstead book cartridge`.
pub fn cartridge(arguments: &CartridgeArguments) -> Done {
    let found = drifts::cartridge_state(&arguments.book)?;
    match arguments.json {
        true => Answer::json(&found, Exit::Fine),
        false => Ok(Answer::fine(page::cartridge(&found))),
    }
}

/// Which fill.
#[derive(Args)]
pub struct CostArguments {
    /// The book
    book: PathBuf,
    /// Number of the fill's entry [default: the last fill]
    entry: Option<u64>,
    /// Answer as JSON
    #[arg(long)]
    json: bool,
}

/// Runs `fillstead book cost`.
pub fn cost(arguments: &CostArguments) -> Done {
    let found = costs::of_fill(&arguments.book, arguments.entry)?;
    match arguments.json {
        true => Answer::json(&found, Exit::Fine),
        false => Ok(Answer::fine(page::cost(&found))),
    }
}
