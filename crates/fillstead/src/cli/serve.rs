//! `fillstead serve` and `fillstead demo`: what to serve, looked at before anything listens.

use std::path::PathBuf;

use clap::Args;

use crate::cli::answer::Failure;
use crate::usecase::book::desk;
use crate::usecase::demonstration::demonstration;
use crate::usecase::people;
use crate::usecase::serving::Serving;
use crate::usecase::{file, first};

/// What is served.
#[derive(Args)]
#[command(after_help = HELP)]
pub struct ServeArguments {
    /// The book; where none is there yet, the first page begins it
    book: PathBuf,
    /// The station file on the disk: written too when the station is changed on a page, if it still
    /// is what the book has
    #[arg(long, value_name = "FILE")]
    station: Option<PathBuf>,
    /// The port; 0 lets the system choose
    #[arg(long, value_name = "N", default_value_t = 8080)]
    port: u16,
    /// Let phones and others on the network reach it; they sign in with name and PIN
    #[arg(long)]
    lan: bool,
    /// Write a line for each request to the standard error: time, address, status
    #[arg(long)]
    log: bool,
}

const HELP: &str = "\
Examples:
  fillstead serve club.book                          for this machine alone
  fillstead people club.book add MK --role keeper    who may use it over the network
  fillstead serve club.book --lan                    for the phones in the shed too

The line to the phones is not encrypted: use --lan in a network of your own, never across the
internet. Ctrl-C ends the server.";

/// What the server is told.
pub fn run(arguments: &ServeArguments) -> Result<Serving, Failure> {
    if first::is_there(&arguments.book) {
        drop(desk::read(&arguments.book)?);
    } else {
        first::may_begin(&arguments.book)?;
    }
    if arguments.lan {
        people::somebody(&arguments.book)?;
    }
    if let Some(file) = &arguments.station {
        drop(file::read_text(file)?);
    }
    Ok(Serving {
        book: arguments.book.clone(),
        station: arguments.station.clone(),
        port: arguments.port,
        lan: arguments.lan,
        log: arguments.log,
        demonstration: None,
    })
}

/// What is shown.
#[derive(Args)]
#[command(
    after_help = "The book and everything entered in it are thrown away when Ctrl-C ends the server."
)]
pub struct DemoArguments {
    /// The port; 0 lets the system choose
    #[arg(long, value_name = "N", default_value_t = 8080)]
    port: u16,
}

/// A throw-away book to look at.
pub fn demo(arguments: &DemoArguments) -> Result<Serving, Failure> {
    Ok(demonstration(arguments.port)?)
}
