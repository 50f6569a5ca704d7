//! `fillstead book verify` and `fillstead book backup`.

use std::path::PathBuf;

use clap::Args;

use crate::cli::answer::{Answer, Done, Exit};
use crate::cli::render::book::kept as page;
use crate::cli::terminal::{self, harmless};
use crate::usecase::book::keep as usecase;

/// What is checked.
#[derive(Args)]
#[command(after_help = HELP)]
pub struct VerifyArguments {
    /// The book
    book: PathBuf,
    /// Number and hash from a printed sheet, such as 412:e5337f9a63497798
    #[arg(long, value_name = "SEAL")]
    seal: Option<String>,
    /// First draw anew what is read from the entries
    #[arg(long)]
    redraw: bool,
    /// First bring a book of an earlier program up to date
    #[arg(long)]
    upgrade: bool,
    /// Answer as JSON
    #[arg(long)]
    json: bool,
}

const HELP: &str = "\
A book that was written anew as a whole by somebody who knows how shows it only against a seal noted
elsewhere: keep the printed sheets.

Exit status: 0 the book is whole, 1 it is not, 2 there is no book to check.";

/// Runs `fillstead book verify`.
pub fn verify(arguments: &VerifyArguments) -> Done {
    if arguments.upgrade {
        usecase::upgrade(&arguments.book)?;
    }
    if arguments.redraw {
        usecase::redraw(&arguments.book)?;
    }
    let told = terminal::Waiting::begin("entries");
    let seal = arguments.seal.as_deref();
    let checked = usecase::check(&arguments.book, seal, &mut |progress| {
        told.at(progress.done, progress.total);
    });
    told.end();
    let checked = checked?;
    let exit = match checked.whole {
        true => Exit::Fine,
        false => Exit::Findings,
    };
    match arguments.json {
        true => Answer::json(&checked, exit),
        false => Ok(Answer {
            text: harmless(&page::checked(&checked)),
            exit,
        }),
    }
}

/// Where to.
#[derive(Args)]
pub struct BackupArguments {
    /// The book
    book: PathBuf,
    /// The copy, which must not be there yet
    to: PathBuf,
    /// Answer as JSON
    #[arg(long)]
    json: bool,
}

/// Runs `fillstead book backup`.
pub fn backup(arguments: &BackupArguments) -> Done {
    let copied = usecase::copy(&arguments.book, &arguments.to)?;
    match arguments.json {
        true => Answer::json(&copied, Exit::Fine),
        false => Ok(Answer::fine(harmless(&page::copied(&copied)))),
    }
}
