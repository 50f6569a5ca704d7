//! Running hours: from the hour meter where it was read, from starts and stops between.
//!
//! Time is cut at every reading of the meter. Between two readings that fit, the meter says how
//! many hours went by and the recorded runs say when (evenly, where no run is recorded). Before the
//! first and after the last, and where readings do not fit, the runs count by the clock. Readings
//! are given an hour of slack: some meters show whole hours.

use crate::answer::pairs::{Doubt, Pair, odd_times, pairs, still_open};
use crate::answer::{Mark, Seen, hours_between, read};
use crate::body::{Body, Kind};
use crate::book::Book;
use crate::entry::Moment;
use crate::error::BookError;
use crate::query::Event;

/// What hours are drawn from.
pub const KINDS: [Kind; 4] = [
    Kind::RunStarted,
    Kind::RunStopped,
    Kind::PartReplaced,
    Kind::Parked,
];

/// What a meter may show too much or too little, h.
const SLACK_H: f64 = 1.0;
/// What recorded runs may differ from the meter, of the larger.
const APART: f64 = 0.1;

/// Where hours come from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Source {
    /// Two readings of the hour meter.
    Meter,
    /// Start and stop by the clock.
    Clock,
}

/// Hours, and what they rest on. Both parts together are the hours.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Figure {
    /// From the meter, h.
    pub by_meter_h: f64,
    /// From the clock, h.
    pub by_clock_h: f64,
}

impl Figure {
    /// All of them, h.
    pub fn hours(self) -> f64 {
        self.by_meter_h + self.by_clock_h
    }
}

/// A stretch of time in which the machine ran.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stretch {
    /// Its begin.
    pub from: Moment,
    /// Its end.
    pub to: Moment,
    /// Running hours in it, h.
    pub hours: f64,
    /// Where they come from.
    pub source: Source,
}

/// A reading of the hour meter.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MeterReading {
    /// The entry.
    pub mark: Mark,
    /// What it showed, h.
    pub hours: f64,
}

/// All running hours of a book.
#[derive(Clone, Debug, PartialEq)]
pub struct Hours {
    /// Up to when.
    pub now: Moment,
    /// When the machine ran, in the order of time; no two overlap.
    pub stretches: Vec<Stretch>,
    /// Every reading of the meter, in the order of time.
    pub readings: Vec<MeterReading>,
    /// The start of the run that goes on.
    pub running_since: Option<Mark>,
    /// What cannot be so, or not be known.
    pub doubts: Vec<Doubt>,
    /// Entries that could not be read.
    pub unread: Vec<u64>,
}

impl Hours {
    /// Hours recorded in the book up to now.
    pub fn total(&self) -> Figure {
        self.at(self.now)
    }

    /// Hours recorded in the book up to a moment.
    pub fn at(&self, at: Moment) -> Figure {
        let mut sum = Figure::default();
        for stretch in self.stretches.iter().filter(|s| s.from < at) {
            let whole = hours_between(stretch.from, stretch.to);
            let share = match at < stretch.to {
                true => hours_between(stretch.from, at) / whole,
                false => 1.0,
            };
            match stretch.source {
                Source::Meter => sum.by_meter_h += stretch.hours * share,
                Source::Clock => sum.by_clock_h += stretch.hours * share,
            }
        }
        sum
    }

    /// Hours from a moment to now: since a part was replaced or tested.
    pub fn since(&self, from: Moment) -> Figure {
        self.between(from, self.now)
    }

    /// Hours between two moments.
    pub fn between(&self, from: Moment, to: Moment) -> Figure {
        let (before, after) = (self.at(from), self.at(to));
        Figure {
            by_meter_h: after.by_meter_h - before.by_meter_h,
            by_clock_h: after.by_clock_h - before.by_clock_h,
        }
    }

    /// What the hour meter should show now: the last reading, and what ran since by the clock. None
    /// where it was never read.
    pub fn meter(&self) -> Option<f64> {
        let last = self.readings.last()?;
        Some(last.hours + self.since(last.mark.at).hours())
    }
}

/// Hours of these events up to now. Needs [`KINDS`]; passes over others.
pub fn of(events: &[Event], now: Moment) -> Hours {
    let seen = Seen::of(events, Some(now));
    let mut doubts = Vec::new();
    let runs = pairs(&seen, &mut doubts);
    doubts.extend(still_open(&runs, now));
    doubts.extend(odd_times(&seen));
    let readings: Vec<MeterReading> = seen.events.iter().filter_map(reading).collect();
    let open = runs.last().filter(|run| run.counts_until.is_none());
    Hours {
        now,
        stretches: stretches(&runs, &readings, now, &mut doubts),
        readings,
        running_since: open.map(|run| run.start),
        doubts,
        unread: seen.unread,
    }
}

/// Hours of a book up to now.
///
/// # Errors
/// The file cannot be read.
pub fn in_book(book: &Book, now: Moment) -> Result<Hours, BookError> {
    Ok(of(&read(book, &KINDS, None, Some(now))?, now))
}

fn reading((event, body): &(&Event, &Body)) -> Option<MeterReading> {
    let hours = match body {
        Body::RunStarted(b) => b.hours.as_ref(),
        Body::RunStopped(b) => b.hours.as_ref(),
        Body::PartReplaced(b) => b.hours.as_ref(),
        Body::Parked(b) => b.hours.as_ref(),
        _ => None,
    }?;
    Some(MeterReading {
        mark: Mark {
            seq: event.seq,
            at: event.happened,
        },
        hours: hours.value().as_hour(),
    })
}

/// Runs cut at the readings, each piece with its hours.
fn stretches(
    runs: &[Pair],
    readings: &[MeterReading],
    now: Moment,
    doubts: &mut Vec<Doubt>,
) -> Vec<Stretch> {
    let mut runs: Vec<(Moment, Moment)> = runs.iter().map(|r| (r.start.at, r.end(now))).collect();
    runs.reverse();
    let mut all = Vec::new();
    let Some(first) = readings.first() else {
        return by_clock(&cut(&mut runs, now));
    };
    all.extend(by_clock(&cut(&mut runs, first.mark.at)));
    for two in readings.windows(2) {
        let [before, after] = two else { continue };
        let ran = cut(&mut runs, after.mark.at);
        all.extend(between_readings(before, after, &ran, doubts));
    }
    all.extend(by_clock(&cut(&mut runs, now)));
    all
}

/// Takes what ran before a moment; `runs` has the earliest last.
fn cut(runs: &mut Vec<(Moment, Moment)>, until: Moment) -> Vec<(Moment, Moment)> {
    let mut taken = Vec::new();
    while let Some((from, to)) = runs.pop() {
        if from >= until {
            runs.push((from, to));
            break;
        }
        taken.push((from, to.min(until)));
        if to > until {
            runs.push((until, to));
            break;
        }
    }
    taken
}

fn by_clock(ran: &[(Moment, Moment)]) -> Vec<Stretch> {
    let piece = |&(from, to): &(Moment, Moment)| Stretch {
        from,
        to,
        hours: hours_between(from, to),
        source: Source::Clock,
    };
    ran.iter().map(piece).filter(|s| s.from < s.to).collect()
}

fn between_readings(
    before: &MeterReading,
    after: &MeterReading,
    ran: &[(Moment, Moment)],
    doubts: &mut Vec<Doubt>,
) -> Vec<Stretch> {
    let clock = by_clock(ran);
    let clock_h: f64 = clock.iter().map(|s| s.hours).sum();
    let meter_h = after.hours - before.hours;
    let passed_h = hours_between(before.mark.at, after.mark.at);
    let (one, two) = (before.mark.seq, after.mark.seq);
    if meter_h < 0.0 {
        doubts.push(Doubt::MeterBack {
            before: one,
            after: two,
            from_h: before.hours,
            to_h: after.hours,
        });
        return clock;
    }
    if meter_h > passed_h + SLACK_H {
        doubts.push(Doubt::MeterAhead {
            before: one,
            after: two,
            meter_h,
            passed_h,
        });
        return clock;
    }
    let apart = (meter_h - clock_h).abs();
    if apart > SLACK_H && apart > APART * meter_h.max(clock_h) {
        doubts.push(Doubt::Disagree {
            before: one,
            after: two,
            meter_h,
            clock_h,
        });
    }
    by_meter(before, after, &clock, meter_h, clock_h)
}

/// The meter's hours, when the recorded runs were; evenly where none was.
fn by_meter(
    before: &MeterReading,
    after: &MeterReading,
    clock: &[Stretch],
    meter_h: f64,
    clock_h: f64,
) -> Vec<Stretch> {
    let source = Source::Meter;
    if clock_h > 0.0 {
        let piece = |s: &Stretch| Stretch {
            hours: s.hours * meter_h / clock_h,
            source,
            ..*s
        };
        return clock.iter().map(piece).collect();
    }
    if meter_h == 0.0 {
        return Vec::new();
    }
    vec![Stretch {
        from: before.mark.at,
        // Two readings of one moment: a stretch must have some length to be found again.
        to: after
            .mark
            .at
            .max(Moment(before.mark.at.0.saturating_add(1))),
        hours: meter_h,
        source,
    }]
}
