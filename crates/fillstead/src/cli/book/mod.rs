//! `fillstead book ...`: the records. Options in, use cases called, answers printed.
//!
//! One file for each group of commands. Not here: what is recorded and what follows from it.

mod add;
mod begin;
mod read;
mod transfer;

use clap::Subcommand;

use crate::cli::answer::Done;

/// What can be done with a book.
#[derive(Subcommand)]
pub enum BookCommand {
    /// Begin a book for a station
    Begin(Box<begin::BeginArguments>),
    /// Add an entry: a start, a fill, a drain, a reading, a part, an air test and others
    Add(add::AddArguments),
    /// Put an earlier entry right, or withdraw it; what was written stays
    Correct(Box<add::CorrectArguments>),
    /// List entries, by time, kind, cylinder, person or part
    List(read::ListArguments),
    /// Show one entry whole, with its corrections and its hash
    Show(read::ShowArguments),
    /// Bring in a list of cylinders, an older fill log from a spreadsheet, or exported entries
    Import(Box<transfer::ImportArguments>),
    /// Take records out: the whole ledger, or tables for spreadsheets
    Export(transfer::ExportArguments),
}

/// Runs `fillstead book ...`.
pub fn run(command: BookCommand) -> Done {
    match command {
        BookCommand::Begin(arguments) => begin::run(&arguments),
        BookCommand::Add(arguments) => add::run(arguments),
        BookCommand::Correct(arguments) => add::correct(&arguments),
        BookCommand::List(arguments) => read::list(&arguments),
        BookCommand::Show(arguments) => read::show(&arguments),
        BookCommand::Import(arguments) => transfer::import(&arguments),
        BookCommand::Export(arguments) => transfer::export(&arguments),
    }
}
