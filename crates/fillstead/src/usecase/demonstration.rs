//! A demonstration book in a folder of its own, which goes with the server.

use std::io;

use tempfile::TempDir;

use super::Trouble;
use super::book::demo;
use super::serving::Serving;

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
    demo::ready(&book)?;
    Ok(Serving {
        book,
        station: None,
        port,
        lan: false,
        log: false,
        demonstration: Some(folder),
    })
}

fn folder() -> io::Result<TempDir> {
    tempfile::Builder::new().prefix("fillstead-").tempdir()
}
