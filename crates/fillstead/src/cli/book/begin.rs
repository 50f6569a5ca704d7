//! `fillstead book begin`.

use std::path::PathBuf;

use clap::Args;
use serde_json::json;

use crate::cli::answer::{Answer, Done, Exit, Failure};
use crate::cli::render::page::{item, paragraph};
use crate::cli::station::unusable;
use crate::cli::terminal::harmless;
use crate::usecase::book::begin::{Asked, NotBegun, begin};
use crate::usecase::book::desk::Who;

/// What can be said of a new book.
#[derive(Args)]
pub struct BeginArguments {
    /// The book's file, which must not be there yet
    book: PathBuf,
    /// The station file: it goes into the book, and its cylinders onto the register
    #[arg(long, value_name = "FILE")]
    station: Option<PathBuf>,
    /// What people call the station, where there is no file yet
    #[arg(long, value_name = "NAME", conflicts_with = "station")]
    name: Option<String>,
    /// The rule by which cylinders are requalified; `cylinder --list-rules` lists them
    #[arg(long, value_name = "NAME")]
    rule: Option<String>,
    /// The standard for the air; `air --list-standards` lists them
    #[arg(long, value_name = "NAME")]
    standard: Option<String>,
    /// The station's time zone, such as "Europe/Dublin" [default: that of this machine]
    #[arg(long, value_name = "ZONE")]
    zone: Option<String>,
    /// Words for the first page
    #[arg(long, value_name = "TEXT")]
    remark: Option<String>,
    /// Who begins it: name or initials
    #[arg(long, value_name = "NAME", env = "FILLSTEAD_BY")]
    by: Option<String>,
    /// When the records begin, such as "2026-05-20 19:00" [default: now]
    #[arg(long, value_name = "TIME")]
    at: Option<String>,
    /// Answer as JSON
    #[arg(long)]
    json: bool,
}

/// Runs `fillstead book begin`.
pub fn run(arguments: &BeginArguments) -> Done {
    let asked = Asked {
        station: arguments.station.as_deref(),
        text: None,
        name: arguments.name.as_deref(),
        rule: arguments.rule.as_deref(),
        standard: arguments.standard.as_deref(),
        remark: arguments.remark.as_deref(),
    };
    let who = Who {
        by: arguments.by.as_deref(),
        at: arguments.at.as_deref(),
        zone: arguments.zone.as_deref(),
    };
    let begun = begin(&arguments.book, &asked, &who).map_err(|error| match error {
        NotBegun::Troubles(troubles) => Failure::from(troubles),
        NotBegun::Unusable(file) => unusable(&file),
    })?;
    let name = arguments.book.display().to_string();
    let (seq, seal) = &begun.seal;
    if arguments.json {
        let answer = json!({
            "book": name,
            "station": begun.station,
            "zone": begun.zone,
            "cylinders": begun.cylinders,
            "entries": seq,
            "seal": seal,
            "remarks": begun.remarks,
        });
        return Answer::json(&answer, Exit::Fine);
    }
    let mut text = format!(
        "{name}: the book of {} is begun.\n{}",
        begun.station,
        paragraph(
            0,
            &format!(
                "{seq} entries, {} cylinders on the register, times in {}. Seal {seq}:{seal}.",
                begun.cylinders, begun.zone
            )
        )
    );
    for remark in &begun.remarks {
        text += &item(&format!("{remark}."));
    }
    text += "Next: `fillstead book add ";
    text += &format!("{name} --help` lists what can be written down.\n");
    Ok(Answer::fine(harmless(&text)))
}
