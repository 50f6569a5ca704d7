//! Files on the disk: reading one, writing a new station file.
//!
//! Not here: what is in them (the crate `station`).

use std::fs::{self, File, OpenOptions};
use std::io::{self, Read, Write};
use std::path::Path;

use crate::usecase::Trouble;

/// No file a person writes comes near this many bytes.
const MOST: u64 = 1 << 20;

/// What [`read_text`] reads.
const STATION_FILE: &str = "station file";

/// The text of a station file; of the standard input where the path is `-`.
pub fn read_text(path: &Path) -> Result<String, Trouble> {
    read_as(path, STATION_FILE)
}

/// The text of another file, which people call so.
pub fn read_as(path: &Path, called: &str) -> Result<String, Trouble> {
    let name = path.display().to_string();
    let mut bytes = Vec::new();
    let read = if path == Path::new("-") {
        io::stdin().lock().take(MOST + 1).read_to_end(&mut bytes)
    } else {
        File::open(path).and_then(|file| file.take(MOST + 1).read_to_end(&mut bytes))
    };
    read.map_err(|error| unreadable(path, called, &error))?;
    if bytes.len() as u64 > MOST {
        let what = format!("{name} is larger than 1 MiB: that is not a {called}");
        return Err(Trouble::new(what, format!("give the {called} itself")));
    }
    String::from_utf8(bytes).map_err(|error| not_text(&name, called, error.as_bytes()))
}

/// Whether a new file may go there: nothing is there yet.
pub fn must_be_free(path: &Path) -> Result<(), Trouble> {
    match path.symlink_metadata() {
        Ok(_) => Err(unwritable(path, &io::ErrorKind::AlreadyExists.into())),
        Err(_) => Ok(()),
    }
}

/// Writes a new file; never over an existing one.
pub fn write_new(path: &Path, text: &str) -> Result<(), Trouble> {
    let mut file = OpenOptions::new()
        .write(true)
        .create_new(true)
        .open(path)
        .map_err(|error| unwritable(path, &error))?;
    let written = file
        .write_all(text.as_bytes())
        .and_then(|()| file.sync_all());
    written.map_err(|error| {
        // Half a file would only puzzle; it was not there before.
        let _ = fs::remove_file(path);
        unwritable(path, &error)
    })
}

/// Writes a file anew, whole or not at all: the new text goes beside it and takes its name.
pub fn replace(path: &Path, text: &str) -> Result<(), Trouble> {
    let failed = |error: io::Error| unwritable(path, &error);
    // What a link points to is written, the link itself stays.
    let path = &path.canonicalize().map_err(failed)?;
    let rights = fs::metadata(path).map_err(failed)?.permissions();
    let mut name = path.as_os_str().to_owned();
    name.push(format!(".{}.new", std::process::id()));
    let beside = Path::new(&name);
    write_new(beside, text)?;
    let placed = fs::set_permissions(beside, rights).and_then(|()| fs::rename(beside, path));
    placed.map_err(|error| {
        // The old file is whole; half a change would only puzzle.
        let _ = fs::remove_file(beside);
        unwritable(path, &error)
    })
}

fn unreadable(path: &Path, called: &str, error: &io::Error) -> Trouble {
    let name = path.display();
    let (what, remedy) = match error.kind() {
        io::ErrorKind::NotFound if called != STATION_FILE => (
            format!("there is no file {name}"),
            "check the name and the folder".to_owned(),
        ),
        io::ErrorKind::NotFound => (
            format!("there is no file {name}"),
            format!("check the name, or begin one with `fillstead station new {name}`"),
        ),
        io::ErrorKind::IsADirectory => (
            format!("{name} is a folder"),
            format!("name the {called} in it"),
        ),
        io::ErrorKind::PermissionDenied => (
            format!("{name} may not be read"),
            "ask its owner for leave to read it, or copy it to a place of your own".to_owned(),
        ),
        _ => (
            format!("{name} cannot be read: {error}"),
            "check the disk, or copy the file elsewhere first".to_owned(),
        ),
    };
    Trouble::new(what, remedy)
}

fn unwritable(path: &Path, error: &io::Error) -> Trouble {
    let name = path.display();
    let (what, remedy) = match error.kind() {
        io::ErrorKind::AlreadyExists => (
            format!("{name} is there already and is left as it is"),
            "choose another name, or move the old file away first",
        ),
        io::ErrorKind::NotFound => (
            format!("the folder for {name} is not there"),
            "make the folder first, or choose another place",
        ),
        io::ErrorKind::PermissionDenied => (
            format!("{name} may not be written"),
            "choose a place of your own",
        ),
        _ => (
            format!("{name} cannot be written: {error}"),
            "choose another place",
        ),
    };
    Trouble::new(what, remedy)
}

/// Bytes that are not UTF-8: another way of writing letters, or no text at all.
fn not_text(name: &str, called: &str, bytes: &[u8]) -> Trouble {
    if bytes.starts_with(&[0xff, 0xfe]) || bytes.starts_with(&[0xfe, 0xff]) {
        let what = format!("{name} is written in UTF-16");
        return Trouble::new(
            what,
            "save it again as UTF-8; editors ask for it as the encoding",
        );
    }
    if bytes.contains(&0) {
        let what = format!("{name} is not a text file");
        return Trouble::new(what, format!("give the {called}, a text"));
    }
    let line = 1 + valid(bytes).bytes().filter(|&b| b == b'\n').count();
    let what = format!("line {line} of {name} holds a letter that is not UTF-8");
    Trouble::new(
        what,
        "save it again as UTF-8, and write ° and other signs anew",
    )
}

/// The head of the bytes that is text.
fn valid(bytes: &[u8]) -> &str {
    bytes.utf8_chunks().next().map_or("", |chunk| chunk.valid())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn other_encodings_are_told_apart() {
        let what = |bytes: &[u8]| not_text("a.toml", STATION_FILE, bytes).what;
        assert_eq!(what(b"\xff\xfe[\0s\0"), "a.toml is written in UTF-16");
        assert_eq!(what(b"\x7fELF\0\xff"), "a.toml is not a text file");
        let latin = b"[intake]\ntemperature = \"20 \xb0C\"\n";
        assert_eq!(
            what(latin),
            "line 2 of a.toml holds a letter that is not UTF-8"
        );
    }
}
