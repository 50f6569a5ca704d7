//! An audit on paper: the verdict, the findings, the ladder, what was seen and what was not.
//!
//! Start at [`text`]. Not here: what is found ([`insight::audit`]) and the drawing itself
//! ([`insight::ladder`]).

mod finding;
mod rule;

use insight::audit::Said;

use crate::cli::render::page::{Table, item, paragraph};
use crate::cli::terminal::harmless;
use crate::usecase::audit::Answer;
use crate::words::counted;

pub use rule::{explanation, sections};

/// The whole page; `svg` is the name of the drawing that was written.
pub fn text(answer: &Answer, svg: Option<&str>) -> String {
    let audit = &answer.audit;
    let sections = [
        title(answer),
        finding::text(&audit.findings),
        drawing(answer, svg),
        said("Looked at, and no reason found to stop", &audit.fine),
        said("Could not be looked at", &audit.silent),
        assumed(answer),
        cautions(),
    ];
    let filled: Vec<&str> = sections
        .iter()
        .map(String::as_str)
        .filter(|section| !section.is_empty())
        .collect();
    harmless(&filled.join("\n"))
}

fn title(answer: &Answer) -> String {
    let mut text = format!("{}\n", answer.audit.ladder.station);
    if answer.invented {
        text +=
            "Demonstration data: this station is invented. Set nothing on a real machine by it.\n";
    }
    text + "\n" + &paragraph(0, &answer.audit.verdict)
}

fn drawing(answer: &Answer, svg: Option<&str>) -> String {
    let mut text = answer.ladder();
    if let Some(name) = svg {
        text += &format!("\nThe same as a drawing is in {name}.\n");
    }
    text
}

/// What rules say, each after the rule's name, which is not said twice.
fn said(heading: &str, all: &[Said]) -> String {
    if all.is_empty() {
        return String::new();
    }
    let mut table = Table::new(2);
    for by_rule in all.chunk_by(|a, b| a.rule == b.rule) {
        for (n, one) in by_rule.iter().enumerate() {
            let rule = if n == 0 { one.rule } else { "" };
            table.row([rule.to_owned(), one.says.clone()]);
        }
    }
    format!("{heading}\n{}", table.text())
}

/// What stands in the file's place where it is silent, and what it was warned of.
fn assumed(answer: &Answer) -> String {
    let file = &answer.file;
    let name = match file.name.as_str() {
        "standard input" => "-",
        name => name,
    };
    let pointer = format!("`fillstead station check {name}`");
    let mut text = String::new();
    let assumed = file.reading.assumed.len();
    if assumed > 0 {
        let figures = counted(assumed, "figure");
        text += &item(&format!(
            "{figures} not in the station file; {pointer} lists them with the reasons."
        ));
    }
    if file.warnings() > 0 {
        let warnings = counted(file.warnings(), "warning");
        text += &item(&format!(
            "The station file has {warnings}: {pointer} shows it."
        ));
    }
    if !text.is_empty() {
        text.insert_str(0, "Assumed\n");
    }
    text
}

const CAUTIONS: [&str; 6] = [
    "The audit knows what the file says, not what is bolted on: compare the file with tags, stamps \
     and plates. Nothing found is no promise.",
    "Turn no valve to fit this page: valves are set only as the maker's manual says, by someone \
     trained to do it, never under pressure.",
    "Never plug, cap or tighten a relief valve or disc.",
    "Stop the machine and vent it to nothing before anything is opened or changed. Stand clear of \
     hose ends and of the outlets of relief valve and burst disc.",
    "Fill only cylinders that are in test; never above the pressure stamped on them.",
    "Nothing here says that the air is fit to breathe; only an air test can. The maker's manual, \
     local codes and competent persons decide.",
];

/// Where the hand is.
fn cautions() -> String {
    let items: String = CAUTIONS.iter().map(|caution| item(caution)).collect();
    format!("At the machine\n{items}")
}
