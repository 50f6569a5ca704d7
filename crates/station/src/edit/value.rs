//! What was typed as TOML, and what a path means.

use crate::fields::{FIELDS, Form, field, field_at};
use crate::form::is_list;
use crate::write::quoted;

/// Table and key of a path. An id of a table of pressures may hold anything.
pub(super) fn parted(path: &str) -> Option<(&str, &str)> {
    let map = FIELDS
        .iter()
        .filter(|f| matches!(f.form, Form::Pressures))
        .map(|f| f.table.len() + 1 + f.key.len());
    for length in map {
        if let (Some(table), Some(rest)) = (path.get(..length), path.get(length..))
            && is_pressures(table)
            && let Some(id) = rest.strip_prefix('.')
        {
            return Some((table, id));
        }
    }
    path.rsplit_once('.')
}

fn is_pressures(table: &str) -> bool {
    field_at(table).is_some_and(|field| matches!(field.form, Form::Pressures))
}

/// What sort of value stands at a path; none where a table does, or nothing can.
pub(crate) fn form_of(path: &str) -> Option<Form> {
    let (table, key) = parted(path)?;
    if is_pressures(table) {
        return (!key.is_empty()).then_some(Form::Quantity("0 bar", "1500 bar"));
    }
    let list = table.split('[').next().unwrap_or(table);
    let number = table.strip_prefix(list)?;
    let counted = number
        .strip_prefix('[')
        .and_then(|number| number.strip_suffix(']'))
        .is_some_and(|number| number.parse::<usize>().is_ok_and(|number| number > 0));
    if counted != is_list(list) || (!counted && !number.is_empty()) {
        return None;
    }
    let form = field(list, key)?.form;
    let below = matches!(form, Form::Table(_) | Form::Tables(_) | Form::Pressures);
    (!below).then_some(form)
}

/// What was typed, as TOML: bare where the file wants it bare, else in quotes.
pub(super) fn toml_of(path: &str, typed: &str) -> String {
    let typed = typed.trim();
    if path == "air_path.order" {
        let words = typed
            .split([',', ' ', '\t'])
            .filter(|word| !word.is_empty());
        let words: Vec<String> = words.map(quoted).collect();
        return format!("[{}]", words.join(", "));
    }
    let value = typed.parse::<toml_edit::Value>().ok();
    let bare = match form_of(path) {
        Some(Form::Number(..) | Form::Count(..)) => {
            value.is_some_and(|value| value.is_integer() || value.is_float())
        }
        Some(Form::Flag) => value.is_some_and(|value| value.is_bool()),
        _ => false,
    };
    if bare {
        typed.to_owned()
    } else {
        quoted(typed)
    }
}

/// A key as TOML.
pub(super) fn bare_or_quoted(key: &str) -> String {
    let plain = |b: u8| b.is_ascii_alphanumeric() || b == b'_' || b == b'-';
    match !key.is_empty() && key.bytes().all(plain) {
        true => key.to_owned(),
        false => quoted(key),
    }
}
