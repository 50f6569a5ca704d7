//! What is wrong with what was given: the place, the cause, the remedy.
//!
//! Not here: how it is shown.

use std::fmt;

/// Something given that cannot be used. Cause and remedy are parts of a
/// sentence, without a capital and without a full stop.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Mistake {
    /// Where it stands.
    pub at: At,
    /// What is wrong.
    pub cause: String,
    /// What to do about it.
    pub remedy: String,
}

/// Where a mistake stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum At {
    /// In no one place.
    Whole,
    /// In this result, counted from 0 in [`super::Results::values`].
    Result(usize),
    /// In the day of sampling.
    Sampled,
    /// In this line of a standard's text, counted from 1.
    Line(usize),
}

impl Mistake {
    /// A mistake in no one place yet.
    pub(super) fn new(cause: impl Into<String>, remedy: impl Into<String>) -> Self {
        Self {
            at: At::Whole,
            cause: cause.into(),
            remedy: remedy.into(),
        }
    }

    /// The same, at this place.
    pub(super) fn at(self, at: At) -> Self {
        Self { at, ..self }
    }
}

impl fmt::Display for Mistake {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let At::Line(line) = self.at {
            write!(f, "line {line}: ")?;
        }
        write!(f, "{}: {}", self.cause, self.remedy)
    }
}

impl std::error::Error for Mistake {}
