//! Why a text could not be read as a quantity, and what to write instead.

use std::error::Error;
use std::fmt;
use std::ops::Range;

/// A text that is not the quantity wanted. Its `Display` is one sentence with
/// the cause and the remedy.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ParseError {
    /// The whole text as given.
    pub text: String,
    /// The bytes of `text` that are at fault.
    pub span: Range<usize>,
    /// What is wrong with them.
    pub reason: Reason,
    /// What would be accepted: `a gauge pressure such as 232 bar, 3300 psi`.
    pub accepted: String,
}

/// What is wrong.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Reason {
    /// Nothing but spaces.
    Empty,
    /// The text does not begin with a number.
    NoNumber,
    /// The number has two points, misplaced commas or a space inside.
    BadNumber,
    /// A comma where the decimal point belongs.
    DecimalComma {
        /// The whole text with the point in its place.
        write: String,
    },
    /// No finite number holds it.
    TooLarge,
    /// Less than can exist, such as a temperature below absolute zero.
    BelowLeast,
    /// A number alone.
    MissingUnit,
    /// A unit of nothing known here.
    UnknownUnit,
    /// A unit of another kind of quantity.
    WrongKind {
        /// That other kind.
        is: &'static str,
    },
    /// A pressure marked absolute where a gauge pressure is wanted.
    AbsoluteForGauge,
    /// A pressure marked gauge where an absolute pressure is wanted.
    GaugeForAbsolute,
    /// A small m for a capital M, or the reverse.
    CaseMatters {
        /// The unit that may have been meant.
        meant: &'static str,
    },
    /// Not minutes:seconds or hours:minutes:seconds.
    BadClock,
    /// In `1 h 30 min`, a unit that is not smaller than the one before it.
    UnitOrder,
}

impl ParseError {
    /// The part of the text at fault.
    #[must_use]
    pub fn fault(&self) -> &str {
        self.text.get(self.span.clone()).unwrap_or("")
    }

    /// What is wrong: the first half of the sentence.
    #[must_use]
    pub fn cause(&self) -> String {
        let text = quoted(self.text.trim());
        let fault = quoted(self.fault());
        match &self.reason {
            Reason::Empty => "nothing is written here".to_owned(),
            Reason::NoNumber => format!("{text} does not begin with a number"),
            Reason::BadNumber => format!("{fault} is not one plain number"),
            Reason::DecimalComma { .. } => format!("{text} has a decimal comma"),
            Reason::TooLarge => format!("{text} is too large to be meant"),
            Reason::BelowLeast => format!("{text} is less than there can be"),
            Reason::MissingUnit => format!("{fault} has no unit"),
            Reason::UnknownUnit => format!("{fault} is not a unit known here"),
            Reason::WrongKind { is } => format!("{text} is {} {is}", article(is)),
            Reason::AbsoluteForGauge => format!("{text} is an absolute pressure"),
            Reason::GaugeForAbsolute => format!("{text} is a gauge pressure"),
            Reason::CaseMatters { .. } => {
                format!("{fault} is not clear, because m and M are different sizes")
            }
            Reason::BadClock => format!(
                "{text} is not minutes:seconds, with two digits from 00 to 59 after each colon"
            ),
            Reason::UnitOrder => format!("{text} does not go from larger to smaller units"),
        }
    }

    /// What to do about it: the second half of the sentence.
    #[must_use]
    pub fn remedy(&self) -> String {
        let accepted = &self.accepted;
        let atmosphere =
            "the surrounding atmosphere (about 1.013 bar or 14.7 psi at sea level) and";
        match &self.reason {
            Reason::DecimalComma { write } => format!("write {}", harmless(write)),
            Reason::CaseMatters { meant } => format!("write {meant} if that is meant"),
            Reason::AbsoluteForGauge => format!("take off {atmosphere} write {accepted}"),
            Reason::GaugeForAbsolute => format!("add {atmosphere} write {accepted}"),
            _ => format!("write {accepted}"),
        }
    }
}

impl fmt::Display for ParseError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}", self.cause(), self.remedy())
    }
}

impl Error for ParseError {}

/// `a` or `an`, by the first letter.
pub(crate) fn article(noun: &str) -> &'static str {
    if noun.starts_with(['a', 'e', 'i', 'o', 'u']) {
        "an"
    } else {
        "a"
    }
}

/// The text with nothing that could upset a terminal.
fn harmless(text: &str) -> String {
    text.replace(char::is_control, "\u{fffd}")
}

/// The text in quotation marks.
fn quoted(text: &str) -> String {
    format!("\"{}\"", harmless(text))
}
