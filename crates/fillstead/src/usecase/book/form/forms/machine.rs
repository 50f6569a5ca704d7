//! Forms about the machine: valves, parts, intervals, laying up.

use book::Kind;

use crate::usecase::book::form::Form;
use crate::usecase::book::form::field::Type::{
    Amount, FreeAir, Number, OneOf, Pressure, Several, Text, Time, Whole, YesNo,
};
use crate::usecase::book::form::field::{first, may, must};

const VALVES: &[&str] = &["pmv", "relief"];

const PARTS: &[&str] = &[
    "cartridge",
    "oil",
    "intake_filter",
    "stage_valves",
    "belt",
    "pmv",
    "relief",
    "burst_disc",
    "hose",
    "gauge",
    "tower",
    "air_sample",
];

const SET_BY_MANUAL: &str = "A valve is set only as its maker's manual says, by someone trained to do \
    it, never under pressure; a sealed relief valve only by its maker or an authorised person. Never \
    plug, cap or tighten one.";

const VENT_FIRST: &str = "Vent tower and lines to nothing before opening anything. A gauge at zero and a \
    bleed that no longer hisses, both.";

/// A valve's setting was moved.
pub static VALVE: Form = Form {
    kind: Kind::ValveSet,
    name: "valve",
    about: "A valve's setting was moved",
    caution: SET_BY_MANUAL,
    fields: &[
        first("valve", "valve", "pmv", OneOf(VALVES)),
        may("before", "where it opened before", "92 bar", Pressure),
        may("after", "where it opens now", "100 bar", Pressure),
        may("turns", "turns, clockwise positive", "0.25", Number),
        must(
            "set-by",
            "who set it: trained or authorised",
            "a technician",
            Text,
        ),
        may("manual", "by which instruction", "manual, section 7", Text),
    ],
};

/// A part was replaced: cartridge, oil, filter, hose, disc.
pub static REPLACED: Form = Form {
    kind: Kind::PartReplaced,
    name: "replaced",
    about: "A part was replaced: cartridge, oil, filter, hose, disc",
    caution: VENT_FIRST,
    fields: &[
        first("part", "part", "cartridge", OneOf(PARTS)),
        may("hours", "hour meter", "452 h", Time),
        may("which", "which, where there are several", "hose 2", Text),
        may("detail", "what was put in", "batch 7, 420 g", Text),
        may("done-by", "by whom", "a technician", Text).kept_as("by"),
    ],
};

/// A part was tested or calibrated.
pub static TESTED: Form = Form {
    kind: Kind::PartTested,
    name: "tested",
    about: "A part was tested or calibrated",
    caution: SET_BY_MANUAL,
    fields: &[
        first("part", "part", "relief", OneOf(PARTS)),
        must("passed", "passed", "yes", YesNo),
        may("measured", "what was measured", "254 bar", Amount),
        may("which", "which, where there are several", "hose 2", Text),
        may("done-by", "by whom", "a test house", Text).kept_as("by"),
        may("remark", "certificate or remark", "certificate 12", Text),
    ],
};

/// What a check of the machine found.
pub static CHECK: Form = Form {
    kind: Kind::CheckKept,
    name: "check",
    about: "What a check of the machine found; or a good run, to compare later ones with",
    caution: "",
    fields: &[
        first("says", "what was found", "nothing wrong found", Text),
        may("run", "entry of the run's start", "12", Whole),
        may(
            "baseline",
            "kept as a good run to compare with",
            "yes",
            YesNo,
        ),
        may("pmv-opens", "PMV opens", "98 bar", Pressure),
        may(
            "pmv-opens-within",
            "PMV opens, give or take",
            "4 bar",
            Pressure,
        ),
        may("pmv-closes", "PMV closes", "79 bar", Pressure),
        may(
            "pmv-closes-within",
            "PMV closes, give or take",
            "5 bar",
            Pressure,
        ),
        may("relief-lifts", "relief valve lifts", "254 bar", Pressure),
        may(
            "relief-lifts-within",
            "relief valve lifts, give or take",
            "5 bar",
            Pressure,
        ),
        may(
            "relief-reseats",
            "relief valve reseats",
            "236 bar",
            Pressure,
        ),
        may(
            "relief-reseats-within",
            "relief valve reseats, give or take",
            "6 bar",
            Pressure,
        ),
        may("remark", "remark", "after the spring was replaced", Text),
    ],
};

/// The machine is put by for a while.
pub static PARK: Form = Form {
    kind: Kind::Parked,
    name: "park",
    about: "The machine is put by for a while",
    caution: "Lay it up as the maker's manual says.",
    fields: &[
        may("tower", "tower gauge it is left at", "90 bar", Pressure),
        may("hours", "hour meter", "433.1 h", Time),
        may("done", "what was done", "drained; intake capped", Several),
        may("remark", "remark", "until spring", Text),
    ],
};

/// How often a part is due: hours, months or litres, whichever comes first.
pub static INTERVAL: Form = Form {
    kind: Kind::IntervalSet,
    name: "interval",
    about: "How often a part is due: hours, months or litres, whichever comes first",
    caution: "",
    fields: &[
        first("part", "part", "oil", OneOf(PARTS)),
        may("hours", "running hours", "50 h", Time),
        may("months", "months", "12", Whole),
        may("free-air", "free air", "300 m3", FreeAir),
        must(
            "source",
            "where that is written",
            "maker's manual, section 5",
            Text,
        ),
    ],
};
