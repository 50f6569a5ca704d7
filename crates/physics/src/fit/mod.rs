//! Fitting a model to readings: the likeliest parameters, how sure they are, how well it explains.
//!
//! Start at [`fit`]. Parameters are standard numbers `z`, each with a normal prior of mean 0 and
//! standard deviation 1; the caller turns them into settings. What several models say together is
//! in [`mixture`]. Not here: any model of a machine.
//!
//! Invariant: no state and no randomness; the same readings give the same fit.

pub mod mixture;
mod solve;
mod student;

pub use solve::{Fit, Predicted, Readings, careful, fit};

#[cfg(test)]
mod tests;
