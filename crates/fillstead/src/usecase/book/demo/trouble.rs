//! What goes wrong in the year and what is done: landmarks of the story, as data.
//!
//! Each stands at a share of the year's sessions; where the machine is locked then, at the next
//! session. Not here: what follows from simulation (cartridges, air tests), which no table knows.

use super::calendar::{RUSTY_FROM, UNSEEN_FROM, UNTESTED_FROM, UNTESTED_UNTIL};
use super::people::{RUSTY, UNSEEN, UNTESTED};

/// A landmark.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Landmark {
    /// An entry by a form, before the machine is started.
    Entry(&'static str, &'static [(&'static str, &'static str)]),
    /// Somebody brings a cylinder that is not filled: name, pressure wanted, what else hangs there.
    Refused(&'static str, &'static str, &'static str),
    /// The valve is set by a technician.
    PmvSet,
    /// A part is replaced, with the hour meter: part, what, by whom.
    Replaced(&'static str, &'static str, &'static str),
    /// A cylinder was examined on that day: which, how, passed, remark.
    Examined(&'static str, &'static str, &'static str, &'static str),
    /// The next cylinder of the lower rating is filled on somebody's word.
    Override,
    /// A gauge is misread, and put right.
    Misread,
    /// A fill is entered twice, and withdrawn once.
    Twice,
    /// The machine's clock was fast, and is set back.
    Clock,
    /// A sample is taken for the laboratory.
    Sample,
}

use Landmark::{
    Clock, Entry, Examined, Misread, Override, PmvSet, Refused, Replaced, Sample, Twice,
};

/// Share of the sessions at which the valve is set, and the belt replaced.
pub const PMV_SET: f64 = 0.84;
/// The belt.
pub const BELT: f64 = 0.62;
/// Where a symptom is reported: that of the two which lies farther from the warm wet spell.
pub const SYMPTOM: [f64; 2] = [0.22, 0.74];

/// Every landmark with its share of the year's sessions.
pub const LANDMARKS: &[(f64, Landmark)] = &[
    (0.01, Sample),
    (
        0.04,
        Entry(
            "note",
            &[(
                "text",
                "key of the compressor shed is with the rescue boat's crew",
            )],
        ),
    ),
    (0.08, Refused("X9", "232 bar", "")),
    (0.13, Refused("D1", "200 bar", "A3")),
    (0.18, Misread),
    (
        0.26,
        Replaced(
            "hose",
            "new fill hose, old one blistered at the ferrule",
            "a technician",
        ),
    ),
    (0.30, Sample),
    (0.33, Examined("A5", "visual", "yes", "clean")),
    (
        RUSTY_FROM,
        Examined(
            RUSTY,
            "visual",
            "no",
            "pitting at the base, deeper than 0.5 mm",
        ),
    ),
    (0.40, Override),
    (
        0.44,
        Entry(
            "condemn",
            &[
                ("cylinder", RUSTY),
                (
                    "why",
                    "pitting at the base; wall below its least by ultrasound",
                ),
            ],
        ),
    ),
    (0.47, Replaced("oil", "0.4 L, breathing-air grade", "EM")),
    (UNTESTED_FROM, Refused(UNTESTED, "232 bar", "")),
    (0.52, Sample),
    (
        0.55,
        Entry(
            "tested",
            &[
                ("part", "relief"),
                ("passed", "yes"),
                ("measured", "253 bar"),
                ("done-by", "a technician"),
                ("remark", "yearly test on the bench, seal renewed"),
            ],
        ),
    ),
    (
        0.57,
        Entry(
            "note",
            &[(
                "text",
                "charging takes longer than in spring: belt to be looked at",
            )],
        ),
    ),
    (
        UNTESTED_UNTIL,
        Examined(UNTESTED, "test", "yes", "with its visual; new valve seat"),
    ),
    (UNTESTED_UNTIL, Examined(UNTESTED, "visual", "yes", "clean")),
    (
        BELT,
        Replaced(
            "belt",
            "glazed and slipping; pair renewed and tensioned",
            "a technician",
        ),
    ),
    (UNSEEN_FROM + 0.02, Refused(UNSEEN, "232 bar", "")),
    (0.67, Clock),
    (0.70, Refused("D2", "232 bar", "")),
    (0.76, Twice),
    (0.79, Sample),
    (
        0.80,
        Entry(
            "note",
            &[(
                "text",
                "pressure maintaining valve opens near 90 bar, 100 on its tag: a technician is asked",
            )],
        ),
    ),
    (PMV_SET, PmvSet),
    (0.90, Replaced("intake_filter", "new element", "TR")),
    (
        0.93,
        Entry(
            "note",
            &[("text", "hose 2 chafes at the panel: sleeve fitted")],
        ),
    ),
];
