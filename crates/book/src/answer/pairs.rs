//! Starts and stops put together to runs, and every doubt about hours told instead of hidden.

use crate::answer::{Mark, Seen, hours_after, hours_between};
use crate::body::Body;
use crate::entry::Moment;

/// A run longer than this is told: somebody forgot the stop. Common practice, no source.
const LONG_H: i64 = 24;

/// Something in the records that cannot be so, or not be known. Hours in h; numbers are entries.
#[derive(Clone, Debug, PartialEq)]
pub enum Doubt {
    /// Started, and started again without a stop between.
    NeverStopped {
        /// The start.
        start: u64,
        /// The next start.
        next: u64,
        /// What was counted by the clock: up to the next start, at most 24 h.
        counted_h: f64,
    },
    /// Stopped without a start: its time is not counted by the clock.
    StopWithoutStart {
        /// The stop.
        stop: u64,
    },
    /// Two runs at once: counted as one from the first start to the last stop.
    Overlap {
        /// Both starts.
        starts: [u64; 2],
        /// Both stops.
        stops: [u64; 2],
    },
    /// Longer than 24 h; a stop was perhaps forgotten. A run that still goes on counts 24 h.
    LongRun {
        /// The start.
        start: u64,
        /// The stop; none where it goes on.
        stop: Option<u64>,
        /// How long, by the clock.
        hours: f64,
    },
    /// The hour meter went back: replaced, reset or misread. Counted by the clock between.
    MeterBack {
        /// The reading before.
        before: u64,
        /// The lower one.
        after: u64,
        /// What it showed before.
        from_h: f64,
        /// What it showed then.
        to_h: f64,
    },
    /// The meter ran faster than time: misread or replaced. Counted by the clock between.
    MeterAhead {
        /// The reading before.
        before: u64,
        /// The higher one.
        after: u64,
        /// How far the meter went.
        meter_h: f64,
        /// How much time went by.
        passed_h: f64,
    },
    /// Meter and recorded runs differ by more than an hour and a tenth: runs were not recorded, or
    /// a stop was forgotten. The meter counts.
    Disagree {
        /// The reading before.
        before: u64,
        /// The reading after.
        after: u64,
        /// How far the meter went.
        meter_h: f64,
        /// How long the recorded runs were.
        clock_h: f64,
    },
    /// Written at once, yet dated before an entry that was written earlier: the clock was put back.
    OutOfOrder {
        /// The entry.
        entry: u64,
        /// The earlier entry that is dated later.
        after: u64,
    },
    /// Said to have happened after it was written down.
    Ahead {
        /// The entry.
        entry: u64,
    },
    /// A fill at a time when no run is recorded, and from no bank.
    FillOutsideRun {
        /// The fill.
        fill: u64,
    },
}

impl Doubt {
    /// The entries it is about, to be looked at and put right.
    pub fn entries(&self) -> Vec<u64> {
        match *self {
            Doubt::NeverStopped { start, next, .. } => vec![start, next],
            Doubt::StopWithoutStart { stop } => vec![stop],
            Doubt::Overlap { starts, stops } => [starts, stops].concat(),
            Doubt::LongRun { start, stop, .. } => [start].into_iter().chain(stop).collect(),
            Doubt::MeterBack { before, after, .. }
            | Doubt::MeterAhead { before, after, .. }
            | Doubt::Disagree { before, after, .. } => vec![before, after],
            Doubt::OutOfOrder { entry, after } => vec![after, entry],
            Doubt::Ahead { entry } | Doubt::FillOutsideRun { fill: entry } => vec![entry],
        }
    }
}

/// A run by its starts and stops.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Pair {
    pub(crate) start: Mark,
    /// None where it goes on.
    pub(crate) stop: Option<Mark>,
    /// Until when its time counts; none where it goes on.
    pub(crate) counts_until: Option<Moment>,
}

impl Pair {
    /// Until when its time counts, where it is now.
    pub(crate) fn end(&self, now: Moment) -> Moment {
        let open = hours_after(self.start.at, LONG_H).min(now);
        self.counts_until.unwrap_or(open).max(self.start.at)
    }

    /// Whether the machine ran at a moment, as far as the records tell.
    pub(crate) fn holds(&self, at: Moment) -> bool {
        self.start.at <= at && self.counts_until.is_none_or(|until| at <= until)
    }
}

enum Edge {
    Start(Mark),
    Stop(Mark),
}

/// All runs in the order of time.
pub(crate) fn pairs(seen: &Seen<'_>, doubts: &mut Vec<Doubt>) -> Vec<Pair> {
    let edges: Vec<Edge> = seen.events.iter().filter_map(edge).collect();
    let mut runs = Vec::new();
    let mut rest = edges.as_slice();
    while !rest.is_empty() {
        rest = take(rest, &mut runs, doubts);
    }
    doubts.extend(runs.iter().filter_map(long));
    runs
}

fn edge((event, body): &(&crate::Event, &Body)) -> Option<Edge> {
    let mark = Mark {
        seq: event.seq,
        at: event.happened,
    };
    match body {
        Body::RunStarted(_) => Some(Edge::Start(mark)),
        Body::RunStopped(_) => Some(Edge::Stop(mark)),
        _ => None,
    }
}

/// Takes one run off the front.
fn take<'a>(edges: &'a [Edge], runs: &mut Vec<Pair>, doubts: &mut Vec<Doubt>) -> &'a [Edge] {
    let run = |start, stop: Mark| Pair {
        start,
        stop: Some(stop),
        counts_until: Some(stop.at),
    };
    match edges {
        // Further apart they are a forgotten stop and a stop entered twice.
        [
            Edge::Start(a),
            Edge::Start(b),
            Edge::Stop(c),
            Edge::Stop(d),
            rest @ ..,
        ] if d.at <= hours_after(a.at, LONG_H) => {
            doubts.push(Doubt::Overlap {
                starts: [a.seq, b.seq],
                stops: [c.seq, d.seq],
            });
            runs.push(run(*a, *d));
            rest
        }
        [Edge::Start(a), Edge::Stop(b), rest @ ..] => {
            runs.push(run(*a, *b));
            rest
        }
        [Edge::Start(a), Edge::Start(b), ..] => {
            let until = hours_after(a.at, LONG_H).min(b.at);
            doubts.push(Doubt::NeverStopped {
                start: a.seq,
                next: b.seq,
                counted_h: hours_between(a.at, until),
            });
            runs.push(Pair {
                start: *a,
                stop: None,
                counts_until: Some(until),
            });
            edges.get(1..).unwrap_or_default()
        }
        [Edge::Start(a)] => {
            runs.push(Pair {
                start: *a,
                stop: None,
                counts_until: None,
            });
            &[]
        }
        [Edge::Stop(stop), rest @ ..] => {
            doubts.push(Doubt::StopWithoutStart { stop: stop.seq });
            rest
        }
        [] => &[],
    }
}

fn long(run: &Pair) -> Option<Doubt> {
    let stop = run.stop?;
    let hours = hours_between(run.start.at, stop.at);
    (hours > LONG_H as f64).then_some(Doubt::LongRun {
        start: run.start.seq,
        stop: Some(stop.seq),
        hours,
    })
}

/// A run that goes on, and has gone on for longer than runs do.
pub(crate) fn still_open(runs: &[Pair], now: Moment) -> Option<Doubt> {
    let run = runs.last().filter(|run| run.counts_until.is_none())?;
    let hours = hours_between(run.start.at, now);
    (hours > LONG_H as f64).then_some(Doubt::LongRun {
        start: run.start.seq,
        stop: None,
        hours,
    })
}

/// Entries whose times cannot be right, in the order they were written.
pub(crate) fn odd_times(seen: &Seen<'_>) -> Vec<Doubt> {
    let mut written: Vec<_> = seen.events.iter().map(|(event, _)| *event).collect();
    written.sort_by_key(|event| event.seq);
    let mut latest: Option<Mark> = None;
    let mut doubts = Vec::new();
    for event in written {
        let (entry, live) = (event.seq, event.happened == event.recorded);
        if event.happened > event.recorded {
            doubts.push(Doubt::Ahead { entry });
        }
        let before = latest.filter(|latest| live && latest.at > event.happened);
        if let Some(Mark { seq: after, .. }) = before {
            doubts.push(Doubt::OutOfOrder { entry, after });
        }
        if live && latest.is_none_or(|latest| latest.at < event.happened) {
            latest = Some(Mark {
                seq: entry,
                at: event.happened,
            });
        }
    }
    doubts
}
