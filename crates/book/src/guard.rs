//! Whether the guards of a book stand: its tables and triggers are those of its form.

use rusqlite::Connection;

use crate::error::BookError;
use crate::schema;

/// What is missing, changed or strange among tables, indexes and triggers; empty where all stand.
pub(crate) fn amiss(conn: &Connection) -> Result<Vec<String>, BookError> {
    let expected = schema::expected(schema::form(conn)?)?;
    let found = schema::objects(conn)?;
    let mut amiss = Vec::new();
    for (name, text) in &expected {
        match found.iter().find(|(other, _)| other == name) {
            None => amiss.push(format!("{name} is missing")),
            Some((_, other)) if other != text => amiss.push(format!("{name} was changed")),
            Some(_) => {}
        }
    }
    let known = |name: &String| expected.iter().any(|(other, _)| other == name);
    let strange = found.iter().filter(|(name, _)| !known(name));
    amiss.extend(strange.map(|(name, _)| format!("{name} does not belong here")));
    Ok(amiss)
}

/// Refuses a book whose guards do not stand.
pub(crate) fn check(conn: &Connection) -> Result<(), BookError> {
    let amiss = amiss(conn)?;
    match amiss.is_empty() {
        true => Ok(()),
        false => Err(BookError::Guard(amiss.join(", "))),
    }
}
