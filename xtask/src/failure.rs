//! One broken invariant, and how it is printed.

use std::fmt;

/// A broken invariant: where, what, why it matters, what to do.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Failure {
    pub path: String,
    /// Counted from 1.
    pub line: usize,
    pub what: String,
    pub why: String,
    pub remedy: String,
}

impl Failure {
    /// A failure at a line of a file.
    pub fn at(path: &str, line: usize, what: impl Into<String>) -> Self {
        Failure {
            path: path.into(),
            line,
            what: what.into(),
            why: String::new(),
            remedy: String::new(),
        }
    }

    /// Says why it matters.
    pub fn why(mut self, why: impl Into<String>) -> Self {
        self.why = why.into();
        self
    }

    /// Says what to do.
    pub fn remedy(mut self, remedy: impl Into<String>) -> Self {
        self.remedy = remedy.into();
        self
    }
}

impl fmt::Display for Failure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Failure {
            path,
            line,
            what,
            why,
            remedy,
        } = self;
        write!(f, "{path}:{line}: {what}; {why}; {remedy}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_line_with_place_cause_and_remedy() {
        let failure = Failure::at("a/b.rs", 7, "todo! is left")
            .why("w")
            .remedy("finish it");
        assert_eq!(failure.to_string(), "a/b.rs:7: todo! is left; w; finish it");
    }
}
