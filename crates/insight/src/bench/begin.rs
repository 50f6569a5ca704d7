//! How a bench stands when it begins: at rest, running, filled.

use super::{Act, Bench};

/// How it stands at the start.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Begin {
    /// Everything shut and off.
    #[default]
    Rest,
    /// Filling: the motor runs, the valves to the cylinders are open.
    Running,
    /// Just filled: the motor is off, the valves are open, the hoses under the cylinders' pressure.
    Filled,
}

/// Seconds that pass before a bench that begins filled is handed over: the hose takes the
/// cylinder's pressure.
const SETTLE_S: u64 = 3;

impl Begin {
    /// The one of this name in a drill file.
    pub fn named(name: &str) -> Option<Begin> {
        Some(match name {
            "rest" => Begin::Rest,
            "running" => Begin::Running,
            "filled" => Begin::Filled,
            _ => return None,
        })
    }

    /// Brings the bench there, before its time begins.
    pub(super) fn bring(self, bench: &mut Bench) {
        if self == Begin::Rest {
            return;
        }
        for hose in 0..bench.hoses() {
            bench.turn(Act::Fill(hose, true));
            bench.turn(Act::Cylinder(hose, true));
        }
        bench.turn(Act::Motor(self == Begin::Running));
        if self == Begin::Filled {
            bench.settle(SETTLE_S);
        }
    }
}
