//! Entries of a run: start and stop, readings, drains, fills and refusals.

use quantity::{Fraction, GaugePressure, Temperature, TimeSpan, Volume};
use serde::{Deserialize, Serialize};

use crate::measure::{Amount, Measure};

/// The machine was started.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct RunStarted {
    /// The hour meter.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub hours: Option<Measure<TimeSpan>>,
    /// The tower gauge before the start.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub tower: Option<Measure<GaugePressure>>,
    /// The air at the intake.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub intake_temperature: Option<Measure<Temperature>>,
    /// Its relative humidity.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub humidity: Option<Measure<Fraction>>,
    /// What was looked at before the start.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub checked: Vec<String>,
    /// What is to be filled, in order; empty where nobody said.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub planned: Vec<Planned>,
    /// Time between drains in this run.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub drain_every: Option<Measure<TimeSpan>>,
    /// The start that this one goes on from: the next cylinders of the same job.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub continues: Option<u64>,
}

/// A cylinder to be filled in a run.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Planned {
    /// Which.
    pub cylinder: String,
    /// Gauge before.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub from: Option<Measure<GaugePressure>>,
    /// Where to stop; its rating where not given.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub to: Option<Measure<GaugePressure>>,
    /// For whom.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub person: Option<String>,
    /// Why a refusal that may be overridden was, where one was.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub overridden: Option<String>,
}

/// The machine was stopped.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct RunStopped {
    /// The hour meter.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub hours: Option<Measure<TimeSpan>>,
    /// The tower gauge at rest.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub tower: Option<Measure<GaugePressure>>,
    /// Why, where it was not the end of the job.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub why: Option<String>,
}

/// What a gauge showed, or what somebody saw or heard.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Reading {
    /// What was read: a gauge's name, or `pmv opens`, `relief lifts`, `co`.
    pub of: String,
    /// What it showed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub value: Option<Amount>,
    /// What was seen or heard.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub observed: Option<String>,
}

/// A drain was opened.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Drained {
    /// Which; the separator's unless given.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub drain: Option<String>,
    /// How much came out.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub volume: Option<Measure<Volume>>,
    /// What it looked like.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub looks: Option<String>,
}

/// A cylinder was filled.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Fill {
    /// Which.
    pub cylinder: String,
    /// For whom.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub person: Option<String>,
    /// Gauge before.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub from: Option<Measure<GaugePressure>>,
    /// Gauge at the stop.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub to: Option<Measure<GaugePressure>>,
    /// How long it took.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub took: Option<Measure<TimeSpan>>,
    /// Gauge once it was cold.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub settled: Option<Measure<GaugePressure>>,
    /// How warm it was then.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub settled_at: Option<Measure<Temperature>>,
    /// What it was filled from, where that was not the compressor alone.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub from_bank: Option<String>,
    /// What the fill gate said; none for a fill entered from an older record.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub gate: Option<Gate>,
    /// Anything else.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub remark: Option<String>,
}

/// What the fill gate said before a fill.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Gate {
    /// The rule asked.
    pub rule: String,
    /// Highest settled pressure, as stamped.
    pub at_most: Option<String>,
    /// What else was said to hang on the line.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub with: Vec<String>,
    /// Where this line alone was said to be held by a relief valve or regulator of its own.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub protected_at: Option<Measure<GaugePressure>>,
    /// The verdict in a sentence.
    pub verdict: String,
    /// Refusals that somebody answered for.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub overridden: Vec<Overridden>,
    /// What stood against it all the same: it had been filled before the gate was asked.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub against: Vec<Refusal>,
}

/// A refusal that somebody answered for.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Overridden {
    /// Which refusal.
    pub refusal: String,
    /// Who answers for it.
    pub by: String,
    /// Why it was right to go on.
    pub reason: String,
}

/// A cylinder was refused.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct FillRefused {
    /// Which.
    pub cylinder: String,
    /// Who brought it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub person: Option<String>,
    /// What it was to be filled to.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub asked: Option<Measure<GaugePressure>>,
    /// The rule asked.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rule: Option<String>,
    /// Every reason.
    pub refusals: Vec<Refusal>,
}

/// One reason against a fill.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Refusal {
    /// Its name, such as `overdue`.
    pub id: String,
    /// What is wrong.
    pub what: String,
    /// What to do about it.
    pub way_forward: String,
}
