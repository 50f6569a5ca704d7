//! The command line: arguments in, use cases called, answers printed.
//!
//! Start at [`main`]. Human text and JSON come from the same data. Results go to the standard
//! output, errors and progress to the standard error; with `--json` errors are JSON as well.
//! Not here: what the answers are ([`crate::usecase`]).

mod air;
mod answer;
mod ask;
mod audit;
mod book;
mod convert;
mod cylinder;
mod diagnose;
mod drawing;
mod forecast;
mod misuse;
mod people;
mod render;
mod serve;
mod station;
mod terminal;
mod vent;

use std::ffi::OsString;
use std::process::ExitCode;

use clap::{Parser, Subcommand};

use answer::Done;

use crate::usecase::serving::Serving;

/// What may be typed.
#[derive(Parser)]
#[command(
    name = "fillstead",
    version,
    max_term_width = 96,
    about = ABOUT,
    after_help = AFTER_HELP
)]
struct Arguments {
    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand)]
enum Command {
    /// Check a station file, or begin a new one
    #[command(subcommand)]
    Station(station::StationCommand),
    /// Do the settings fit together, and fit the rules? Pressure ladder and findings
    Audit(audit::AuditArguments),
    /// Forecast a run: what the gauges read, when to stop, what it settles to
    Forecast(Box<forecast::ForecastArguments>),
    /// What is wrong, how sure, and what to read next: readings against the machine as described
    Diagnose(diagnose::DiagnoseArguments),
    /// May this cylinder be filled today, to what, until when? Or read its stamps
    Cylinder(Box<cylinder::CylinderArguments>),
    /// Hold an air test against a standard
    Air(air::AirArguments),
    /// Let the air out: how long each way takes, and what stays under pressure
    Vent(vent::VentArguments),
    /// Keep the records: fills, runs, parts, air tests; what is due, who got which air
    #[command(subcommand)]
    Book(book::BookCommand),
    /// Serve a book as pages to the browser on this machine
    Serve(serve::ServeArguments),
    /// Look at everything with an invented book, thrown away afterwards
    Demo(serve::DemoArguments),
    /// Who may use a book over the network: names, roles, PINs
    People(people::PeopleArguments),
    /// Convert an amount of water, CO, CO2 or oil between units
    Convert(convert::ConvertArguments),
}

const ABOUT: &str = "\
For people who fill cylinders with a small high-pressure breathing-air compressor.

A station file describes the machine with everything bolted to it. From it Fillstead computes what \
a run will do. It computes; it does not measure: no answer says that air is fit to breathe.";

const AFTER_HELP: &str = "\
Examples:
  fillstead station new shed.toml          write a station file, by a few questions
  fillstead station check shed.toml        list its problems and what is assumed
  fillstead audit shed.toml                pressure ladder and findings
  fillstead forecast shed.toml             forecast filling its first cylinder
  fillstead forecast --help                everything a forecast can be asked
  fillstead diagnose shed.toml readings.csv
                                           what is wrong, how sure, what to read next
  fillstead cylinder shed.toml A1 --rule uk
                                           may it be filled, to what, until when
  fillstead air results.toml --standard \"EN 12021\"
                                           an air test against a standard
  fillstead vent shed.toml                 let the air out: times, and what stays
  fillstead convert \"25 mg/m3\"            water, CO, CO2 or oil in other units

Exit status: 0 fine, 1 findings or a refusal, 2 input that cannot be used.";

/// How a command ended.
pub enum Ended {
    /// It told what it had to tell.
    Told(ExitCode),
    /// It wants pages served.
    Serve(Serving),
}

/// Runs the program.
pub fn main() -> Ended {
    let arguments: Vec<OsString> = std::env::args_os().collect();
    let json = arguments.iter().any(|a| a == "--json");
    let done = match Arguments::try_parse_from(arguments) {
        Ok(Arguments {
            command: Command::Station(command),
        }) => station::run(command),
        Ok(Arguments {
            command: Command::Audit(arguments),
        }) => audit::run(&arguments),
        Ok(Arguments {
            command: Command::Forecast(arguments),
        }) => forecast::run(&arguments),
        Ok(Arguments {
            command: Command::Diagnose(arguments),
        }) => diagnose::run(&arguments),
        Ok(Arguments {
            command: Command::Cylinder(arguments),
        }) => cylinder::run(&arguments),
        Ok(Arguments {
            command: Command::Air(arguments),
        }) => air::run(&arguments),
        Ok(Arguments {
            command: Command::Vent(arguments),
        }) => vent::run(&arguments),
        Ok(Arguments {
            command: Command::Book(command),
        }) => book::run(command),
        Ok(Arguments {
            command: Command::Serve(arguments),
        }) => match serve::run(&arguments) {
            Ok(serving) => return Ended::Serve(serving),
            Err(failure) => Err(failure),
        },
        Ok(Arguments {
            command: Command::Demo(arguments),
        }) => match serve::demo(&arguments) {
            Ok(serving) => return Ended::Serve(serving),
            Err(failure) => Err(failure),
        },
        Ok(Arguments {
            command: Command::People(arguments),
        }) => people::run(&arguments),
        Ok(Arguments {
            command: Command::Convert(arguments),
        }) => convert::run(&arguments),
        Err(error) => misuse::explain(&error),
    };
    Ended::Told(finish(done, json))
}

/// Prints what came of it, and gives the exit status.
fn finish(done: Done, json: bool) -> ExitCode {
    match done {
        Ok(answer) => {
            terminal::print(&answer.text).map_or_else(ExitCode::from, |()| answer.exit.into())
        }
        Err(failure) if json => {
            terminal::print(&failure.json()).map_or_else(ExitCode::from, |()| failure.exit().into())
        }
        Err(failure) => {
            terminal::complain(&failure.text());
            failure.exit().into()
        }
    }
}
