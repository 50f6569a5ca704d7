//! What every rule uses: findings, sources, and the station prepared once.
//!
//! Not here: any rule.

mod finding;
mod input;
pub(super) mod source;

pub use finding::{Finding, Look, Measure, Severity};
pub use input::AuditInput;
pub use source::Source;

pub(super) use crate::ladder::{Part, Rung, RungKind};
pub(super) use input::above;

/// The caution that stands wherever a setting is wrong.
pub(super) const SETTING: &str = "Turn no valve to fit this: valves are set only as the maker's \
                                  manual says, by someone trained to do it, never under pressure";

/// A rule whose explanation is its documentation: the one text serves both.
macro_rules! rule {
    ($(#[doc = $line:literal])+ $id:literal, $title:literal) => {
        $(#[doc = $line])+
        pub(super) const RULE: super::Rule = super::Rule {
            id: $id,
            title: $title,
            explanation: &[$($line),+],
            check,
        };
    };
}
pub(super) use rule;
