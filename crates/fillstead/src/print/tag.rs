//! Tags for cylinders: what is in it, or that it must not be used, and why.
//!
//! Not here: what is decided about a cylinder ([`crate::usecase::book::sheet::tag`]).

use askama::Template;
use serde::Serialize;

use super::{Head, Shown};

/// Tags to cut out.
#[derive(Clone, Debug, PartialEq, Serialize, Template)]
#[template(path = "print/tag.html")]
pub struct TagSheet {
    /// Whose, when.
    pub head: Head,
    /// The day they hold for.
    pub day: String,
    /// In the order asked, each as often as asked.
    pub tags: Vec<Tag>,
}

/// One tag.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Tag {
    /// The cylinder.
    pub cylinder: String,
    /// Size and rating: `12 L steel, working 232 bar`.
    pub about: String,
    /// Working pressure in both units.
    pub working: Option<Shown>,
    /// What it says.
    pub says: Says,
    /// Whose it is.
    pub owner: String,
    /// A code that names it, as SVG.
    #[serde(skip)]
    pub code: Option<String>,
    /// Beside the tag: the gate's verdict, reasons with their remedy, what to know.
    pub beside: Vec<String>,
}

/// What a tag says.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Says {
    /// Filled, and nothing was found against it.
    Filled(Box<Filled>),
    /// Nothing was found against it, and no fill is recorded: the rest is for the pencil.
    NoFill {
        /// The last day or month it may be filled.
        until: String,
    },
    /// Not to be used.
    Not {
        /// `SET ASIDE` or `DO NOT USE`.
        word: &'static str,
        /// Why, each in a clause.
        reasons: Vec<String>,
        /// What to do with it.
        then: &'static str,
    },
}

/// A fill, for a tag.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Filled {
    /// Its entry.
    pub no: u64,
    /// The day.
    pub on: String,
    /// Who filled it.
    pub by: String,
    /// Once cold, and how warm it was; none where it was not read.
    pub settled: Option<Shown>,
    /// What `settled` is: `Settled, at 15 °C`, or `Stopped at, warm`.
    pub pressure_is: String,
    /// The last day or month it may be filled.
    pub until: String,
}

impl Tag {
    /// How big its name may be written: 1, the biggest, to 4.
    pub fn size(&self) -> usize {
        match self.cylinder.chars().count() {
            ..=8 => 1,
            9..=14 => 2,
            15..=26 => 3,
            _ => 4,
        }
    }
}
