//! Tests of the moisture model against published values, an independent
//! evaluation, identities and the fast table against the method.
//!
//! What the reference files hold, and how they were made, stands in their
//! headers under `tests/data`.

#![allow(clippy::unwrap_used, clippy::panic)]

mod data;
mod errors;
mod published;
mod roundtrip;
mod sweep;
mod table;
mod worked;
