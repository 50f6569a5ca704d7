//! The list of cylinders set aside, and what to do with them.
//!
//! Not here: which they are ([`crate::usecase::book::sheet::quarantine`]).

use askama::Template;
use serde::Serialize;

use super::Head;

/// The list.
#[derive(Clone, Debug, PartialEq, Serialize, Template)]
#[template(path = "print/quarantine.html")]
pub struct QuarantineSheet {
    /// Whose, when.
    pub head: Head,
    /// The day it holds for.
    pub day: String,
    /// How many cylinders are set aside.
    pub count: usize,
    /// Why filling is locked for everybody; empty where it is not.
    pub locked: Vec<String>,
    /// Suspicions that hold a cylinder.
    pub suspicions: Vec<Suspicion>,
    /// Cylinders that were released.
    pub released: Vec<ReleasedRow>,
    /// What cannot be known.
    pub doubts: Vec<String>,
}

/// A suspicion and the cylinders it sets aside.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Suspicion {
    /// The entry that raised it.
    pub no: u64,
    /// What: `Symptom reported on 2026-05-20`.
    pub what: String,
    /// In its own words.
    pub words: String,
    /// Which fills are suspicious.
    pub span: String,
    /// The cylinders.
    pub held: Vec<HeldRow>,
}

/// A cylinder set aside.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct HeldRow {
    /// Which.
    pub cylinder: String,
    /// Named by the symptom, or sampled.
    pub named: bool,
    /// Whose it is.
    pub owner: String,
    /// Its suspicious fills.
    pub fills: Vec<String>,
    /// Who got them.
    pub persons: String,
}

/// Cylinders released on one day for one reason.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ReleasedRow {
    /// Which.
    pub cylinders: Vec<String>,
    /// Set aside by this entry.
    pub of: u64,
    /// The day they were released.
    pub on: String,
    /// By these entries: `entry 394`.
    pub by: String,
    /// Why.
    pub why: String,
}
