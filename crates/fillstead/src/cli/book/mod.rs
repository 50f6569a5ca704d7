//! `fillstead book ...`: the records. Options in, use cases called, answers printed.
//!
//! One file for each group of commands. Not here: what is recorded and what follows from it.

pub mod add;
mod ask;
mod begin;
mod demo;
mod keep;
mod machine;
mod print;
mod read;
mod transfer;

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
    /// What is due: parts, air sample, cylinders, whichever limit comes first
    Due(machine::DueArguments),
    /// How each setting and the charging rate move, and when they leave their tolerance
    Drift(machine::DriftArguments),
    /// The cartridge as the runs on record left it: water held, hours left
    Cartridge(machine::CartridgeArguments),
    /// What a fill took: energy, machine hours, cartridge, and money where prices are known
    Cost(machine::CostArguments),
    /// Is the book whole? Names the first bad entry
    Verify(keep::VerifyArguments),
    /// Copy the book while it is in use, and check the copy
    Backup(keep::BackupArguments),
    /// Print a day sheet, tags, a certificate and others, as HTML
    Print(print::PrintArguments),
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
        BookCommand::Demo(arguments) => demo::run(&arguments),
        BookCommand::Add(arguments) => add::run(arguments),
        BookCommand::Correct(arguments) => add::correct(&arguments),
        BookCommand::List(arguments) => read::list(&arguments),
        BookCommand::Cylinder(arguments) => ask::cylinder(&arguments),
        BookCommand::Trace(arguments) => ask::trace(&arguments),
        BookCommand::Fills(arguments) => ask::fills(&arguments),
        BookCommand::Hours(arguments) => ask::hours(&arguments),
        BookCommand::Due(arguments) => machine::due(&arguments),
        BookCommand::Drift(arguments) => machine::drift(&arguments),
        BookCommand::Cartridge(arguments) => machine::cartridge(&arguments),
        BookCommand::Cost(arguments) => machine::cost(&arguments),
        BookCommand::Verify(arguments) => keep::verify(&arguments),
        BookCommand::Backup(arguments) => keep::backup(&arguments),
        BookCommand::Print(arguments) => print::run(&arguments),
        BookCommand::Show(arguments) => read::show(&arguments),
        BookCommand::Import(arguments) => transfer::import(&arguments),
        BookCommand::Export(arguments) => transfer::export(&arguments),
    }
}
