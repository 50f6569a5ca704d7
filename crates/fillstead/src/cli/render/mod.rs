//! Answers as text for people.

pub mod air;
pub mod assumed;
pub mod audit;
pub mod book;
pub mod convert;
pub mod cylinder;
pub mod diagnose;
pub mod forecast;
pub mod page;
pub mod problems;
pub mod units;
pub mod vent;
