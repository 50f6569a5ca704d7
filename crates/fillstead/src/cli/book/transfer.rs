//! `fillstead book import` and `fillstead book export`.

use std::path::{Path, PathBuf};

use clap::Args;
use serde_json::json;

use crate::cli::answer::{Answer, Done, Exit, Failure};
use crate::cli::render::book::transfer as page;
use crate::cli::terminal::harmless;
use crate::usecase::Trouble;
use crate::usecase::book::desk::Who;
use crate::usecase::book::transfer::entries::{Brought, bring};
use crate::usecase::book::transfer::export::{self, export as taken_out};
use crate::usecase::book::transfer::import::{Asked, List, import as brought_in};
use crate::usecase::file;

/// What is brought in.
#[derive(Args)]
#[command(after_help = IMPORT_HELP)]
pub struct ImportArguments {
    /// The book
    book: PathBuf,
    #[command(flatten)]
    list: ListArguments,
    /// Write nothing: tell what would be registered, what changes, every problem
    #[arg(long)]
    dry_run: bool,
    /// Bring in the rows without problems and leave the others out
    #[arg(long)]
    skip_bad_rows: bool,
    /// Which column is what: heading or letter, and the field; a unit may follow
    #[arg(long, value_name = "NAME=FIELD, ...")]
    columns: Vec<String>,
    /// The sheet of a workbook [default: the first that holds anything]
    #[arg(long, value_name = "NAME")]
    sheet: Option<String>,
    /// day-first or month-first, where dates like 03/07/2024 may be either
    #[arg(long, value_name = "ORDER")]
    dates: Option<String>,
    /// point or comma, where numbers like 3,300 may be either
    #[arg(long, value_name = "SIGN")]
    decimal: Option<String>,
    /// Who brings it in: name or initials
    #[arg(long, value_name = "NAME", env = "FILLSTEAD_BY")]
    by: Option<String>,
    /// When cylinders came on the register, such as "2026-05-20 19:40" [default: now]
    #[arg(long, value_name = "TIME")]
    at: Option<String>,
    /// Answer as JSON
    #[arg(long)]
    json: bool,
}

/// Which list.
#[derive(Args)]
#[group(required = true, multiple = false)]
struct ListArguments {
    /// A list of cylinders: .csv, .tsv, .txt, .xlsx, .ods or .xls
    #[arg(long, value_name = "FILE")]
    cylinders: Option<PathBuf>,
    /// An older fill log; its fills are marked as brought in
    #[arg(long, value_name = "FILE")]
    fills: Option<PathBuf>,
    /// What `book export` wrote: a new book is made of it, or a book of the same history goes on
    #[arg(long, value_name = "FILE", conflicts_with_all = OF_LISTS)]
    entries: Option<PathBuf>,
}

/// What only lists are asked.
const OF_LISTS: [&str; 7] = [
    "dry_run",
    "skip_bad_rows",
    "columns",
    "sheet",
    "dates",
    "decimal",
    "at",
];

const IMPORT_HELP: &str = "\
Examples:
  fillstead book import club.book --cylinders list.xlsx --dry-run
  fillstead book import club.book --cylinders list.csv --columns \"Size=water-volume L\"
  fillstead book import new.book --entries club.jsonl
  fillstead book import club.book --fills old-log.ods --dates day-first --by MK

Headings are known in English, German, French and Spanish; fields have the names of the
options of `fillstead book add`, and \"Notes=-\" leaves a column out. A unit in a heading, like
\"Volume [L]\", holds for the bare numbers under it. An empty cell changes nothing. Everything
is written at once, or nothing. What can be read in two ways is told, never guessed.";

/// Runs `fillstead book import`.
pub fn import(arguments: &ImportArguments) -> Done {
    if let Some(file) = &arguments.list.entries {
        return entries(arguments, file);
    }
    let (file, list) = match (&arguments.list.cylinders, &arguments.list.fills) {
        (Some(file), _) => (file, List::Cylinders),
        (None, Some(file)) => (file, List::Fills),
        (None, None) => {
            let remedy = "name it with --cylinders, --fills or --entries";
            return Err(Trouble::new("no list is given", remedy).into());
        }
    };
    let asked = Asked {
        file,
        list,
        sheet: arguments.sheet.as_deref(),
        columns: &arguments.columns,
        dates: arguments.dates.as_deref(),
        decimal: arguments.decimal.as_deref(),
        dry_run: arguments.dry_run,
        skip_bad_rows: arguments.skip_bad_rows,
    };
    let who = Who {
        by: arguments.by.as_deref(),
        at: arguments.at.as_deref(),
        zone: None,
    };
    let plan = brought_in(&arguments.book, &asked, &who)?;
    let exit = if plan.problems.is_empty() {
        Exit::Fine
    } else {
        Exit::Findings
    };
    let stopped = !plan.dry_run && !plan.problems.is_empty() && !arguments.skip_bad_rows;
    if stopped {
        let what = format!(
            "{} of {} rows have problems: nothing was written",
            plan.bad_rows.len(),
            plan.rows
        );
        let remedy = "put the rows right, or leave them out with --skip-bad-rows";
        let json = serde_json::to_value(&plan).unwrap_or_default();
        return Err(
            Failure::from(Trouble::new(what, remedy)).with_problems(page::plan(&plan), json)
        );
    }
    match arguments.json {
        true => Answer::json(&plan, exit),
        false => Ok(Answer {
            text: page::plan(&plan),
            exit,
        }),
    }
}

/// Brings the lines of a ledger in.
fn entries(arguments: &ImportArguments, file: &Path) -> Done {
    let brought = bring(&arguments.book, file)?;
    let name = arguments.book.display().to_string();
    let Brought {
        new,
        added,
        last,
        seal,
    } = brought;
    if arguments.json {
        let answer = json!({"book": name, "new": new, "added": added, "last": last, "seal": seal});
        return Answer::json(&answer, Exit::Fine);
    }
    let made = match (new, added) {
        (true, _) => format!("{name} is a new book of {added} entries"),
        (false, 0) => format!("{name} holds every one of these entries already"),
        (false, added) => format!("{name} goes on: {added} entries were added"),
    };
    let text = format!("{made}. Seal {last}:{seal}.\n");
    Ok(Answer::fine(harmless(&text)))
}

/// What is taken out.
#[derive(Args)]
#[command(after_help = EXPORT_HELP)]
pub struct ExportArguments {
    /// The book
    book: PathBuf,
    /// entries, cylinders, fills, runs or readings [default: entries]
    #[arg(long, value_name = "NAME")]
    what: Option<String>,
    /// csv or jsonl [default: jsonl for entries, csv for the rest]
    #[arg(long, value_name = "NAME")]
    format: Option<String>,
    /// From this day on
    #[arg(long, value_name = "DATE")]
    from: Option<String>,
    /// To the end of this day
    #[arg(long, value_name = "DATE")]
    to: Option<String>,
    /// A new file; without it the text goes to the standard output
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
    /// Put the mark of UTF-8 in front, for spreadsheets that need it
    #[arg(long)]
    bom: bool,
}

const EXPORT_HELP: &str = "\
Examples:
  fillstead book export club.book --out club.jsonl        every entry, exactly as written
  fillstead book export club.book --what cylinders --out cylinders.csv
  fillstead book export club.book --what fills --from 2026-01-01 | less

Figures stand twice: as typed (from_typed) and worked out, with the unit in the name
(from_bar). A text that a spreadsheet would take for a formula has an apostrophe in front;
`book import` takes it away again. Cylinders and fills can be brought in again.";

/// Runs `fillstead book export`.
pub fn export(arguments: &ExportArguments) -> Done {
    if let Some(out) = &arguments.out {
        file::must_be_free(out)?;
    }
    let asked = export::Asked {
        what: arguments.what.as_deref(),
        format: arguments.format.as_deref(),
        from: arguments.from.as_deref(),
        to: arguments.to.as_deref(),
        bom: arguments.bom,
    };
    let text = taken_out(&arguments.book, &asked)?;
    match &arguments.out {
        None => Ok(Answer::fine(text)),
        Some(out) => {
            file::write_new(out, &text)?;
            Ok(Answer::fine(format!("{} is written.\n", out.display())))
        }
    }
}
