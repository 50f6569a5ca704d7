//! The book as its users meet it: files on a disk, written, read, altered, damaged.

#![allow(clippy::unwrap_used, reason = "helpers of tests may fail as tests do")]
#![allow(
    clippy::print_stdout,
    reason = "a test that runs in a process of its own tells by it"
)]

mod common;
mod copies;
mod damage;
mod drawing;
mod places;
mod tampering;
mod writing;
