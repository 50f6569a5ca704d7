//! The story kept in the program: entries as the simulator and the book made them, with days that can
//! be moved.
//!
//! A line is: day and second when it was recorded, and when it happened, by the station's wall clock
//! and from the story's first day; author; kind; body. To make it anew, after a change of the story or
//! of what it is made with:
//! `FILLSTEAD_KEEP_STORY=1 cargo test -p fillstead the_story_kept_is_the_story_told`.

use std::path::Path;

use book::{Body, Book, Draft, Kind, Moment, Pen};
use jiff::ToSpan as _;
use jiff::civil::Date;

use super::calendar::DAYS;
use super::scribe::{Time, moment};
use super::{Made, SEED, Stopped};
use crate::usecase::Trouble;
use crate::usecase::book::desk::holder;
use crate::usecase::clock::Zone;

/// The entries.
const STORY: &str = include_str!("story.txt");
/// The day before which it was told.
pub(super) const UNTIL: &str = "2026-10-01";
const SECOND: i64 = 1_000_000;

/// Writes the story kept, ending the day before `until`.
pub(super) fn write(path: &Path, zone: &Zone, until: Date) -> Result<Made, Vec<Trouble>> {
    let one = |trouble: Trouble| vec![trouble];
    let told: Date = UNTIL.parse().map_err(|_| one(damaged(0)))?;
    let days = super::calendar::days_between(told, until);
    let first = until.saturating_sub(DAYS.days());
    let drafts = STORY
        .lines()
        .enumerate()
        .map(|(i, line)| draft(line, zone, first, days).ok_or_else(|| damaged(i + 1)));
    let drafts = drafts
        .collect::<Result<Vec<Draft>, Trouble>>()
        .map_err(one)?;
    let [begun, rest @ ..] = drafts.as_slice() else {
        return Err(one(damaged(1)));
    };
    let all = |pen: &mut Pen| Ok::<_, Stopped>(pen.append_all(rest)?.last().map(|w| w.hash));
    let head = Pen::make(path, &holder("fillstead demo"), begun, all).map_err(|s| s.0)?;
    let Body::BookBegun(page) = &begun.body else {
        return Err(one(damaged(1)));
    };
    Ok(Made {
        station: page.station.clone(),
        seed: SEED,
        first: first.to_string(),
        last: until.saturating_sub(1.days()).to_string(),
        entries: drafts.len() as u64,
        seal: format!(
            "{}:{}",
            drafts.len(),
            head.map(|h| h.short()).unwrap_or_default()
        ),
    })
}

fn damaged(line: usize) -> Trouble {
    let what = format!("the story kept in the program does not read, at its line {line}");
    Trouble::new(what, "use a whole copy of the program")
}

fn draft(line: &str, zone: &Zone, first: Date, days: i32) -> Option<Draft> {
    let mut parts = line.splitn(5, '\t');
    let recorded = moment(zone, first, time(parts.next()?)?).ok()?;
    let happened = match parts.next()? {
        "" => recorded,
        text => moment(zone, first, time(text)?).ok()?,
    };
    let author = parts.next()?.to_owned();
    let kind = Kind::named(parts.next()?)?;
    let text = moved(parts.next()?, days);
    Some(Draft {
        recorded,
        happened,
        zone: zone.name.clone(),
        author,
        body: Body::read(kind.name(), kind.version(), &text).ok()?,
    })
}

fn time(text: &str) -> Option<Time> {
    let (day, second) = text.split_once('+')?;
    Some((day.parse().ok()?, second.parse().ok()?))
}

/// The same text with every day in it, such as `2026-05-20`, so many days later.
fn moved(text: &str, days: i32) -> String {
    if days == 0 {
        return text.to_owned();
    }
    let mut all = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(dash) = rest.find('-') {
        let day = dash
            .checked_sub(4)
            .and_then(|from| Some((from, rest.get(from..from + 10)?)));
        let date = day.and_then(|(from, text)| {
            let alone = !rest[..from].ends_with(|c: char| c.is_ascii_alphanumeric() || c == '-');
            alone
                .then(|| Some((from, text.parse::<Date>().ok()?)))
                .flatten()
        });
        let taken = match date {
            Some((from, date)) => {
                all.push_str(&rest[..from]);
                all.push_str(&date.saturating_add(days.days()).to_string());
                from + 10
            }
            None => {
                all.push_str(&rest[..=dash]);
                dash + 1
            }
        };
        rest = &rest[taken..];
    }
    all.push_str(rest);
    all
}

/// A book's entries as lines of a story whose first day is this.
#[cfg_attr(
    not(test),
    expect(dead_code, reason = "the program only reads its story")
)]
pub(super) fn lines(book: &Book, zone: &Zone, first: Date) -> Result<String, Trouble> {
    let mut all = String::new();
    let Some((last, _)) = book.head()? else {
        return Ok(all);
    };
    for seq in 1..=last {
        let Some(entry) = book.entry(seq)? else {
            continue;
        };
        let recorded = text_of(zone, first, entry.recorded);
        let happened = match entry.happened == entry.recorded {
            true => String::new(),
            false => text_of(zone, first, entry.happened),
        };
        let (author, kind, body) = (&entry.author, &entry.kind, &entry.text);
        all += &format!("{recorded}\t{happened}\t{author}\t{kind}\t{body}\n");
    }
    Ok(all)
}

fn text_of(zone: &Zone, first: Date, at: Moment) -> String {
    let date = zone.day(at);
    let begins = date
        .and_then(|date| zone.day_limits(date))
        .map_or(at, |(begins, _)| begins);
    let day = date.and_then(|date| date.to_string().parse().ok());
    let day = day.map_or(0, |day| super::calendar::days_between(first, day));
    format!("{day}+{}", (at.0 - begins.0) / SECOND)
}
