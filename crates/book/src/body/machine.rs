//! Entries about the machine: parts replaced and tested, valves set, parked.

use std::fmt;

use quantity::{GaugePressure, TimeSpan};
use serde::{Deserialize, Serialize};

use crate::measure::{Amount, Measure};

/// Declares a list of things that have a key in the ledger and a name for people.
macro_rules! named {
    ($(#[$doc:meta])* $type:ident: $( $(#[$vdoc:meta])* $variant:ident $key:literal $called:literal; )+) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        #[serde(rename_all = "snake_case")]
        pub enum $type {
            $( $(#[$vdoc])* $variant, )+
        }

        impl $type {
            /// All of them.
            pub const ALL: &[$type] = &[$($type::$variant),+];

            /// Its name in the ledger and on the command line.
            pub fn key(self) -> &'static str {
                match self { $($type::$variant => $key),+ }
            }

            /// What people call it.
            pub fn called(self) -> &'static str {
                match self { $($type::$variant => $called),+ }
            }

            /// The one of this key.
            pub fn of_key(key: &str) -> Option<$type> {
                $type::ALL.iter().copied().find(|one| one.key() == key)
            }
        }

        impl fmt::Display for $type {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str(self.called())
            }
        }
    };
}

named! {
    /// What is looked after at intervals.
    Part:
    /// The purifier's cartridge, or its filling.
    Cartridge "cartridge" "cartridge";
    /// Oil.
    Oil "oil" "oil";
    /// Intake filter.
    IntakeFilter "intake_filter" "intake filter";
    /// Suction and discharge valves of the stages.
    StageValves "stage_valves" "stage valves";
    /// Drive belt.
    Belt "belt" "belt";
    /// Pressure maintaining valve.
    Pmv "pmv" "pressure maintaining valve";
    /// Final relief valve.
    Relief "relief" "relief valve";
    /// Burst disc.
    BurstDisc "burst_disc" "burst disc";
    /// Fill hose.
    Hose "hose" "fill hose";
    /// Gauges.
    Gauge "gauge" "gauges";
    /// The tower's vessel.
    Tower "tower" "tower";
    /// The air itself: a sample and its test.
    AirSample "air_sample" "air sample";
}

named! {
    /// A valve that is set.
    Valve:
    /// Pressure maintaining valve.
    Pmv "pmv" "pressure maintaining valve";
    /// Final relief valve.
    Relief "relief" "relief valve";
}

impl Valve {
    /// The part it is.
    pub fn part(self) -> Part {
        match self {
            Valve::Pmv => Part::Pmv,
            Valve::Relief => Part::Relief,
        }
    }
}

/// A valve's setting was moved, as its maker's manual says and by someone trained to do it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ValveSet {
    /// Which.
    pub valve: Valve,
    /// Where it opened before.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub before: Option<Measure<GaugePressure>>,
    /// Where it opens now, by a gauge.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub after: Option<Measure<GaugePressure>>,
    /// Turns of its screw, clockwise positive.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub turns: Option<f64>,
    /// Who set it: a trained or authorised person.
    pub set_by: String,
    /// By which instruction.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub manual: Option<String>,
}

/// A part was replaced; a cartridge refilled, oil changed.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PartReplaced {
    /// Which.
    pub part: Part,
    /// The hour meter.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hours: Option<Measure<TimeSpan>>,
    /// Where there are several.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub which: Option<String>,
    /// What was put in: number, batch, mass.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub detail: Option<String>,
    /// Who answers for it, where that is not the author.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub by: Option<String>,
}

/// A part was tested or calibrated.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PartTested {
    /// Which.
    pub part: Part,
    /// Whether it passed.
    pub passed: bool,
    /// What was measured, such as where a relief valve lifted.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub measured: Option<Amount>,
    /// Where there are several.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub which: Option<String>,
    /// Who tested it, where that is not the author.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub by: Option<String>,
    /// Certificate, or anything else.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub remark: Option<String>,
}

/// The machine was put by.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Parked {
    /// The tower gauge it is left at.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub tower: Option<Measure<GaugePressure>>,
    /// The hour meter.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub hours: Option<Measure<TimeSpan>>,
    /// What was done: drained, intake capped, tagged.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub done: Vec<String>,
    /// Anything else.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub remark: Option<String>,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keys_are_what_the_ledger_holds() {
        for part in Part::ALL {
            assert_eq!(serde_json::to_value(part).unwrap(), part.key());
            assert_eq!(Part::of_key(part.key()), Some(*part));
        }
        for valve in Valve::ALL {
            assert_eq!(serde_json::to_value(valve).unwrap(), valve.key());
        }
    }
}
