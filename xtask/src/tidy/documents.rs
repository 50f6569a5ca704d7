//! The papers of the house: they exist, and `ARCHITECTURE.md` tells the truth
//! about which crates and files there are.

use crate::failure::Failure;
use crate::tree::Tree;

const PAPERS: [(&str, &str); 6] = [
    (
        "README.md",
        "a visitor learns from it what this is and how to begin",
    ),
    ("ARCHITECTURE.md", "a contributor finds the room from it"),
    ("CHANGELOG.md", "a user learns from it what changed"),
    ("LICENSE", "nobody may use what has no licence"),
    ("LICENSE-MIT", "the licence must be there in full"),
    ("LICENSE-APACHE", "the licence must be there in full"),
];
const MAP: &str = "ARCHITECTURE.md";

/// Papers exist; the map names every crate and nothing that is not there.
pub fn check(tree: &Tree) -> Vec<Failure> {
    let missing = PAPERS
        .iter()
        .filter(|(path, _)| tree.text(path).is_none_or(|text| text.trim().is_empty()))
        .map(|&(path, why)| {
            Failure::at(path, 1, "missing or empty")
                .why(why)
                .remedy("write it")
        });
    let map = tree.text(MAP).unwrap_or_default();
    missing
        .chain(unnamed_crates(tree, map))
        .chain(dead_paths(tree, map))
        .collect()
}

fn unnamed_crates(tree: &Tree, map: &str) -> Vec<Failure> {
    tree.crates()
        .filter(|name| !map.contains(&format!("crates/{name}")))
        .map(|name| {
            Failure::at(
                MAP,
                1,
                format!("the crate `crates/{name}` is not mentioned"),
            )
            .why("a contributor cannot find it")
            .remedy("add it to the code map")
        })
        .collect()
}

/// Paths in backticks that lead nowhere. Those with `<` or `*` are patterns.
fn dead_paths(tree: &Tree, map: &str) -> Vec<Failure> {
    let mut found = Vec::new();
    for (line, text) in (1..).zip(map.lines()) {
        for path in text.split('`').skip(1).step_by(2) {
            let ours = ["crates/", "xtask/", "stations/"]
                .iter()
                .any(|start| path.starts_with(start));
            if ours && !path.contains(['<', '*', '{', ' ']) && !tree.holds(path) {
                found.push(
                    Failure::at(MAP, line, format!("`{path}` does not exist"))
                        .why("the map must be true")
                        .remedy("correct or remove it"),
                );
            }
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tidy::places;

    fn with_map(map: &str) -> Vec<String> {
        let mut files: Vec<(&str, &str)> = PAPERS.iter().map(|&(path, _)| (path, "x")).collect();
        files.retain(|file| file.0 != MAP);
        files.extend([
            (MAP, map),
            ("crates/gas/Cargo.toml", "x"),
            ("crates/gas/src/lib.rs", "x"),
        ]);
        places(check, &files)
    }

    #[test]
    fn a_true_map_passes() {
        assert_eq!(
            with_map("`crates/gas`: `crates/gas/src/lib.rs`, `crates/gas/<x>`"),
            [""; 0]
        );
    }

    #[test]
    fn a_map_that_forgets_or_invents_does_not() {
        assert_eq!(with_map("nothing"), ["ARCHITECTURE.md:1"]);
        assert_eq!(
            with_map("`crates/gas`\n`crates/gas/src/air.rs`"),
            ["ARCHITECTURE.md:2"]
        );
    }

    #[test]
    fn missing_papers_are_told() {
        assert_eq!(places(check, &[("README.md", " ")]).len(), PAPERS.len());
    }
}
