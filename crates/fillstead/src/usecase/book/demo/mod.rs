//! The demonstration book: a year of an invented station's records.
//!
//! Start at [`demo`] and [`ready`]. The days, the people and what goes wrong come from a seed; every
//! number of a run comes from the simulation of that run, read off gauges that are as good as their
//! class; every entry is written by the forms, the gate and the judge of air that everybody's pass.
//! The same seed and day give the same book, entry for entry. Not here: any real place or person.

mod air;
mod begin;
mod calendar;
mod chance;
mod kept;
mod machine;
mod people;
mod sample;
mod scribe;
mod session;
mod telling;
#[cfg(test)]
mod tests;
mod trouble;
mod winter;

use std::path::Path;

use book::{BookError, Pen};
use jiff::civil::Date;
use serde::Serialize;

use super::desk::holder;
use crate::usecase::Trouble;
use crate::usecase::clock::{self, Zone, day_typed};
use calendar::Year;
use machine::Works;
use scribe::Scribe;
use telling::{Teller, of_simulation};

/// The number the invented year is drawn from, unless another is asked for.
pub const SEED: u64 = 7;
/// The hour meter when the book begins.
const METER_H: f64 = 1204.3;
/// Where the invented station is.
const ZONE: &str = "Europe/Dublin";
/// Its file.
const STATION: &str = include_str!("station.toml");

/// A demonstration book just made.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Made {
    /// The station.
    pub station: String,
    /// What everything left to chance was drawn from.
    pub seed: u64,
    /// Its first day.
    pub first: String,
    /// Its last.
    pub last: String,
    /// How many entries it has.
    pub entries: u64,
    /// Its seal.
    pub seal: String,
}

/// Makes a demonstration book that ends the day before `until`; today, where not given.
pub fn demo(path: &Path, seed: Option<u64>, until: Option<&str>) -> Result<Made, Vec<Trouble>> {
    let one = |trouble: Trouble| vec![trouble];
    let zone = Zone::named(ZONE).map_err(one)?;
    let today = clock::today_in(None, &zone).map_err(one)?;
    let until = match until {
        Some(text) => day_typed(text).map_err(|t| one(t.about("until")))?,
        None => today,
    };
    if until > today {
        let what = format!("{until} has not come yet: this machine's clock shows {today}");
        return Err(one(
            Trouble::new(what, "give today or a day before").about("until")
        ));
    }
    Ok(made(path, seed.unwrap_or(SEED), civil(until)?)?.0)
}

/// Writes the story that is kept in the program: that of [`SEED`], its days moved to end yesterday. In
/// a few hundredths of a second, since nothing is simulated.
pub fn ready(path: &Path) -> Result<Made, Vec<Trouble>> {
    let zone = Zone::named(ZONE).map_err(|t| vec![t])?;
    let today = clock::today_in(None, &zone).map_err(|t| vec![t])?;
    kept::write(path, &zone, civil(today)?)
}

fn civil(day: station::Date) -> Result<Date, Vec<Trouble>> {
    let outside = |_| {
        let trouble = Trouble::new(format!("{day} is outside the calendar"), "check the year");
        vec![trouble.about("until")]
    };
    day.to_string().parse().map_err(outside)
}

/// Why a book was not made.
struct Stopped(Vec<Trouble>);

impl From<BookError> for Stopped {
    fn from(error: BookError) -> Stopped {
        Stopped(vec![error.into()])
    }
}

/// Makes the book; gives beside it what was true and is nowhere written.
fn made(path: &Path, seed: u64, until: Date) -> Result<(Made, Vec<telling::Truth>), Vec<Trouble>> {
    let one = |trouble: Trouble| vec![trouble];
    let reading = station::read(STATION);
    let station = reading
        .usable()
        .ok_or_else(|| of_simulation("its station file has errors"))?;
    let year = Year::before(until, seed);
    let day = |share: f64| year.sessions[year.at(share)].day;
    let truth = machine::Truth {
        pmv_set: day(trouble::PMV_SET),
        belt: day(trouble::BELT),
    };
    let works = Works::new(station, truth, seed).map_err(of_simulation)?;
    let told = works.all(&year).map_err(of_simulation)?;
    let zone = Zone::named(ZONE).map_err(one)?;
    let first = begin::first_page(station, &zone, &year, seed).map_err(one)?;
    let write = |pen: &mut Pen| -> Result<Vec<telling::Truth>, Stopped> {
        let mut scribe = Scribe::new(pen, zone, year.first);
        begin::begun(&mut scribe, station, &year).map_err(Stopped)?;
        let teller = Teller::new(&year, &works, scribe, seed).map_err(Stopped)?;
        teller.tell(told).map_err(Stopped)
    };
    let marks = Pen::make(path, &holder("fillstead book demo"), &first, write).map_err(|s| s.0)?;
    Ok((of_book(path, seed, &year).map_err(one)?, marks))
}

fn of_book(path: &Path, seed: u64, year: &Year) -> Result<Made, Trouble> {
    let book = super::desk::read(path)?;
    let (station, _) = super::list::title(&book)?;
    let (entries, hash) = book
        .head()?
        .ok_or_else(|| Trouble::new("the book is empty", "make it again"))?;
    let last = year
        .first
        .saturating_add(jiff::Span::new().days(calendar::DAYS - 1));
    Ok(Made {
        station,
        seed,
        first: year.first.to_string(),
        last: last.to_string(),
        entries,
        seal: format!("{entries}:{}", hash.short()),
    })
}
