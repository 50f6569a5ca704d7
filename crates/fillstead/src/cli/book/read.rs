//! `fillstead book list` and `fillstead book show`.

use std::path::PathBuf;

use clap::Args;

use crate::cli::answer::{Answer, Done, Exit};
use crate::cli::render::book as page;
use crate::usecase::book::list::{self as usecase, Asked};

/// Which entries.
#[derive(Args)]
pub struct ListArguments {
    /// The book
    book: PathBuf,
    /// Of this kind, such as fill or "air test"
    #[arg(long, value_name = "KIND")]
    kind: Option<String>,
    /// About this cylinder
    #[arg(long, value_name = "ID")]
    cylinder: Option<String>,
    /// About this person
    #[arg(long, value_name = "NAME")]
    person: Option<String>,
    /// About this part, such as cartridge
    #[arg(long, value_name = "PART")]
    part: Option<String>,
    /// From this day on
    #[arg(long, value_name = "DATE")]
    from: Option<String>,
    /// To the end of this day
    #[arg(long, value_name = "DATE")]
    to: Option<String>,
    /// The latest so many [default: 50 where nothing else limits them]
    #[arg(long, value_name = "N")]
    last: Option<usize>,
    /// Those withdrawn too
    #[arg(long)]
    withdrawn: bool,
    /// Answer as JSON
    #[arg(long)]
    json: bool,
}

/// Runs `fillstead book list`.
pub fn list(arguments: &ListArguments) -> Done {
    let asked = Asked {
        kind: arguments.kind.clone(),
        cylinder: arguments.cylinder.clone(),
        person: arguments.person.clone(),
        part: arguments.part.clone(),
        from: arguments.from.clone(),
        to: arguments.to.clone(),
        last: arguments.last,
        withdrawn: arguments.withdrawn,
    };
    let list = usecase::list(&arguments.book, &asked)?;
    match arguments.json {
        true => Answer::json(&list, Exit::Fine),
        false => Ok(Answer::fine(page::list(&list))),
    }
}

/// Which entry.
#[derive(Args)]
pub struct ShowArguments {
    /// The book
    book: PathBuf,
    /// Number of the entry
    entry: u64,
    /// Answer as JSON
    #[arg(long)]
    json: bool,
}

/// Runs `fillstead book show`.
pub fn show(arguments: &ShowArguments) -> Done {
    let shown = usecase::show(&arguments.book, arguments.entry)?;
    match arguments.json {
        true => Answer::json(&shown, Exit::Fine),
        false => Ok(Answer::fine(page::shown(&shown))),
    }
}
