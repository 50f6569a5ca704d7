//! Putting a text in force: an entry of the book by somebody, with a reason; and the file on the disk
//! where it still is what the book had.

use std::path::Path;

use book::Body;
use book::answer::station::station_text;
use book::body::StationRevised;

use super::disk::{self, OnDisk};
use crate::usecase::Trouble;
use crate::usecase::book::add::{self, Added, both};
use crate::usecase::book::desk::{self, Who, signed};

/// The text in force.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct InForce {
    /// The text; empty where there is none.
    pub text: String,
    /// The entry that counts; none where there is no text.
    pub entry: Option<u64>,
}

/// The text in force in a book.
pub fn in_force(book: &Path) -> Result<InForce, Trouble> {
    of_book(&desk::read(book)?)
}

fn of_book(book: &book::Book) -> Result<InForce, Trouble> {
    let station = station_text(book, None)?;
    Ok(InForce {
        text: station.text().unwrap_or_default().to_owned(),
        entry: station.revised.as_ref().map(|told| told.carrier),
    })
}

/// What is to be put in force.
pub struct Revision<'a> {
    /// The text.
    pub text: &'a str,
    /// The entry whose text it was made from; none where there was none.
    pub from: Option<u64>,
    /// What was changed, and why.
    pub why: &'a str,
    /// The file on the disk that is to follow.
    pub disk: Option<&'a Path>,
}

/// A text that is in force.
pub struct Saved {
    /// The entry.
    pub added: Added,
    /// What became of the file on the disk, where there is one.
    pub disk: Option<Result<String, String>>,
}

/// Puts a text in force.
pub fn save(path: &Path, revision: &Revision<'_>, who: &Who<'_>) -> Result<Saved, Vec<Trouble>> {
    let one = |trouble: Trouble| vec![trouble];
    let mut pen = desk::write(path, "fillstead serve").map_err(one)?;
    let zone = desk::zone(pen.book()).map_err(one)?;
    let (body, signed) = both(body(revision), signed(who, zone))?;
    let stands = of_book(pen.book()).map_err(one)?;
    if stands.entry != revision.from {
        return Err(one(meanwhile(stands.entry)));
    }
    if stands.entry.is_some() && stands.text == revision.text {
        let remedy = "change something, or go back to the station";
        return Err(one(Trouble::new("nothing is different", remedy)));
    }
    let on_disk = revision.disk.map(|file| (file, beside(file, &stands)));
    let added = add::write(&mut pen, &signed, body)?;
    let disk = on_disk.map(|(file, stands)| disk::follow(file, &stands, revision.text));
    Ok(Saved { added, disk })
}

/// A file may also become what the book gets first.
fn beside(file: &Path, stands: &InForce) -> OnDisk {
    disk::compared(file, &stands.text)
}

fn body(revision: &Revision<'_>) -> Result<Body, Vec<Trouble>> {
    let mut troubles = Vec::new();
    let why = revision.why.trim();
    if why.is_empty() {
        let remedy = "say in a few words what changed on the machine, or what was written wrong";
        troubles.push(Trouble::new("no reason is given", remedy).about("why"));
    }
    let reading = station::read(revision.text);
    let Some(station) = reading.usable() else {
        let remedy = "correct what is told beside the fields first";
        troubles.push(Trouble::new("the file has errors", remedy));
        return Err(troubles);
    };
    if !troubles.is_empty() {
        return Err(troubles);
    }
    Ok(StationRevised {
        name: station.name.clone(),
        file: revision.text.to_owned(),
        why: Some(why.to_owned()),
    }
    .into())
}

fn meanwhile(entry: Option<u64>) -> Trouble {
    let by = entry.map_or("somebody took it out of the book".to_owned(), |entry| {
        format!("entry {entry} is in force now")
    });
    Trouble::new(
        format!("the station was changed while this form was open: {by}"),
        "what you typed is kept below; look at what it changes now, then save it",
    )
}
