//! The set pressures against each other and against the ratings.

use quantity::{Fraction, GaugePressure, Quantity, Typed, display_as};

use crate::facts::{Facts, Seen};
use crate::problem::{Label, Problem, ProblemId};

type Pressure = Seen<GaugePressure>;

const WORKING: &str = "compressor.working_pressure";

/// The caution that stands wherever a setting is wrong.
const SETTING: &str = "do not turn a valve to fit this file: it is set only as the maker's \
                       manual says, by someone trained to do it";

/// Two pressures, if the file gives both.
fn both(facts: &Facts<'_>, one: &str, other: &str) -> Option<(Pressure, Pressure)> {
    Some((facts.quantity(one)?, facts.quantity(other)?))
}

pub(super) fn pmv_closes_above_opens(facts: &Facts<'_>, problems: &mut Vec<Problem>) {
    let Some((opens, closes)) = both(facts, "pmv.opens", "pmv.closes") else {
        return;
    };
    if closes.typed.value < opens.typed.value {
        return;
    }
    let message = format!(
        "the PMV closes at {}, which is not below the {} at which it opens",
        closes.typed, opens.typed
    );
    let remedy = "write under `closes` the lower pressure, at which it shuts while the tower \
                  empties; if the two were swapped, swap them back";
    let place = closes.label("closes here");
    problems.push(
        Problem::new(
            ProblemId::PmvClosesAboveOpens,
            message,
            place,
            remedy.into(),
        )
        .and(opens.label("opens here")),
    );
}

pub(super) fn pmv_above_working(facts: &Facts<'_>, problems: &mut Vec<Problem>) {
    let Some((opens, working)) = both(facts, "pmv.opens", WORKING) else {
        return;
    };
    if opens.typed.value < working.typed.value {
        return;
    }
    let message = format!(
        "the PMV opens at {}, and the compressor stops at {}: no air would reach the cylinders",
        opens.typed, working.typed
    );
    let remedy = format!("check both figures and their units; {SETTING}");
    problems.push(
        Problem::new(
            ProblemId::PmvAboveWorking,
            message,
            opens.label("opens here"),
            remedy,
        )
        .and(working.label("working pressure")),
    );
}

pub(super) fn relief_reseats_above_lifts(facts: &Facts<'_>, problems: &mut Vec<Problem>) {
    let Some((lifts, reseats)) = both(facts, "relief.lifts", "relief.reseats") else {
        return;
    };
    if reseats.typed.value < lifts.typed.value {
        return;
    }
    let message = format!(
        "the relief valve reseats at {}, which is not below the {} at which it lifts",
        reseats.typed, lifts.typed
    );
    let remedy = "write under `reseats` the lower pressure, at which it shuts again; if it is not \
                  known, take the line out";
    let place = reseats.label("reseats here");
    problems.push(
        Problem::new(
            ProblemId::ReliefReseatsAboveLifts,
            message,
            place,
            remedy.into(),
        )
        .and(lifts.label("lifts here")),
    );
}

pub(super) fn relief_below_working(facts: &Facts<'_>, problems: &mut Vec<Problem>) {
    let Some((lifts, working)) = both(facts, "relief.lifts", WORKING) else {
        return;
    };
    if lifts.typed.value > working.typed.value {
        return;
    }
    let message = format!(
        "the relief valve lifts at {}, and the compressor runs to {}: it would blow on every fill",
        lifts.typed, working.typed
    );
    let remedy = format!(
        "check the valve's tag and the working pressure on the plate, and their units; {SETTING}"
    );
    problems.push(
        Problem::new(
            ProblemId::ReliefBelowWorking,
            message,
            lifts.label("lifts here"),
            remedy,
        )
        .and(working.label("working pressure")),
    );
}

pub(super) fn relief_missing(facts: &Facts<'_>, problems: &mut Vec<Problem>) {
    if facts.table("compressor").is_none() || facts.said("relief").is_some() {
        return;
    }
    problems.push(Problem::new(
        ProblemId::ReliefMissing,
        "the file describes no final relief valve".into(),
        Label::new(facts.heading("compressor"), "nothing protects what this delivers into"),
        "add [relief] and below it lifts = \"...\" from the valve's tag; if none is fitted, do not \
         run the compressor and ask whoever services it"
            .into(),
    ));
}

pub(super) fn relief_above_tower(facts: &Facts<'_>, problems: &mut Vec<Problem>) {
    let Some((lifts, rated)) = both(facts, "relief.lifts", "tower.rated_pressure") else {
        return;
    };
    if lifts.typed.value <= rated.typed.value {
        return;
    }
    let message = format!(
        "the relief valve lifts at {}, above the {} the tower is rated for",
        lifts.typed, rated.typed
    );
    let remedy = format!(
        "check the tower's plate and the valve's tag; do not run it until they agree; {SETTING}"
    );
    problems.push(
        Problem::new(
            ProblemId::ReliefAboveTower,
            message,
            lifts.label("lifts here"),
            remedy,
        )
        .and(rated.label("rated pressure of the tower")),
    );
}

/// The pressures between which the disc may burst.
fn burst_band(facts: &Facts<'_>, disc: &Pressure) -> (GaugePressure, GaugePressure) {
    let written = facts.quantity::<Fraction>("burst_disc.tolerance");
    let part = written.map_or(0.05, |t| t.typed.value.as_ratio());
    let at = |factor: f64| GaugePressure::from_si(disc.typed.value.si() * factor);
    (at(1.0 - part), at(1.0 + part))
}

/// A pressure in the unit another was typed in.
fn like(pressure: GaugePressure, typed: &Typed<GaugePressure>) -> String {
    display_as(pressure, typed.unit.symbol).unwrap_or_default()
}

pub(super) fn disc_below_relief(facts: &Facts<'_>, problems: &mut Vec<Problem>) {
    let Some((disc, lifts)) = both(facts, "burst_disc.bursts", "relief.lifts") else {
        return;
    };
    let (least, _) = burst_band(facts, &disc);
    if least > lifts.typed.value {
        return;
    }
    let message = format!(
        "the disc may burst from {} on, before the relief valve lifts at {}",
        like(least, &disc.typed),
        lifts.typed
    );
    let remedy = "check the stamp on the disc and its tolerance against the valve's tag; fit only \
                  the disc the maker names";
    let place = disc.label("bursts here, more or less");
    problems.push(
        Problem::new(ProblemId::DiscBelowRelief, message, place, remedy.into())
            .and(lifts.label("lifts here")),
    );
}

pub(super) fn disc_above_tower(facts: &Facts<'_>, problems: &mut Vec<Problem>) {
    let path = "tower.rated_pressure";
    let Some((disc, rated)) = both(facts, "burst_disc.bursts", path) else {
        return;
    };
    let (_, most) = burst_band(facts, &disc);
    if most <= rated.typed.value {
        return;
    }
    let message = format!(
        "the disc may hold until {}, above the {} the tower is rated for",
        like(most, &disc.typed),
        rated.typed
    );
    let remedy = "check the stamp on the disc and the tower's plate; fit only the disc the maker \
                  names";
    let place = disc.label("bursts here, more or less");
    problems.push(
        Problem::new(ProblemId::DiscAboveTower, message, place, remedy.into())
            .and(rated.label("rated pressure of the tower")),
    );
}

pub(super) fn whip_below_working(facts: &Facts<'_>, problems: &mut Vec<Problem>) {
    let Some((rated, working)) = both(facts, "whip.rated_pressure", WORKING) else {
        return;
    };
    if rated.typed.value >= working.typed.value {
        return;
    }
    let message = format!(
        "the weakest hose is rated for {}, and the compressor runs to {}",
        rated.typed, working.typed
    );
    let remedy = "check the marking on the hose; if it is right, fit a hose rated for working \
                  pressure before filling";
    problems.push(
        Problem::new(
            ProblemId::WhipBelowWorking,
            message,
            rated.label("rating of the hose"),
            remedy.into(),
        )
        .and(working.label("working pressure")),
    );
}
