//! Sheets made for print: what the book holds, gathered for each.
//!
//! Start at [`Room`], which every sheet is drawn in. One file a sheet; the pages themselves are in
//! [`crate::print`]. Not here: files, and what follows from the records (the crate `book`).

pub mod cartridge;
pub mod certificate;
pub mod day;
mod doubts;
mod free_air;
pub mod quarantine;
pub mod support;
pub mod tag;

use book::answer::Told;
use book::{Book, Hash, Measure, Moment};
use quantity::{TimeSpan, UnitSystem};
use station::{Date, Station};

use super::{desk, gate, list};
use crate::print::{Head, Paper, Seal};
use crate::usecase::clock::{self, Zone, day_typed};
use crate::usecase::{Trouble, units};

/// A book, and the moment at which its sheets are drawn.
pub struct Room<'a> {
    /// The book.
    pub book: &'a Book,
    /// The station's zone.
    pub zone: Zone,
    /// The station file in force, where there is one that can be used.
    pub station: Option<Station>,
    /// When the sheets are printed.
    pub printed: Moment,
    /// What is known up to when; none: everything in the book.
    pub at: Option<Moment>,
    paper: Paper,
    name: String,
    invented: bool,
}

impl<'a> Room<'a> {
    /// Sheets of this book, now: on the paper of the station's country unless another is given; as
    /// of the end of a past day where one is typed.
    pub fn of(
        book: &'a Book,
        paper: Option<Paper>,
        today: Option<&str>,
    ) -> Result<Room<'a>, Trouble> {
        let zone = desk::zone(book)?;
        let at = today.map(|typed| end_of(typed, &zone)).transpose()?;
        let station = gate::station_in_force(book, at)?;
        let (name, invented) = list::title(book)?;
        // The paper is that of the station's country, whoever reads it.
        let usual = match units::of_station(book)? {
            Some(UnitSystem::Us) => Paper::Letter,
            _ => Paper::A4,
        };
        Ok(Room {
            book,
            zone,
            station,
            printed: clock::now(),
            at,
            paper: paper.unwrap_or(usual),
            name,
            invented,
        })
    }

    /// The moment the sheet is about.
    pub fn now(&self) -> Moment {
        self.at.unwrap_or(self.printed)
    }

    /// The day the sheet is about.
    pub fn today(&self) -> Result<Date, Trouble> {
        self.zone.today_at(self.now())
    }

    /// The first moment of a day at the station.
    pub fn begins(&self, text: &str) -> Option<Moment> {
        self.zone.begins(text)
    }

    /// What stands on every sheet, with the seal of the whole book.
    pub fn head(&self) -> Result<Head, Trouble> {
        Ok(Head {
            station: self.name.clone(),
            invented: self.invented,
            zone: self.zone.name.clone(),
            printed: self.zone.minute(self.printed),
            program: concat!("Fillstead ", env!("CARGO_PKG_VERSION")),
            paper: self.paper,
            seal: self.book.head()?.map(seal),
        })
    }
}

/// A seal of the book.
fn seal((entry, hash): (u64, Hash)) -> Seal {
    Seal {
        entry,
        hash: hash.short(),
    }
}

/// The last moment of a day as typed.
fn end_of(typed: &str, zone: &Zone) -> Result<Moment, Trouble> {
    let day = day_typed(typed).map_err(|trouble| trouble.about("today"))?;
    let limits = zone.day_limits(day);
    let (_, next) = limits.ok_or_else(|| Trouble::new("no such day", "check the year"))?;
    Ok(Moment(next.0 - 1))
}

/// Minutes: `74 min`, from two hours on `2 h 05 min`.
fn minutes(minutes: f64) -> String {
    let whole = minutes.round().max(0.0);
    if whole < 120.0 {
        return format!("{whole:.0} min");
    }
    format!("{:.0} h {:02.0} min", (whole / 60.0).floor(), whole % 60.0)
}

/// Running hours to a tenth: `19.5 h`.
fn hours(hours: f64) -> String {
    // Plus zero, so that no minus zero is shown.
    format!("{:.1} h", hours + 0.0)
}

/// Running hours as typed; empty where not read.
fn typed(hours: Option<&Measure<TimeSpan>>) -> String {
    hours.map(ToString::to_string).unwrap_or_default()
}

/// The texts there are, with a sign between.
fn joined(parts: impl IntoIterator<Item = Option<String>>, between: &str) -> String {
    let parts: Vec<String> = parts.into_iter().flatten().collect();
    parts.join(between)
}

/// A text of the book; empty where there is none.
fn text(text: Option<&String>) -> String {
    text.cloned().unwrap_or_default()
}

/// `corrected by entry 12`, where it was.
fn corrected<T>(told: &Told<T>) -> Option<String> {
    (told.carrier != told.seq).then(|| format!("corrected by entry {}", told.carrier))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn minutes_are_told_in_hours_where_they_are_many() {
        assert_eq!(minutes(73.6), "74 min");
        assert_eq!(minutes(125.0), "2 h 05 min");
        assert_eq!(minutes(119.7), "2 h 00 min");
    }
}
