//! Every command of the program stands in the README.
//!
//! Commands are read from the enums that derive `Subcommand`; help texts are
//! not compared.

use crate::failure::Failure;
use crate::rust::{RustFile, has_word, item_end, line_of};
use crate::tree::Tree;

/// Some line of the README shows each command after the program's name.
pub fn check(tree: &Tree) -> Vec<Failure> {
    let readme = tree.text("README.md").unwrap_or_default();
    tree.sources_of("fillstead")
        .flat_map(|file| {
            commands(file)
                .into_iter()
                .map(move |command| (file, command))
        })
        .filter(|(_, (_, command))| !shows(readme, command))
        .map(|(file, (line, command))| {
            Failure::at(
                &file.path,
                line,
                format!("README.md does not show `{command}`"),
            )
            .why("nobody finds a command that is not written down")
            .remedy(format!("show a line with `fillstead` and `{command}`"))
        })
        .collect()
}

fn shows(readme: &str, command: &str) -> bool {
    readme.lines().any(|line| {
        line.split_once("fillstead ")
            .is_some_and(|(_, rest)| has_word(rest, command))
    })
}

/// Line and name of every command an enum of the file gives.
fn commands(file: &RustFile) -> Vec<(usize, String)> {
    let code = &file.work;
    code.match_indices("Subcommand")
        .filter(|(at, _)| code.get(..*at).is_some_and(in_derive))
        .filter_map(|(at, _)| code.get(at..)?.find("enum ").map(|start| at + start))
        .flat_map(|start| variants(code, start))
        .collect()
}

/// Whether the text ends inside `#[derive(`.
fn in_derive(before: &str) -> bool {
    before
        .rsplit_once("#[")
        .is_some_and(|(_, attribute)| attribute.starts_with("derive(") && !attribute.contains(')'))
}

/// The variants of the enum that begins at `start`, in command-line spelling.
fn variants(code: &str, start: usize) -> Vec<(usize, String)> {
    let end = item_end(code, start);
    let Some(open) = code
        .get(start..end)
        .and_then(|e| e.find('{'))
        .map(|o| start + o + 1)
    else {
        return Vec::new();
    };
    let mut depth = 0_i32;
    let mut begins = true;
    let mut found = Vec::new();
    for (at, c) in code.get(open..end).unwrap_or_default().char_indices() {
        match c {
            '(' | '[' | '{' => depth += 1,
            ')' | ']' | '}' => depth -= 1,
            ',' if depth == 0 => begins = true,
            _ if depth == 0 && begins && c.is_uppercase() => {
                let name = code.get(open + at..).unwrap_or_default();
                found.push((line_of(code, open + at), kebab(name)));
                begins = false;
            }
            _ => {}
        }
    }
    found
}

/// `DaySheet(…` as `day-sheet`.
fn kebab(name: &str) -> String {
    let mut out = String::new();
    for c in name.chars().take_while(|c| c.is_alphanumeric()) {
        if c.is_uppercase() && !out.is_empty() {
            out.push('-');
        }
        out.extend(c.to_lowercase());
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tidy::places;

    const SOURCE: &str = "#[derive(Debug, Subcommand)]\nenum Command {\n    /// Forecast.\n    \
        #[command(name = \"x\")]\n    Forecast { file: PathBuf },\n    DaySheet(Args),\n    Vent,\n}\n\
        #[derive(Debug)]\nenum Other { Thing }\n";

    fn found(readme: &str) -> Vec<String> {
        places(
            check,
            &[
                ("README.md", readme),
                ("crates/fillstead/src/cli.rs", SOURCE),
            ],
        )
    }

    #[test]
    fn commands_shown_pass() {
        let readme = "$ fillstead forecast a.toml\n| `fillstead day-sheet` |\n fillstead vent\n";
        assert_eq!(found(readme), [""; 0]);
    }

    #[test]
    fn commands_not_shown_are_told_where_they_are_declared() {
        let found = found("fillstead forecasting\nto vent\n");
        let lines = ["5", "6", "7"].map(|line| format!("crates/fillstead/src/cli.rs:{line}"));
        assert_eq!(found, lines);
    }
}
