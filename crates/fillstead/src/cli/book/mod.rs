//! `fillstead book ...`: the records. Options in, use cases called, answers printed.
//!
//! One file for each group of commands. Not here: what is recorded and what follows from it.

mod add;
mod begin;
mod print;
mod read;

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
    /// Print a day sheet, tags, a certificate and others, as HTML
    Print(print::PrintArguments),
    /// Show one entry whole, with its corrections and its hash
    Show(read::ShowArguments),
}

/// Runs `fillstead book ...`.
pub fn run(command: BookCommand) -> Done {
    match command {
        BookCommand::Begin(arguments) => begin::run(&arguments),
        BookCommand::Add(arguments) => add::run(arguments),
        BookCommand::Correct(arguments) => add::correct(&arguments),
        BookCommand::List(arguments) => read::list(&arguments),
        BookCommand::Print(arguments) => print::run(&arguments),
        BookCommand::Show(arguments) => read::show(&arguments),
    }
}
