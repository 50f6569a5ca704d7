//! Tests of the station file from outside: only what other crates can see.

#![allow(clippy::expect_used, reason = "helpers of tests may fail as tests do")]

mod common;
mod files;
mod problems;
mod properties;
mod writing;
