//! A demonstration book in a folder of its own, which goes with the server.

use std::io;
use std::path::Path;

use tempfile::TempDir;

use super::book::begin::{Asked, NotBegun, begin};
use super::book::desk::Who;
use super::serving::Serving;
use super::{Trouble, file};

/// The station of the book: our own invention, and marked so.
const STATION: &str = include_str!("../../../../stations/boathouse.toml");

/// A book in a folder that nobody else can read, to be served on this port.
pub fn demonstration(port: u16) -> Result<Serving, Vec<Trouble>> {
    let folder = folder().map_err(|error| {
        let what = format!("no folder can be made for the demonstration: {error}");
        vec![Trouble::new(
            what,
            "make room on the disk, or set TMPDIR to a place of your own",
        )]
    })?;
    let book = folder.path().join("demonstration.book");
    ready(&book)?;
    Ok(Serving {
        book,
        port,
        lan: false,
        log: false,
        demonstration: Some(folder),
    })
}

fn folder() -> io::Result<TempDir> {
    tempfile::Builder::new().prefix("fillstead-").tempdir()
}

/// Fills the book. The one place that says with what.
fn ready(book: &Path) -> Result<(), Vec<Trouble>> {
    let station = book.with_file_name("boathouse.toml");
    file::write_new(&station, STATION).map_err(|trouble| vec![trouble])?;
    let asked = Asked {
        station: Some(&station),
        rule: Some("uk"),
        standard: Some("EN 12021"),
        ..Asked::default()
    };
    let who = Who {
        by: Some("invented"),
        at: None,
        zone: Some("Europe/Dublin"),
    };
    match begin(book, &asked, &who) {
        Ok(_) => Ok(()),
        Err(NotBegun::Troubles(troubles)) => Err(troubles),
        Err(NotBegun::Unusable(_)) => Err(vec![Trouble::new(
            "the station of the demonstration has errors",
            "use a whole copy of the program",
        )]),
    }
}
