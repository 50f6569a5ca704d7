//! `fillstead people`: who may use a book over the network.

use std::io::{self, BufRead, IsTerminal};
use std::path::PathBuf;

use clap::{Args, Subcommand};
use serde_json::{Value, json};

use crate::cli::answer::{Answer, Done, Exit, Failure};
use crate::cli::book;
use crate::cli::render::page::Table;
use crate::cli::terminal::harmless;
use crate::usecase::Trouble;
use crate::usecase::people::{self, Role};

/// Whose book, and what is done.
#[derive(Args)]
#[command(after_help = HELP)]
pub struct PeopleArguments {
    /// The book
    book: PathBuf,
    #[command(subcommand)]
    what: PeopleCommand,
}

/// What is done.
#[derive(Subcommand)]
enum PeopleCommand {
    /// Who may use the book over the network, and in which role
    List {
        /// Answer as JSON
        #[arg(long)]
        json: bool,
    },
    /// Let somebody use it; asks for their PIN
    Add {
        /// Name or initials, as entries are to be signed
        name: String,
        /// onlooker, operator or keeper
        #[arg(long, value_name = "ROLE")]
        role: String,
        /// Who adds them [default: themselves]
        #[arg(long, value_name = "NAME", env = "FILLSTEAD_BY")]
        by: Option<String>,
    },
    /// Give somebody another role, from their next page on
    Role {
        /// Name or initials
        name: String,
        /// onlooker, operator or keeper
        role: String,
        /// Who gives it [default: themselves]
        #[arg(long, value_name = "NAME", env = "FILLSTEAD_BY")]
        by: Option<String>,
    },
    /// Somebody no longer uses it; where they were signed in they no longer are
    Remove {
        /// Name or initials
        name: String,
        /// Who removes them [default: themselves]
        #[arg(long, value_name = "NAME", env = "FILLSTEAD_BY")]
        by: Option<String>,
    },
    /// Give somebody a new PIN; ends the wait after wrong tries
    Pin {
        /// Name or initials
        name: String,
        /// Who gives it [default: themselves]
        #[arg(long, value_name = "NAME", env = "FILLSTEAD_BY")]
        by: Option<String>,
    },
}

const HELP: &str = "\
Examples:
  fillstead people club.book add MK --role keeper
  fillstead people club.book add \"A. Member\" --role operator --by MK
  fillstead people club.book role \"A. Member\" keeper --by MK
  fillstead people club.book list

An onlooker reads. An operator also writes entries. A keeper also keeps station, rules, intervals,
prices and the corrections of others. The last keeper stays.
The PIN is asked at the terminal, unseen; elsewhere it is the first line of the standard input. It
has 6 digits or more, or is a passphrase. It stands nowhere as it was typed: the file BOOK-people
beside the book, readable by you alone, holds its Argon2id hash. Each change is a note in the book.";

/// Runs `fillstead people`.
pub fn run(arguments: &PeopleArguments) -> Done {
    let path = &arguments.book;
    match &arguments.what {
        PeopleCommand::List { json } => list(path, *json),
        PeopleCommand::Add { name, role, by } => {
            let role = Role::named(role)?;
            let pin = pin(name)?;
            let added = people::add(path, name, role, &pin, by.as_deref())?;
            book::add::answer(&added, false)
        }
        PeopleCommand::Role { name, role, by } => {
            let added = people::change_role(path, name, Role::named(role)?, by.as_deref())?;
            book::add::answer(&added, false)
        }
        PeopleCommand::Remove { name, by } => {
            let added = people::remove(path, name, by.as_deref())?;
            book::add::answer(&added, false)
        }
        PeopleCommand::Pin { name, by } => {
            let pin = pin(name)?;
            let added = people::new_pin(path, name, &pin, by.as_deref())?;
            book::add::answer(&added, false)
        }
    }
}

fn list(path: &std::path::Path, json: bool) -> Done {
    drop(crate::usecase::book::desk::read(path)?);
    let people = people::list(path)?;
    if json {
        let one = |p: &people::Entry| json!({"name": p.name, "role": p.role});
        return Answer::json(&people.iter().map(one).collect::<Value>(), Exit::Fine);
    }
    if people.is_empty() {
        let text = "Nobody may use this book over the network.\n";
        return Ok(Answer::fine(text.to_owned()));
    }
    let mut table = Table::new(2);
    for person in &people {
        let role = person.role;
        let cells = [person.name.as_str(), role.name(), role.may()];
        table.row(cells.map(harmless));
    }
    Ok(Answer::fine(table.text()))
}

/// The PIN: asked twice at a terminal, unseen; else the first line of the standard input.
fn pin(name: &str) -> Result<String, Failure> {
    let name = harmless(name);
    let read = |error: io::Error| {
        let what = format!("no PIN could be read: {error}");
        Trouble::new(
            what,
            "type it at the terminal, or give it on the standard input",
        )
        .about("pin")
    };
    if !io::stdin().is_terminal() {
        let mut line = String::new();
        io::stdin().lock().read_line(&mut line).map_err(read)?;
        return Ok(line.trim_end_matches(['\r', '\n']).to_owned());
    }
    let ask = |text: String| rpassword::prompt_password(text).map_err(read);
    let first = ask(format!("PIN for {name} (it is not shown): "))?;
    let again = ask("The same again: ".to_owned())?;
    people::twice(&first, &again)?;
    Ok(first)
}
