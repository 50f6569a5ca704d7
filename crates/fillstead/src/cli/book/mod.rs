//! `fillstead book ...`: the records. Options in, use cases called, answers printed.
//!
//! One file for each group of commands. Not here: what is recorded and what follows from it.

mod add;
mod ask;
mod begin;
mod demo;
mod keep;
mod read;

use clap::Subcommand;

use crate::cli::answer::Done;

/// What can be done with a book.
#[derive(Subcommand)]
pub enum BookCommand {
    /// Begin a book for a station
    Begin(Box<begin::BeginArguments>),
    /// Make a demonstration book: an invented station's year
    Demo(demo::DemoArguments),
    /// Add an entry: a start, a fill, a drain, a reading, a part, an air test and others
    Add(add::AddArguments),
    /// Put an earlier entry right, or withdraw it; what was written stays
    Correct(Box<add::CorrectArguments>),
    /// List entries, by time, kind, cylinder, person or part
    List(read::ListArguments),
    /// May this cylinder be filled now, and its history; without a name the whole register
    Cylinder(ask::CylinderArguments),
    /// Who and what got air between two points; or where a cylinder's or person's air came from
    Trace(ask::TraceArguments),
    /// Count fills and refusals by person and cylinder
    Fills(ask::FillsArguments),
    /// Running hours, in all and since each part was replaced or tested
    Hours(ask::HoursArguments),
    /// Is the book whole? Names the first bad entry
    Verify(keep::VerifyArguments),
    /// Copy the book while it is in use, and check the copy
    Backup(keep::BackupArguments),
    /// Show one entry whole, with its corrections and its hash
    Show(read::ShowArguments),
}

/// Runs `fillstead book ...`.
pub fn run(command: BookCommand) -> Done {
    match command {
        BookCommand::Begin(arguments) => begin::run(&arguments),
        BookCommand::Demo(arguments) => demo::run(&arguments),
        BookCommand::Add(arguments) => add::run(arguments),
        BookCommand::Correct(arguments) => add::correct(&arguments),
        BookCommand::List(arguments) => read::list(&arguments),
        BookCommand::Cylinder(arguments) => ask::cylinder(&arguments),
        BookCommand::Trace(arguments) => ask::trace(&arguments),
        BookCommand::Fills(arguments) => ask::fills(&arguments),
        BookCommand::Hours(arguments) => ask::hours(&arguments),
        BookCommand::Verify(arguments) => keep::verify(&arguments),
        BookCommand::Backup(arguments) => keep::backup(&arguments),
        BookCommand::Show(arguments) => read::show(&arguments),
    }
}
