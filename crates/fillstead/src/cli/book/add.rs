//! `fillstead book add` and `fillstead book correct`.
//!
//! The options of each kind of entry are made from its form ([`crate::usecase::book::form`]).

use std::path::{Path, PathBuf};

use book::Kind;
use clap::error::ErrorKind;
use clap::{Arg, ArgAction, ArgMatches, Args, Command, Error, FromArgMatches, Subcommand};
use insight::air::Overall;
use serde_json::json;

use crate::cli::answer::{Answer, Done, Exit, Failure};
use crate::cli::render::book as page;
use crate::cli::render::page::{item, paragraph};
use crate::cli::station::unusable;
use crate::cli::terminal::harmless;
use crate::usecase::Trouble;
use crate::usecase::book::add::{self as usecase, Added};
use crate::usecase::book::air_test::{self, Entered};
use crate::usecase::book::correct::{self as corrections, Change};
use crate::usecase::book::desk::Who;
use crate::usecase::book::form::{FILL_LINE, FORMS, Field, Form, Given};
use crate::usecase::book::gate::{self, Filled};
use crate::usecase::file::read_as;
use crate::usecase::station::StationFile;

/// Where, and what.
#[derive(Args)]
pub struct AddArguments {
    /// The book
    book: PathBuf,
    #[command(subcommand)]
    what: What,
}

/// An entry as typed.
pub struct What {
    kind: Made,
    given: Given,
    signed: Signed,
}

/// How an entry is made.
enum Made {
    /// From a form.
    Form(&'static Form),
    /// From a station file.
    Station,
    /// From a file of results.
    AirTest,
}

/// Who, when, where; and how to answer.
struct Signed {
    by: Option<String>,
    at: Option<String>,
    zone: Option<String>,
    json: bool,
}

impl Signed {
    fn who(&self) -> Who<'_> {
        Who {
            by: self.by.as_deref(),
            at: self.at.as_deref(),
            zone: self.zone.as_deref(),
        }
    }
}

const STATION: &str = "station";
const AIR_TEST: &str = "air-test";

impl Subcommand for What {
    fn augment_subcommands(command: Command) -> Command {
        let forms = FORMS.iter().map(|form| signed(of_form(form)));
        command
            .subcommands(forms)
            .subcommand(signed(
                Command::new(STATION)
                    .about("The station file as it stands from here on")
                    .arg(
                        Arg::new("file")
                            .value_name("FILE")
                            .required(true)
                            .help("the station file"),
                    )
                    .arg(option("why", "TEXT", "what was changed, and why")),
            ))
            .subcommand(signed(
                Command::new(AIR_TEST)
                    .about("An air test's results, judged by the standard in force and kept whole")
                    .after_help(AIR_TEST_CAUTION)
                    .arg(
                        Arg::new("file")
                            .value_name("FILE")
                            .required(true)
                            .help("the file of results"),
                    )
                    .arg(option(
                        "standard",
                        "NAME",
                        "another standard than that in force",
                    ))
                    .arg(option(
                        "cylinder",
                        "ID",
                        "the cylinder it was taken from, if not the outlet",
                    )),
            ))
            .subcommand_required(true)
            .arg_required_else_help(true)
    }

    fn augment_subcommands_for_update(command: Command) -> Command {
        Self::augment_subcommands(command)
    }

    fn has_subcommand(name: &str) -> bool {
        [STATION, AIR_TEST].contains(&name) || FORMS.iter().any(|form| form.name == name)
    }
}

impl FromArgMatches for What {
    fn from_arg_matches(matches: &ArgMatches) -> Result<Self, Error> {
        let (name, typed) = matches
            .subcommand()
            .ok_or_else(|| Error::new(ErrorKind::MissingSubcommand))?;
        let one = |name: &str| typed.get_one::<String>(name).cloned();
        let (kind, names): (Made, Vec<&str>) =
            match FORMS.iter().copied().find(|form| form.name == name) {
                Some(form) => (
                    Made::Form(form),
                    fields(form).map(|field| field.name).collect(),
                ),
                None if name == AIR_TEST => (Made::AirTest, vec!["file", "standard", "cylinder"]),
                None => (Made::Station, vec!["file", "why"]),
            };
        let given = names
            .iter()
            .filter_map(|name| Some(((*name).to_owned(), one(name)?)));
        Ok(What {
            kind,
            given: given.collect(),
            signed: Signed {
                by: one("by"),
                at: one("at"),
                zone: one("zone"),
                json: typed.get_flag("json"),
            },
        })
    }

    fn update_from_arg_matches(&mut self, matches: &ArgMatches) -> Result<(), Error> {
        *self = Self::from_arg_matches(matches)?;
        Ok(())
    }
}

/// The fields of a form, and of the line a fill is made on.
fn fields(form: &'static Form) -> impl Iterator<Item = &'static Field> {
    let line = match form.kind {
        Kind::Fill => FILL_LINE,
        _ => &[],
    };
    form.fields.iter().chain(line)
}

/// The command of a form.
fn of_form(form: &'static Form) -> Command {
    let mut command = Command::new(form.name).about(form.about);
    if !form.caution.is_empty() {
        command = command.after_help(form.caution);
    }
    for field in fields(form) {
        let help = format!("{}, such as \"{}\"", field.label, field.example);
        let arg = match field.first {
            // What is missing is told by the form, with everything else that is wrong.
            true => Arg::new(field.name)
                .value_name(field.kind.mark())
                .help(help),
            false => option(field.name, field.kind.mark(), help),
        };
        command = command.arg(arg.allow_hyphen_values(true));
    }
    command
}

fn option(name: &'static str, mark: &'static str, help: impl Into<String>) -> Arg {
    Arg::new(name).long(name).value_name(mark).help(help.into())
}

/// The same with who, when and where.
fn signed(command: Command) -> Command {
    command
        .arg(option("by", "NAME", "Who makes the entry: name or initials").env("FILLSTEAD_BY"))
        .arg(option(
            "at",
            "TIME",
            "When it happened, such as \"2026-05-20 19:40\", or 19:40 today [default: now]",
        ))
        .arg(option(
            "zone",
            "ZONE",
            "The station's time zone from here on, such as \"Europe/Oslo\"",
        ))
        .arg(
            Arg::new("json")
                .long("json")
                .action(ArgAction::SetTrue)
                .help("Answer as JSON"),
        )
}

/// Runs `fillstead book add`.
pub fn run(arguments: AddArguments) -> Done {
    let AddArguments { book, what } = arguments;
    let who = what.signed.who();
    let get = |name: &str| {
        let found = what.given.iter().find(|(given, _)| given == name);
        found.map(|(_, text)| text.as_str())
    };
    let file = Path::new(get("file").unwrap_or_default());
    let added = match what.kind {
        Made::Form(form) if form.kind == Kind::Fill => {
            return filled(&gate::fill(&book, &what.given, &who)?, what.signed.json);
        }
        Made::Form(form) => usecase::add(&book, form, &what.given, &who)?,
        Made::Station => {
            let file = StationFile::open(file)?;
            if file.station().is_none() {
                return Err(unusable(&file));
            }
            usecase::revise_station(&book, &file, get("why"), &who)?
        }
        Made::AirTest => {
            let text = read_as(file, "file of results")?;
            let asked = air_test::Asked {
                results: &text,
                file: get("file").unwrap_or_default(),
                standard: get("standard"),
                cylinder: get("cylinder"),
            };
            return entered(&air_test::enter(&book, &asked, &who)?, what.signed.json);
        }
    };
    answer(&added, what.signed.json)
}

/// What came of a fill: it is in the book, or the refusal is.
fn filled(filled: &Filled, json: bool) -> Done {
    let clean = filled.verdict.may || !filled.overridden.is_empty() && filled.written;
    let exit = match clean {
        true => Exit::Fine,
        false => Exit::Findings,
    };
    if json {
        return Answer::json(&filled.as_json(), exit);
    }
    Ok(Answer {
        text: page::filled(filled),
        exit,
    })
}

/// What came of an air test.
fn entered(entered: &Entered, json: bool) -> Done {
    let exit = match entered.verdict.overall {
        Overall::Passes => Exit::Fine,
        Overall::Fails | Overall::CannotTell => Exit::Findings,
    };
    if json {
        let answer = json!({
            "entry": entered.added.seq,
            "seal": entered.added.seal,
            "remarks": entered.added.remarks,
            "verdict": entered.verdict,
        });
        return Answer::json(&answer, exit);
    }
    let Answer { text, .. } = answer(&entered.added, false)?;
    let sentence = paragraph(2, &entered.verdict.sentence);
    Ok(Answer {
        text: text + &harmless(&sentence) + "Details: `fillstead air` with the same file.\n",
        exit,
    })
}

const AIR_TEST_CAUTION: &str = "A test speaks of one sample. One that fails locks filling until its cause \
    is recorded and a later test passes.";

/// What to say of an entry that is in the book.
pub fn answer(added: &Added, json: bool) -> Done {
    if json {
        let answer = json!({
            "entry": added.seq,
            "kind": added.kind,
            "happened": added.happened,
            "author": added.author,
            "seal": added.seal,
            "remarks": added.remarks,
        });
        return Answer::json(&answer, Exit::Fine);
    }
    let mut text = format!(
        "Entry {}: {}, {}, by {}. It is on the disk.\n",
        added.seq, added.kind, added.happened, added.author
    );
    for remark in &added.remarks {
        text += &item(&format!("Note: {remark}."));
    }
    if !added.caution.is_empty() {
        text += &paragraph(0, added.caution);
    }
    Ok(Answer::fine(harmless(&text)))
}

/// What can be put right.
#[derive(Args)]
#[command(after_help = CORRECT_HELP)]
pub struct CorrectArguments {
    /// The book
    book: PathBuf,
    /// Number of the entry
    entry: u64,
    /// Why
    #[arg(long, value_name = "TEXT")]
    why: String,
    /// A field as it should have been, such as "to=230 bar"; an empty text takes it away
    #[arg(long = "set", value_name = "FIELD=TEXT", allow_hyphen_values = true)]
    fields: Vec<String>,
    /// It did not happen at all
    #[arg(long, conflicts_with_all = ["fields", "at"])]
    withdraw: bool,
    /// When it really happened
    #[arg(long, value_name = "TIME")]
    at: Option<String>,
    /// Who corrects it
    #[arg(long, value_name = "NAME", env = "FILLSTEAD_BY")]
    by: Option<String>,
    /// Answer as JSON
    #[arg(long)]
    json: bool,
}

const CORRECT_HELP: &str = "\
Examples:
  fillstead book correct club.book 41 --why \"gauge misread\" --set \"to=230 bar\" --by MK
  fillstead book correct club.book 41 --why \"entered twice\" --withdraw --by MK

Fields have the names of the options of `fillstead book add`. The entry itself stays as it was
written; what counts from here on is the correction.";

/// Runs `fillstead book correct`.
pub fn correct(arguments: &CorrectArguments) -> Done {
    let given = arguments
        .fields
        .iter()
        .map(|text| match text.split_once('=') {
            Some((name, text)) => Ok((name.trim().to_owned(), text.to_owned())),
            None => Err(Trouble::new(
                format!("\"{text}\" names no field"),
                "write the field, an equals sign and the text, like --set \"to=230 bar\"",
            )
            .about("set")),
        });
    let change = Change {
        of: arguments.entry,
        why: &arguments.why,
        withdraw: arguments.withdraw,
        given: given.collect::<Result<_, _>>().map_err(Failure::from)?,
    };
    let who = Who {
        by: arguments.by.as_deref(),
        at: arguments.at.as_deref(),
        zone: None,
    };
    answer(
        &corrections::correct(&arguments.book, &change, &who)?,
        arguments.json,
    )
}
