//! From the text of a station file to a forecast: trade facts, definitions of rates, settled
//! pressures, properties, refusals, variants of the air path, and text nobody meant to write.

#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "helpers of tests may fail as tests do"
)]

mod air_path;
mod common;
mod corpus;
mod faults;
mod logged;
mod members;
mod properties;
mod random_stations;
mod rates;
mod refusals;
mod settling;
mod trade;
mod water;
