//! Rows of a day sheet that are more than a line: runs, fills, refusals.

use book::answer::runs::Run;
use book::body::{Fill, FillRefused};
use book::{Body, Event, Moment};

use super::super::{corrected, joined, minutes, text};
use super::Page;
use crate::print::Shown;
use crate::print::day::{FillRow, RefusalRow, RunRow};
use crate::usecase::book::list;
use crate::usecase::units::both;

impl Page<'_> {
    pub(super) fn run(&self, run: &Run) -> RunRow {
        let started = &run.started;
        let stopped = run.stopped.as_ref();
        let ends = [
            Some((started.seq, started.happened)),
            stopped.map(|s| (s.seq, s.happened)),
        ];
        let all: Vec<(u64, Moment)> = ends.into_iter().flatten().collect();
        let entries = all.iter().filter(|(_, at)| self.holds(*at));
        let list = |numbers: Vec<String>, sign: &str| numbers.join(sign);
        let stop = match (stopped, run.open) {
            (Some(stopped), _) => self.time(stopped.happened),
            (None, true) => "goes on".to_owned(),
            (None, false) => "never entered".to_owned(),
        };
        RunRow {
            no: list(all.iter().map(|(seq, _)| seq.to_string()).collect(), ", "),
            entries: list(entries.map(|(seq, _)| seq.to_string()).collect(), " "),
            start: self.time(started.happened),
            stop,
            lasted: match (run.open, run.minutes) {
                (false, Some(m)) => minutes(m),
                _ => String::new(),
            },
            meter: meter(run),
            tower: stopped.and_then(|s| s.body.tower.as_ref()).map(Shown::of),
            intake: joined(
                [
                    started.body.intake_temperature.as_ref().map(both),
                    started.body.humidity.as_ref().map(ToString::to_string),
                ],
                ", ",
            ),
            remark: remark(run),
            by: match stopped.filter(|s| s.author != started.author) {
                Some(stopped) => format!("{}, {}", started.author, stopped.author),
                None => started.author.clone(),
            },
        }
    }

    /// A start or a stop that no run was made of: it stands in a row of its own.
    pub(super) fn lone_end(&mut self, event: &Event) {
        let seq = event.seq.to_string();
        let in_run = |row: &RunRow| row.entries.split(' ').any(|entry| entry == seq);
        if self.sheet.runs.iter().any(in_run) {
            return;
        }
        let time = self.room.zone.clock(event.happened);
        let start = matches!(event.body, Ok(Body::RunStarted(_)));
        let other = "not entered".to_owned();
        let (start, stop) = if start { (time, other) } else { (other, time) };
        self.sheet.runs.push(RunRow {
            no: seq.clone(),
            entries: seq,
            start,
            stop,
            remark: list::row(event, &self.room.zone).line,
            by: event.author.clone(),
            ..RunRow::default()
        });
    }

    pub(super) fn fill(&mut self, event: &Event, b: &Fill) {
        let gate = b.gate.as_ref();
        let overridden = gate.into_iter().flat_map(|gate| &gate.overridden);
        let overridden: Vec<String> = overridden
            .map(|o| format!("{} overridden by {}: {}", o.refusal, o.by, o.reason))
            .collect();
        let against = gate.into_iter().flat_map(|gate| &gate.against);
        let against: Vec<&str> = against.map(|refusal| refusal.what.as_str()).collect();
        let held = gate.and_then(|gate| gate.protected_at.as_ref());
        let remark = [
            (!against.is_empty()).then(|| format!("FILLED ALTHOUGH {}", against.join("; "))),
            (!overridden.is_empty()).then(|| overridden.join("; ")),
            b.settled_at
                .as_ref()
                .map(|at| format!("settled at {}", both(at))),
            b.took.as_ref().map(|took| format!("in {took}")),
            b.from_bank.as_ref().map(|bank| format!("from bank {bank}")),
            held.map(|p| format!("line held at {}", both(p))),
            b.remark.clone(),
            changed(event),
        ];
        self.sheet.fills.push(FillRow {
            no: event.seq,
            time: self.room.zone.clock(event.happened),
            cylinder: b.cylinder.clone(),
            from: b.from.as_ref().map(Shown::of),
            to: b.to.as_ref().map(Shown::of),
            settled: b.settled.as_ref().map(Shown::of),
            person: text(b.person.as_ref()),
            by: event.author.clone(),
            against: !against.is_empty(),
            remark: joined(remark, "; "),
        });
    }

    pub(super) fn refusal(&mut self, event: &Event, b: &FillRefused) {
        let reasons: Vec<&str> = b.refusals.iter().map(|r| r.what.as_str()).collect();
        let reasons = (!reasons.is_empty()).then(|| reasons.join("; "));
        self.sheet.refusals.push(RefusalRow {
            no: event.seq,
            time: self.room.zone.clock(event.happened),
            cylinder: b.cylinder.clone(),
            asked: b.asked.as_ref().map(Shown::of),
            person: text(b.person.as_ref()),
            reason: joined([reasons, changed(event)], "; "),
            by: event.author.clone(),
        });
    }
}

/// The hour meter at both ends, and how long by it.
fn meter(run: &Run) -> String {
    let end = run.stopped.as_ref().and_then(|s| s.body.hours.as_ref());
    let ends = [
        run.started.body.hours.as_ref().map(ToString::to_string),
        end.map(|hours| format!("to {hours}")),
    ];
    let ends = Some(joined(ends, " ")).filter(|ends| !ends.is_empty());
    joined([ends, run.meter_minutes.map(minutes)], ", ")
}

/// What was looked at before, why it was stopped, what was corrected.
fn remark(run: &Run) -> String {
    let (started, stopped) = (&run.started.body, run.stopped.as_ref());
    let looked = (!started.checked.is_empty()).then(|| started.checked.join(", "));
    joined(
        [
            started
                .tower
                .as_ref()
                .map(|p| format!("tower {} before", both(p))),
            looked.map(|looked| format!("looked at: {looked}")),
            stopped.and_then(|stopped| stopped.body.why.clone()),
            corrected(&run.started),
            stopped.and_then(corrected),
        ],
        "; ",
    )
}

/// `corrected by entry 12`, where it was.
pub(super) fn changed(event: &Event) -> Option<String> {
    (event.carrier != event.seq).then(|| format!("corrected by entry {}", event.carrier))
}
