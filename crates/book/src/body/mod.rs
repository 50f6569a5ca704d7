//! Everything that can be entered: one type for each kind, and the table of kinds.
//!
//! Start at [`Body`]. A kind's form has a version. To change a form, keep the old one here as it
//! is, give the new one the next version in `KINDS`, and turn old into new in [`Body::read`]: what
//! is in a ledger is never rewritten.
//! Figures are [`Measure`](crate::Measure)s: as typed, and SI. Days are texts such as `2026-05-20`
//! or `2026-05`, as stamps give them.

mod air;
mod check;
mod cylinder;
mod general;
mod machine;
mod run;

use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};
use thiserror::Error;

pub use air::{AirTest, CauseRecorded, Outcome, Released, SymptomReported};
pub use check::{CheckKept, SettingKept};
pub use cylinder::{
    Check, CylinderCondemned, CylinderInspected, CylinderLeft, CylinderRegistered, Material, Use,
};
pub use general::{
    Becomes, BookBegun, Correction, IntervalSet, Note, PriceSet, Priced, RulesChosen,
    StationRevised,
};
pub use machine::{Parked, Part, PartReplaced, PartTested, Valve, ValveSet};
pub use run::{
    Drained, Fill, FillRefused, Gate, Overridden, Planned, Reading, Refusal, RunStarted, RunStopped,
};

use crate::query::Subject;

/// Why a body cannot be read.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum BodyError {
    /// Written by a later program.
    #[error("a kind of entry this program does not know: {kind}, version {version}")]
    Unknown {
        /// The kind.
        kind: String,
        /// Its version.
        version: u32,
    },
    /// Damaged, or not written by this program.
    #[error("its body does not read: {0}")]
    Damaged(String),
}

/// Declares the table of kinds: the enum of bodies and what goes with each.
macro_rules! kinds {
    ($( $(#[$doc:meta])* $body:ident = $name:literal $version:literal $called:literal; )+) => {
        /// The body of an entry.
        #[derive(Clone, Debug, PartialEq)]
        pub enum Body {
            $( $(#[$doc])* $body($body), )+
        }

        /// A kind of entry.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
        pub enum Kind {
            $( $(#[$doc])* $body, )+
        }

        impl Kind {
            /// Every kind.
            pub const ALL: &[Kind] = &[$(Kind::$body),+];

            /// Its name in the ledger.
            pub fn name(self) -> &'static str {
                match self { $(Kind::$body => $name),+ }
            }

            /// What people call it.
            pub fn called(self) -> &'static str {
                match self { $(Kind::$body => $called),+ }
            }

            /// The version of its form today.
            pub fn version(self) -> u32 {
                match self { $(Kind::$body => $version),+ }
            }
        }

        impl Body {
            /// Its kind.
            pub fn kind(&self) -> Kind {
                match self { $(Body::$body(_) => Kind::$body),+ }
            }

            /// As it is stored.
            ///
            /// # Errors
            /// A figure that JSON cannot hold, such as infinity.
            pub fn json(&self) -> Result<String, BodyError> {
                match self { $(Body::$body(body) => json(body)),+ }
            }

            /// Reads a body of the version current today.
            fn current(kind: Kind, text: &str) -> Result<Body, BodyError> {
                match kind { $(Kind::$body => Ok(Body::$body(read(text)?))),+ }
            }
        }

        $(impl From<$body> for Body {
            fn from(body: $body) -> Body {
                Body::$body(body)
            }
        })+
    };
}

kinds! {
    /// The book was begun.
    BookBegun = "book_begun" 1 "book begun";
    /// The station file as it stands from here on.
    StationRevised = "station_revised" 1 "station revised";
    /// The rules by which cylinders and air are judged from here on.
    RulesChosen = "rules_chosen" 1 "rules chosen";
    /// How often something is due.
    IntervalSet = "interval_set" 1 "interval set";
    /// What something costs.
    PriceSet = "price_set" 1 "price set";
    /// A cylinder on the register, with its stamps.
    CylinderRegistered = "cylinder_registered" 1 "cylinder registered";
    /// A cylinder examined.
    CylinderInspected = "cylinder_inspected" 1 "cylinder inspected";
    /// A cylinder never to be filled again.
    CylinderCondemned = "cylinder_condemned" 1 "cylinder condemned";
    /// A cylinder gone from the register.
    CylinderLeft = "cylinder_left" 1 "cylinder left";
    /// The machine was started.
    RunStarted = "run_started" 1 "run started";
    /// The machine was stopped.
    RunStopped = "run_stopped" 1 "run stopped";
    /// What a gauge showed or somebody saw.
    Reading = "reading" 1 "reading";
    /// A drain was opened.
    Drained = "drained" 1 "drained";
    /// A cylinder was filled.
    Fill = "fill" 1 "fill";
    /// A cylinder was refused.
    FillRefused = "fill_refused" 1 "fill refused";
    /// A valve's setting was moved.
    ValveSet = "valve_set" 1 "valve set";
    /// A part was replaced.
    PartReplaced = "part_replaced" 1 "part replaced";
    /// A part was tested.
    PartTested = "part_tested" 1 "part tested";
    /// An air test's result.
    AirTest = "air_test" 1 "air test";
    /// What a check of the machine found.
    CheckKept = "check_kept" 1 "check kept";
    /// The machine was put by.
    Parked = "parked" 1 "parked";
    /// Somebody felt unwell, or the air smelt.
    SymptomReported = "symptom_reported" 1 "symptom reported";
    /// Why it happened.
    CauseRecorded = "cause_recorded" 1 "cause recorded";
    /// What was set aside is free again.
    Released = "released" 1 "released";
    /// Anything else.
    Note = "note" 1 "note";
    /// An earlier entry put right, or withdrawn.
    Correction = "correction" 1 "correction";
}

impl Kind {
    /// The kind of this name.
    pub fn named(name: &str) -> Option<Kind> {
        Kind::ALL.iter().copied().find(|kind| kind.name() == name)
    }
}

impl Body {
    /// Reads a stored body of any version there has been.
    ///
    /// # Errors
    /// A kind or version of a later program, or a text that does not read.
    pub fn read(kind: &str, version: u32, text: &str) -> Result<Body, BodyError> {
        match Kind::named(kind) {
            Some(known) if version == known.version() => Body::current(known, text),
            _ => Err(BodyError::Unknown {
                kind: kind.to_owned(),
                version,
            }),
        }
    }

    /// Whom and what it is about: where it is found again.
    pub fn subjects(&self) -> Vec<Subject> {
        let cylinder = |id: &str| Subject::Cylinder(id.to_owned());
        let person = |name: &Option<String>| name.clone().map(Subject::Person);
        match self {
            Body::CylinderRegistered(b) => vec![cylinder(&b.cylinder)],
            Body::CylinderInspected(b) => vec![cylinder(&b.cylinder)],
            Body::CylinderCondemned(b) => vec![cylinder(&b.cylinder)],
            Body::CylinderLeft(b) => vec![cylinder(&b.cylinder)],
            Body::Fill(b) => [Some(cylinder(&b.cylinder)), person(&b.person)]
                .into_iter()
                .flatten()
                .collect(),
            Body::FillRefused(b) => [Some(cylinder(&b.cylinder)), person(&b.person)]
                .into_iter()
                .flatten()
                .collect(),
            Body::SymptomReported(b) => [b.cylinder.as_deref().map(cylinder), person(&b.person)]
                .into_iter()
                .flatten()
                .collect(),
            Body::Released(b) => b.cylinders.iter().map(|id| cylinder(id)).collect(),
            Body::AirTest(b) => b.cylinder.as_deref().map(cylinder).into_iter().collect(),
            Body::ValveSet(b) => vec![Subject::Part(b.valve.part().key().to_owned())],
            Body::PartReplaced(b) => vec![Subject::Part(b.part.key().to_owned())],
            Body::PartTested(b) => vec![Subject::Part(b.part.key().to_owned())],
            Body::IntervalSet(b) => vec![Subject::Part(b.part.key().to_owned())],
            Body::Note(b) => b.cylinder.as_deref().map(cylinder).into_iter().collect(),
            _ => Vec::new(),
        }
    }
}

/// A body as compact JSON, keys in the order of the form.
fn json(body: &impl Serialize) -> Result<String, BodyError> {
    serde_json::to_string(body).map_err(|error| BodyError::Damaged(error.to_string()))
}

fn read<T: DeserializeOwned>(text: &str) -> Result<T, BodyError> {
    serde_json::from_str(text).map_err(|error| BodyError::Damaged(error.to_string()))
}

/// A body with its kind and version, as a correction carries one.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Packed {
    /// Name of the kind.
    pub kind: String,
    /// Version of its form.
    pub version: u32,
    /// The body.
    pub body: serde_json::Value,
}

impl Packed {
    /// Packs a body.
    ///
    /// # Errors
    /// A figure that JSON cannot hold.
    pub fn of(body: &Body) -> Result<Packed, BodyError> {
        let kind = body.kind();
        Ok(Packed {
            kind: kind.name().to_owned(),
            version: kind.version(),
            body: read(&body.json()?)?,
        })
    }

    /// Unpacks it.
    ///
    /// # Errors
    /// As [`Body::read`].
    pub fn unpack(&self) -> Result<Body, BodyError> {
        Body::read(&self.kind, self.version, &self.body.to_string())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_kind_has_a_name_of_its_own() {
        let mut names: Vec<&str> = Kind::ALL.iter().map(|kind| kind.name()).collect();
        names.sort_unstable();
        names.dedup();
        assert_eq!(names.len(), Kind::ALL.len());
        assert!(Kind::ALL.iter().all(|k| Kind::named(k.name()) == Some(*k)));
    }

    #[test]
    fn a_later_version_is_told_from_a_damaged_text() {
        let later = Body::read("note", 2, "{}").unwrap_err();
        assert!(
            matches!(later, BodyError::Unknown { version: 2, .. }),
            "{later}"
        );
        let damaged = Body::read("note", 1, "{\"text\":").unwrap_err();
        assert!(matches!(damaged, BodyError::Damaged(_)), "{damaged}");
        let strange = Body::read("note", 1, r#"{"text":"a","more":1}"#).unwrap_err();
        assert!(matches!(strange, BodyError::Damaged(_)), "{strange}");
    }
}
