//! `fillstead serve`: what to serve, checked before anything listens.

use std::path::PathBuf;

use clap::Args;

use crate::cli::answer::Failure;
use crate::usecase::book::desk;
use crate::usecase::serving::Serving;
use crate::usecase::{file, first};

/// What is served.
#[derive(Args)]
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
}

/// What the server is told.
pub fn run(arguments: &ServeArguments) -> Result<Serving, Failure> {
    if first::is_there(&arguments.book) {
        drop(desk::read(&arguments.book)?);
    } else {
        first::may_begin(&arguments.book)?;
    }
    if let Some(file) = &arguments.station {
        drop(file::read_text(file)?);
    }
    Ok(Serving {
        book: arguments.book.clone(),
        station: arguments.station.clone(),
        port: arguments.port,
        demonstration: false,
    })
}
