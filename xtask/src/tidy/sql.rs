//! The book is the only crate that speaks SQL.

use crate::failure::Failure;
use crate::rust::RustFile;
use crate::tree::Tree;

const LIBRARIES: [&str; 3] = ["rusqlite", "sqlx", "postgres"];
const STATEMENTS: [&str; 5] = [
    "SELECT ",
    "INSERT INTO ",
    "CREATE TABLE ",
    "DELETE FROM ",
    "PRAGMA ",
];

/// No crate but `book` names an SQL library or holds a statement.
pub fn check(tree: &Tree) -> Vec<Failure> {
    let mut found = Vec::new();
    for name in tree.crates().filter(|&name| name != "book") {
        let manifest = format!("crates/{name}/Cargo.toml");
        found.extend(lines_with(
            &manifest,
            tree.text(&manifest).unwrap_or_default(),
            &LIBRARIES,
        ));
        for file in tree.sources_of(name) {
            found.extend(lines_with(&file.path, &file.literals, &STATEMENTS));
            found.extend(imports(file));
        }
    }
    found
}

fn lines_with(path: &str, text: &str, words: &[&str]) -> Vec<Failure> {
    (1..)
        .zip(text.lines())
        .filter_map(|(line, text)| {
            let word = words.iter().find(|word| text.contains(*word))?;
            Some(failure(path, line, word.trim()))
        })
        .collect()
}

fn imports(file: &RustFile) -> Vec<Failure> {
    file.paths()
        .iter()
        .filter_map(|path| {
            let library = LIBRARIES.iter().find(|library| path.is_in(library))?;
            Some(failure(&file.path, path.line, library))
        })
        .collect()
}

fn failure(path: &str, line: usize, name: &str) -> Failure {
    Failure::at(path, line, format!("`{name}` outside the book"))
        .why("records are written and read in one place, so that they stay append-only")
        .remedy("add a function to crates/book and call it")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tidy::places;

    fn found(name: &str, source: &str) -> usize {
        let manifest = format!("crates/{name}/Cargo.toml");
        let path = format!("crates/{name}/src/lib.rs");
        places(check, &[(&manifest, ""), (&path, source)]).len()
    }

    #[test]
    fn the_book_speaks_sql() {
        assert_eq!(
            found(
                "book",
                "use rusqlite::Connection; const A: &str = \"SELECT 1\";"
            ),
            0
        );
    }

    #[test]
    fn others_do_not_even_depend_on_it() {
        let manifest = "[dependencies]\nrusqlite = \"1\"\n";
        let found = places(check, &[("crates/insight/Cargo.toml", manifest)]);
        assert_eq!(found, ["crates/insight/Cargo.toml:2"]);
    }

    #[test]
    fn others_do_not() {
        assert_eq!(found("fillstead", "use rusqlite::Connection;"), 1);
        assert_eq!(
            found("fillstead", "const A: &str = \"SELECT seq FROM entry\";"),
            1
        );
        assert_eq!(
            found(
                "fillstead",
                "const A: &str = \"Select a cylinder\"; // SELECT 1"
            ),
            0
        );
    }
}
