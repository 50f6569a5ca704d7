//! `fillstead book print`: sheets made for print, as one HTML file each.
//!
//! Not here: what is on them ([`crate::usecase::book::sheet`]) and how they look ([`crate::print`]).

use std::path::{Path, PathBuf};

use askama::Template;
use clap::{Args, Subcommand, ValueEnum};
use serde::Serialize;

use crate::cli::answer::{Answer, Done, Exit};
use crate::cli::terminal::harmless;
use crate::print::{Paper, html};
use crate::usecase::book::desk;
use crate::usecase::book::form::Given;
use crate::usecase::book::sheet::{Room, cartridge, certificate, day, quarantine, support, tag};
use crate::usecase::clock::day_typed;
use crate::usecase::file::{must_be_free, write_new};
use crate::usecase::plan::sheet as run_card;

/// Which book, which sheet.
#[derive(Args)]
#[command(after_help = HELP)]
pub struct PrintArguments {
    /// The book
    book: PathBuf,
    #[command(subcommand)]
    sheet: Sheet,
}

const HELP: &str = "\
Examples:
  fillstead book print club.book day --day 2026-05-20 --out day.html
  fillstead book print club.book tag A1 A2 --out tags.html
  fillstead book print club.book card --cylinder \"A1@50 bar\" --out card.html
  fillstead book print club.book cartridge --next-due \"452 h\" --out cartridge.html

Each sheet is one HTML file with everything in it: open it in a browser and print it from there.";

/// The sheets.
#[derive(Subcommand)]
enum Sheet {
    /// Everything entered about a day, with its seal
    Day {
        /// Which day [default: today]
        #[arg(long, value_name = "DATE")]
        day: Option<String>,
        #[command(flatten)]
        how: How,
    },
    /// Tags to hang on cylinders: the last fill, or that it must not be used
    Tag {
        /// The cylinders
        #[arg(required = true, value_name = "CYLINDER")]
        cylinders: Vec<String>,
        /// Each so many times
        #[arg(long, value_name = "N", default_value_t = 1)]
        copies: usize,
        #[command(flatten)]
        how: How,
    },
    /// The tag at the compressor: latest change of the cartridge, to be signed
    Cartridge {
        /// When it is next due, in your words; left for the pencil otherwise
        #[arg(long, value_name = "TEXT")]
        next_due: Option<String>,
        #[command(flatten)]
        how: How,
    },
    /// Cylinders set aside, who got air from them, what to do
    Quarantine {
        #[command(flatten)]
        how: How,
    },
    /// One air test against its standard
    Certificate {
        /// Number of its entry [default: the last air test]
        #[arg(long, value_name = "N")]
        test: Option<u64>,
        #[command(flatten)]
        how: How,
    },
    /// The run card: what the gauges should read, minute by minute, and a place for what they do
    Card {
        #[command(flatten)]
        plan: PlanAsked,
        #[command(flatten)]
        how: How,
    },
    /// What a technician on the telephone asks, with fields for the pencil
    Support {
        /// What the drains should have given, in your words
        #[arg(long, value_name = "TEXT")]
        drains_expected: Option<String>,
        /// What drifts, in your words; may be given several times
        #[arg(long, value_name = "TEXT")]
        drift: Vec<String>,
        #[command(flatten)]
        how: How,
    },
}

/// The question of a run card; what is not given is taken from the book.
#[derive(Args)]
struct PlanAsked {
    /// A cylinder and its pressure before filling; give it again for the next one, in the order of
    /// filling [default: the first that may be filled]
    #[arg(long, value_name = "ID[@START]")]
    cylinder: Vec<String>,
    /// Stop filling at this gauge pressure, below the rating
    #[arg(long, value_name = "P")]
    to: Option<String>,
    /// Tower gauge before the start [default: the last reading]
    #[arg(long, value_name = "P")]
    tower: Option<String>,
    /// Air at the intake [default: at the last start]
    #[arg(long, value_name = "T", allow_hyphen_values = true)]
    intake_temperature: Option<String>,
    /// Its relative humidity [default: at the last start]
    #[arg(long, value_name = "H")]
    humidity: Option<String>,
    /// When the sump is drained: due, never, or every so often [default: due]
    #[arg(long, value_name = "due|never|T")]
    drain_every: Option<String>,
    /// Time between cylinders on one hose [default: 4 min]
    #[arg(long, value_name = "T")]
    change_over: Option<String>,
}

impl PlanAsked {
    fn given(&self) -> Given {
        let cylinders = self.cylinder.iter().map(|text| ("cylinder", Some(text)));
        let single = [
            ("to", self.to.as_ref()),
            ("tower", self.tower.as_ref()),
            ("intake-temperature", self.intake_temperature.as_ref()),
            ("humidity", self.humidity.as_ref()),
            ("drain-every", self.drain_every.as_ref()),
            ("change-over", self.change_over.as_ref()),
        ];
        let all = cylinders.chain(single);
        let given = all.filter_map(|(name, text)| Some((name.to_owned(), text?.clone())));
        given.collect()
    }
}

/// Where it goes, and on what.
#[derive(Args)]
struct How {
    /// Write it to this file, which must not be there yet [default: standard output]
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
    /// The paper [default: that of the station's units]
    #[arg(long, value_enum, value_name = "PAPER")]
    paper: Option<PaperNamed>,
    /// As the book stood at the end of this day [default: now]
    #[arg(long, value_name = "DATE")]
    today: Option<String>,
    /// What is on the sheet as JSON
    #[arg(long, conflicts_with = "out")]
    json: bool,
}

/// A size of paper.
#[derive(Clone, Copy, ValueEnum)]
enum PaperNamed {
    /// 210 x 297 mm
    A4,
    /// 8.5 x 11 in
    Letter,
}

/// Runs `fillstead book print`.
pub fn run(arguments: &PrintArguments) -> Done {
    let how = arguments.sheet.how();
    // Told before anything is read.
    if let Some(out) = &how.out {
        must_be_free(out)?;
    }
    let book = desk::read(&arguments.book)?;
    let paper = how.paper.map(|paper| match paper {
        PaperNamed::A4 => Paper::A4,
        PaperNamed::Letter => Paper::Letter,
    });
    let room = Room::of(&book, paper, how.today.as_deref())?;
    match &arguments.sheet {
        Sheet::Day { day, .. } => {
            let day = day.as_deref().map(day_typed).transpose();
            let day = day.map_err(|trouble| trouble.about("day"))?;
            told(&day::sheet(&room, day)?, how)
        }
        Sheet::Tag {
            cylinders, copies, ..
        } => told(&tag::sheet(&room, cylinders, *copies)?, how),
        Sheet::Cartridge { next_due, .. } => told(&cartridge::sheet(&room, next_due.clone())?, how),
        Sheet::Quarantine { .. } => told(&quarantine::sheet(&room)?, how),
        Sheet::Certificate { test, .. } => told(&certificate::sheet(&room, *test)?, how),
        Sheet::Card { plan, .. } => {
            let card = run_card::of_book(&arguments.book, &room, &plan.given(), None)?;
            told(&card, how)
        }
        Sheet::Support {
            drains_expected,
            drift,
            ..
        } => {
            let beside = support::Beside {
                check: None,
                drains_expected: drains_expected.clone(),
                drift: drift.clone(),
            };
            told(&support::sheet(&room, beside)?, how)
        }
    }
}

impl Sheet {
    fn how(&self) -> &How {
        match self {
            Sheet::Day { how, .. }
            | Sheet::Tag { how, .. }
            | Sheet::Cartridge { how, .. }
            | Sheet::Quarantine { how }
            | Sheet::Certificate { how, .. }
            | Sheet::Card { how, .. }
            | Sheet::Support { how, .. } => how,
        }
    }
}

/// The sheet where it is wanted.
fn told(sheet: &(impl Template + Serialize), how: &How) -> Done {
    if how.json {
        return Answer::json(sheet, Exit::Fine);
    }
    let page = html(sheet)?;
    match &how.out {
        None => Ok(Answer::fine(page)),
        Some(out) => written(out, &page),
    }
}

fn written(out: &Path, page: &str) -> Done {
    write_new(out, page)?;
    let text = format!(
        "{} is written. Open it in a browser and print it from there.\n",
        out.display()
    );
    Ok(Answer::fine(harmless(&text)))
}
