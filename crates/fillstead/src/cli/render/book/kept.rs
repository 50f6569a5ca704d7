//! Whether a book is whole, on paper.

use crate::cli::render::page::{item, paragraph};
use crate::usecase::book::keep::{Bad, Checked};

/// What a check found.
pub fn checked(checked: &Checked) -> String {
    let mut text = paragraph(0, &format!("{}: {}.", checked.book, checked.verdict));
    let seal = checked.seal.as_deref().unwrap_or("none");
    text += &paragraph(
        0,
        &format!(
            "{} of {} entries hold, from the first on. Seal {seal}.",
            checked.good, checked.entries
        ),
    );
    if let Some(first) = checked.bad.first() {
        text += &paragraph(0, &format!("The first bad entry is {}", bad(first)));
    }
    for more in checked.bad.iter().skip(1) {
        text += &item(&bad(more));
    }
    let told = checked.bad.len() as u64;
    if checked.bad_count > told {
        text += &item(&format!("and {} more.", checked.bad_count - told));
    }
    for problem in &checked.problems {
        text += &item(&format!("{problem}."));
    }
    for note in &checked.notes {
        text += &item(&format!("Note: {note}."));
    }
    text
}

fn bad(bad: &Bad) -> String {
    let kind = bad
        .kind
        .as_ref()
        .map(|kind| format!(" ({kind})"))
        .unwrap_or_default();
    let by = bad
        .author
        .as_ref()
        .map(|by| format!(" by {by}"))
        .unwrap_or_default();
    let when = bad
        .recorded
        .as_ref()
        .map(|at| format!(", written {at}"))
        .unwrap_or_default();
    format!("entry {}{kind}{by}{when}: {}.", bad.entry, bad.why)
}

/// A copy that was made.
pub fn copied(copied: &Checked) -> String {
    let seal = copied.seal.as_deref().unwrap_or("none");
    paragraph(
        0,
        &format!(
            "{} is written and checked: {} entries, seal {seal}. Keep it away from this machine.",
            copied.book, copied.entries
        ),
    )
}
