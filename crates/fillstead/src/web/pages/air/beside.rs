//! One sample under every standard, as a table: a row for each quantity, a column for each standard.

use insight::air::{Beside, Column, Judged, Measurand, Outcome, Overall, Reading};

use crate::words::capital;

/// The table.
pub struct Table {
    /// The standards; that by which the sample is judged first.
    pub heads: Vec<Head>,
    /// The quantities.
    pub rows: Vec<Row>,
    /// When the next sample is due by each.
    pub due: Vec<String>,
}

/// A standard.
pub struct Head {
    /// Its name.
    pub name: String,
    /// Its edition.
    pub edition: String,
    /// The sample is judged by it.
    pub chosen: bool,
    /// What it says of the whole.
    pub word: &'static str,
    /// Its mark.
    pub mark: &'static str,
}

/// A quantity.
pub struct Row {
    /// What it is.
    pub name: String,
    /// What was found, as given.
    pub found: String,
    /// What each standard says.
    pub cells: Vec<Cell>,
}

/// What a standard says of a quantity.
pub struct Cell {
    /// Its limit; empty where it has none, as held here.
    pub limit: String,
    /// The result against it.
    pub word: &'static str,
    /// Its mark.
    pub mark: &'static str,
    /// The limit was not seen in the standard itself.
    pub unverified: bool,
}

impl Table {
    /// The table, with the standard of this name first.
    pub fn of(mut beside: Beside, chosen: &str) -> Table {
        beside
            .columns
            .sort_by_key(|column| column.standard != chosen);
        let columns = &beside.columns;
        let found = |what| beside.found.iter().find(|(of, _)| *of == what);
        let rows = Measurand::ALL.into_iter().filter_map(|what| {
            let found = found(what).map(|(_, given)| given.clone());
            let limited = columns.iter().any(|column| column.of(what).is_some());
            (found.is_some() || limited).then(|| Row {
                name: capital(what.name()),
                found: found.unwrap_or_else(|| "not measured".to_owned()),
                cells: columns.iter().map(|column| cell(column.of(what))).collect(),
            })
        });
        Table {
            rows: rows.collect(),
            heads: columns.iter().map(|column| head(column, chosen)).collect(),
            due: columns.iter().map(due).collect(),
        }
    }
}

fn head(column: &Column, chosen: &str) -> Head {
    let (word, mark) = match column.overall {
        Overall::Passes => ("every limit kept", "m-normal"),
        Overall::Fails => ("a limit is broken", "m-danger"),
        Overall::CannotTell => ("cannot tell", "m-abnormal"),
    };
    Head {
        name: column.standard.clone(),
        edition: column.edition.clone(),
        chosen: column.standard == chosen,
        word,
        mark,
    }
}

fn cell(judged: Option<&Judged>) -> Cell {
    let Some(judged) = judged else {
        return Cell {
            limit: String::new(),
            word: "no limit held",
            mark: "",
            unverified: false,
        };
    };
    let (word, mark) = match judged.outcome {
        Outcome::Passes => ("within", "m-normal"),
        Outcome::Fails if is_below(judged) => ("below", "m-danger"),
        Outcome::Fails => ("above", "m-danger"),
        Outcome::CannotTell { .. } => ("cannot tell", "m-abnormal"),
    };
    Cell {
        limit: judged.limit.clone(),
        word,
        mark,
        unverified: judged.unverified,
    }
}

/// Whether what fails is less than the least allowed.
fn is_below(judged: &Judged) -> bool {
    let least = judged.bounds.and_then(|bounds| bounds.least);
    match (&judged.reading, least) {
        (Some(Reading::Counted(amount)), Some(least)) => amount.value < least,
        _ => false,
    }
}

fn due(column: &Column) -> String {
    let Some(due) = &column.due else {
        return "no interval held".to_owned();
    };
    let unverified = if due.unverified { " (unverified)" } else { "" };
    match &due.latest_on {
        Some(day) => format!("{day}{unverified}"),
        None => format!("every {} months{unverified}", due.every_months),
    }
}
