//! What a diagnosis says: plain data, ready for a screen, a page or JSON.
//!
//! Names of fields are a contract with programs that read the JSON. Pressures are gauge, in bar;
//! times in seconds from the start of the machine.

use serde::Serialize;

/// A whole diagnosis.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Diagnosis {
    /// What the station calls itself.
    pub station: String,
    /// True where the station file is marked as invented.
    pub invented: bool,
    /// All of it in one sentence.
    pub headline: String,
    /// How far the readings decide.
    pub standing: Standing,
    /// Settings found, against the station file.
    pub settings: Vec<SettingFound>,
    /// What may be wrong, the likeliest first; their probabilities add up to one.
    pub causes: Vec<Cause>,
    /// The gauge reading that would best tell the leading causes apart.
    pub next_reading: Option<NextReading>,
    /// The check by hand that would, weighed against its trouble.
    pub next_check: Option<NextCheck>,
    /// Each gauge reading against the model.
    pub readings: Vec<ReadingJudged>,
    /// Each thing noticed, and what was made of it.
    pub observations: Vec<Noticed>,
    /// The run as fitted and as specified, for a drawing.
    pub trace: Vec<TracePoint>,
    /// Root mean square of what the readings differ from the fitted run, bar.
    pub misfit_bar: Option<f64>,
    /// By how much the person's watch seems to run ahead of the machine's start, s.
    pub clock_s: Option<Found>,
    /// What to be told before anything else: readings that make no sense, dangers.
    pub warnings: Vec<String>,
    /// What was taken for granted.
    pub assumed: Vec<String>,
    /// Work done: runs simulated.
    pub runs: usize,
}

/// How far the readings decide.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Standing {
    /// Nothing is known: no readings.
    NoReadings,
    /// Nothing stands against a sound machine.
    Sound,
    /// One cause stands out (probability 0.8 or more).
    Likely,
    /// Several causes explain the readings; one leads.
    Leading,
    /// The readings do not decide.
    CannotTell,
    /// Nothing known here explains the readings.
    DoesNotFit,
}

/// A value and half the width of the interval that holds it nine times in ten.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Found {
    /// The median.
    pub value: f64,
    /// Half the 90 % interval.
    pub plus_minus: f64,
}

/// A setting as the readings show it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SettingFound {
    /// `pmv_opens`, `pmv_closes`, `relief_lifts`, `relief_reseats`, `delivery`, `tower_leak`,
    /// `whip_leak`, `tower_gauge`, `line_gauge`.
    pub name: &'static str,
    /// What people call it.
    pub called: &'static str,
    /// Unit of `found`, `low`, `high`, `specified`, `tolerance`: `bar` or `L/min` (free air).
    pub unit: &'static str,
    /// The median; none where the readings do not reach it.
    pub found: Option<f64>,
    /// Half the 90 % interval.
    pub plus_minus: Option<f64>,
    /// Its ends.
    pub low: Option<f64>,
    /// Its upper end.
    pub high: Option<f64>,
    /// What the station file says; zero for leaks and for what a gauge reads off.
    pub specified: Option<f64>,
    /// The tolerance about it.
    pub tolerance: Option<f64>,
    /// `found` where the unit is bar.
    pub found_bar: Option<f64>,
    /// `plus_minus` where the unit is bar.
    pub plus_minus_bar: Option<f64>,
    /// `specified` where the unit is bar.
    pub specified_bar: Option<f64>,
    /// Where it stands.
    pub verdict: Verdict,
}

/// Where a setting stands against its tolerance.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Verdict {
    /// Most likely within its tolerance.
    Within,
    /// Most likely below it.
    Below,
    /// Most likely above it.
    Above,
    /// The readings leave it open.
    CannotTell,
    /// The readings do not reach it.
    NotReached,
}

/// Something that may be wrong.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Cause {
    /// Its name: see `causes.txt`. Two together are joined by `+`; `something_else` is what is
    /// not known here.
    pub id: String,
    /// What people call it.
    pub called: String,
    /// Probability, given these readings.
    pub probability: f64,
    /// Its size where it has one, in words: `19 bar low`.
    pub size: Option<String>,
    /// What in the readings speaks for it.
    pub why: String,
    /// The check by hand that shows it.
    pub check: String,
    /// What to do.
    pub remedy: String,
    /// Where this knowledge comes from.
    pub source: String,
    /// How far an owner may go.
    pub who: String,
    /// What to take care of.
    pub cautions: Vec<String>,
    /// Causes that the gauges cannot tell from this one.
    pub looks_like: Vec<String>,
    /// The valve to be set, where it is one that is set: `pmv`, `relief`.
    pub valve: Option<&'static str>,
}

/// The gauge reading to take next.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct NextReading {
    /// The gauge's name in the station file.
    pub gauge: String,
    /// When, in minutes from the start.
    pub minute: f64,
    /// Why there and then.
    pub why: String,
    /// What it would show, cause by cause.
    pub expected: Vec<Expected>,
    /// Information expected from it, bits.
    pub bits: f64,
    /// Whether it is still to come in this run, or to be taken when the run is made again.
    pub again: bool,
}

/// What a gauge would show if a cause holds.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Expected {
    /// The cause.
    pub id: String,
    /// What people call it.
    pub called: String,
    /// The reading, bar, and its uncertainty.
    pub bar: Found,
    /// Its probability now.
    pub probability: f64,
}

/// A check by hand.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct NextCheck {
    /// What to do.
    pub what: String,
    /// What it would tell.
    pub why: String,
    /// Information expected from it, bits.
    pub bits: f64,
    /// What to take care of.
    pub caution: String,
}

/// A gauge reading against the model.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ReadingJudged {
    /// The line it was written on.
    pub line: usize,
    /// When.
    pub t_s: f64,
    /// The gauge's name.
    pub gauge: String,
    /// What it showed, bar.
    pub bar: f64,
    /// What the fitted run would show, bar.
    pub fitted_bar: f64,
    /// What the run as specified would show, bar.
    pub specified_bar: f64,
    /// Standard uncertainty of such a reading, bar.
    pub sd_bar: f64,
    /// Where it stands apart from the others: how, and what may have been meant.
    pub apart: Option<String>,
}

/// Something noticed.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Noticed {
    /// The line it was written on.
    pub line: usize,
    /// When, where a time was given.
    pub t_s: Option<f64>,
    /// As written.
    pub text: String,
    /// What was made of it; says so where nothing was.
    pub understood: String,
}

/// One moment of the run for a drawing, bar.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct TracePoint {
    /// When.
    pub t_s: f64,
    /// Tower, as fitted: what the gauge would show.
    pub tower: f64,
    /// Half the 90 % band about it.
    pub tower_band: f64,
    /// Line, as fitted.
    pub line: f64,
    /// Half the 90 % band about it.
    pub line_band: f64,
    /// Tower, as the station file has it.
    pub tower_specified: f64,
    /// Line, as the station file has it.
    pub line_specified: f64,
}
