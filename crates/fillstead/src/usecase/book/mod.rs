//! The book: what can be written down, asked, printed, taken out and brought in.
//!
//! Start at [`desk`] (opening, who writes) and [`add`]. Not here: the records themselves (the crate
//! `book`) and what follows from them by computation (`insight`). Here rows of the book become facts
//! that rules can look at.

pub mod add;
mod against;
pub mod air;
pub mod air_test;
pub mod begin;
pub mod calendar;
pub mod choices;
pub mod correct;
pub mod cost;
pub mod cylinder;
pub mod demo;
pub mod desk;
pub mod drift;
pub mod due;
pub mod facts;
pub mod form;
pub mod gate;
pub mod hours;
pub mod keep;
mod line;
pub mod list;
pub mod log;
pub mod machine;
pub mod records;
pub mod sheet;
pub mod shelf;
pub mod trace;
pub mod transfer;
pub mod words;
