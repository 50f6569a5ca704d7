//! Cells of a line, and columns by name.
//!
//! Not here: what they mean.

use crate::air::mistake::Mistake;

/// The columns there are, with what an owner may leave out last.
const NAMES: [&str; 10] = [
    "quantity",
    "at_most",
    "unit",
    "at_least",
    "point",
    "cylinder",
    "unless",
    "note",
    "source",
    "certainty",
];
/// So many of them must be there.
const NEEDED: usize = 3;

/// Which cell holds what.
pub(super) struct Columns(Vec<String>);

impl Columns {
    pub(super) fn new(cells: &[String]) -> Result<Self, Mistake> {
        let unknown = cells.iter().find(|c| !NAMES.contains(&c.as_str()));
        if let Some(name) = unknown {
            let cause = format!("`{name}` is not a column of a standard");
            return Err(Mistake::new(cause, format!("use {}", NAMES.join(", "))));
        }
        let lacking = NAMES
            .iter()
            .take(NEEDED)
            .find(|n| !cells.iter().any(|c| c == *n));
        match lacking {
            Some(name) => Err(Mistake::new(
                format!("the heading has no column {name}"),
                "write at least quantity,at_most,unit",
            )),
            None => Ok(Self(cells.to_vec())),
        }
    }

    pub(super) fn len(&self) -> usize {
        self.0.len()
    }

    /// The cell of that column; empty where the line ends before it.
    pub(super) fn cell<'a>(&self, cells: &'a [String], name: &str) -> &'a str {
        let at = self.0.iter().position(|column| column == name);
        at.and_then(|at| cells.get(at)).map_or("", String::as_str)
    }
}

/// The cells of a line; a cell in quotes may hold commas, and "" for a quote.
pub(super) fn cells(line: &str) -> Result<Vec<String>, Mistake> {
    let mut found = vec![String::new()];
    let mut quoted = false;
    let mut signs = line.chars().peekable();
    while let Some(sign) = signs.next() {
        match sign {
            '"' if quoted && signs.peek() == Some(&'"') => {
                signs.next();
                push(&mut found, '"');
            }
            '"' => quoted = !quoted,
            ',' if !quoted => found.push(String::new()),
            _ => push(&mut found, sign),
        }
    }
    if quoted {
        return Err(Mistake::new(
            "a quote is opened and not closed",
            "close it on the same line",
        ));
    }
    Ok(found.iter().map(|cell| cell.trim().to_owned()).collect())
}

fn push(cells: &mut [String], sign: char) {
    if let Some(last) = cells.last_mut() {
        last.push(sign);
    }
}
