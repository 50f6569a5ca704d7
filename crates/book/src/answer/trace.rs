//! Batch trace: who and what got air between two points, and where a cylinder's or a person's air
//! came from.

use std::collections::BTreeMap;

use crate::answer::pairs::{Pair, pairs};
use crate::answer::runs::{find, when_made};
use crate::answer::samples::{DayBegins, Sample, samples};
use crate::answer::{Mark, Seen, Told, fills, just_after, locks, picked, read};
use crate::body::{Body, Fill, Kind, Part, PartReplaced};
use crate::book::Book;
use crate::entry::Moment;
use crate::error::BookError;
use crate::query::{Event, Subject, Wanted};

/// What a trace is drawn from.
pub const KINDS: [Kind; 5] = [
    Kind::Fill,
    Kind::RunStarted,
    Kind::RunStopped,
    Kind::PartReplaced,
    Kind::AirTest,
];

/// One end of a batch.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Bound {
    /// When this entry happened. An air test reaches from the first moment of its sample's day to
    /// when it was entered: a batch between two tests begins with the first and ends with the
    /// second.
    Entry(u64),
    /// A moment.
    At(Moment),
}

/// A cylinder or a person, and the fills.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Share {
    /// Name.
    pub name: String,
    /// Entry numbers of the fills, in the order of time.
    pub fills: Vec<u64>,
}

/// A run, by the entries that start and stop it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct RunMark {
    /// Its start.
    pub start: Mark,
    /// Its stop, where there is one.
    pub stop: Option<Mark>,
}

/// What was filled between two points, both counted.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Batch {
    /// Begin; none: as far back as the book goes.
    pub from: Option<Moment>,
    /// End; none: up to now.
    pub until: Option<Moment>,
    /// Every fill, in the order of time.
    pub fills: Vec<Told<Fill>>,
    /// Later fills from a bank that got air of this batch, and so on from bank to bank.
    pub passed_on: Vec<Told<Fill>>,
    /// Cylinders of both, by name.
    pub cylinders: Vec<Share>,
    /// Persons of both, by name.
    pub persons: Vec<Share>,
    /// Fills of both for which no person was entered.
    pub for_nobody: Vec<u64>,
    /// Runs that the batch touches.
    pub runs: Vec<RunMark>,
    /// The cartridge in place when it began, then those put in during it.
    pub cartridges: Vec<Told<PartReplaced>>,
    /// Air tests whose sample's day began in it.
    pub tests: Vec<Sample>,
    /// Entries that could not be read.
    pub unread: Vec<u64>,
}

/// Where the air of one fill came from.
#[derive(Clone, Debug, PartialEq)]
pub struct Origin {
    /// The fill.
    pub fill: Told<Fill>,
    /// The fills of banks it came through, latest first; what follows is about the last of them.
    pub through: Vec<Mark>,
    /// The run it was made in.
    pub run: Option<RunMark>,
    /// The cartridge in place.
    pub cartridge: Option<Told<PartReplaced>>,
    /// The last air test whose sample's day began before it, whatever came of it.
    pub test_before: Option<Sample>,
    /// The first whose sample's day began after it.
    pub test_after: Option<Sample>,
}

/// Where the air of a cylinder or a person came from.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Origins {
    /// One for each fill, in the order of time.
    pub origins: Vec<Origin>,
    /// Entries that could not be read.
    pub unread: Vec<u64>,
}

/// The batch between two moments among these events. Needs [`KINDS`], fills after the end too.
pub fn between(
    events: &[Event],
    from: Option<Moment>,
    until: Option<Moment>,
    day_begins: DayBegins<'_>,
) -> Batch {
    let seen = Seen::of(events, None);
    let inside = |at: Moment| from.is_none_or(|f| at >= f) && until.is_none_or(|u| at <= u);
    let after = |at: Moment| until.is_some_and(|until| at > until);
    let (fills, later): (Vec<_>, Vec<_>) = picked!(seen, Fill)
        .into_iter()
        .filter(|fill| inside(fill.happened) || after(fill.happened))
        .partition(|fill| inside(fill.happened));
    let passed_on = pass_on(&fills, later);
    let both = || fills.iter().chain(&passed_on);
    let nobody = both().filter(|fill| fill.body.person.is_none());
    let runs = pairs(&seen, &mut Vec::new());
    let touched = runs.iter().filter(|run| {
        !after(run.start.at)
            && from.is_none_or(|from| run.counts_until.is_none_or(|end| end >= from))
    });
    let mut tests = samples(&seen, day_begins);
    tests.retain(|sample| inside(sample.taken));
    Batch {
        from,
        until,
        cylinders: shares(both().map(|f| (Some(&f.body.cylinder), f.seq))),
        persons: shares(both().map(|f| (f.body.person.as_ref(), f.seq))),
        for_nobody: nobody.map(|fill| fill.seq).collect(),
        runs: touched.map(run_mark).collect(),
        cartridges: cartridges_in(&seen, from, until),
        tests,
        fills,
        passed_on,
        unread: seen.unread,
    }
}

/// The batch between two points of a book; what is not given does not limit.
///
/// # Errors
/// The file cannot be read; a bound names no entry that counts.
pub fn between_in_book(
    book: &Book,
    from: Option<Bound>,
    until: Option<Bound>,
    day_begins: DayBegins<'_>,
) -> Result<Batch, BookError> {
    let from = from
        .map(|b| moment(book, b, true, day_begins))
        .transpose()?;
    let until = until
        .map(|b| moment(book, b, false, day_begins))
        .transpose()?;
    let mut events = read(book, &[Kind::Fill], from, None)?;
    let runs = [Kind::RunStarted, Kind::RunStopped];
    let begun = match from {
        Some(from) => book.latest(Kind::RunStarted, Some(from))?,
        None => None,
    };
    events.extend(book.events(&Wanted {
        kinds: &runs,
        from: begun.map(|start| start.happened).or(from),
        ..Wanted::default()
    })?);
    events.extend(evidence(book)?);
    Ok(between(&events, from, until, day_begins))
}

/// Where the air of every fill of a subject among these events came from. Needs [`KINDS`], fills of
/// banks too.
pub fn back(events: &[Event], about: &Subject, day_begins: DayBegins<'_>) -> Origins {
    let seen = Seen::of(events, None);
    let fills = picked!(seen, Fill);
    let runs = pairs(&seen, &mut Vec::new());
    let cartridges = cartridges(&seen);
    let mut tests = samples(&seen, day_begins);
    tests.sort_by_key(|sample| (sample.taken, sample.seq));
    let of_subject = |fill: &&Told<Fill>| match about {
        Subject::Cylinder(name) => fill.body.cylinder == *name,
        Subject::Person(name) => fill.body.person.as_ref() == Some(name),
        Subject::Part(_) => false,
    };
    let origin = |fill: &Told<Fill>| {
        let through = banks(fill, &fills);
        let made = through.last().copied().unwrap_or(fill.mark());
        let after = tests.partition_point(|sample| sample.taken <= made.at);
        let mut before = cartridges.iter().rev().filter(|c| c.happened <= made.at);
        Origin {
            run: run_of(&seen, &runs, made),
            cartridge: before.next().cloned(),
            test_before: after.checked_sub(1).and_then(|i| tests.get(i)).cloned(),
            test_after: tests.get(after).cloned(),
            fill: fill.clone(),
            through,
        }
    };
    Origins {
        origins: fills.iter().filter(of_subject).map(origin).collect(),
        unread: seen.unread,
    }
}

/// Where the air of a cylinder or a person of a book came from.
///
/// # Errors
/// The file cannot be read.
pub fn back_in_book(
    book: &Book,
    about: &Subject,
    day_begins: DayBegins<'_>,
) -> Result<Origins, BookError> {
    let mut events = fills::with_banks(book, about.clone(), None, None)?;
    let made = |event: &Event| {
        let made = event.body.as_ref().map(|body| when_made(event, body));
        [event.happened, made.unwrap_or(event.happened)]
    };
    let mut moments: Vec<Moment> = events.iter().flat_map(made).collect();
    moments.sort_unstable();
    moments.dedup();
    for at in moments {
        for kind in [Kind::RunStarted, Kind::RunStopped] {
            events.extend(book.latest(kind, just_after(Some(at)))?);
            events.extend(book.next(kind, at)?);
        }
    }
    events.extend(evidence(book)?);
    events.extend(book.of_unknown_kinds()?);
    Ok(back(&events, about, day_begins))
}

/// Air tests, what they need, and cartridges.
fn evidence(book: &Book) -> Result<Vec<Event>, BookError> {
    let mut events = locks::events(book, None)?;
    let cartridge = Subject::Part(Part::Cartridge.key().to_owned());
    events.extend(book.events(&Wanted {
        kinds: &[Kind::PartReplaced],
        about: Some(&cartridge),
        ..Wanted::default()
    })?);
    Ok(events)
}

fn moment(
    book: &Book,
    bound: Bound,
    begins: bool,
    day_begins: DayBegins<'_>,
) -> Result<Moment, BookError> {
    let seq = match bound {
        Bound::At(at) => return Ok(at),
        Bound::Entry(seq) => seq,
    };
    let event = book.event(seq)?.filter(|event| !event.withdrawn);
    let event = event.ok_or_else(|| BookError::NoSuchEvent(seq))?;
    let day = match &event.body {
        Ok(Body::AirTest(test)) if begins => test.sampled.as_deref().and_then(day_begins),
        _ => None,
    };
    Ok(day.map_or(event.happened, |day| day.min(event.happened)))
}

/// Later fills from banks that hold air of the batch.
fn pass_on(fills: &[Told<Fill>], later: Vec<Told<Fill>>) -> Vec<Told<Fill>> {
    let mut holds: Vec<String> = fills.iter().map(|f| f.body.cylinder.clone()).collect();
    holds.sort_unstable();
    holds.dedup();
    let mut passed = Vec::new();
    for fill in later {
        let bank = fill.body.from_bank.as_ref();
        if bank.is_none_or(|bank| holds.binary_search(bank).is_err()) {
            continue;
        }
        if let Err(place) = holds.binary_search(&fill.body.cylinder) {
            holds.insert(place, fill.body.cylinder.clone());
        }
        passed.push(fill);
    }
    passed
}

fn shares<'a>(fills: impl Iterator<Item = (Option<&'a String>, u64)>) -> Vec<Share> {
    let mut all: BTreeMap<&String, Vec<u64>> = BTreeMap::new();
    for (name, seq) in fills {
        if let Some(name) = name {
            all.entry(name).or_default().push(seq);
        }
    }
    let share = |(name, fills): (&String, Vec<u64>)| Share {
        name: name.clone(),
        fills,
    };
    all.into_iter().map(share).collect()
}

fn cartridges(seen: &Seen<'_>) -> Vec<Told<PartReplaced>> {
    let mut all = picked!(seen, PartReplaced);
    all.retain(|replaced| replaced.body.part == Part::Cartridge);
    all
}

fn cartridges_in(
    seen: &Seen<'_>,
    from: Option<Moment>,
    until: Option<Moment>,
) -> Vec<Told<PartReplaced>> {
    let mut all = cartridges(seen);
    all.retain(|c| until.is_none_or(|until| c.happened <= until));
    let before = from.map_or(0, |from| all.partition_point(|c| c.happened < from));
    all.split_off(before.saturating_sub(1))
}

fn run_mark(run: &Pair) -> RunMark {
    RunMark {
        start: run.start,
        stop: run.stop,
    }
}

fn run_of(seen: &Seen<'_>, runs: &[Pair], made: Mark) -> Option<RunMark> {
    let key = (made.at, made.seq);
    let place = seen
        .events
        .binary_search_by_key(&key, |(e, _)| (e.happened, e.seq));
    let (event, body) = seen.events.get(place.ok()?)?;
    runs.get(find(runs, event, body)?).map(run_mark)
}

/// The fills of banks a fill came through: each the last of its bank before.
fn banks(fill: &Told<Fill>, fills: &[Told<Fill>]) -> Vec<Mark> {
    let mut through = Vec::new();
    let mut last = fill;
    while let Some(bank) = &last.body.from_bank {
        // Strictly earlier, so that it ends.
        let before = fills.partition_point(|f| f.mark() < last.mark());
        let mut own = fills.iter().take(before).rev();
        let Some(earlier) = own.find(|f| f.body.cylinder == *bank) else {
            break;
        };
        through.push(earlier.mark());
        last = earlier;
    }
    through
}
