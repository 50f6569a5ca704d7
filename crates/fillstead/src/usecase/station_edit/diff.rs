//! What differs between two texts, line by line.

use similar::{ChangeTag, TextDiff};

/// Lines shown around what differs.
const AROUND: usize = 2;

/// One line of a comparison.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Line {
    /// `+` comes, `-` goes, a blank stays, `~` stands for lines left out.
    pub sign: char,
    /// The line.
    pub text: String,
    /// Its number in the new text; in the old one where it goes.
    pub number: Option<usize>,
}

impl Line {
    /// The same in a word.
    pub fn word(&self) -> &'static str {
        match self.sign {
            '+' => "new",
            '-' => "gone",
            '~' => "lines left out",
            _ => "same",
        }
    }

    /// The name of its look.
    pub fn look(&self) -> &'static str {
        match self.sign {
            '+' => "come",
            '-' => "gone",
            _ => "same",
        }
    }
}

/// The lines that differ, with two around them.
pub fn lines(before: &str, after: &str) -> Vec<Line> {
    let diff = TextDiff::from_lines(before, after);
    let mut lines = Vec::new();
    for group in diff.grouped_ops(AROUND) {
        if !lines.is_empty() {
            lines.push(Line {
                sign: '~',
                text: String::new(),
                number: None,
            });
        }
        let changes = group.iter().flat_map(|op| diff.iter_changes(op));
        lines.extend(changes.map(|change| Line {
            sign: match change.tag() {
                ChangeTag::Insert => '+',
                ChangeTag::Delete => '-',
                ChangeTag::Equal => ' ',
            },
            text: change.value().trim_end_matches(['\r', '\n']).to_owned(),
            number: change.new_index().or(change.old_index()).map(|n| n + 1),
        }));
    }
    lines
}
