//! The fill gate on paper: may it be filled, what stands against it, when it is due, its stamp.
//!
//! Not here: what is decided ([`insight::cylinder`]).

mod stamp;

use insight::cylinder::FillAnswer;
use insight::cylinder::answer::{CheckAnswer, Note, Refusal};

use crate::cli::render::page::{Table, item, paragraph};
use crate::cli::terminal::harmless;
use crate::usecase::cylinder::{Gate, Stamp};

/// A cylinder of a station.
pub fn at_station(gate: &Gate) -> String {
    let mut title = format!("Cylinder {}", gate.fill.cylinder);
    if let Some(station) = gate.file.station() {
        title += &format!(" of {}\n", station.name);
        if station.invented {
            title += "Demonstration data: this station is invented.\n";
        }
    }
    harmless(&format!("{title}\n{}", answer(&gate.fill)))
}

/// A stamp, and what follows from it where a rule was named.
pub fn stamped(read: &Stamp) -> String {
    let mut page = stamp::text(read);
    if let Some(fill) = &read.fill {
        page += &format!("\n{}", answer(fill));
        page += &item(
            "By its stamp alone: the line it hangs on, the record and the cylinder itself were not \
             looked at.",
        );
    }
    harmless(&page)
}

/// The gate's answer alone.
pub fn answer(fill: &FillAnswer) -> String {
    let sections = [
        verdict(fill),
        refusals(&fill.refusals),
        checks(&fill.checks),
        hot(fill),
        notes(&fill.notes),
    ];
    let filled: Vec<&str> = sections
        .iter()
        .map(String::as_str)
        .filter(|section| !section.is_empty())
        .collect();
    filled.join("\n")
}

fn verdict(fill: &FillAnswer) -> String {
    let mut table = Table::new(2);
    let mut row = |name: &str, text: String| table.row([name.to_owned(), text]);
    row("rule", format!("{}: {}", fill.rule, fill.rule_title));
    row("day", fill.today.clone());
    if let Some(to) = &fill.to {
        let other = match to.stamped.ends_with("psi") {
            true => format!("{:.1} bar", to.bar),
            false => format!("{:.0} psi", to.psi),
        };
        let at = fill.settled_at_c;
        let word = if fill.may {
            ""
        } else {
            ", were it fit to fill"
        };
        row(
            "at most",
            format!("{} ({other}) settled at {at:.0} °C{word}", to.stamped),
        );
    }
    if let (Some(until), true) = (fill.until, fill.may) {
        row("in date until", until.to_string());
    }
    paragraph(0, &format!("{}.", fill.verdict)) + &table.text()
}

/// What stands against a fill.
pub fn refusals(refusals: &[Refusal]) -> String {
    if refusals.is_empty() {
        return String::new();
    }
    let mut text = "What stands against it\n".to_owned();
    for r in refusals {
        text += &item(&format!("{} [{}].", r.what, r.id));
        text += &paragraph(4, &format!("Way forward: {}.", r.way_forward));
        text += &paragraph(4, &format!("Source: {}.", sourced(&r.source, &r.certainty)));
        if r.may_be_overridden {
            text += &paragraph(
                4,
                "A competent person may decide otherwise, and writes down name and reason.",
            );
        }
    }
    text
}

fn checks(checks: &[CheckAnswer]) -> String {
    if checks.is_empty() {
        return String::new();
    }
    let mut table = Table::new(2);
    table.row(["", "last", "every", "good until", ""].map(str::to_owned));
    for c in checks {
        let last = c.last.map_or("not known".to_owned(), |w| w.to_string());
        let due = c.due.map_or("not known".to_owned(), |w| w.to_string());
        let every = match c.every_months {
            0 => "as stamped".to_owned(),
            months => format!("{months} months"),
        };
        let state = match (c.overdue, c.due) {
            (true, Some(_)) => "over",
            (true, None) => "look it up",
            _ => "in date",
        };
        table.row([c.check.to_owned(), last, every, due, state.to_owned()]);
    }
    let mut text = format!("Examinations\n{}", table.text());
    let mut said: Vec<String> = Vec::new();
    for c in checks {
        let source = format!("{}; seen: {}", sourced(&c.source, &c.certainty), c.seen);
        if !said.contains(&source) {
            text += &item(&format!("Source: {source}."));
            said.push(source);
        }
    }
    text
}

fn hot(fill: &FillAnswer) -> String {
    let Some(hot) = &fill.hot else {
        return String::new();
    };
    paragraph(
        0,
        &format!(
            "Filled so, at {:.0} °C it would show {:.0} bar ({:.0} psi); the rule's limit there is \
             {:.0} bar ({:.0} psi).",
            hot.at_c, hot.bar, hot.psi, hot.limit_bar, hot.limit_psi
        ),
    )
}

fn notes(notes: &[Note]) -> String {
    let mut text = "To know\n".to_owned();
    for note in notes {
        let source = match note.source.is_empty() {
            true => String::new(),
            false => format!(" ({})", sourced(&note.source, &note.certainty)),
        };
        text += &item(&format!("{}{source}.", note.text));
    }
    text += &item(
        "Nothing here says that a cylinder holds, or that the air in it is fit to breathe. The \
         test house, the rule itself and competent persons decide.",
    );
    text
}

fn sourced(source: &str, certainty: &str) -> String {
    format!("{source}; {certainty}")
}
