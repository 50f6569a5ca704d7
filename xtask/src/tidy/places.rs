//! Texts of the project hold no place that exists only on somebody's machine,
//! and no address of a package registry.

use crate::failure::Failure;
use crate::rust::is_word;
use crate::tree::Tree;

/// First folders of paths that belong to one machine.
const ROOTS: [&str; 10] = [
    "home",
    "root",
    "tmp",
    "mnt",
    "media",
    "work",
    "workspace",
    "builds",
    "Users",
    "private",
];

/// Registries, as name and ending, so that this file does not hold them.
const REGISTRIES: [(&str, &str); 7] = [
    ("crates", "io"),
    ("npmjs", "com"),
    ("npmjs", "org"),
    ("pypi", "org"),
    ("pythonhosted", "org"),
    ("rubygems", "org"),
    ("golang", "org"),
];

/// No text names a machine's own path or a registry. The lock file is cargo's.
pub fn check(tree: &Tree) -> Vec<Failure> {
    let mut found = Vec::new();
    for (path, text) in tree.texts().filter(|(path, _)| *path != "Cargo.lock") {
        for (line, text) in (1..).zip(text.lines()) {
            found.extend(registry(text).map(|host| {
                Failure::at(path, line, format!("`{host}` is named"))
                    .why("the project does not depend on where packages are fetched from")
                    .remedy("leave the address out")
            }));
            found.extend(machine_path(text).map(|root| {
                Failure::at(path, line, format!("a path below `/{root}` is named"))
                    .why("it exists only on one machine")
                    .remedy("write it from the repository's root")
            }));
        }
    }
    found
}

fn registry(text: &str) -> Option<String> {
    REGISTRIES
        .iter()
        .map(|(name, ending)| format!("{name}.{ending}"))
        .find(|host| text.contains(host))
}

/// The first folder of a machine's own path in the text.
fn machine_path(text: &str) -> Option<&'static str> {
    ROOTS.into_iter().find(|root| {
        let path = format!("/{root}");
        text.match_indices(&path).any(|(at, _)| {
            let before = at.checked_sub(1).and_then(|i| text.as_bytes().get(i));
            let after = text.as_bytes().get(at + path.len());
            !before.is_some_and(|&b| is_word(b) || b"./~-)}>".contains(&b))
                && after.is_none_or(|&b| !is_word(b) && b != b'-')
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tidy::places;

    fn found(text: &str) -> Vec<String> {
        places(check, &[("README.md", text)])
    }

    #[test]
    fn paths_of_the_project_pass() {
        for text in [
            "see crates/physics/src/lib.rs",
            "#!/usr/bin/env bash",
            "target/tmp and a/home/b",
            "GET /book/12",
            "https://example.org/work",
            "/homestead",
            "1 J/work",
        ] {
            assert_eq!(found(text), [""; 0], "{text}");
        }
    }

    #[test]
    fn paths_of_one_machine_do_not() {
        for root in ROOTS {
            for text in [
                format!("see /{root}/x"),
                format!("(/{root})"),
                format!("\"/{root}\""),
            ] {
                assert_eq!(found(&text), ["README.md:1"], "{text}");
            }
        }
    }

    #[test]
    fn registries_do_not_but_for_the_lock_file() {
        let text = REGISTRIES
            .map(|(name, ending)| format!("x\nhttps://{name}.{ending}/y"))
            .join("\n");
        assert_eq!(found(&text).len(), REGISTRIES.len());
        assert_eq!(places(check, &[("Cargo.lock", &text)]), [""; 0]);
    }
}
