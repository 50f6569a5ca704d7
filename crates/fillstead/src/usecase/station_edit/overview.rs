//! Every table of the file in a few words.

use station::form::{Table, Written, fields_of, is_list, is_value};

use super::{Told, table_of};

/// A table in the list of all.
pub struct Row {
    /// The table.
    pub table: &'static Table,
    /// What is written there, in a few words.
    pub written: String,
    /// How many errors, and how many doubts.
    pub told: (usize, usize),
}

/// Every table of the file.
pub fn overview(text: &str, told: &[Told]) -> Vec<Row> {
    let written = Written::of(text).ok();
    let row = |table: &'static Table| {
        let in_table = |told: &&Told| {
            let first = told.paths.first();
            first
                .and_then(|path| table_of(path))
                .is_some_and(|t| t.name == table.name)
        };
        let (errors, doubts): (Vec<&Told>, Vec<&Told>) =
            told.iter().filter(in_table).partition(|told| told.error);
        Row {
            table,
            written: written
                .as_ref()
                .map_or(String::new(), |w| in_words(w, table)),
            told: (errors.len(), doubts.len()),
        }
    };
    station::form::TABLES.iter().map(row).collect()
}

/// `opens 100 bar, closes 70 bar`, `4: tower, panel, ...`.
fn in_words(written: &Written<'_>, table: &Table) -> String {
    if is_list(table.name) {
        let names = (1..=written.count(table.name)).filter_map(|n| {
            let value = |key| written.value(&format!("{}[{n}].{key}", table.name));
            value("name").or_else(|| value("id"))
        });
        let names: Vec<String> = names.collect();
        return match names.is_empty() {
            true => "none".to_owned(),
            false => names.join(", "),
        };
    }
    let said = fields_of(table.name).filter_map(|field| {
        let path = format!("{}.{}", table.name, field.key);
        let value = is_value(&path).then(|| written.value(&path)).flatten()?;
        Some(format!("{} {value}", field.key.replace('_', " ")))
    });
    let said: Vec<String> = said.take(3).collect();
    match said.is_empty() {
        true => "not described".to_owned(),
        false => said.join(", "),
    }
}
