//! What stands on every sheet: whose it is, when it was printed, the seal of the book.
//!
//! Not here: what any one sheet is about.

use std::fmt;

use serde::Serialize;

/// What stands on every sheet.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Head {
    /// The station.
    pub station: String,
    /// Demonstration data: no such station exists.
    pub invented: bool,
    /// Time zone of all times on the sheet.
    pub zone: String,
    /// When it was printed, to the minute.
    pub printed: String,
    /// The program and its version.
    pub program: &'static str,
    /// The paper it is laid out for.
    pub paper: Paper,
    /// The seal of the book when it was printed.
    pub seal: Option<Seal>,
}

impl Head {
    /// The font, as a data URI holds it.
    pub fn font(&self) -> &'static str {
        &super::FONT_TEXT
    }
}

/// Number and hash of an entry: all before it is as it was while this fits.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Seal {
    /// The entry.
    pub entry: u64,
    /// The first 16 hex digits of its hash.
    pub hash: String,
}

/// `41:9f2c...`: digits and letters only, so that it may stand in a style too.
impl fmt::Display for Seal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let hash: String = self
            .hash
            .chars()
            .filter(char::is_ascii_hexdigit)
            .take(16)
            .collect();
        write!(f, "{}:{hash}", self.entry)
    }
}

impl Serialize for Seal {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

/// A size of paper.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Paper {
    /// 210 x 297 mm.
    #[default]
    A4,
    /// 8.5 x 11 in.
    Letter,
}

/// Its name in a style.
impl fmt::Display for Paper {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Paper::A4 => "A4",
            Paper::Letter => "letter",
        })
    }
}
