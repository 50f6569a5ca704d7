//! The whole program, run as a person runs it: output, errors, exit status.

#![allow(clippy::unwrap_used, reason = "helpers of tests may fail as tests do")]

mod air;
mod audit;
mod book_begin;
mod book_evening;
mod book_print;
mod book_transfer;
mod card;
mod common;
mod convert;
mod cylinder;
mod diagnose;
mod drawing;
mod forecast;
mod json;
mod mistakes;
mod serving;
mod station_check;
mod station_new;
mod vent;
