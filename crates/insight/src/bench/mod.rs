//! The bench: a station run by hand, second by second, with things wrong in it on purpose.
//!
//! Start at [`Bench`]: [`Bench::advance`] lets time pass, [`Bench::operate`] is a hand on a valve,
//! [`Bench::put_in`] makes something wrong while it runs. The same simulation and the same water
//! ledger as a forecast's, on a plant whose hoses and drain are told apart. [`drill`] holds
//! exercises as data and their score, [`question`] what a class is asked.
//! Not here: how many benches there are, whose, and what time it is.
//! Invariants: time comes from outside in whole seconds, so the same acts at the same seconds give
//! the same states at any speed; what is hidden is in no [`state::State`]; no book is touched.

pub mod act;
mod begin;
pub mod drill;
mod engine;
mod hands;
mod log;
pub mod question;
pub mod setting;
pub mod state;
mod sump;
mod trouble;
pub mod wrong;

pub use act::Act;
pub use begin::Begin;
pub use engine::{Bench, LONGEST_S, TRACE_S, Trace, UNDO_BAR};
pub use log::{Happening, Note, NoteKind};
pub use setting::Setting;
pub use state::State;
pub use sump::WaterNow;
pub use wrong::Wrong;

/// Why something was not done on the bench: what is the matter and what to do, parts of sentences.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Refused {
    /// What is the matter.
    pub what: String,
    /// What to do.
    pub remedy: String,
}

impl Refused {
    fn new(what: impl Into<String>, remedy: impl Into<String>) -> Refused {
        Refused {
            what: what.into(),
            remedy: remedy.into(),
        }
    }
}

impl From<crate::forecast::request::ForecastError> for Refused {
    fn from(error: crate::forecast::request::ForecastError) -> Refused {
        use crate::forecast::request::ForecastError::{Refused as No, Unfit};
        match error {
            No { why, way_forward } => Refused::new(why, way_forward),
            Unfit { what, remedy } => Refused::new(what, remedy),
            other => Refused::new(
                other.to_string(),
                "set the bench otherwise, or look into the station file",
            ),
        }
    }
}

impl From<physics::sim::PlantError> for Refused {
    fn from(error: physics::sim::PlantError) -> Refused {
        crate::forecast::request::ForecastError::from(error).into()
    }
}

#[cfg(test)]
mod tests;
