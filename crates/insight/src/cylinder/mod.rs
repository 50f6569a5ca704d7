//! Cylinders: what their stamps say, when they are due, whether one may be filled.
//!
//! Start at [`may_fill`], which needs [`CylinderFacts`], a [`Rule`], today and
//! the [`FillLine`]; [`read_stamp`] reads what is on a shoulder. Rules are data:
//! those in `rules.txt` ([`known_rules`]) or an owner's own ([`read_rules`]),
//! each row with its source and how surely that was seen.
//! Not here: a clock (today is an argument), the book's record of fills, and
//! any word that air is fit to breathe.

pub mod answer;
mod due;
mod facts;
mod fill;
mod hot;
mod plus;
mod pressure;
mod rule;
mod rule_text;
mod stamp;
mod stamp_word;
mod tags;
#[cfg(test)]
mod tests;
mod when;

pub use answer::FillAnswer;
pub use facts::{CylinderFacts, PlusConditions, Use};
pub use fill::{FillLine, may_fill};
pub use pressure::BothUnits;
pub use rule::{Check, Demand, Row, Rule, RuleSource, known_rules, rule_named};
pub use rule_text::{RuleError, read_rules};
pub use stamp::{StampDate, StampPressure, StampReading, read_stamp};
pub use when::When;
