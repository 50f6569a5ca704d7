//! Which crate may know which: the rooms and the direction of their doors.

use toml_edit::{Document, Item, TableLike};

use crate::failure::Failure;
use crate::rust::line_of;
use crate::tree::Tree;

/// A crate, the crates of ours it may know, and what it may use from outside.
struct Room {
    name: &'static str,
    knows: &'static [&'static str],
    outside: Outside,
}

/// Crates from elsewhere, in `[dependencies]`. Tests may use what they like.
enum Outside {
    /// None at all.
    None,
    /// All whose names do not begin like one of these.
    AllBut(&'static [&'static str]),
}

const ROOMS: [Room; 6] = [
    Room {
        name: "quantity",
        knows: &[],
        outside: Outside::None,
    },
    Room {
        name: "physics",
        knows: &["quantity"],
        outside: Outside::AllBut(&["serde", "rand", "tokio", "chrono", "time"]),
    },
    Room {
        name: "station",
        knows: &["quantity"],
        outside: Outside::AllBut(&["tokio", "axum"]),
    },
    Room {
        name: "insight",
        knows: &["physics", "station", "quantity"],
        outside: Outside::AllBut(&["tokio", "axum", "toml"]),
    },
    Room {
        name: "book",
        knows: &["quantity"],
        outside: Outside::AllBut(&["axum"]),
    },
    Room {
        name: "fillstead",
        knows: &["quantity", "physics", "station", "insight", "book"],
        outside: Outside::AllBut(&[]),
    },
];

/// Each crate depends only on those its room opens to.
pub fn check(tree: &Tree) -> Vec<Failure> {
    tree.crates()
        .flat_map(|name| check_crate(tree, name))
        .collect()
}

fn check_crate(tree: &Tree, name: &str) -> Vec<Failure> {
    let path = format!("crates/{name}/Cargo.toml");
    let text = tree.text(&path).unwrap_or_default();
    let Some(room) = ROOMS.iter().find(|room| room.name == name) else {
        return vec![
            Failure::at(
                &path,
                1,
                format!("the crate `{name}` is in no table of rooms"),
            )
            .why("nothing says which crates it may know")
            .remedy("add it to xtask/src/tidy/dependencies.rs and to ARCHITECTURE.md"),
        ];
    };
    let manifest = match Document::parse(text) {
        Ok(manifest) => manifest,
        Err(error) => {
            return vec![
                Failure::at(&path, 1, format!("not TOML: {}", error.message()))
                    .why("its dependencies cannot be read")
                    .remedy("correct the file"),
            ];
        }
    };
    let ours: Vec<&str> = tree.crates().collect();
    dependencies(manifest.as_table(), text)
        .iter()
        .filter_map(|dependency| judge(room, dependency, &ours))
        .map(|failure| Failure {
            path: path.clone(),
            ..failure
        })
        .collect()
}

/// One entry of a dependency table.
struct Dependency {
    name: String,
    line: usize,
    for_tests: bool,
}

/// Entries of every dependency table, those of single targets too.
fn dependencies(manifest: &dyn TableLike, text: &str) -> Vec<Dependency> {
    let mut found = Vec::new();
    for (kind, for_tests) in [
        ("dependencies", false),
        ("build-dependencies", false),
        ("dev-dependencies", true),
    ] {
        for (key, item) in manifest
            .get(kind)
            .and_then(Item::as_table_like)
            .into_iter()
            .flat_map(|t| t.iter())
        {
            let at = item.span().map_or(0, |span| span.start);
            let name = item.get("package").and_then(Item::as_str).unwrap_or(key);
            found.push(Dependency {
                name: name.into(),
                line: line_of(text, at),
                for_tests,
            });
        }
    }
    let targets = manifest.get("target").and_then(Item::as_table_like);
    for (_, target) in targets.into_iter().flat_map(|t| t.iter()) {
        if let Some(table) = target.as_table_like() {
            found.extend(dependencies(table, text));
        }
    }
    found
}

/// What is wrong with a dependency, its path still to be filled in.
fn judge(room: &Room, dependency: &Dependency, ours: &[&str]) -> Option<Failure> {
    let Dependency {
        name,
        line,
        for_tests,
    } = dependency;
    let is_ours = ours.contains(&name.as_str()) || ROOMS.iter().any(|r| r.name == name);
    let (allowed, why, remedy) = if is_ours {
        (
            room.knows.contains(&name.as_str()),
            format!(
                "`{}` may know {}, in its tests too",
                room.name,
                list(room.knows)
            ),
            "move what needs both into a crate that may know both",
        )
    } else {
        (
            *for_tests || room.outside.allows(name),
            "that brings in what this crate must stay free of".into(),
            "do without, or do it in the crate that calls this one",
        )
    };
    let what = format!("`{}` depends on `{name}`", room.name);
    (!allowed).then(|| Failure::at("", *line, what).why(why).remedy(remedy))
}

impl Outside {
    fn allows(&self, name: &str) -> bool {
        match self {
            Outside::None => false,
            Outside::AllBut(names) => !names.iter().any(|n| begins_like(name, n)),
        }
    }
}

/// `rand_pcg` begins like `rand`; `randomize` does not.
fn begins_like(name: &str, start: &str) -> bool {
    name.strip_prefix(start)
        .is_some_and(|r| r.is_empty() || r.starts_with(['_', '-']))
}

fn list(names: &[&str]) -> String {
    if names.is_empty() {
        "none of ours".into()
    } else {
        format!("only {}", names.join(", "))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tidy::places;

    const OTHERS: [(&str, &str); 2] = [
        ("crates/quantity/Cargo.toml", ""),
        ("crates/station/Cargo.toml", ""),
    ];

    fn found(name: &str, manifest: &str) -> Vec<String> {
        let path = format!("crates/{name}/Cargo.toml");
        let mut files = OTHERS.to_vec();
        files.retain(|file| file.0 != path);
        files.push((&path, manifest));
        places(check, &files)
    }

    #[test]
    fn doors_that_exist_pass() {
        let manifest = "[dependencies]\nquantity.workspace = true\nthiserror = \"2\"\n\
                        [dev-dependencies]\nserde_json = \"1\"\n";
        assert_eq!(found("physics", manifest), [""; 0]);
    }

    #[test]
    fn siblings_do_not_know_each_other_even_in_tests() {
        let manifest = "[dependencies]\nquantity.workspace = true\nstation.workspace = true\n";
        assert_eq!(found("physics", manifest), ["crates/physics/Cargo.toml:3"]);
        let manifest = "[dev-dependencies]\nbook = { path = \"../book\" }\n";
        assert_eq!(found("physics", manifest), ["crates/physics/Cargo.toml:2"]);
    }

    #[test]
    fn a_new_name_or_a_single_target_hides_nothing() {
        let manifest = "[dependencies]\nunits = { package = \"station\", path = \"\" }\n";
        assert_eq!(found("physics", manifest), ["crates/physics/Cargo.toml:2"]);
        let manifest = "[target.'cfg(unix)'.dependencies]\nstation = \"1\"\n";
        assert_eq!(found("physics", manifest), ["crates/physics/Cargo.toml:2"]);
        let manifest = "[dependencies.station]\npath = \"\"\n";
        assert_eq!(found("physics", manifest), ["crates/physics/Cargo.toml:1"]);
    }

    #[test]
    fn outside_crates_are_kept_out_where_they_must_be() {
        let manifest = "[dependencies]\nlibm = \"1\"\n[dev-dependencies]\nproptest = \"1\"\n";
        assert_eq!(
            found("quantity", manifest),
            ["crates/quantity/Cargo.toml:2"]
        );
        let manifest = "[dependencies]\nrand_pcg = \"1\"\n";
        assert_eq!(found("physics", manifest), ["crates/physics/Cargo.toml:2"]);
    }

    #[test]
    fn unknown_crates_and_broken_manifests_are_told() {
        assert_eq!(found("garage", ""), ["crates/garage/Cargo.toml:1"]);
        assert_eq!(found("physics", "= 3"), ["crates/physics/Cargo.toml:1"]);
    }
}
