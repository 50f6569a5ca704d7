//! Entries of the book on paper.

pub mod asked;
pub mod kept;
pub mod machine;
pub mod transfer;

use serde_json::Value;

use crate::cli::render::page::{Table, item, paragraph};
use crate::cli::terminal::harmless;
use crate::usecase::book::gate::Filled;
use crate::usecase::book::list::{List, Row, Shown, Written};

/// The line every page of demonstration data has.
pub const INVENTED: &str = "Demonstration data: this station is invented.\n";

/// Whose book it is.
pub fn title(what: &str, station: &str, invented: bool) -> String {
    format!(
        "{what} of {station}\n{}",
        if invented { INVENTED } else { "" }
    )
}

/// What came of a fill.
pub fn filled(filled: &Filled) -> String {
    let Filled {
        added,
        verdict,
        overridden,
        written,
    } = filled;
    let mut text = match written {
        true => format!(
            "Entry {}: {}, {}, by {}. It is on the disk.\n",
            added.seq, added.kind, added.happened, added.author
        ),
        false => format!(
            "Do not fill {}. The refusal is entry {}, {}, by {}.\n",
            verdict.cylinder, added.seq, added.happened, added.author
        ),
    };
    if *written {
        text += &paragraph(2, &format!("{}.", verdict.verdict));
    }
    for over in overridden {
        text += &item(&format!(
            "Overridden by {}: {} ({}).",
            over.by, over.refusal, over.reason
        ));
    }
    for remark in &added.remarks {
        text += &item(&format!("Note: {remark}."));
    }
    if !verdict.may {
        text += &super::cylinder::refusals(&verdict.refusals);
    }
    if *written && !verdict.may && overridden.is_empty() {
        text += "Set the cylinder aside: it was filled although something stood against it.\n";
    }
    if *written {
        text += "Bleed the hose to nothing before undoing it.\n";
    }
    harmless(&text)
}

/// A list of entries.
pub fn list(list: &List) -> String {
    let mut text = title("Book", &list.station, list.invented) + "\n";
    if list.entries.is_empty() {
        return harmless(&(text + "No such entry.\n"));
    }
    let mut table = Table::new(0).right([0]);
    table.row(["no.", "when", "by", "kind", "what"].map(str::to_owned));
    for row in &list.entries {
        table.row([
            row.seq.to_string(),
            row.minute.clone(),
            row.author.clone(),
            row.called.clone(),
            line(row),
        ]);
    }
    text += &table.text();
    harmless(&format!("{text}\nTimes in {}.\n", list.zone))
}

fn line(row: &Row) -> String {
    match (row.withdrawn, row.corrected_by) {
        (true, by) => {
            let by = by.map(|by| format!(" by entry {by}")).unwrap_or_default();
            format!("WITHDRAWN{by}: {}", row.line)
        }
        (false, Some(by)) => format!("{} [corrected by entry {by}]", row.line),
        (false, None) => row.line.clone(),
    }
}

/// One entry whole.
pub fn shown(shown: &Shown) -> String {
    let mut text = String::new();
    if let Some(row) = &shown.entry {
        text += &format!(
            "Entry {}: {}, {}, by {}\n",
            row.seq, row.called, row.minute, row.author
        );
        text += &paragraph(2, &line(row));
        text.push('\n');
    }
    for written in &shown.written {
        text += &as_written(written);
    }
    harmless(&text)
}

fn as_written(written: &Written) -> String {
    let mut table = Table::new(2);
    let mut row = |name: &str, text: &str| table.row([name.to_owned(), text.to_owned()]);
    row(
        "kind",
        &format!("{}, version {}", written.kind, written.version),
    );
    row("happened", &written.happened);
    row("written", &written.recorded);
    row("author", &written.author);
    if let Value::Object(body) = &written.body {
        for (key, value) in body {
            row(key, &plain(value));
        }
    }
    row("hash before", &written.prev);
    row("hash", &written.hash);
    let whole = match written.whole {
        true => "as it was written",
        false => "NOT AS IT WAS WRITTEN: run `fillstead book verify`",
    };
    format!(
        "Written as entry {} ({whole})\n{}\n",
        written.seq,
        table.text()
    )
}

/// A value of a body: as typed where it is a figure.
fn plain(value: &Value) -> String {
    match value {
        Value::String(text) => text.clone(),
        Value::Object(object) => match object.get("typed") {
            Some(typed) => plain(typed),
            None => value.to_string(),
        },
        other => other.to_string(),
    }
}
