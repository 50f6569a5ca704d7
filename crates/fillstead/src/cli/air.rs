//! `fillstead air`: its options, its answer as text or JSON.

use std::path::PathBuf;

use clap::Args;
use insight::air::{Overall, Standard, standards};
use serde_json::{Value, json};

use crate::cli::answer::{Answer, Done, Exit};
use crate::cli::render::air as page;
use crate::usecase::Trouble;
use crate::usecase::air_file::{Asked, judged};

/// What an air test can be held against.
#[derive(Args)]
#[command(after_help = HELP)]
pub struct AirArguments {
    /// The file of results; - for standard input
    #[arg(required_unless_present = "list_standards")]
    results: Option<PathBuf>,
    /// The standard, or a part of its name that only one has, such as "en 12021"
    #[arg(long, value_name = "NAME")]
    standard: Option<String>,
    /// A standard of your own as CSV; without --standard it is the one meant
    #[arg(long, value_name = "FILE")]
    own: Option<PathBuf>,
    /// List the standards held
    #[arg(long)]
    list_standards: bool,
    /// The day [default: today by this machine's clock, UTC]
    #[arg(long, value_name = "DATE")]
    today: Option<String>,
    /// Answer as JSON
    #[arg(long)]
    json: bool,
}

const HELP: &str = "\
A file of results is a text like stations/air-results.toml, which explains itself:
  [sample]
  date = \"2026-05-04\"
  [results]
  carbon_monoxide = \"< 1 ppm\"
  water = \"-70 °F ± 2 °F\"

Examples:
  fillstead air results.toml --standard \"EN 12021\"
  fillstead air results.toml --standard \"nfpa 1989\" --today 2026-05-20
  fillstead air results.toml --own club.csv
  fillstead air --list-standards

A result passes only where all of its uncertainty keeps the limit. What a standard limits and nobody
measured cannot be told.

Exit status: 0 every limit is kept, 1 a limit is broken or it cannot be told, 2 input that cannot be
used.";

/// Runs `fillstead air`.
pub fn run(arguments: &AirArguments) -> Done {
    if arguments.list_standards {
        return list(arguments.json);
    }
    let Some(path) = &arguments.results else {
        return Err(Trouble::new("no file of results is named", "name one").into());
    };
    let asked = Asked {
        standard: arguments.standard.clone(),
        today: arguments.today.clone(),
    };
    let report = judged(path, arguments.own.as_deref(), &asked)?;
    let exit = match report.verdict.overall {
        Overall::Passes => Exit::Fine,
        Overall::Fails | Overall::CannotTell => Exit::Findings,
    };
    if arguments.json {
        return Answer::json(&report, exit);
    }
    let text = page::text(&report);
    Ok(Answer { text, exit })
}

fn list(json: bool) -> Done {
    if json {
        let one =
            |s: &Standard| json!({"name": s.name, "edition": s.edition, "purpose": s.purpose});
        return Answer::json(&standards().iter().map(one).collect::<Value>(), Exit::Fine);
    }
    Ok(Answer::fine(page::list(standards())))
}
