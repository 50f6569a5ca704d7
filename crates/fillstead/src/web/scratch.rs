//! A folder of our own for the moment: gone when it is dropped.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU64, Ordering};

use crate::usecase::Trouble;
use crate::usecase::clock;

static NUMBER: AtomicU64 = AtomicU64::new(0);

/// A folder that nobody else has.
pub struct Scratch(PathBuf);

impl Scratch {
    /// Makes one among the machine's temporary files. A folder that is there already is not taken.
    pub fn new() -> Result<Scratch, Trouble> {
        let number = NUMBER.fetch_add(1, Ordering::Relaxed);
        let name = format!(
            "fillstead-{}-{}-{number}",
            std::process::id(),
            clock::now().0
        );
        let path = std::env::temp_dir().join(name);
        made(&path).map_err(|error| {
            let what = format!("no temporary file can be made: {error}");
            Trouble::new(
                what,
                "free some space on this machine's disk, and try again",
            )
        })?;
        Ok(Scratch(path))
    }

    /// A place in it. Only the last part of a name counts.
    pub fn file(&self, name: &str) -> PathBuf {
        let name = name.rsplit(['/', '\\']).next().unwrap_or_default();
        let kept = |c: &char| c.is_alphanumeric() || "-_. ".contains(*c);
        let name: String = name.chars().filter(kept).take(80).collect();
        self.0.join(match name.trim_matches(['.', ' ']) {
            "" => "file",
            name => name,
        })
    }
}

#[cfg(unix)]
fn made(path: &Path) -> io::Result<()> {
    use std::os::unix::fs::DirBuilderExt;
    fs::DirBuilder::new().mode(0o700).create(path)
}

#[cfg(not(unix))]
fn made(path: &Path) -> io::Result<()> {
    fs::create_dir(path)
}

impl Drop for Scratch {
    fn drop(&mut self) {
        // What is left behind is cleared by the system.
        let _ = fs::remove_dir_all(&self.0);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_is_gone_afterwards_and_names_stay_inside() {
        let scratch = Scratch::new().unwrap();
        let folder = scratch.0.clone();
        assert_eq!(scratch.file("../../x.csv"), folder.join("x.csv"));
        assert_eq!(scratch.file(".."), folder.join("file"));
        assert_eq!(scratch.file("C:\\lists\\a b.xlsx"), folder.join("a b.xlsx"));
        fs::write(scratch.file("a"), "1").unwrap();
        drop(scratch);
        assert!(!folder.exists());
    }
}
