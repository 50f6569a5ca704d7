//! The run companion: it watches, it does not control. What the operator did is in the book; where
//! the run stands follows from that, from what was expected, and from the clock.
//!
//! Start at [`look::look`] and [`view::Scene::view`]. [`stage`] decides where a run stands, a pure
//! function; [`act`] writes down what was done, [`amend`] what is
//! told of it later; [`start`] begins a run.

pub mod act;
pub mod amend;
pub mod course;
pub mod judge;
pub mod log;
pub mod look;
pub mod stage;
pub mod start;
pub mod steps;
pub mod view;
mod waited;

#[cfg(test)]
mod tests;

pub use look::Courses;
