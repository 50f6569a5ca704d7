//! What a drawing needs when no page brings it: style and symbols.

use super::{STYLE, SYMBOLS};

const PROPERTIES: &str = include_str!("../../assets/alone.css");

/// Style, patterns, and the symbols that this body uses.
pub(super) fn head(body: &str) -> String {
    let used = |line: &&str| match id(line) {
        Some(id) => line.starts_with("<pattern") || body.contains(&format!("\"#{id}\"")),
        None => false,
    };
    let symbols: Vec<&str> = SYMBOLS.lines().filter(used).collect();
    format!(
        "<style>\n{PROPERTIES}{STYLE}</style>\n<defs>\n{}\n</defs>\n",
        symbols.join("\n")
    )
}

/// The id of the symbol or pattern on this line.
fn id(line: &str) -> Option<&str> {
    let is_one = line.starts_with("<pattern id=\"") || line.starts_with("<symbol id=\"");
    is_one.then(|| line.split('"').nth(1)).flatten()
}
