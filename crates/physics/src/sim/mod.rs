//! The run of a station: vessels, valves and a compressor through time.
//!
//! Start at [`Plant`] (what there is) and [`Sim`] (what happens). A forecast,
//! a diagnosis and a teaching bench all step the same `Sim`: advance to a
//! moment or until a watched pressure is reached, change a control, go on.
//! Not here: how a station file becomes a plant, what an operator decides.
//!
//! Invariants: mass and energy are conserved by construction (every flow enters
//! two rows of the equations and their Jacobian with the same number); a run
//! that cannot go on says why; no valve can switch without end.

mod accuracy;
mod change;
mod engine;
mod event;
mod layout;
mod locate;
mod lu;
mod modes;
mod plant;
mod rates;
mod reading;
pub mod rosenbrock;
mod stream;
mod totals;

pub use change::Fresh;
pub use engine::{Outcome, Sim, Start};
pub use event::{Balance, Control, Event, EventKind, Snapshot, StopReason, VesselReading, Watch};
pub use plant::{
    Action, AutoValve, Compressor, Disc, End, Gate, HandValve, Link, Plant, PlantError, Thermal,
    Vessel,
};

#[cfg(test)]
mod tests;
