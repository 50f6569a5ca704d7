//! What one run leaves behind: events, readings, ends.
//!
//! Not here: making it (see [`super::operate`]).

use crate::assemble::Places;
use physics::sim::rosenbrock::Effort;
use physics::sim::{Balance, Snapshot};

/// What one run did.
#[derive(Debug, Clone)]
pub(super) struct Run {
    pub events: Vec<RunEvent>,
    pub samples: Vec<Snapshot>,
    /// Readings when each cylinder was full.
    pub full: Vec<Option<Snapshot>>,
    /// Readings when each cylinder's fill valve was shut (or at the end).
    pub shut: Vec<Snapshot>,
    pub last: Snapshot,
    pub balance: Balance,
    /// Names of the links, in the order of the balance's masses.
    pub link_names: Vec<String>,
    pub stopped_because: String,
    /// Whether it was run to its end; else `stopped_because` says why it could not be.
    pub whole: bool,
    pub effort: Effort,
    pub places: Places,
    /// Volumes of this member's cylinders, m³.
    pub volumes_m3: Vec<f64>,
    /// Spans in which the machine ran, s.
    pub running: Vec<(f64, f64)>,
}

/// Something that happened in a run.
#[derive(Debug, Clone)]
pub(super) struct RunEvent {
    pub kind: &'static str,
    pub cylinder: Option<usize>,
    pub snapshot: Snapshot,
}

impl Run {
    /// How long the machine ran, s: what an hour meter counts.
    pub fn running_s(&self) -> f64 {
        self.running.iter().map(|(from, to)| to - from).sum()
    }

    /// First moment of an event kind (for a cylinder), s.
    pub fn first(&self, kind: &str, cylinder: Option<usize>) -> Option<f64> {
        let found = self
            .events
            .iter()
            .find(|e| e.kind == kind && e.cylinder == cylinder);
        found.map(|e| e.snapshot.t_s)
    }
}
