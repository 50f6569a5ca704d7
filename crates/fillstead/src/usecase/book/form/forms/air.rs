//! Forms about the air: symptoms, causes, release. Air tests come from a file of results.

use book::Kind;

use crate::usecase::book::form::Form;
use crate::usecase::book::form::field::Type::{Several, Text, Whole};
use crate::usecase::book::form::field::{first, may, must};

const UNWELL: &str = "Somebody unwell: give oxygen where it is at hand and call a doctor first. Keep the \
    cylinder shut and its air for analysis. Nothing is filled until the cause is written down.";

/// Somebody felt unwell, or the air smelt: filling is locked until the cause is known.
pub static SYMPTOM: Form = Form {
    kind: Kind::SymptomReported,
    name: "symptom",
    about: "Somebody felt unwell, or the air smelt: filling is locked until the cause is known",
    caution: UNWELL,
    fields: &[
        first("what", "what", "headache after the dive", Text),
        may("person", "who", "a member", Text),
        may("cylinder", "what was breathed from", "A2", Text),
    ],
};

/// Why a symptom or a failed air test came about, and what was done.
pub static CAUSE: Form = Form {
    kind: Kind::CauseRecorded,
    name: "cause",
    about: "Why a symptom or a failed air test came about, and what was done",
    caution: "",
    fields: &[
        first("of", "number of the entry it explains", "41", Whole),
        must("cause", "cause", "engine exhaust at the intake", Text),
        must(
            "done",
            "what was done",
            "intake moved upwind and tested",
            Text,
        ),
    ],
};

/// Cylinders set aside are free again.
pub static RELEASE: Form = Form {
    kind: Kind::Released,
    name: "release",
    about: "Cylinders set aside are free again",
    caution: "Only a measurement speaks of air: vent what is in them, or have it tested.",
    fields: &[
        first("of", "number of the entry that set them aside", "41", Whole),
        may(
            "cylinders",
            "which; all of them unless given",
            "A1; A2",
            Several,
        ),
        must(
            "why",
            "why",
            "vented to nothing after the new sample passed",
            Text,
        ),
    ],
};
