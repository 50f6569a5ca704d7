//! Tests of the gas model against data from outside, against identities, and
//! of the fast tables against the equation.
//!
//! What the reference files hold, and how they were made, stands in their
//! headers under `tests/data`.

#![allow(clippy::unwrap_used, clippy::panic)]

mod air;
mod data;
mod errors;
mod identities;
mod isotherm;
mod port;
mod reference;
mod table;
mod worked;
