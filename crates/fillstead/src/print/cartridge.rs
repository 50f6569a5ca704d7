//! The tag at the compressor: when the cartridge was changed, by whom, signed.
//!
//! 29 CFR 1910.134(i)(5)(iv) asks for a tag at the compressor with the most recent change date and
//! the signature of the person authorised to make the change (clause and wording from memory).
//! Not here: what is due ([`crate::usecase::book::sheet::cartridge`] takes it as given).

use askama::Template;
use serde::Serialize;

use super::Head;

/// The tag at the compressor.
#[derive(Clone, Debug, PartialEq, Serialize, Template)]
#[template(path = "print/cartridge.html")]
pub struct CartridgeTag {
    /// Whose, when.
    pub head: Head,
    /// The day it holds for.
    pub day: String,
    /// The latest change; none where none is recorded.
    pub change: Option<Change>,
    /// What the maker rates it for, as the station file says.
    pub rated: Option<String>,
    /// What the hour meter reads when these hours are over.
    pub rated_end: Option<String>,
    /// The interval in force, with its source.
    pub interval: Option<String>,
    /// When it is next due, in the words of whoever knows; none: left for the pencil.
    pub next_due: Option<String>,
    /// What cannot be so, or not be known.
    pub doubts: Vec<String>,
}

/// A change of the cartridge.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Change {
    /// Its entry.
    pub no: u64,
    /// The day.
    pub on: String,
    /// Who changed it.
    pub by: String,
    /// The hour meter then.
    pub at_hours: Option<String>,
    /// What was put in.
    pub put_in: Option<String>,
    /// Running hours since, and what they rest on.
    pub since: String,
    /// The entry was corrected by this one.
    pub corrected: Option<u64>,
}
