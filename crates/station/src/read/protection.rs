//! `[pmv]`, `[relief]`, `[burst_disc]` and `[vent]`.

use quantity::{GaugePressure, PressureDifference, Quantity, Typed, display_as};

use crate::facts::Facts;
use crate::model::{Action, BurstDisc, Pmv, Relief, Vent};
use crate::section::{Notes, Section};

const ACTIONS: &[(&str, Action)] = &[
    ("snap", Action::Snap),
    ("proportional", Action::Proportional),
];

/// A tenth of the set pressure: how far above it a valve is fully open unless the file says.
const TENTH: f64 = 0.1;
/// Part of the lifting pressure at which a relief valve reseats unless the file says.
const RESEATS_AT: f64 = 0.9;

/// The valves and the disc, each only where it is fitted.
pub(super) struct Protection {
    pub pmv: Option<Pmv>,
    pub relief: Option<Relief>,
    pub burst_disc: Option<BurstDisc>,
    pub vent: Option<Vent>,
}

pub(super) fn protection(facts: &Facts<'_>, notes: &Notes) -> Option<Protection> {
    let open = |table| Section::open(facts, notes, table);
    let pmv = fitted(&open("pmv"), pmv);
    let relief = fitted(&open("relief"), relief);
    let burst_disc = fitted(&open("burst_disc"), burst_disc);
    let vent = fitted(&open("vent"), vent);
    Some(Protection {
        pmv: pmv?,
        relief: relief?,
        burst_disc: burst_disc?,
        vent: vent?,
    })
}

/// Something that is fitted only where its table is in the file: none where it is but cannot be
/// used, because the station would be another one without it.
fn fitted<T>(section: &Section<'_>, read: impl Fn(&Section<'_>) -> Option<T>) -> Option<Option<T>> {
    if section.is_there() {
        return read(section).map(Some);
    }
    if section.facts.said(&section.path).is_none() {
        let reason = format!("the file has no [{}]", section.table);
        section.assume("", "not fitted", &reason);
    }
    Some(None)
}

fn pmv(section: &Section<'_>) -> Option<Pmv> {
    let opens = section.quantity("opens");
    let closes = section.value("closes");
    let action = section.choice("action", ACTIONS);
    let bore = section.value("bore");
    let above = section.value("full_open_above");
    let opens = opens?;
    let full_open_above = above.unwrap_or_else(|| tenth(section, "full_open_above", &opens));
    Some(Pmv {
        opens: opens.value,
        closes: closes?,
        action: action?,
        bore: bore?,
        full_open_above,
    })
}

fn relief(section: &Section<'_>) -> Option<Relief> {
    let lifts = section.quantity("lifts");
    let stamped = section.value("stamped");
    let reseats = section.value("reseats");
    let action = section.choice("action", ACTIONS);
    let bore = section.value("bore");
    let above = section.value("full_lift_above");
    let lifts = lifts?;
    let full_lift_above = above.unwrap_or_else(|| tenth(section, "full_lift_above", &lifts));
    let reseats = reseats.unwrap_or_else(|| {
        let pressure = GaugePressure::from_si(lifts.value.si() * RESEATS_AT);
        let shown = display_as(pressure, lifts.unit.symbol).unwrap_or_default();
        section.derive("reseats", shown, pressure)
    });
    Some(Relief {
        lifts: lifts.value,
        stamped,
        reseats,
        action: action?,
        bore: bore?,
        full_lift_above,
    })
}

/// The default for a key that is not written: a tenth of the set pressure.
fn tenth(section: &Section<'_>, key: &str, set: &Typed<GaugePressure>) -> PressureDifference {
    let above = PressureDifference::from_si(set.value.si() * TENTH);
    let shown = display_as(above, set.unit.symbol).unwrap_or_default();
    section.derive(key, shown, above)
}

fn burst_disc(section: &Section<'_>) -> Option<BurstDisc> {
    let bursts = section.value("bursts");
    let tolerance = section.value("tolerance");
    let bore = section.value("bore");
    Some(BurstDisc {
        bursts: bursts?,
        tolerance: tolerance?,
        bore: bore?,
    })
}

fn vent(section: &Section<'_>) -> Option<Vent> {
    Some(Vent {
        bore: section.value("bore")?,
    })
}
