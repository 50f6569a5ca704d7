//! The run card: one page beside the machine, with what the gauges should read and a place for
//! what they do.
//!
//! Not here: where its figures come from ([`crate::usecase::plan::card`]).

use askama::Template;
use serde::Serialize;

use super::Head;

/// The card.
#[derive(Clone, Debug, PartialEq, Serialize, Template)]
#[template(path = "print/run-card.html")]
pub struct RunCard {
    /// Whose, when.
    pub head: Head,
    /// The day it holds for.
    pub day: String,
    /// The air it holds for, and the machine.
    pub air: String,
    /// The machine in a line.
    pub machine: String,
    /// Unit of every pressure on it.
    pub unit: &'static str,
    /// Figures under the head: name and figure.
    pub figures: Vec<(String, String)>,
    /// The gauges through time, as SVG with a grid.
    #[serde(skip)]
    pub trace: String,
    /// One for each cylinder.
    pub cylinders: Vec<CylinderTable>,
    /// Between cylinders and at the end.
    pub steps: Vec<Step>,
    /// When to stop and find out why: what is seen, and what to do.
    pub stop_if: Vec<(String, String)>,
    /// Before the start.
    pub before: Vec<String>,
    /// Why nothing may be filled by it; empty where nothing was found.
    pub against: Vec<String>,
    /// What was asked wrong on purpose, for teaching.
    pub faults: Vec<String>,
    /// The entry that holds the station file; none for a file alone.
    pub revision: Option<u64>,
    /// A code to open it with, as SVG, and what it says.
    #[serde(skip)]
    pub code: Option<String>,
    /// What the code says.
    pub says: String,
}

/// What one cylinder's gauge should read.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct CylinderTable {
    /// `A1, 12 L, from 50 bar`.
    pub title: String,
    /// Minute by minute.
    pub rows: Vec<Reading>,
}

/// One line of it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Reading {
    /// Minutes and seconds since the start.
    pub time: String,
    /// What the gauge should read.
    pub reads: String,
    /// What to do, or what happens.
    pub does: String,
    /// Whether it is to be done.
    pub to_do: bool,
}

/// A step with its box to tick.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Step {
    /// What to do.
    pub text: String,
    /// What must not be left out.
    pub strong: String,
}
