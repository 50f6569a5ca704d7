//! `fillstead book demo`.

use std::path::PathBuf;

use clap::Args;

use crate::cli::answer::{Answer, Done, Exit};
use crate::cli::render::page::paragraph;
use crate::cli::terminal::harmless;
use crate::usecase::book::demo;

/// Which story.
#[derive(Args)]
pub struct DemoArguments {
    /// The book's file, which must not be there yet
    book: PathBuf,
    /// Another story: the same number gives the same book
    #[arg(long, value_name = "N")]
    seed: Option<u64>,
    /// The year ends the day before this day [default: today]
    #[arg(long, value_name = "DATE")]
    until: Option<String>,
    /// At once: the story kept in the program, its days moved to end yesterday (its seasons too)
    #[arg(long, conflicts_with_all = ["seed", "until"])]
    kept: bool,
    /// Answer as JSON
    #[arg(long)]
    json: bool,
}

/// Runs `fillstead book demo`.
pub fn run(arguments: &DemoArguments) -> Done {
    let until = arguments.until.as_deref();
    let made = match arguments.kept {
        true => demo::ready(&arguments.book)?,
        false => demo::demo(&arguments.book, arguments.seed, until)?,
    };
    if arguments.json {
        return Answer::json(&made, Exit::Fine);
    }
    let name = arguments.book.display();
    let text = format!(
        "{name}: an INVENTED year of {}.\n{}Next: `fillstead book list {name}`, or `fillstead book fills \
         {name}`.\n",
        made.station,
        paragraph(
            0,
            &format!(
                "{} entries from {} to {}, seed {}. Seal {}. No such place, machine or person exists.",
                made.entries, made.first, made.last, made.seed, made.seal
            )
        )
    );
    Ok(Answer::fine(harmless(&text)))
}
