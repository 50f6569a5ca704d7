//! An air test against a standard: what passes, what fails, what cannot be told.
//!
//! Start at [`judge`]. [`standards`] lists the standards held, as data files
//! with the source and certainty of every value; [`Standard::read`] reads one
//! of the owner's own. A result is text as the laboratory or the tube gives it
//! ([`Measured`]). Not here: reading files, screens, air for lines below
//! 40 bar, and any word that air is safe to breathe: the strongest is "no
//! reason found to stop".
//! Invariant: a verdict names the standard and its edition; it does not depend
//! on the order of the results, nor on the units beyond what converting them
//! leaves uncertain.

mod advice;
mod amount;
mod answer;
mod beside;
mod choose;
mod compare;
mod due;
mod elsewhere;
mod find;
mod judge;
mod measurand;
mod mistake;
mod read;
mod standard;
mod words;

#[cfg(test)]
mod tests;

pub use amount::{Amount, Reading, Seen};
pub use answer::{
    Advice, Bounds, Due, DueState, Judged, Margin, Otherwise, Outcome, OutcomeThere, Overall,
    Verdict,
};
pub use beside::{Beside, Column, beside};
pub use due::due;
pub use find::{find, standards};
pub use judge::{Context, Point, Results, judge};
pub use measurand::{Measurand, Measured};
pub use mistake::{At, Mistake};
pub use standard::{Allowed, Bound, Certainty, CylinderSpan, Interval, Limit, Standard};
