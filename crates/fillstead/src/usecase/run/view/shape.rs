//! What a page or a program is given of a run: data only. The names of the fields are a contract.

use serde::Serialize;

use crate::usecase::run::judge::Verdict;
use crate::usecase::run::stage::Stage;

/// A run at a moment. Times in seconds since the start, pressures on the gauge.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RunView {
    /// Where it stands.
    pub state: Stage,
    /// The same for people.
    pub word: &'static str,
    /// Which signal: `normal`, `note`, `action`, `danger`.
    pub mark: &'static str,
    /// Whether the machine runs.
    pub running: bool,
    /// Number of the entry that started it.
    pub run: u64,
    /// Number of the last entry: what a tap is made against.
    pub seq: u64,
    /// The server's clock, microseconds since 1970-01-01 UTC.
    pub now_us: i64,
    /// What hangs on the line.
    pub cylinders: String,
    /// `A1, 1 of 2`.
    pub position: String,
    /// The large time.
    pub clock: Counter,
    /// The large pressure; none where nothing is expected.
    pub gauge: Option<Readout>,
    /// What comes next, or what to do.
    pub next: Option<Next>,
    /// What the list is called.
    pub steps_title: String,
    /// The list.
    pub steps: Vec<Step>,
    /// The last reading, held against what was expected.
    pub deviation: Option<Deviation>,
    /// What to know besides.
    pub notes: Vec<String>,
    /// Since the start, s; to the stop where it was stopped.
    pub elapsed_s: f64,
    /// When the drain is due, s.
    pub drain_at_s: f64,
    /// When the stop is due, s.
    pub stop_at_s: Option<f64>,
    /// When it becomes an alarm, s.
    pub alarm_at_s: Option<f64>,
    /// Every ten seconds: time, what the gauge should show, and how far off it may be, in `unit`.
    pub curve: Vec<(f64, f64, f64)>,
    /// The unit of `curve` and of every figure.
    pub unit: &'static str,
}

/// A time that counts.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Counter {
    /// What it is.
    pub label: &'static str,
    /// `07:48`.
    pub text: String,
    /// The same, s.
    pub seconds: f64,
    /// Shown in red.
    pub over: bool,
}

/// What a gauge should show.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Readout {
    /// Which gauge.
    pub label: &'static str,
    /// `143`.
    pub text: String,
    /// `± 6 bar`.
    pub give_or_take: String,
    /// The same, bar.
    pub bar: f64,
    /// How far off it may be, bar.
    pub within_bar: f64,
    /// In small print.
    pub note: Option<String>,
}

/// What comes next.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Next {
    /// What.
    pub label: String,
    /// When, or what to do.
    pub text: String,
    /// When, s since the start; none where it does not count down.
    pub at_s: Option<f64>,
    /// How much of the wait is over, in tenths; none where it does not count down.
    pub tenths: Option<u32>,
    /// `wait`, `act` or `danger`.
    pub kind: &'static str,
}

/// One line of the list.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Step {
    /// What.
    pub text: String,
    /// `done`, `now` or `later`.
    pub state: &'static str,
}

/// A reading held against what was expected.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Deviation {
    /// Number of its entry.
    pub seq: u64,
    /// `150 bar at 08:12: high by 9 bar`.
    pub text: String,
    /// Where it stands.
    pub verdict: Verdict,
    /// What it may mean.
    pub meaning: &'static str,
    /// What to do.
    pub remedy: &'static str,
    /// Twice outside on the same side.
    pub twice: bool,
}

impl Deviation {
    /// As expected.
    pub fn inside(&self) -> bool {
        self.verdict == Verdict::Inside
    }
}
