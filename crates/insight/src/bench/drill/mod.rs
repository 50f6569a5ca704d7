//! Drills: what is given, what is wrong, what is right within what time, and how it went.
//!
//! A drill is data ([`Drill`], read from `data/bench/drills.txt` by [`text`]); a [`Course`] is one
//! drill being done: it watches the bench, and [`Course::score`] tells each action with when it
//! was due and when it was done. Not here: the bench ([`super::Bench`]).

mod course;
mod score;
pub mod text;
mod when;

pub use course::Course;
pub use score::{Mark, Row, Score};
pub use when::{Place, When};

use super::{Begin, Happening};
use std::sync::LazyLock;

/// An exercise.
#[derive(Debug, Clone, PartialEq)]
pub struct Drill {
    /// Its name in addresses.
    pub key: String,
    /// What it is called.
    pub title: String,
    /// What it teaches, in a sentence.
    pub about: String,
    /// What the class is told at the start.
    pub given: String,
    /// How the bench is set: name and value as typed.
    pub set: Vec<(String, String)>,
    /// What is wrong: names of the catalogue of faults.
    pub wrong: Vec<String>,
    /// How the bench stands at the start.
    pub begin: Begin,
    /// It ends after this time, s.
    pub seconds: u64,
    /// What is said to the class on the way: when, s, and what.
    pub tells: Vec<(u64, String)>,
    /// What is right, in order.
    pub steps: Vec<Step>,
    /// What is wrong to do.
    pub nots: Vec<Not>,
    /// What must not happen.
    pub nevers: Vec<Never>,
    /// What is said afterwards.
    pub debrief: String,
    /// Where that is from.
    pub source: String,
}

/// Something to be done.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// The act, by its name.
    pub act: String,
    /// From when it is due.
    pub when: When,
    /// Within this time of that, s.
    pub within_s: u64,
    /// Why.
    pub why: String,
}

/// Something not to be done.
#[derive(Debug, Clone, PartialEq)]
pub struct Not {
    /// The act, by its name.
    pub act: String,
    /// While this holds.
    pub meanwhile: Meanwhile,
    /// Why.
    pub why: String,
}

/// While what an act is wrong.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Meanwhile {
    /// At any time.
    Always,
    /// While the hose holds pressure.
    Pressure,
    /// While the motor runs.
    Running,
    /// As long as that act has not been done.
    Before(String),
}

/// Something that must not happen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Never {
    /// What.
    pub happening: Happening,
    /// Why.
    pub why: String,
}

static ALL: LazyLock<Vec<Drill>> = LazyLock::new(|| {
    // every block of the file is read by a test; one that is not readable is left out
    let blocks = text::blocks(include_str!("../../../data/bench/drills.txt"));
    blocks.into_iter().filter_map(Result::ok).collect()
});

/// Every drill, in the order of the file.
pub fn all() -> &'static [Drill] {
    &ALL
}

/// The drill of this name.
pub fn named(key: &str) -> Option<&'static Drill> {
    ALL.iter().find(|drill| drill.key == key)
}
