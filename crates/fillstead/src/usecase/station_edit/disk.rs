//! The station file on the disk beside the book: whether it still is what the book has, and its
//! replacement.

use std::path::Path;

use crate::usecase::{Trouble, file};

/// How the file on the disk stands to the text in force.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum OnDisk {
    /// The same, byte for byte.
    Same,
    /// Another text: this one.
    Differs(String),
    /// It cannot be read.
    Unreadable(Trouble),
}

/// Compares the file with a text.
pub fn compared(path: &Path, text: &str) -> OnDisk {
    match file::read_text(path) {
        Ok(found) if found == text => OnDisk::Same,
        Ok(found) => OnDisk::Differs(found),
        Err(trouble) => OnDisk::Unreadable(trouble),
    }
}

/// Writes the file anew, if it still is what the book had; says where it was left as it is.
pub fn follow(path: &Path, stands: &OnDisk, text: &str) -> Result<String, String> {
    let name = path.display();
    match stands {
        OnDisk::Same => match file::replace(path, text) {
            Ok(()) => Ok(format!("{name} is written too")),
            Err(trouble) => Err(format!("{name} is left as it is: {}", trouble.what)),
        },
        OnDisk::Differs(_) => Err(format!(
            "{name} is left as it is: somebody changed it beside the book"
        )),
        OnDisk::Unreadable(trouble) => Err(format!("{name} is not written: {}", trouble.what)),
    }
}
