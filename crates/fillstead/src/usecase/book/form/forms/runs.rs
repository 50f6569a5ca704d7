//! Forms of a run: start, stop, readings, drains, fills.

use book::Kind;

use crate::usecase::book::form::Form;
use crate::usecase::book::form::field::Type::{
    Amount, Pressure, Several, Share, Temperature, Text, Time, Volume, YesNo,
};
use crate::usecase::book::form::field::{Field, first, may};

/// The machine is started.
pub static START: Form = Form {
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
};

/// The machine is stopped.
pub static STOP: Form = Form {
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
};

/// What a gauge showed, or what was seen or heard.
pub static READING: Form = Form {
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
};

/// A drain was opened.
pub static DRAIN: Form = Form {
    kind: Kind::Drained,
    name: "drain",
    about: "A drain was opened",
    caution: "Open drains slowly and stand clear: they blow oil and water at full pressure.",
    fields: &[
        may("volume", "how much came out", "40 mL", Volume),
        may("drain", "which drain", "second stage", Text),
        may("looks", "what it looked like", "milky", Text),
    ],
};

/// A cylinder is filled: the fill gate is asked first.
pub static FILL: Form = Form {
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
};

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
