//! Opening a book, who writes in it and when: what every use of it begins with.

use std::path::Path;

use book::{Book, BookError, Draft, Moment, Pen};

use crate::usecase::Trouble;
use crate::usecase::clock::{self, Zone};

/// Who makes an entry, and when it happened, as typed.
#[derive(Clone, Copy, Debug, Default)]
pub struct Who<'a> {
    /// Who.
    pub by: Option<&'a str>,
    /// When it happened; now, where not given.
    pub at: Option<&'a str>,
    /// The zone the station is in from here on; that of the last entry, where not given.
    pub zone: Option<&'a str>,
}

/// Who makes an entry, when and where.
#[derive(Clone, Debug)]
pub struct Signed {
    /// Who.
    pub author: String,
    /// The zone.
    pub zone: Zone,
    /// By the machine's clock.
    pub recorded: Moment,
    /// When it happened.
    pub happened: Moment,
}

/// An entry may lie so far ahead of the machine's clock: two clocks never quite agree.
const AHEAD_S: f64 = 600.0;
/// No name is longer.
const LONGEST_NAME: usize = 80;

impl From<BookError> for Trouble {
    fn from(error: BookError) -> Trouble {
        Trouble::new(error.to_string(), error.remedy())
    }
}

/// Opens a book to read it. One of an earlier form is brought up to date first.
pub fn read(path: &Path) -> Result<Book, Trouble> {
    match Book::open(path) {
        Err(BookError::Older { .. }) => {
            drop(write(path, "bringing it up to date")?);
            Ok(Book::open(path)?)
        }
        other => Ok(other?),
    }
}

/// Opens a book to write in it; `doing` is what a second writer is told.
pub fn write(path: &Path, doing: &str) -> Result<Pen, Trouble> {
    Ok(Pen::open(path, &holder(doing))?)
}

/// Opens a book to write in it, signed already.
pub fn pen(path: &Path, doing: &str, who: &Who<'_>) -> Result<(Pen, Signed), Vec<Trouble>> {
    let one = |trouble: Trouble| vec![trouble];
    let pen = write(path, doing).map_err(one)?;
    let zone = zone(pen.book()).map_err(one)?;
    let signed = signed(who, zone)?;
    Ok((pen, signed))
}

/// What a second writer is told of this process.
pub fn holder(doing: &str) -> String {
    let since = Zone::of_this_machine().minute(clock::now());
    format!("{doing}, process {}, since {since}", std::process::id())
}

/// The zone of the station: that of the last entry.
pub fn zone(book: &Book) -> Result<Zone, Trouble> {
    let last = match book.head()? {
        Some((seq, _)) => book.entry(seq)?,
        None => None,
    };
    match last {
        Some(entry) => Zone::named(&entry.zone),
        None => Ok(Zone::of_this_machine()),
    }
}

/// Who makes an entry and when; everything that is wrong with what was typed. `zone` is the
/// station's so far.
pub fn signed(who: &Who<'_>, zone: Zone) -> Result<Signed, Vec<Trouble>> {
    let mut troubles = Vec::new();
    let author = author(who.by)
        .map_err(|t| troubles.push(t))
        .unwrap_or_default();
    let zone = match who.zone.map(Zone::named) {
        Some(Ok(zone)) => zone,
        Some(Err(trouble)) => {
            troubles.push(trouble);
            zone
        }
        None => zone,
    };
    let recorded = clock::now();
    let happened = match who.at {
        Some(text) => happened(text, &zone, recorded),
        None => Ok(recorded),
    };
    let happened = happened.map_err(|t| troubles.push(t)).unwrap_or_default();
    match troubles.is_empty() {
        true => Ok(Signed {
            author,
            zone,
            recorded,
            happened,
        }),
        false => Err(troubles),
    }
}

fn author(by: Option<&str>) -> Result<String, Trouble> {
    let remedy = "give name or initials, like --by MK, or set them once as FILLSTEAD_BY";
    let name = by.map(str::trim).filter(|name| !name.is_empty());
    let name = name.ok_or_else(|| {
        Trouble::new("nobody is named, and every entry has its author", remedy).about("by")
    })?;
    if name.chars().count() > LONGEST_NAME || name.chars().any(char::is_control) {
        let what = format!("a name has at most {LONGEST_NAME} letters and no line breaks");
        return Err(Trouble::new(what, remedy).about("by"));
    }
    Ok(name.to_owned())
}

fn happened(text: &str, zone: &Zone, now: Moment) -> Result<Moment, Trouble> {
    let at = zone.moment(text, now)?;
    if at.seconds_since(now) > AHEAD_S {
        let what = format!(
            "{} has not come yet: this machine's clock shows {}",
            zone.minute(at),
            zone.minute(now)
        );
        let remedy = "check the day, or set the machine's clock";
        return Err(Trouble::new(what, remedy).about("at"));
    }
    if at.0 < 0 {
        let what = format!("{} lies before 1970", zone.minute(at));
        return Err(Trouble::new(what, "check the year").about("at"));
    }
    Ok(at)
}

impl Signed {
    /// A draft of this body.
    pub fn draft(&self, body: impl Into<book::Body>) -> Draft {
        Draft {
            recorded: self.recorded,
            happened: self.happened,
            zone: self.zone.name.clone(),
            author: self.author.clone(),
            body: body.into(),
        }
    }
}
