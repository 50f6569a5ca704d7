//! Forms about cylinders: register, examinations, condemned, gone.

use book::Kind;

use crate::usecase::book::form::Form;
use crate::usecase::book::form::field::Type::{
    FreeAir, Mass, OneOf, Stamp, Text, Volume, When, YesNo,
};
use crate::usecase::book::form::field::{first, may, must};

const MATERIALS: &[&str] = &["steel", "aluminium", "composite"];

const USES: &[&str] = &["diving", "rescue", "storage", "aircraft"];

const CHECKS: &[&str] = &["test", "visual", "eddy_current"];

const NEVER_AGAIN: &str = "A condemned cylinder is made unusable by a test house, not only marked.";

/// A cylinder comes on the register, or its record is put right.
pub static CYLINDER: Form = Form {
    kind: Kind::CylinderRegistered,
    name: "cylinder",
    about: "A cylinder comes on the register, or its record is put right",
    caution: "",
    fields: &[
        first("cylinder", "what it is called here", "A1", Text),
        may("owner", "owner", "club", Text),
        may("serial", "serial number", "AN-0101", Text),
        may("water-volume", "water volume", "12 L", Volume),
        may("free-air", "free air when full", "80 cu ft", FreeAir),
        may(
            "working-pressure",
            "working (service) pressure as stamped",
            "232 bar",
            Stamp,
        ),
        may(
            "test-pressure",
            "test pressure as stamped",
            "348 bar",
            Stamp,
        ),
        may("material", "material", "steel", OneOf(MATERIALS)),
        may("mass", "empty mass", "14.5 kg", Mass),
        may("specification", "specification", "3AA", Text),
        may("permit", "special permit", "10945", Text),
        may("alloy", "alloy", "6351", Text),
        may("thread", "thread of the neck", "M25x2", Text),
        may("stamp", "all stamps", "3AA2400+ 06^19+", Text),
        may("made", "made", "2019-04", When),
        may("commissioned", "put into service", "2019-06", When),
        may("tested", "last pressure test", "2024-04-10", When),
        may("visual", "last visual inspection", "2025-10-02", When),
        may(
            "eddy-current",
            "last eddy-current examination",
            "2025-10-02",
            When,
        ),
        may("life-ends", "end of life", "2034-04", When),
        may("plus", "plus mark after the latest test", "yes", YesNo),
        may(
            "disc-fits",
            "burst disc fit for the plus mark",
            "yes",
            YesNo,
        ),
        may("used-for", "used for", "diving", OneOf(USES)),
        may("remark", "remark", "new valve", Text),
    ],
};

/// A cylinder was examined: pressure test, visual, eddy current.
pub static INSPECTION: Form = Form {
    kind: Kind::CylinderInspected,
    name: "inspection",
    about: "A cylinder was examined: pressure test, visual, eddy current",
    caution: "",
    fields: &[
        first("cylinder", "cylinder", "A1", Text),
        must("check", "examination", "visual", OneOf(CHECKS)),
        must("on", "when", "2026-05-05", When),
        must("passed", "passed", "yes", YesNo),
        may("done-by", "examined by", "a test house", Text).kept_as("by"),
        may("plus", "plus mark after the date", "yes", YesNo),
        may("remark", "remark", "light rust, cleaned", Text),
    ],
};

/// A cylinder is never to be filled again.
pub static CONDEMN: Form = Form {
    kind: Kind::CylinderCondemned,
    name: "condemn",
    about: "A cylinder is never to be filled again",
    caution: NEVER_AGAIN,
    fields: &[
        first("cylinder", "cylinder", "A1", Text),
        must("why", "why", "crack at the neck", Text),
    ],
};

/// A cylinder has gone from the register.
pub static LEFT: Form = Form {
    kind: Kind::CylinderLeft,
    name: "left",
    about: "A cylinder has gone from the register",
    caution: "",
    fields: &[
        first("cylinder", "cylinder", "A1", Text),
        must("why", "why", "sold", Text),
    ],
};
