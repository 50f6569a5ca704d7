//! The forms themselves: every kind of entry that people make by hand.
//!
//! Not here: kinds made from a file (station, air test) or by the program (a refusal at the gate).

use book::Kind;

use super::Form;
use super::field::Type::{
    Amount, FreeAir, Mass, Number, OneOf, Pressure, Several, Share, Temperature, Text, Time,
    Volume, When, Whole, YesNo,
};
use super::field::{Field, Type};

const MATERIALS: &[&str] = &["steel", "aluminium", "composite"];
const USES: &[&str] = &["diving", "rescue", "storage", "aircraft"];
const CHECKS: &[&str] = &["test", "visual", "eddy_current"];
const VALVES: &[&str] = &["pmv", "relief"];
const PRICED: &[&str] = &["kilowatt_hour", "cartridge", "running_hour"];
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
const STAND_CLEAR: &str =
    "Open drains slowly and stand clear: they blow oil and water at full pressure.";
const VENT_FIRST: &str = "Vent tower and lines to nothing before opening anything. A gauge at zero and a \
    bleed that no longer hisses, both.";
const UNWELL: &str = "Somebody unwell: give oxygen where it is at hand and call a doctor first. Keep the \
    cylinder shut and its air for analysis. Nothing is filled until the cause is written down.";
const NEVER_AGAIN: &str = "A condemned cylinder is made unusable by a test house, not only marked.";

/// A field that may be left out.
const fn may(name: &'static str, label: &'static str, example: &'static str, kind: Type) -> Field {
    Field {
        name,
        label,
        example,
        kind,
        needed: false,
        first: false,
    }
}

/// A field that must be given.
const fn must(name: &'static str, label: &'static str, example: &'static str, kind: Type) -> Field {
    Field {
        needed: true,
        ..may(name, label, example, kind)
    }
}

/// A field that must be given, first.
const fn first(
    name: &'static str,
    label: &'static str,
    example: &'static str,
    kind: Type,
) -> Field {
    Field {
        first: true,
        ..must(name, label, example, kind)
    }
}

/// Every form.
pub const FORMS: &[Form] = &[
    Form {
        kind: Kind::RunStarted,
        name: "start",
        about: "The machine is started",
        caution: "",
        fields: &[
            may("hours", "hour meter", "431.5 h", Time),
            may("tower", "tower gauge before the start", "70 bar", Pressure),
            may(
                "intake-temperature",
                "temperature at the intake",
                "18 °C",
                Temperature,
            ),
            may("humidity", "humidity at the intake", "75 %", Share),
            may(
                "checked",
                "what was looked at",
                "oil; intake upwind; drains shut",
                Several,
            ),
        ],
    },
    Form {
        kind: Kind::RunStopped,
        name: "stop",
        about: "The machine is stopped",
        caution: "",
        fields: &[
            may("hours", "hour meter", "433.1 h", Time),
            may("tower", "tower gauge at rest", "95 bar", Pressure),
            may(
                "why",
                "why, where it was not the end of the job",
                "belt slips",
                Text,
            ),
        ],
    },
    Form {
        kind: Kind::Reading,
        name: "reading",
        about: "What a gauge showed, or what was seen or heard",
        caution: "",
        fields: &[
            first("of", "gauge, or what was read", "pmv opens", Text),
            may("value", "what it showed, with its unit", "98 bar", Amount),
            may(
                "observed",
                "what was seen or heard",
                "air at the fill valve",
                Text,
            ),
        ],
    },
    Form {
        kind: Kind::Drained,
        name: "drain",
        about: "A drain was opened",
        caution: STAND_CLEAR,
        fields: &[
            may("volume", "how much came out", "40 mL", Volume),
            may("drain", "which drain", "second stage", Text),
            may("looks", "what it looked like", "milky", Text),
        ],
    },
    Form {
        kind: Kind::Fill,
        name: "fill",
        about: "A cylinder is filled: the fill gate is asked first",
        caution: "Bleed the hose to nothing before undoing it.",
        fields: &[
            first("cylinder", "cylinder", "A1", Text),
            may("person", "for whom", "a member", Text),
            may("from", "gauge before", "50 bar", Pressure),
            may("to", "gauge at the stop", "232 bar", Pressure),
            may("took", "how long it took", "18:20", Time),
            may("settled", "gauge once cold", "221 bar", Pressure),
            may("settled-at", "how warm it was then", "15 °C", Temperature),
            may("from-bank", "bank it was filled from", "B1", Text),
            may("remark", "remark", "valve stiff", Text),
        ],
    },
    Form {
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
                Pressure,
            ),
            may(
                "test-pressure",
                "test pressure as stamped",
                "348 bar",
                Pressure,
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
    },
    Form {
        kind: Kind::CylinderInspected,
        name: "inspection",
        about: "A cylinder was examined: pressure test, visual, eddy current",
        caution: "",
        fields: &[
            first("cylinder", "cylinder", "A1", Text),
            must("check", "examination", "visual", OneOf(CHECKS)),
            must("on", "when", "2026-05-05", When),
            must("passed", "passed", "yes", YesNo),
            may("by", "examined by", "a test house", Text),
            may("plus", "plus mark after the date", "yes", YesNo),
            may("remark", "remark", "light rust, cleaned", Text),
        ],
    },
    Form {
        kind: Kind::CylinderCondemned,
        name: "condemn",
        about: "A cylinder is never to be filled again",
        caution: NEVER_AGAIN,
        fields: &[
            first("cylinder", "cylinder", "A1", Text),
            must("why", "why", "crack at the neck", Text),
        ],
    },
    Form {
        kind: Kind::CylinderLeft,
        name: "left",
        about: "A cylinder has gone from the register",
        caution: "",
        fields: &[
            first("cylinder", "cylinder", "A1", Text),
            must("why", "why", "sold", Text),
        ],
    },
    Form {
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
    },
    Form {
        kind: Kind::PartReplaced,
        name: "replaced",
        about: "A part was replaced: cartridge, oil, filter, hose, disc",
        caution: VENT_FIRST,
        fields: &[
            first("part", "part", "cartridge", OneOf(PARTS)),
            may("hours", "hour meter", "452 h", Time),
            may("which", "which, where there are several", "hose 2", Text),
            may("detail", "what was put in", "batch 7, 420 g", Text),
            may("by", "by whom", "a technician", Text),
        ],
    },
    Form {
        kind: Kind::PartTested,
        name: "tested",
        about: "A part was tested or calibrated",
        caution: SET_BY_MANUAL,
        fields: &[
            first("part", "part", "relief", OneOf(PARTS)),
            must("passed", "passed", "yes", YesNo),
            may("measured", "what was measured", "254 bar", Amount),
            may("which", "which, where there are several", "hose 2", Text),
            may("by", "by whom", "a test house", Text),
            may("remark", "certificate or remark", "certificate 12", Text),
        ],
    },
    Form {
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
    },
    Form {
        kind: Kind::SymptomReported,
        name: "symptom",
        about: "Somebody felt unwell, or the air smelt: filling is locked until the cause is known",
        caution: UNWELL,
        fields: &[
            first("what", "what", "headache after the dive", Text),
            may("person", "who", "a member", Text),
            may("cylinder", "what was breathed from", "A2", Text),
        ],
    },
    Form {
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
    },
    Form {
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
    },
    Form {
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
    },
    Form {
        kind: Kind::PriceSet,
        name: "price",
        about: "What energy, a cartridge or a running hour costs",
        caution: "",
        fields: &[
            first("of", "what is paid for", "kilowatt_hour", OneOf(PRICED)),
            must("amount", "how much", "0.34", Number),
            must("currency", "currency", "EUR", Text),
        ],
    },
    Form {
        kind: Kind::RulesChosen,
        name: "rules",
        about: "The rules by which cylinders and air are judged from here on",
        caution: "",
        fields: &[
            may("cylinder-rule", "requalification rule", "uk", Text),
            may("air-standard", "air standard", "EN 12021", Text),
        ],
    },
    Form {
        kind: Kind::Note,
        name: "note",
        about: "Anything else worth keeping",
        caution: "",
        fields: &[
            first("text", "note", "new key for the shed", Text),
            may("cylinder", "cylinder it is about", "A1", Text),
        ],
    },
];

/// Asked beside a fill, and not kept in its body: the line, and what somebody answers for.
pub const FILL_LINE: &[Field] = &[
    may("with", "what else hangs on the line", "A2; A3", Several),
    may(
        "protected-at",
        "where this line alone is held by its own relief valve",
        "220 bar",
        Pressure,
    ),
    may(
        "override",
        "why a refusal that may be overridden is",
        "regulator fitted and watched",
        Text,
    ),
    may(
        "already-filled",
        "it was filled before the gate was asked",
        "yes",
        YesNo,
    ),
];

#[cfg(test)]
mod tests {
    use super::*;
    use book::body::{Part, Priced, Valve};

    #[test]
    fn choices_are_those_of_the_ledger() {
        let keys: Vec<&str> = Part::ALL.iter().map(|part| part.key()).collect();
        assert_eq!(keys, PARTS);
        let keys: Vec<&str> = Valve::ALL.iter().map(|valve| valve.key()).collect();
        assert_eq!(keys, VALVES);
        let keys: Vec<_> = Priced::ALL
            .iter()
            .map(|p| serde_json::to_value(p).unwrap())
            .collect();
        assert_eq!(keys, PRICED);
    }
}
