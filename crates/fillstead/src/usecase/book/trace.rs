//! Batch trace: who and what got air between two points, and where a cylinder's or a person's air
//! came from.

use std::path::Path;

use book::answer::trace::{self, Batch, Bound, Origin};
use book::answer::{DayBegins, Sample};
use book::body::Outcome;
use book::{Body, Book, Moment, Subject};
use serde::Serialize;

use super::desk;
use super::list::title;
use super::words;
use crate::usecase::Trouble;
use crate::usecase::clock::{Zone, day_typed};

/// One end of a batch, as typed: `entry 41`, `41`, a day, or a day and a time.
pub fn bound(text: &str, zone: &Zone, end: bool) -> Result<Bound, Trouble> {
    let text = text.trim();
    let number = text
        .trim_start_matches("entry")
        .trim()
        .trim_start_matches('#');
    if let Ok(seq) = number.parse::<u64>() {
        return Ok(Bound::Entry(seq));
    }
    if let Ok(day) = day_typed(text)
        && let Some((begin, next)) = zone.day_limits(day)
    {
        let last = Moment(next.0 - 1);
        return Ok(Bound::At(if end { last } else { begin }));
    }
    // A time without a day would be one of 1970.
    match zone.moment(text, Moment::default()) {
        Ok(moment) if text.contains('-') => Ok(Bound::At(moment)),
        _ => Err(no_bound(text)),
    }
}

fn no_bound(text: &str) -> Trouble {
    Trouble::new(
        format!("\"{text}\" is neither an entry nor a day"),
        "give the number of an entry, such as an air test's, or a day like 2026-05-20",
    )
}

/// One fill of a batch.
#[derive(Clone, Debug, Serialize)]
pub struct FillRow {
    /// Its entry.
    pub entry: u64,
    /// When, in the station's zone.
    pub when: String,
    /// The cylinder.
    pub cylinder: String,
    /// For whom.
    pub person: Option<String>,
    /// What it says.
    pub line: String,
    /// It got this air through a bank filled in the batch.
    pub through_bank: bool,
}

/// A name and its fills.
#[derive(Clone, Debug, Serialize)]
pub struct Share {
    /// Who or what.
    pub name: String,
    /// Entries of its fills.
    pub fills: Vec<u64>,
}

/// An air test beside a batch.
#[derive(Clone, Debug, Serialize)]
pub struct Test {
    /// Its entry.
    pub entry: u64,
    /// The day of the sample, or of the entry.
    pub day: String,
    /// `passes`, `fails` or `cannot tell`.
    pub outcome: &'static str,
    /// What it says.
    pub sentence: String,
}

/// Everybody and everything that got air between two points.
#[derive(Clone, Debug, Serialize)]
pub struct BatchPage {
    /// The station.
    pub station: String,
    /// Demonstration data.
    pub invented: bool,
    /// Begin, in the station's zone; none: as far back as the book goes.
    pub from: Option<String>,
    /// End; none: up to now.
    pub until: Option<String>,
    /// The fills, in the order of time.
    pub fills: Vec<FillRow>,
    /// Cylinders, by name.
    pub cylinders: Vec<Share>,
    /// Persons, by name.
    pub persons: Vec<Share>,
    /// Fills for which no person was entered.
    pub for_nobody: Vec<u64>,
    /// Runs it touches, by the entry of their start.
    pub runs: Vec<u64>,
    /// Cartridges in place, as entered.
    pub cartridges: Vec<String>,
    /// Air tests in it.
    pub tests: Vec<Test>,
    /// Entries that could not be read.
    pub unread: Vec<u64>,
}

/// The batch between two points, as typed; what is not given does not limit.
pub fn batch(path: &Path, from: Option<&str>, to: Option<&str>) -> Result<BatchPage, Trouble> {
    let book = desk::read(path)?;
    let zone = desk::zone(&book)?;
    let from = from.map(|text| bound(text, &zone, false).map_err(|t| t.about("from")));
    let to = to.map(|text| bound(text, &zone, true).map_err(|t| t.about("to")));
    let (from, to) = (from.transpose()?, to.transpose()?);
    for (bound, field) in [(from, "from"), (to, "to")] {
        known(&book, bound, field)?;
    }
    let begins = |text: &str| zone.begins(text);
    let batch = trace::between_in_book(&book, from, to, &begins)?;
    if let (Some(from), Some(until)) = (batch.from, batch.until)
        && until < from
    {
        let remedy = "give the earlier one as --from";
        return Err(Trouble::new(
            "the end of the batch lies before its beginning",
            remedy,
        ));
    }
    page(&book, &zone, batch)
}

fn known(book: &Book, bound: Option<Bound>, field: &'static str) -> Result<(), Trouble> {
    let Some(Bound::Entry(seq)) = bound else {
        return Ok(());
    };
    if book.event(seq)?.is_some_and(|event| !event.withdrawn) {
        return Ok(());
    }
    let what = format!("there is no entry {seq} that counts");
    let remedy = "give the number of the entry itself, not of a correction";
    Err(Trouble::new(what, remedy).about(field))
}

fn page(book: &Book, zone: &Zone, batch: Batch) -> Result<BatchPage, Trouble> {
    let (station, invented) = title(book)?;
    let row = |told: &book::answer::Told<book::body::Fill>, through_bank| FillRow {
        entry: told.seq,
        when: zone.minute(told.happened),
        cylinder: told.body.cylinder.clone(),
        person: told.body.person.clone(),
        line: words::of_body(&Body::Fill(told.body.clone())),
        through_bank,
    };
    let share = |share: trace::Share| Share {
        name: share.name,
        fills: share.fills,
    };
    let own = batch.fills.iter().map(|told| row(told, false));
    let passed_on = batch.passed_on.iter().map(|told| row(told, true));
    Ok(BatchPage {
        station,
        invented,
        from: batch.from.map(|at| zone.minute(at)),
        until: batch.until.map(|at| zone.minute(at)),
        fills: own.chain(passed_on).collect(),
        cylinders: batch.cylinders.into_iter().map(share).collect(),
        persons: batch.persons.into_iter().map(share).collect(),
        for_nobody: batch.for_nobody,
        runs: batch.runs.iter().map(|run| run.start.seq).collect(),
        cartridges: batch
            .cartridges
            .iter()
            .map(|told| {
                let line = words::of_body(&Body::PartReplaced(told.body.clone()));
                format!(
                    "entry {}, {}: {line}",
                    told.seq,
                    zone.day_text(told.happened)
                )
            })
            .collect(),
        tests: batch
            .tests
            .iter()
            .map(|sample| test(sample, zone))
            .collect(),
        unread: batch.unread,
    })
}

fn test(sample: &Sample, zone: &Zone) -> Test {
    Test {
        entry: sample.seq,
        day: zone.day_text(sample.taken),
        outcome: match sample.outcome {
            Outcome::Passes => "passes",
            Outcome::Fails => "fails",
            Outcome::CannotTell => "cannot tell",
        },
        sentence: sample.sentence.clone(),
    }
}

/// Where the air of one fill came from.
#[derive(Clone, Debug, Serialize)]
pub struct OriginRow {
    /// The fill.
    pub fill: FillRow,
    /// Entries of the bank fills it came through, latest first.
    pub through: Vec<u64>,
    /// The entry that started the run it was made in.
    pub run: Option<u64>,
    /// The cartridge in place, as entered.
    pub cartridge: Option<String>,
    /// The last air test before it.
    pub test_before: Option<Test>,
    /// The first after it.
    pub test_after: Option<Test>,
}

/// Where the air of a cylinder or a person came from.
#[derive(Clone, Debug, Serialize)]
pub struct OriginPage {
    /// The station.
    pub station: String,
    /// Demonstration data.
    pub invented: bool,
    /// Of whom or what.
    pub of: String,
    /// One for each fill, in the order of time.
    pub fills: Vec<OriginRow>,
    /// Entries that could not be read.
    pub unread: Vec<u64>,
}

/// Where the air of a cylinder or a person came from.
pub fn back(path: &Path, of: &Subject) -> Result<OriginPage, Trouble> {
    let book = desk::read(path)?;
    let zone = desk::zone(&book)?;
    let begins = |text: &str| zone.begins(text);
    let origins = origins(&book, of, &begins)?;
    let (station, invented) = title(&book)?;
    let of = match of {
        Subject::Cylinder(name) => format!("cylinder {name}"),
        Subject::Person(name) | Subject::Part(name) => name.clone(),
    };
    Ok(OriginPage {
        station,
        invented,
        of,
        fills: origins
            .0
            .iter()
            .map(|origin| origin_row(origin, &zone))
            .collect(),
        unread: origins.1,
    })
}

fn origins(
    book: &Book,
    of: &Subject,
    begins: DayBegins<'_>,
) -> Result<(Vec<Origin>, Vec<u64>), Trouble> {
    let origins = trace::back_in_book(book, of, begins)?;
    Ok((origins.origins, origins.unread))
}

fn origin_row(origin: &Origin, zone: &Zone) -> OriginRow {
    let told = &origin.fill;
    OriginRow {
        fill: FillRow {
            entry: told.seq,
            when: zone.minute(told.happened),
            cylinder: told.body.cylinder.clone(),
            person: told.body.person.clone(),
            line: words::of_body(&Body::Fill(told.body.clone())),
            through_bank: !origin.through.is_empty(),
        },
        through: origin.through.iter().map(|mark| mark.seq).collect(),
        run: origin.run.map(|run| run.start.seq),
        cartridge: origin.cartridge.as_ref().map(|told| {
            format!(
                "entry {}, put in {}",
                told.seq,
                zone.day_text(told.happened)
            )
        }),
        test_before: origin.test_before.as_ref().map(|sample| test(sample, zone)),
        test_after: origin.test_after.as_ref().map(|sample| test(sample, zone)),
    }
}
