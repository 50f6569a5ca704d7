//! What the book says of one start of the machine and everything done since.
//!
//! Drawn from events alone, so that it is the same after a reload, on a second phone and after the
//! server was started anew. Not here: what it means now ([`super::view`]).

use book::body::{Drained, Fill, Planned, Reading, RunStarted, RunStopped};
use book::{Body, Book, Event, Kind, Moment, Wanted};

use crate::usecase::Trouble;

/// What a log is drawn from.
const KINDS: [Kind; 5] = [
    Kind::RunStarted,
    Kind::RunStopped,
    Kind::Reading,
    Kind::Drained,
    Kind::Fill,
];
/// What a reading of the whip is called; at nothing it says that the whip was bled.
pub const WHIP: &str = "whip";
/// What a reading of the tower gauge is called.
pub const TOWER: &str = "tower";
/// What a reading of the gauge at the fill panel is called.
pub const FILL_GAUGE: &str = "fill gauge";
/// What a reading is called when air arrives at the fill valve.
pub const PMV_OPENS: &str = "pmv opens";
/// What an observation is called that nothing was filled.
pub const NOT_FILLED: &str = "not filled";
/// The whip counts as bled at this on the gauge, bar.
pub const EMPTY_BAR: f64 = 0.5;

/// Something entered, with its place in the book.
#[derive(Clone, Debug, PartialEq)]
pub struct Entered<T> {
    /// Number of the entry.
    pub seq: u64,
    /// When it happened.
    pub happened: Moment,
    /// Who.
    pub author: String,
    /// What it says.
    pub body: T,
}

/// One start of the machine and everything since.
#[derive(Clone, Debug, PartialEq)]
pub struct Log {
    /// The start.
    pub started: Entered<RunStarted>,
    /// The stop.
    pub stopped: Option<Entered<RunStopped>>,
    /// Readings, in the order of time.
    pub readings: Vec<Entered<Reading>>,
    /// Drains.
    pub drains: Vec<Entered<Drained>>,
    /// Fills.
    pub fills: Vec<Entered<Fill>>,
    /// Number of the last entry of these.
    pub last_seq: u64,
    /// When the latest of them happened.
    pub last_happened: Moment,
}

impl Log {
    /// The log of the start with this number in these events; an event of an earlier run does not
    /// belong to it, nor does anything after a later start.
    pub fn of(events: &[Event], start: u64) -> Option<Log> {
        let event = events.iter().find(|e| e.seq == start && !e.withdrawn)?;
        let Ok(Body::RunStarted(body)) = &event.body else {
            return None;
        };
        let begun = (event.happened, event.seq);
        let next = events.iter().filter(|e| {
            matches!(e.body, Ok(Body::RunStarted(_))) && !e.withdrawn && (e.happened, e.seq) > begun
        });
        let next = next.map(|e| (e.happened, e.seq)).min();
        let mut log = Log {
            started: entered(event, body.clone()),
            stopped: None,
            readings: Vec::new(),
            drains: Vec::new(),
            fills: Vec::new(),
            last_seq: event.seq.max(event.carrier),
            last_happened: event.happened,
        };
        let mut since: Vec<&Event> = events
            .iter()
            .filter(|e| {
                let place = (e.happened, e.seq);
                place > begun && next.is_none_or(|next| place < next)
            })
            .collect();
        since.sort_by_key(|e| (e.happened, e.seq));
        for event in since {
            log.take(event);
        }
        Some(log)
    }

    fn take(&mut self, event: &Event) {
        // A withdrawn entry counts for nothing but its place: a page drawn before is an old page.
        self.last_seq = self.last_seq.max(event.seq).max(event.carrier);
        if event.withdrawn {
            return;
        }
        match &event.body {
            Ok(Body::RunStopped(b)) if self.stopped.is_none() => {
                self.stopped = Some(entered(event, b.clone()));
            }
            Ok(Body::Reading(b)) => self.readings.push(entered(event, b.clone())),
            Ok(Body::Drained(b)) => self.drains.push(entered(event, b.clone())),
            Ok(Body::Fill(b)) => self.fills.push(entered(event, b.clone())),
            _ => return,
        }
        self.last_happened = self.last_happened.max(event.happened);
    }

    /// The log of a start in the book; of the latest where none is named.
    pub fn read(book: &Book, start: Option<u64>) -> Result<Option<Log>, Trouble> {
        let found = match start {
            Some(seq) => book.event(seq)?,
            None => book.latest(Kind::RunStarted, None)?,
        };
        let Some(found) = found else { return Ok(None) };
        let events = book.events(&Wanted {
            kinds: &KINDS,
            from: Some(found.happened),
            withdrawn: true,
            ..Wanted::default()
        })?;
        Ok(Log::of(&events, found.seq))
    }

    /// The whip read nothing after the stop.
    pub fn bled(&self) -> Option<&Entered<Reading>> {
        let stop = self.stopped.as_ref()?;
        let is_nothing = |r: &&Entered<Reading>| {
            let value = r.body.value.as_ref().and_then(|v| v.pressure());
            r.body.of == WHIP && value.is_some_and(|p| p.as_bar() <= EMPTY_BAR)
        };
        self.readings
            .iter()
            .filter(|r| (r.happened, r.seq) > (stop.happened, stop.seq))
            .find(is_nothing)
    }

    /// The drain opened after the stop.
    pub fn drained_after_stop(&self) -> Option<&Entered<Drained>> {
        let stop = self.stopped.as_ref()?;
        let after = |d: &&Entered<Drained>| (d.happened, d.seq) > (stop.happened, stop.seq);
        self.drains.iter().find(after)
    }

    /// Somebody said that nothing was filled.
    pub fn not_filled(&self) -> bool {
        self.readings.iter().any(|r| r.body.of == NOT_FILLED)
    }

    /// The fill of a cylinder.
    pub fn fill(&self, cylinder: &str) -> Option<&Entered<Fill>> {
        self.fills.iter().find(|f| f.body.cylinder == cylinder)
    }

    /// Those on the line whose fill is not in the book yet.
    pub fn unrecorded<'p>(&self, on_line: &'p [Planned]) -> Vec<&'p Planned> {
        match self.not_filled() {
            true => Vec::new(),
            false => on_line
                .iter()
                .filter(|p| self.fill(&p.cylinder).is_none())
                .collect(),
        }
    }

    /// Readings of a gauge that are figures, in bar.
    pub fn gauge(&self, of: &str) -> impl DoubleEndedIterator<Item = (&Entered<Reading>, f64)> {
        self.readings.iter().filter_map(move |r| {
            let value = r.body.value.as_ref()?.pressure()?;
            (r.body.of == of).then_some((r, value.as_bar()))
        })
    }
}

fn entered<T>(event: &Event, body: T) -> Entered<T> {
    Entered {
        seq: event.seq,
        happened: event.happened,
        author: event.author.clone(),
        body,
    }
}
