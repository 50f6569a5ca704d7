//! A standard as data: limits, where each holds, where each comes from.
//!
//! Not here: the text of one ([`super::read`]), which are held
//! ([`super::find`]).

use quantity::GaugePressure;
use serde::Serialize;

use super::judge::Point;
use super::measurand::Measurand;

/// A standard, in one edition.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Standard {
    /// What it is called.
    pub name: String,
    /// Which edition the values belong to.
    pub edition: String,
    /// For whom, and what is left out.
    pub purpose: String,
    /// Its limits, in the order of its file.
    pub limits: Vec<Limit>,
    /// How often air is to be tested.
    pub interval: Option<Interval>,
}

/// One limit and where it holds.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Limit {
    /// Of what.
    pub what: Measurand,
    /// What is allowed.
    pub allowed: Allowed,
    /// Where the sample is taken; anywhere where none.
    pub point: Option<Point>,
    /// For cylinders of which pressure; any where none.
    pub cylinder: Option<CylinderSpan>,
    /// Machines without oil in the air's way need not be tested for it.
    pub not_for_oil_free: bool,
    /// What else the standard says here.
    pub note: String,
    /// Where the value was seen.
    pub source: String,
    /// How sure that is.
    pub certainty: Certainty,
}

/// What is allowed.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Allowed {
    /// An amount within bounds; at least one of them is there.
    Within {
        /// Least.
        least: Option<Bound>,
        /// Most.
        most: Option<Bound>,
    },
    /// None that can be noticed.
    NoneAtAll,
    /// None to speak of.
    NoneSignificant,
}

/// A bound as printed, and in the unit compared.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Bound {
    /// As the standard prints it.
    pub text: String,
    /// In [`Measurand::unit`].
    pub value: f64,
}

/// The filling pressures of cylinders a limit is for, gauge.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CylinderSpan {
    /// As written.
    pub text: String,
    /// From this pressure, Pa.
    pub from_pa: f64,
    /// Only above, not at it.
    pub only_above: bool,
    /// To this pressure, it included, Pa; infinite where open.
    pub to_pa: f64,
}

/// How often.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Interval {
    /// As a rule after so many months.
    pub usual_months: u16,
    /// At the latest.
    pub latest_months: u16,
    /// What else it says.
    pub note: String,
    /// Where it was seen.
    pub source: String,
    /// How sure that is.
    pub certainty: Certainty,
}

/// How sure a value of a standard is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Certainty {
    /// Read in a copy of the text itself.
    Text,
    /// A government publication quotes it; the text itself was not seen.
    Quoted,
    /// A secondary page prints it.
    Secondary,
    /// From memory.
    Memory,
    /// The owner's own rule.
    Owner,
}

impl Certainty {
    /// Every one, with the word for it in a standard's file.
    pub const WORDS: [(&'static str, Certainty); 5] = [
        ("text", Self::Text),
        ("quoted", Self::Quoted),
        ("secondary", Self::Secondary),
        ("memory", Self::Memory),
        ("owner", Self::Owner),
    ];

    /// What it means.
    pub fn meaning(self) -> &'static str {
        match self {
            Self::Text => "read in a copy of the text",
            Self::Quoted => "unverified: quoted by a government publication, the text not seen",
            Self::Secondary => "unverified: from secondary pages, the text not seen",
            Self::Memory => "unverified: from memory",
            Self::Owner => "the owner's own rule",
        }
    }

    /// Not seen in the standard itself.
    pub fn is_unverified(self) -> bool {
        matches!(self, Self::Quoted | Self::Secondary | Self::Memory)
    }
}

impl Standard {
    /// `EN 12021 (2014)`: never the name without the edition.
    pub fn title(&self) -> String {
        format!("{} ({})", self.name, self.edition)
    }
}

impl CylinderSpan {
    /// Whether cylinders of this pressure belong to it.
    pub fn holds(&self, pressure: GaugePressure) -> bool {
        /// Rounding of psi to bar and back.
        const ROUNDING: f64 = 1e-9;
        let p = pressure.as_pascal();
        let above = if self.only_above {
            p > self.from_pa * (1.0 + ROUNDING)
        } else {
            p >= self.from_pa * (1.0 - ROUNDING)
        };
        above && p <= self.to_pa * (1.0 + ROUNDING)
    }

    /// Whether such cylinders are below all of it.
    pub(super) fn is_above(&self, pressure: GaugePressure) -> bool {
        !self.holds(pressure) && pressure.as_pascal() <= self.from_pa
    }
}

impl Limit {
    /// `at most 35 mg/m3 (in a cylinder, over 200 bar)`.
    pub fn in_words(&self) -> String {
        let place = [
            self.point.map(|p| p.in_words().to_owned()),
            self.cylinder.as_ref().map(|c| match self.point {
                Some(Point::Cylinder) => c.text.clone(),
                _ => format!("for cylinders of {}", c.text),
            }),
        ];
        let place: Vec<String> = place.into_iter().flatten().collect();
        match place.is_empty() {
            true => self.allowed.in_words(),
            false => format!("{} ({})", self.allowed.in_words(), place.join(", ")),
        }
    }
}

impl Allowed {
    fn in_words(&self) -> String {
        match self {
            Self::Within {
                least: Some(least),
                most: Some(most),
            } => {
                format!("{} to {}", least.text, most.text)
            }
            Self::Within {
                least: Some(least),
                most: None,
            } => format!("at least {}", least.text),
            Self::Within {
                least: None,
                most: Some(most),
            } => format!("at most {}", most.text),
            Self::Within {
                least: None,
                most: None,
            } => "anything".into(),
            Self::NoneAtAll => "none".into(),
            Self::NoneSignificant => "none significant".into(),
        }
    }

    /// The most allowed, to order limits by strictness.
    pub(super) fn most(&self) -> f64 {
        match self {
            Self::Within {
                most: Some(most), ..
            } => most.value,
            Self::Within { .. } => f64::INFINITY,
            Self::NoneAtAll | Self::NoneSignificant => 0.0,
        }
    }
}
