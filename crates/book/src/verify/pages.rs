//! SQLite's own check of its pages, and the sum over the table of whom events are about.

use rusqlite::Connection;

use super::drawn::{Keys, Sum};

/// So many faults are told.
const TOLD: u32 = 10;

/// What was found.
#[derive(Default)]
pub(crate) struct Pages {
    /// Faults in SQLite's words.
    pub faults: Vec<String>,
    /// Whether every fault is in what is drawn from the entries.
    pub of_drawn_only: bool,
    /// The sum over whom events are about, or why it could not be read.
    pub about: Option<Result<Sum, String>>,
}

/// Looks at every page.
pub(crate) fn look(conn: &Connection, keys: Option<&Keys>) -> Pages {
    let faults = match faults(conn) {
        Ok(faults) => faults,
        Err(error) => vec![error.to_string()],
    };
    let drawn = trees_drawn(conn).unwrap_or_default();
    let told: Vec<bool> = faults.iter().filter_map(|f| is_drawn(f, &drawn)).collect();
    Pages {
        of_drawn_only: !told.is_empty() && told.into_iter().all(|drawn| drawn),
        faults,
        about: keys.map(|keys| about(conn, keys).map_err(|error| error.to_string())),
    }
}

fn faults(conn: &Connection) -> rusqlite::Result<Vec<String>> {
    // What the checks of columns look at, the walk through the entries looks at more closely.
    conn.pragma_update(None, "ignore_check_constraints", true)?;
    let mut statement = conn.prepare(&format!("PRAGMA integrity_check({TOLD})"))?;
    let rows = statement.query_map([], |row| row.get::<_, String>(0))?;
    // Several may stand in one row, under a heading.
    let told = rows.collect::<Result<Vec<_>, _>>()?;
    let faults = told.iter().flat_map(|row| row.lines());
    let faults = faults.filter(|fault| *fault != "ok" && !fault.starts_with("***"));
    Ok(faults.map(str::to_owned).collect())
}

/// First pages of the drawn tables and their indexes, and the names of the indexes.
fn trees_drawn(conn: &Connection) -> rusqlite::Result<Vec<(u32, String)>> {
    let mut statement = conn
        .prepare("SELECT rootpage, name FROM sqlite_schema WHERE tbl_name IN ('event', 'about')")?;
    let rows = statement.query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?;
    rows.collect()
}

/// Whether a fault is in what is drawn; none where it only follows from another.
fn is_drawn(fault: &str, drawn: &[(u32, String)]) -> Option<bool> {
    if fault.starts_with("Page ") && fault.ends_with("never used") {
        return None;
    }
    if let Some(rest) = fault.strip_prefix("Tree ") {
        let number = rest.split(' ').next()?.parse().ok();
        return Some(drawn.iter().any(|(root, _)| Some(*root) == number));
    }
    Some(drawn.iter().any(|(_, name)| fault.contains(name)))
}

fn about(conn: &Connection, keys: &Keys) -> rusqlite::Result<Sum> {
    let mut statement = conn.prepare("SELECT subject, name, happened, seq FROM about")?;
    let mut rows = statement.query([])?;
    let mut sum = Sum::default();
    while let Some(row) = rows.next()? {
        let (subject, name) = (row.get_ref(0)?.as_str()?, row.get_ref(1)?.as_str()?);
        sum = sum.plus(keys.row(subject, name, row.get(2)?, row.get(3)?));
    }
    Ok(sum)
}

impl Pages {
    /// The check itself broke off.
    pub fn failed() -> Pages {
        Pages {
            faults: vec!["the check of the pages broke off".into()],
            ..Pages::default()
        }
    }
}
