//! The repository as texts by path. Checks see this, never the disk, so that
//! a test can hand them a small tree of its own.
//!
//! Not here: what any file means ([`crate::rust`] reads Rust).

use std::collections::BTreeMap;
use std::path::Path;
use std::{fs, io};

use crate::rust::RustFile;

/// Folders that hold nothing written by hand.
const SKIPPED: [&str; 5] = [".git", "target", "artifacts", "corpus", "node_modules"];

/// Every text of the repository, and the Rust among them read.
pub struct Tree {
    texts: BTreeMap<String, String>,
    rust: Vec<RustFile>,
}

impl Tree {
    /// Reads every text below `root`; files that are not text are left out.
    pub fn read(root: &Path) -> io::Result<Tree> {
        let mut texts = BTreeMap::new();
        walk(root, "", &mut texts)?;
        Ok(Tree::new(texts))
    }

    /// A tree of given paths and texts.
    #[cfg(test)]
    pub fn of(files: &[(&str, &str)]) -> Tree {
        Tree::new(
            files
                .iter()
                .map(|&(path, text)| (path.into(), text.into()))
                .collect(),
        )
    }

    fn new(texts: BTreeMap<String, String>) -> Tree {
        let rust = crate::rust::read(&texts);
        Tree { texts, rust }
    }

    /// The text of one file.
    pub fn text(&self, path: &str) -> Option<&str> {
        self.texts.get(path).map(String::as_str)
    }

    /// Every path and text, sorted by path.
    pub fn texts(&self) -> impl Iterator<Item = (&str, &str)> {
        self.texts
            .iter()
            .map(|(path, text)| (path.as_str(), text.as_str()))
    }

    /// Whether something stands at this path: a file, or a folder with files.
    pub fn holds(&self, path: &str) -> bool {
        let path = path.trim_end_matches('/');
        self.texts.keys().any(|file| {
            file.strip_prefix(path)
                .is_some_and(|r| r.is_empty() || r.starts_with('/'))
        })
    }

    /// The folders of `crates/` that hold a `Cargo.toml`.
    pub fn crates(&self) -> impl Iterator<Item = &str> {
        self.texts
            .keys()
            .filter_map(|path| path.strip_prefix("crates/")?.strip_suffix("/Cargo.toml"))
            .filter(|name| !name.contains('/'))
    }

    /// Every Rust file of the workspace.
    pub fn rust(&self) -> &[RustFile] {
        &self.rust
    }

    /// The Rust files of one crate's `src`.
    pub fn sources_of(&self, name: &str) -> impl Iterator<Item = &RustFile> {
        let folder = format!("crates/{name}/src/");
        self.rust
            .iter()
            .filter(move |file| file.path.starts_with(&folder))
    }
}

fn walk(folder: &Path, path: &str, texts: &mut BTreeMap<String, String>) -> io::Result<()> {
    for entry in fs::read_dir(folder)? {
        let entry = entry?;
        let Ok(name) = entry.file_name().into_string() else {
            continue;
        };
        let below = if path.is_empty() {
            name.clone()
        } else {
            format!("{path}/{name}")
        };
        if entry.file_type()?.is_dir() {
            if !SKIPPED.contains(&name.as_str()) {
                walk(&entry.path(), &below, texts)?;
            }
        } else if let Ok(text) = fs::read_to_string(entry.path()) {
            texts.insert(below, text);
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn crates_are_folders_with_a_manifest() {
        let tree = Tree::of(&[
            ("crates/gas/Cargo.toml", ""),
            ("crates/gas/tests/x/Cargo.toml", ""),
            ("crates/loose.rs", ""),
            ("xtask/Cargo.toml", ""),
        ]);
        assert_eq!(tree.crates().collect::<Vec<_>>(), ["gas"]);
    }

    #[test]
    fn holds_files_and_folders_not_beginnings_of_names() {
        let tree = Tree::of(&[("crates/gas/src/lib.rs", "")]);
        assert!(tree.holds("crates/gas/"));
        assert!(tree.holds("crates/gas/src/lib.rs"));
        assert!(!tree.holds("crates/ga"));
    }

    #[test]
    fn the_repository_itself_is_read_without_build_products() {
        let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
        let tree = Tree::read(&root).unwrap();
        assert!(tree.crates().any(|name| name == "quantity"));
        assert!(tree.text("xtask/src/tree.rs").is_some());
        assert!(tree.texts().all(|(path, _)| !path.starts_with("target/")));
    }
}
