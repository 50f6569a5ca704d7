//! `fillstead serve`: what to serve, checked before anything listens.

use std::path::PathBuf;

use clap::Args;

use crate::cli::answer::Failure;
use crate::usecase::book::desk;
use crate::usecase::serving::Serving;

/// What is served.
#[derive(Args)]
pub struct ServeArguments {
    /// The book; begin one with `fillstead book begin`
    book: PathBuf,
    /// The port; 0 lets the system choose
    #[arg(long, value_name = "N", default_value_t = 8080)]
    port: u16,
}

/// What the server is told.
pub fn run(arguments: &ServeArguments) -> Result<Serving, Failure> {
    drop(desk::read(&arguments.book)?);
    Ok(Serving {
        book: arguments.book.clone(),
        port: arguments.port,
        demonstration: false,
    })
}
