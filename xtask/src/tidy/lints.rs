//! Every crate is held to the lints of the workspace.

use toml_edit::{Document, Item};

use crate::failure::Failure;
use crate::tree::Tree;

/// Each manifest says `[lints] workspace = true`.
pub fn check(tree: &Tree) -> Vec<Failure> {
    tree.crates()
        .map(|name| format!("crates/{name}/Cargo.toml"))
        .chain(
            tree.text("xtask/Cargo.toml")
                .map(|_| "xtask/Cargo.toml".into()),
        )
        .filter(|path| !inherits(tree.text(path).unwrap_or_default()))
        .map(|path| {
            Failure::at(&path, 1, "the workspace's lints are not inherited")
                .why("what is forbidden elsewhere passes here")
                .remedy("add `[lints]` with `workspace = true`")
        })
        .collect()
}

fn inherits(manifest: &str) -> bool {
    let Ok(manifest) = Document::parse(manifest) else {
        return false;
    };
    let lints = manifest
        .as_table()
        .get("lints")
        .and_then(|lints| lints.get("workspace"));
    lints.and_then(Item::as_bool) == Some(true)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tidy::places;

    #[test]
    fn inherited_lints_pass() {
        for manifest in ["[lints]\nworkspace = true\n", "lints.workspace = true\n"] {
            assert_eq!(places(check, &[("crates/x/Cargo.toml", manifest)]), [""; 0]);
        }
    }

    #[test]
    fn missing_or_switched_off_lints_do_not() {
        for manifest in [
            "",
            "[lints]\nworkspace = false\n",
            "[lints.rust]\nunsafe_code = \"allow\"\n",
        ] {
            let found = places(check, &[("xtask/Cargo.toml", manifest)]);
            assert_eq!(found, ["xtask/Cargo.toml:1"], "{manifest}");
        }
    }
}
