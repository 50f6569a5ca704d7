//! Where a run stands at a moment: a pure function of what is in the book, what was expected, and
//! the clock.
//!
//! The alarm leans to the early side: a gauge that reads high brings the stop forward, one that
//! reads low never puts it off. Not here: words ([`super::view`]).

use book::Moment;
use book::body::Planned;
use serde::Serialize;

use super::course::{Course, Expected};
use super::judge::{Gauge, Verdict, twice, verdict};
use super::log::{FILL_GAUGE, Log, PMV_OPENS, TOWER};

/// After the latest time that is likely, nobody waits longer than this for the stop, s.
const STOP_GRACE_S: f64 = 15.0;
/// A gauge this near the stop is at it; this far above, past it, bar.
const AT_STOP_BAR: f64 = 1.0;
const PAST_STOP_BAR: f64 = 2.0;
/// So near the stop nobody drains first: the drain is opened after it anyway, s.
const DRAIN_WAITS_S: f64 = 60.0;
/// A drain overdue by this share of its interval, and by this long at least, is an alarm, s.
const DRAIN_LATE_SHARE: f64 = 0.25;
const DRAIN_LATE_S: f64 = 180.0;
/// A run stopped this long ago is over, whatever was left undone, s.
pub const LAPSES_S: f64 = 12.0 * 3600.0;

/// What is settled about the station before the run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Setup {
    /// Time between drains, s.
    pub drain_every_s: f64,
    /// The final relief valve lifts, bar.
    pub relief_bar: Option<f64>,
}

/// Where the run stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Stage {
    /// The machine runs, and no air has passed the PMV yet.
    Starting,
    /// Nothing needs a hand.
    Filling,
    /// The drain is due.
    DrainDue,
    /// The gauge should show the stop.
    StopDue,
    /// Past the stop, or the drain is well overdue.
    Over,
    /// Stopped; nobody has said yet what the gauge showed.
    GaugeAtStop,
    /// The whip is to be bled.
    Bleed,
    /// The drain is to be opened once more.
    LastDrain,
    /// The next cylinders can be put on.
    Between,
    /// The cylinders cool; their settled pressures are wanted.
    Cooling,
    /// Nothing more is wanted.
    Ended,
}

impl Stage {
    /// Whether the machine runs.
    pub fn running(self) -> bool {
        use Stage::{DrainDue, Filling, Over, Starting, StopDue};
        matches!(self, Starting | Filling | DrainDue | StopDue | Over)
    }
}

/// Why a run is over-running.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum OverBecause {
    /// By the clock the stop is past.
    Stop,
    /// The gauge was read past the stop.
    Gauge,
    /// The drain is well overdue.
    Drain,
}

/// A reading held against what was expected.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Judged {
    /// Number of its entry.
    pub seq: u64,
    /// Since the start, s.
    pub t_s: f64,
    /// Which gauge.
    pub gauge: Gauge,
    /// What it showed.
    pub bar: f64,
    /// What it should have shown.
    pub expected: Expected,
    /// Where it stands.
    pub verdict: Verdict,
    /// It and the one before stand outside on the same side.
    pub twice: bool,
}

/// A run at a moment.
#[derive(Clone, Debug, PartialEq)]
pub struct Standing {
    /// Where it stands.
    pub stage: Stage,
    /// Why, where it is over-running.
    pub over: Option<OverBecause>,
    /// Since the start, s; to the stop where it was stopped.
    pub elapsed_s: f64,
    /// Since the stop, s.
    pub since_stop_s: Option<f64>,
    /// Until the drain is due, s; negative: overdue.
    pub drain_in_s: f64,
    /// Until air should pass the PMV, s.
    pub air_in_s: Option<f64>,
    /// Until the stop, s; negative: past it.
    pub stop_in_s: Option<f64>,
    /// Until the alarm, s.
    pub alarm_in_s: Option<f64>,
    /// Which gauge to look at, and what it should show.
    pub expected: Option<(Gauge, Expected)>,
    /// The relief valve lifts in about, s.
    pub relief_in_s: Option<f64>,
    /// How far the run is ahead of what was expected, by a gauge that reads high, s.
    pub ahead_s: f64,
    /// The last reading.
    pub judged: Option<Judged>,
    /// The clock stands before the last entry: it went back.
    pub clock_back: bool,
}

/// Where the run stands. `on_line` are the cylinders of this start, `waiting` how many come after.
pub fn standing(
    log: &Log,
    course: Option<&Course>,
    setup: Setup,
    (on_line, waiting): (&[Planned], usize),
    clock: Moment,
) -> Standing {
    // A clock that went back stands still until it has caught up.
    let now = clock.max(log.last_happened).max(log.started.happened);
    let begun = log.started.happened;
    let stopped = log.stopped.as_ref();
    let end = stopped.map_or(now, |stop| stop.happened);
    let elapsed_s = end.seconds_since(begun);
    let judged = course.map(|c| readings(log, c)).unwrap_or_default();
    let ahead_s = course.map_or(0.0, |c| ahead(c, &judged));
    let stop_in_s = course.map(|c| c.stop_s.0 - elapsed_s - ahead_s);
    let mut standing = Standing {
        stage: Stage::Ended,
        over: None,
        elapsed_s,
        since_stop_s: stopped.map(|stop| now.seconds_since(stop.happened)),
        drain_in_s: drain_in(log, setup, now),
        air_in_s: course
            .and_then(|c| c.air_s)
            .map(|(at, _)| at - elapsed_s)
            .filter(|_| log.readings.iter().all(|r| r.body.of != PMV_OPENS)),
        stop_in_s,
        alarm_in_s: course.map(|c| c.stop_s.1 + STOP_GRACE_S - elapsed_s - ahead_s),
        expected: None,
        relief_in_s: None,
        ahead_s,
        judged: judged.last().copied(),
        clock_back: clock < log.last_happened,
    };
    match standing.since_stop_s {
        Some(since_s) => standing.stage = after(log, (on_line, waiting), since_s),
        None => (standing.stage, standing.over) = running(&standing, log, course, setup),
    }
    if let Some(course) = course.filter(|_| stopped.is_none()) {
        let gauge = match standing.stage {
            Stage::Starting => Gauge::Tower,
            _ => Gauge::Fill,
        };
        standing.expected = expected(course, gauge, elapsed_s + ahead_s).map(|e| (gauge, e));
        standing.relief_in_s = relief_in(course, setup, &standing);
    }
    standing
}

/// The stage of a machine that runs.
fn running(
    standing: &Standing,
    log: &Log,
    course: Option<&Course>,
    setup: Setup,
) -> (Stage, Option<OverBecause>) {
    let over = |why| (Stage::Over, Some(why));
    let last = log.gauge(FILL_GAUGE).next_back().map(|(_, bar)| bar);
    let stop = course.map(|c| c.stop_bar).zip(last);
    if stop.is_some_and(|(stop, bar)| bar > stop + PAST_STOP_BAR) {
        return over(OverBecause::Gauge);
    }
    if standing.alarm_in_s.is_some_and(|s| s <= 0.0) {
        return over(OverBecause::Stop);
    }
    let late = (setup.drain_every_s * DRAIN_LATE_SHARE).max(DRAIN_LATE_S);
    if standing.drain_in_s <= -late {
        return over(OverBecause::Drain);
    }
    let at_stop = stop.is_some_and(|(stop, bar)| bar >= stop - AT_STOP_BAR);
    if at_stop || standing.stop_in_s.is_some_and(|s| s <= 0.0) {
        return (Stage::StopDue, None);
    }
    let stop_is_near = standing.stop_in_s.is_some_and(|s| s <= DRAIN_WAITS_S);
    if standing.drain_in_s <= 0.0 && !stop_is_near {
        return (Stage::DrainDue, None);
    }
    match standing.air_in_s.is_some_and(|s| s > 0.0) {
        true => (Stage::Starting, None),
        false => (Stage::Filling, None),
    }
}

/// The stage of a machine that was stopped.
fn after(log: &Log, (on_line, waiting): (&[Planned], usize), since_s: f64) -> Stage {
    let unsettled = log.fills.iter().any(|f| f.body.settled.is_none());
    match () {
        () if since_s > LAPSES_S => Stage::Ended,
        () if !log.unrecorded(on_line).is_empty() => Stage::GaugeAtStop,
        () if log.bled().is_none() => Stage::Bleed,
        () if log.drained_after_stop().is_none() => Stage::LastDrain,
        () if waiting > 0 => Stage::Between,
        () if unsettled => Stage::Cooling,
        () => Stage::Ended,
    }
}

/// Until the drain is due: counted from the last drain, or from the start.
fn drain_in(log: &Log, setup: Setup, now: Moment) -> f64 {
    let last = log.drains.iter().map(|d| d.happened);
    let last = last.max().unwrap_or(log.started.happened);
    setup.drain_every_s - now.seconds_since(last)
}

fn expected(course: &Course, gauge: Gauge, t_s: f64) -> Option<Expected> {
    match gauge {
        Gauge::Tower => course.at(t_s).map(|point| point.tower),
        Gauge::Fill => course.fill_at(t_s),
    }
}

/// When the relief valve lifts, if the gauge goes on rising as it did at the end.
fn relief_in(course: &Course, setup: Setup, standing: &Standing) -> Option<f64> {
    let (_, expected) = standing.expected?;
    let left = (setup.relief_bar? - expected.bar).max(0.0);
    (course.rise_bar_s > 0.0).then(|| left / course.rise_bar_s)
}

/// Every reading of tower and fill gauge while the machine ran, held against what was expected.
fn readings(log: &Log, course: &Course) -> Vec<Judged> {
    let begun = log.started.happened;
    let end = log.stopped.as_ref().map(|stop| stop.happened);
    let mut all: Vec<Judged> = Vec::new();
    for (gauge, name) in [
        (Gauge::Fill, FILL_GAUGE),
        (Gauge::Tower, TOWER),
        (Gauge::Tower, PMV_OPENS),
    ] {
        let mut verdicts = Vec::new();
        for (reading, bar) in log.gauge(name) {
            if end.is_some_and(|end| reading.happened > end) {
                continue;
            }
            let t_s = reading.happened.seconds_since(begun);
            let Some(expected) = expected(course, gauge, t_s) else {
                continue;
            };
            let verdict = verdict(bar, expected);
            verdicts.push(verdict);
            all.push(Judged {
                seq: reading.seq,
                t_s,
                gauge,
                bar,
                expected,
                verdict,
                twice: twice(&verdicts),
            });
        }
    }
    all.sort_by(|a, b| a.t_s.total_cmp(&b.t_s).then(a.seq.cmp(&b.seq)));
    all
}

/// How far a fill gauge that last read high is ahead of the curve, s.
fn ahead(course: &Course, judged: &[Judged]) -> f64 {
    let last = judged.iter().rev().find(|j| j.gauge == Gauge::Fill);
    let Some(high) = last.filter(|j| j.verdict == Verdict::High) else {
        return 0.0;
    };
    let reached = course.points.iter().find(|p| p.fill.bar >= high.bar);
    let at_s = reached.map_or(course.stop_s.0, |point| point.t_s);
    (at_s - high.t_s).max(0.0)
}
