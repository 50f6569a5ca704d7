//! Keys and tables that station files do not have, with the one that was probably meant.

use crate::fields::{FIELDS, Field, Form, field, fields_of, heading};
use crate::problem::{Label, Problem, ProblemId};
use crate::suggest::{nearest, or_list};
use crate::syntax::{Entry, Shape, Value};

/// Looks through the whole file.
pub(crate) fn look(entries: &[Entry]) -> Vec<Problem> {
    let mut problems = Vec::new();
    look_in("", entries, &mut problems);
    problems
}

fn look_in(table: &'static str, entries: &[Entry], problems: &mut Vec<Problem>) {
    for entry in entries {
        match field(table, &entry.key) {
            None => problems.push(unknown(table, entry)),
            Some(row) => look_below(row, entry, problems),
        }
    }
}

/// Follows a key that holds tables; other values are judged where they are read.
fn look_below(row: &Field, entry: &Entry, problems: &mut Vec<Problem>) {
    match (row.form, &entry.value.shape) {
        (Form::Table(name), Shape::Table(below)) => look_in(name, below, problems),
        (Form::Table(name), shape) => problems.push(not_one_table(name, entry, shape)),
        (Form::Tables(name), Shape::List(items)) => {
            for item in items {
                match &item.shape {
                    Shape::Table(below) => look_in(name, below, problems),
                    _ => problems.push(not_a_list(name, &entry.key, item)),
                }
            }
        }
        (Form::Tables(name), _) => problems.push(not_a_list(name, &entry.key, &entry.value)),
        (Form::Pressures, Shape::Table(_)) => {}
        (Form::Pressures, _) => problems.push(not_pressures(entry)),
        _ => {}
    }
}

fn not_pressures(entry: &Entry) -> Problem {
    let called = entry.value.shape.called();
    let key = &entry.key;
    Problem::new(
        ProblemId::WrongType,
        format!("`{key}` is {called}, and a table of pressures is wanted"),
        Label::new(entry.value.place.clone(), called),
        format!("write [now.{key}] as a heading and below it a line for each id: its pressure"),
    )
}

fn not_one_table(name: &str, entry: &Entry, shape: &Shape) -> Problem {
    let (called, remedy) = match shape {
        Shape::List(_) => (
            "a list",
            format!("write [{name}] with single brackets, and only once"),
        ),
        other => (
            other.called(),
            format!("write [{name}] as a heading, its keys on lines below"),
        ),
    };
    Problem::new(
        ProblemId::WrongType,
        format!("`{}` is {called}, and one table is wanted", entry.key),
        Label::new(entry.place.clone(), called),
        remedy,
    )
}

fn not_a_list(name: &str, key: &str, value: &Value) -> Problem {
    let called = match value.shape {
        Shape::Table(_) => "a single table",
        _ => value.shape.called(),
    };
    Problem::new(
        ProblemId::WrongType,
        format!("`{key}` is {called}, and there may be several"),
        Label::new(value.place.clone(), called),
        format!("write [[{name}]] with double brackets before each one"),
    )
}

fn unknown(table: &'static str, entry: &Entry) -> Problem {
    let key = &entry.key;
    let is_table = matches!(&entry.value.shape, Shape::Table(_) | Shape::List(_));
    let (id, message) = match (table, is_table) {
        ("", true) => (
            ProblemId::UnknownTable,
            format!("station files have no table `{key}`"),
        ),
        _ => (
            ProblemId::UnknownKey,
            format!("{} has no key `{key}`", heading(table)),
        ),
    };
    Problem::new(
        id,
        message,
        Label::new(entry.place.clone(), "not known here"),
        remedy(table, key),
    )
}

/// The key that an unknown one was probably meant for; none for a known one.
pub(crate) fn meant(table: &str, key: &str) -> Option<&'static str> {
    let unknown = field(table, key).is_none();
    unknown
        .then(|| nearest(key, fields_of(table).map(|f| f.key)))
        .flatten()
}

/// The near key of this table, else the tables that have this very key, else what there is.
fn remedy(table: &'static str, key: &str) -> String {
    if let Some(meant) = meant(table, key) {
        let written = field(table, meant).map_or(String::new(), |f| match f.form {
            Form::Table(name) | Form::Tables(name) => heading(name),
            _ => meant.to_owned(),
        });
        return format!("did you mean {written}?");
    }
    let homes: Vec<String> = FIELDS
        .iter()
        .filter(|f| f.key == key)
        .map(|f| heading(f.table))
        .collect();
    if !homes.is_empty() {
        return format!("`{key}` belongs in {}: move it there", or_list(&homes));
    }
    let all: Vec<&str> = fields_of(table).map(|f| f.key).collect();
    format!(
        "take it out, or put a # before it; {} knows only: {}",
        heading(table),
        all.join(", ")
    )
}
