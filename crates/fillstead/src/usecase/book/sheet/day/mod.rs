//! The day sheet: every entry about a day, in the table of its kind.
//!
//! Start at [`sheet`]. What has no table of its own stands among the others, so that nothing is left
//! out. Not here: how the page looks ([`crate::print::day`]).

mod rows;
mod totals;

use book::answer::day::{self, Day};
use book::{Body, Event, Kind, Measure, Moment};
use quantity::{TimeSpan, Volume};
use station::Date;

use super::{Room, joined, text, typed};
use crate::print::Shown;
use crate::print::day::{CorrectionRow, DaySheet, DrainRow, Line, MeterAt, ReadingRow, Totals};
use crate::usecase::Trouble;
use crate::usecase::book::list;
use crate::words::entry_numbers;
use rows::changed;

/// The day sheet of this day; of today where none is given.
pub fn sheet(room: &Room<'_>, day: Option<Date>) -> Result<DaySheet, Trouble> {
    let date = day.map_or_else(|| room.today(), Ok)?;
    let limits = room.zone.day_limits(date).ok_or_else(|| {
        Trouble::new(format!("{date} is outside the calendar"), "check the year").about("day")
    })?;
    let day = day::in_book(room.book, limits.0, limits.1)?;
    let mut page = Page::new(room, &day)?;
    page.runs();
    for event in &day.events {
        page.place(event);
    }
    let totals = page.totals()?;
    let mut sheet = page.sheet;
    sheet.totals = totals;
    sheet.day = date.to_string();
    sheet.absent = absent(&day);
    Ok(sheet)
}

/// A sheet while it is written.
struct Page<'a> {
    room: &'a Room<'a>,
    day: &'a Day,
    sheet: DaySheet,
    drained_l: f64,
    unmeasured: usize,
}

impl<'a> Page<'a> {
    fn new(room: &'a Room<'a>, day: &'a Day) -> Result<Page<'a>, Trouble> {
        let mut operators: Vec<String> = day.events.iter().map(|e| e.author.clone()).collect();
        operators.extend(day.corrections.iter().map(|c| c.entry.author.clone()));
        operators.sort_unstable();
        operators.dedup();
        let mut page = Page {
            room,
            day,
            sheet: DaySheet {
                head: room.head()?,
                day: String::new(),
                operators,
                meter_start: None,
                meter_end: None,
                runs: Vec::new(),
                fills: Vec::new(),
                refusals: Vec::new(),
                drains: Vec::new(),
                readings: Vec::new(),
                air: Vec::new(),
                others: Vec::new(),
                corrections: Vec::new(),
                doubts: totals::to_look_at(day),
                absent: Vec::new(),
                totals: Totals::default(),
                day_seal: day.seal.map(super::seal),
                later: later(day),
                written: day.written.map(|(first, last)| match first == last {
                    true => format!("entry {first}"),
                    false => format!("entries {first} to {last}"),
                }),
            },
            drained_l: 0.0,
            unmeasured: 0,
        };
        page.corrections();
        Ok(page)
    }

    fn corrections(&mut self) {
        let row = |c: &day::Corrected| CorrectionRow {
            no: c.entry.seq,
            time: self.room.zone.clock(c.entry.recorded),
            of: c.of,
            why: c.why.clone(),
            withdraws: c.withdraws,
            by: c.entry.author.clone(),
        };
        self.sheet.corrections = self.day.corrections.iter().map(row).collect();
    }

    fn holds(&self, at: Moment) -> bool {
        at >= self.day.from && at < self.day.until
    }

    /// The time of day; with its day where that is another.
    fn time(&self, at: Moment) -> String {
        match self.holds(at) {
            true => self.room.zone.clock(at),
            false => self.room.zone.minute(at),
        }
    }

    fn runs(&mut self) {
        let rows = self.day.runs.runs.iter().map(|run| self.run(run)).collect();
        self.sheet.runs = rows;
    }

    /// Puts an event where it belongs.
    fn place(&mut self, event: &Event) {
        let Ok(body) = &event.body else {
            let line = self.line(event);
            return self.sheet.others.push(line);
        };
        self.meter(event, body);
        match body {
            Body::Fill(b) => self.fill(event, b),
            Body::FillRefused(b) => self.refusal(event, b),
            Body::Drained(b) => {
                self.measure(b.volume.as_ref());
                self.sheet.drains.push(DrainRow {
                    no: event.seq,
                    time: self.room.zone.clock(event.happened),
                    drain: text(b.drain.as_ref()),
                    volume: b
                        .volume
                        .as_ref()
                        .map_or("not measured".into(), ToString::to_string),
                    looks: joined([b.looks.clone(), changed(event)], "; "),
                    by: event.author.clone(),
                });
            }
            Body::Reading(b) => self.sheet.readings.push(ReadingRow {
                no: event.seq,
                time: self.room.zone.clock(event.happened),
                of: b.of.clone(),
                value: b.value.as_ref().map(Shown::of_amount),
                observed: joined([b.observed.clone(), changed(event)], "; "),
                by: event.author.clone(),
            }),
            Body::RunStarted(_) | Body::RunStopped(_) => self.lone_end(event),
            _ => {
                let line = self.line(event);
                self.table(body).push(line);
            }
        }
    }

    /// The table of entries that are told in a line.
    fn table(&mut self, body: &Body) -> &mut Vec<Line> {
        match body {
            Body::SymptomReported(_)
            | Body::CauseRecorded(_)
            | Body::Released(_)
            | Body::AirTest(_) => &mut self.sheet.air,
            _ => &mut self.sheet.others,
        }
    }

    fn line(&self, event: &Event) -> Line {
        let row = list::row(event, &self.room.zone);
        Line {
            no: row.seq,
            time: self.room.zone.clock(event.happened),
            kind: row.called,
            text: row.line,
            corrected: row.corrected_by,
            by: row.author,
        }
    }

    fn measure(&mut self, volume: Option<&Measure<Volume>>) {
        match volume {
            Some(volume) => self.drained_l += volume.value().as_litre(),
            None => self.unmeasured += 1,
        }
    }

    /// A reading of the hour meter, where it was read.
    fn meter(&mut self, event: &Event, body: &Body) {
        let hours: Option<&Measure<TimeSpan>> = match body {
            Body::RunStarted(b) => b.hours.as_ref(),
            Body::RunStopped(b) => b.hours.as_ref(),
            Body::PartReplaced(b) => b.hours.as_ref(),
            Body::Parked(b) => b.hours.as_ref(),
            _ => None,
        };
        if hours.is_none() {
            return;
        }
        let read = MeterAt {
            hours: typed(hours),
            time: self.room.zone.clock(event.happened),
            no: event.seq,
        };
        self.sheet.meter_start.get_or_insert_with(|| read.clone());
        self.sheet.meter_end = Some(read);
    }
}

/// What of the sheet was written or corrected after the day.
fn later(day: &Day) -> Option<String> {
    let end = day.seal.map_or(0, |(entry, _)| entry);
    let after = day.events.iter().filter(|event| event.carrier > end);
    let mut after: Vec<u64> = after.map(|event| event.seq).collect();
    if after.len() == day.events.len() && after.len() > 1 {
        return Some("everything on this sheet".to_owned());
    }
    after.sort_unstable();
    (!after.is_empty()).then(|| entry_numbers(&after))
}

/// What nothing was entered of.
fn absent(day: &Day) -> Vec<&'static str> {
    const ASKED: [(&str, &[Kind]); 8] = [
        ("runs", &[Kind::RunStarted, Kind::RunStopped]),
        ("fills", &[Kind::Fill]),
        ("refusals", &[Kind::FillRefused]),
        ("drains", &[Kind::Drained]),
        ("readings", &[Kind::Reading]),
        ("air tests", &[Kind::AirTest]),
        ("symptoms", &[Kind::SymptomReported]),
        (
            "parts",
            &[Kind::PartReplaced, Kind::PartTested, Kind::ValveSet],
        ),
    ];
    let entered = |kinds: &[Kind]| {
        let mut all = day.events.iter();
        all.any(|event| kinds.iter().any(|kind| event.kind == kind.name()))
    };
    let absent = ASKED.iter().filter(|(_, kinds)| !entered(kinds));
    absent.map(|(name, _)| *name).collect()
}
