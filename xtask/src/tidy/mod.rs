//! The repository's invariants, one file for each kind.
//!
//! Start at [`CHECKS`]. A check is a function from the [`Tree`] to what is
//! wrong in it; it reads no disk, so its tests hand it small trees.

mod audit_rules;
mod commands;
mod dependencies;
mod documents;
mod effects;
mod faces;
mod lints;
mod module_doc;
mod places;
mod size;
mod sql;
mod unfinished;
mod unwraps;

use std::path::Path;
use std::process::ExitCode;

use crate::failure::Failure;
use crate::rust::RustFile;
use crate::tree::Tree;

type Check = fn(&Tree) -> Vec<Failure>;

/// Every check.
const CHECKS: [Check; 13] = [
    audit_rules::check,
    commands::check,
    dependencies::check,
    documents::check,
    effects::check,
    faces::check,
    lints::check,
    module_doc::check,
    places::check,
    size::check,
    sql::check,
    unfinished::check,
    unwraps::check,
];

/// Runs every check and prints one line for each failure.
pub fn run(root: &Path) -> ExitCode {
    let tree = match Tree::read(root) {
        Ok(tree) => tree,
        Err(error) => {
            eprintln!("{}: {error}", root.display());
            return ExitCode::from(2);
        }
    };
    let mut failures: Vec<Failure> = CHECKS.iter().flat_map(|check| check(&tree)).collect();
    failures.sort();
    for failure in &failures {
        println!("{failure}");
    }
    if failures.is_empty() {
        println!(
            "tidy: {} checks, {} texts, nothing wrong",
            CHECKS.len(),
            tree.texts().count()
        );
        return ExitCode::SUCCESS;
    }
    println!("tidy: {} to put right", failures.len());
    ExitCode::FAILURE
}

/// Rust files that end up in the program or in this tool, not those of tests.
fn shipped(tree: &Tree) -> impl Iterator<Item = &RustFile> {
    tree.rust()
        .iter()
        .filter(|file| !file.is_test && file.path.contains("/src/"))
}

/// What a check says about a small tree: `path:line` of each failure.
#[cfg(test)]
fn places(check: Check, files: &[(&str, &str)]) -> Vec<String> {
    let failures = check(&Tree::of(files));
    for failure in &failures {
        let Failure {
            what, why, remedy, ..
        } = failure;
        assert!(
            !what.is_empty() && !why.is_empty() && !remedy.is_empty(),
            "{failure}"
        );
        assert!(!failure.to_string().contains('\n'), "{failure}");
    }
    failures
        .iter()
        .map(|f| format!("{}:{}", f.path, f.line))
        .collect()
}
