//! The two files beside a book: who may use it, and who is signed in. JSON, readable by their
//! owner alone, replaced as a whole.
//!
//! One process writes at a time what it has read ([`turn`]); two programs at once lose at most a
//! wrong try or a session, never a file.

use std::fs::{self, File, OpenOptions};
use std::io::{self, ErrorKind, Write};
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};

use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};

use super::Entry;
use super::sign::State;
use crate::usecase::Trouble;

/// Neither file comes near this size.
const MOST: u64 = 4 << 20;

/// Held from reading to writing.
static TURN: Mutex<()> = Mutex::new(());

/// Waits until nobody else in this program changes the files.
pub fn turn() -> MutexGuard<'static, ()> {
    TURN.lock().unwrap_or_else(PoisonError::into_inner)
}

#[derive(Default, Serialize, Deserialize)]
struct People {
    people: Vec<Entry>,
}

/// Everybody; nobody where there is no file.
pub fn people(book: &Path) -> Result<Vec<Entry>, Trouble> {
    read::<People>(&beside(book, "-people")).map(|file| file.people)
}

/// Keeps everybody.
pub fn keep_people(book: &Path, people: &[Entry]) -> Result<(), Trouble> {
    let people = people.to_vec();
    write(&beside(book, "-people"), &People { people })
}

/// Who is signed in and who tried.
pub fn state(book: &Path) -> Result<State, Trouble> {
    read(&beside(book, "-sessions"))
}

/// Keeps that.
pub fn keep_state(book: &Path, state: &State) -> Result<(), Trouble> {
    write(&beside(book, "-sessions"), state)
}

fn beside(book: &Path, ending: &str) -> PathBuf {
    let mut name = book.as_os_str().to_owned();
    name.push(ending);
    PathBuf::from(name)
}

fn read<T: DeserializeOwned + Default>(path: &Path) -> Result<T, Trouble> {
    let bytes = match fs::metadata(path) {
        Err(error) if error.kind() == ErrorKind::NotFound => return Ok(T::default()),
        Ok(found) if found.len() > MOST => Err(io::Error::other("it is too large")),
        _ => fs::read(path),
    };
    let bytes = bytes.map_err(|error| unreadable(path, &error.to_string()))?;
    serde_json::from_slice(&bytes).map_err(|error| unreadable(path, &error.to_string()))
}

fn unreadable(path: &Path, why: &str) -> Trouble {
    Trouble::new(
        format!("{} cannot be read: {why}", path.display()),
        "put back a copy of it, or move it away and add the people again",
    )
}

/// Replaces the file: what is there is whole at every moment.
fn write(path: &Path, value: &impl Serialize) -> Result<(), Trouble> {
    let mut new = path.as_os_str().to_owned();
    new.push(format!(".new{}", std::process::id()));
    let new = PathBuf::from(new);
    let done = serde_json::to_vec_pretty(value)
        .map_err(io::Error::other)
        .and_then(|bytes| written(&new, &bytes))
        .and_then(|()| fs::rename(&new, path));
    done.map_err(|error| {
        let _ = fs::remove_file(&new);
        Trouble::new(
            format!("{} cannot be written: {error}", path.display()),
            "check that its folder may be written and the disk is not full",
        )
    })
}

fn written(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let _ = fs::remove_file(path);
    let mut file = private(path)?;
    file.write_all(bytes)?;
    file.sync_all()
}

/// A new file that only its owner may read.
fn private(path: &Path) -> io::Result<File> {
    let mut options = OpenOptions::new();
    options.write(true).create_new(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    options.open(path)
}
