//! Runs: each with its start, its stop and what was entered while the machine ran.

use crate::answer::pairs::{Doubt, Pair, odd_times, pairs, still_open};
use crate::answer::{Mark, Seen, Told, hours_between, picked, read};
use crate::body::{Body, Drained, Fill, FillRefused, Kind, Reading, RunStarted, RunStopped};
use crate::book::Book;
use crate::entry::Moment;
use crate::error::BookError;
use crate::query::Event;

/// What runs are drawn from.
pub const KINDS: [Kind; 6] = [
    Kind::RunStarted,
    Kind::RunStopped,
    Kind::Reading,
    Kind::Drained,
    Kind::Fill,
    Kind::FillRefused,
];

/// What was entered in the course of a run, or outside any; each list in the order of time.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Entered {
    /// Readings.
    pub readings: Vec<Told<Reading>>,
    /// Drains.
    pub drains: Vec<Told<Drained>>,
    /// Fills.
    pub fills: Vec<Told<Fill>>,
    /// Refused cylinders.
    pub refusals: Vec<Told<FillRefused>>,
}

/// One run.
#[derive(Clone, Debug, PartialEq)]
pub struct Run {
    /// Its start.
    pub started: Told<RunStarted>,
    /// Its stop; none where it goes on, or was never recorded.
    pub stopped: Option<Told<RunStopped>>,
    /// Whether it goes on: neither a stop nor another start follows.
    pub open: bool,
    /// How long by the clock, min: to its stop, or to now where it goes on. None where it was
    /// never stopped.
    pub minutes: Option<f64>,
    /// How long by the hour meter, min, where it was read at both ends and did not go back.
    pub meter_minutes: Option<f64>,
    /// What was entered in its course.
    pub entered: Entered,
}

/// All runs.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Runs {
    /// In the order of time; the one that goes on, if any, is the last.
    pub runs: Vec<Run>,
    /// What belongs to no run.
    pub outside: Entered,
    /// What cannot be so, or not be known.
    pub doubts: Vec<Doubt>,
    /// Entries that could not be read.
    pub unread: Vec<u64>,
}

impl Runs {
    /// The run that goes on.
    pub fn open(&self) -> Option<&Run> {
        self.runs.last().filter(|run| run.open)
    }

    /// The run an entry belongs to.
    pub fn of_entry(&self, seq: u64) -> Option<&Run> {
        self.runs.iter().find(|run| run.entered.holds(seq))
    }
}

impl Entered {
    fn holds(&self, seq: u64) -> bool {
        self.readings.iter().any(|told| told.seq == seq)
            || self.drains.iter().any(|told| told.seq == seq)
            || self.fills.iter().any(|told| told.seq == seq)
            || self.refusals.iter().any(|told| told.seq == seq)
    }
}

/// Runs of these events up to now. Needs [`KINDS`]; passes over others.
///
/// An entry belongs to the run that held its moment, both ends counted. A fill entered after the
/// stop belongs to the run it was made in where its duration says so.
pub fn of(events: &[Event], now: Moment) -> Runs {
    let seen = Seen::of(events, Some(now));
    let mut doubts = Vec::new();
    let pairs = pairs(&seen, &mut doubts);
    doubts.extend(still_open(&pairs, now));
    doubts.extend(odd_times(&seen));
    let starts = picked!(seen, RunStarted);
    let stops = picked!(seen, RunStopped);
    let mut runs: Vec<Run> = pairs
        .iter()
        .filter_map(|pair| run(pair, &starts, &stops, now))
        .collect();
    let mut outside = Entered::default();
    for (event, body) in &seen.events {
        let place = find(&pairs, event, body);
        let entered = match place.and_then(|i| runs.get_mut(i)) {
            Some(run) => &mut run.entered,
            None => &mut outside,
        };
        enter(entered, event, body);
    }
    let lost = outside.fills.iter().filter(|f| f.body.from_bank.is_none());
    doubts.extend(lost.map(|f| Doubt::FillOutsideRun { fill: f.seq }));
    Runs {
        runs,
        outside,
        doubts,
        unread: seen.unread,
    }
}

/// Runs of a book that touch a period, each whole; all up to now without a `from`.
///
/// # Errors
/// The file cannot be read.
pub fn in_book(book: &Book, from: Option<Moment>, now: Moment) -> Result<Runs, BookError> {
    // The run that was going on when the period began.
    let begun = match from {
        Some(from) => book.latest(Kind::RunStarted, Some(from))?,
        None => None,
    };
    let stopped_at = match &begun {
        Some(start) => book.following(Kind::RunStopped, start)?,
        None => None,
    };
    let goes_on = stopped_at.is_none_or(|stop| from.is_none_or(|from| stop.happened >= from));
    let begun = begun.filter(|_| goes_on);
    let reach = begun.as_ref().map(|start| start.happened).or(from);
    let mut events = read(book, &KINDS, reach, Some(now))?;
    if let Some(start) = begun {
        // A stop of the same moment, told before this start, ends the run before.
        let before = |event: &Event| (event.happened, event.seq) < (start.happened, start.seq);
        events.retain(|event| event.kind != Kind::RunStopped.name() || !before(event));
    }
    Ok(of(&events, now))
}

fn run(
    pair: &Pair,
    starts: &[Told<RunStarted>],
    stops: &[Told<RunStopped>],
    now: Moment,
) -> Option<Run> {
    let started = at_mark(starts, pair.start)?;
    let stopped = pair.stop.and_then(|stop| at_mark(stops, stop));
    let open = pair.counts_until.is_none();
    let end = match open {
        true => Some(now),
        false => pair.stop.map(|stop| stop.at),
    };
    let read =
        |m: &Option<crate::Measure<quantity::TimeSpan>>| m.as_ref().map(|m| m.value().as_minute());
    let meter = read(&started.body.hours).zip(stopped.as_ref().and_then(|s| read(&s.body.hours)));
    Some(Run {
        minutes: end.map(|end| 60.0 * hours_between(started.happened, end)),
        meter_minutes: meter.map(|(from, to)| to - from).filter(|m| *m >= 0.0),
        started,
        stopped,
        open,
        entered: Entered::default(),
    })
}

fn at_mark<T: Clone>(sorted: &[Told<T>], mark: Mark) -> Option<Told<T>> {
    let place = sorted.binary_search_by_key(&mark, Told::mark).ok()?;
    sorted.get(place).cloned()
}

/// When it was made: a fill is often entered once it is done, so the middle of the time it took.
pub(crate) fn when_made(event: &Event, body: &Body) -> Moment {
    let took = match body {
        Body::Fill(fill) => fill.took.as_ref(),
        _ => None,
    };
    let half = took.map_or(0.0, |took| took.value().as_second() * 0.5e6);
    Moment(event.happened.0.saturating_sub(half as i64))
}

/// The run an entry belongs to; of two that touch, the later.
pub(crate) fn find(pairs: &[Pair], event: &Event, body: &Body) -> Option<usize> {
    let at = |at: Moment| {
        let after = pairs.partition_point(|pair| pair.start.at <= at);
        let place = after.checked_sub(1)?;
        pairs
            .get(place)
            .filter(|pair| pair.holds(at))
            .map(|_| place)
    };
    at(when_made(event, body)).or_else(|| at(event.happened))
}

fn enter(entered: &mut Entered, event: &Event, body: &Body) {
    match body {
        Body::Reading(b) => entered.readings.push(Told::new(event, b.clone())),
        Body::Drained(b) => entered.drains.push(Told::new(event, b.clone())),
        Body::Fill(b) => entered.fills.push(Told::new(event, b.clone())),
        Body::FillRefused(b) => entered.refusals.push(Told::new(event, b.clone())),
        _ => {}
    }
}
