//! A stamp as read, word by word.
//!
//! Not here: what follows from it.

use insight::cylinder::{StampDate, StampPressure, StampReading};
use quantity::display_as;

use crate::cli::render::page::{Table, item};
use crate::usecase::cylinder::Stamp;

/// What was read.
pub(super) fn text(read: &Stamp) -> String {
    let stamp = &read.stamp;
    let mut text = format!("Stamp: {}\n{}", stamp.text.trim(), rows(stamp));
    let list = |heading: &str, all: &[String]| match all {
        [] => String::new(),
        all => {
            let items: String = all.iter().map(|one| item(&ended(one))).collect();
            format!("\n{heading}\n{items}")
        }
    };
    if stamp.condemned {
        text += "\nIt is stamped as condemned: never fill it again, have it made unusable.\n";
    }
    text += &list(
        "Cannot be: read it again with a second person before anything else",
        &stamp.implausible,
    );
    text += &list("How it was read", &stamp.notes);
    if !read.understood() {
        text += "\nNothing of it was understood: type it as it stands, words parted by spaces.\n";
    } else if read.fill.is_none() && read.sound() {
        text += "\nWhether it may be filled a rule decides: add --rule, such as --rule us.\n";
    }
    text
}

/// With its full stop, where it has no mark of its own.
fn ended(text: &str) -> String {
    match text.ends_with(['.', '?', '!']) {
        true => text.to_owned(),
        false => format!("{text}."),
    }
}

fn rows(stamp: &StampReading) -> String {
    let mut table = Table::new(2);
    let mut row = |name: &str, text: Option<String>| {
        if let Some(text) = text {
            table.row([name.to_owned(), text]);
        }
    };
    row("specification", stamp.specification.clone());
    row("permit", stamp.permit.clone());
    let plus = match stamp.plus_at_pressure {
        true => ", plus mark",
        false => "",
    };
    let service = stamp.service.as_ref().map(pressure);
    row("service pressure", service.map(|p| p + plus));
    row("test pressure", stamp.test.as_ref().map(pressure));
    row("alloy", stamp.alloy.clone());
    for date in &stamp.dates {
        row("date", Some(dated(date)));
    }
    if !stamp.unread.is_empty() {
        row("not understood", Some(stamp.unread.join(", ")));
    }
    table.text()
}

fn pressure(stamped: &StampPressure) -> String {
    let typed = &stamped.pressure;
    let other = if typed.unit.symbol == "psi" {
        "bar"
    } else {
        "psi"
    };
    match display_as(typed.value, other) {
        Some(other) => format!("{typed} ({other})"),
        None => typed.to_string(),
    }
}

fn dated(date: &StampDate) -> String {
    let marks = [(date.plus, ", plus mark"), (date.star, ", star")];
    let marks: String = marks
        .iter()
        .filter(|(there, _)| *there)
        .map(|(_, mark)| *mark)
        .collect();
    format!("{} (stamped {}){marks}", date.when, date.text)
}
