//! Cylinders, their kinds and the banks: names and stamps.

use quantity::GaugePressure;

use crate::facts::{Facts, Seen};
use crate::problem::{Label, Problem, ProblemId};
use crate::suggest::nearest;

pub(super) fn no_kind(facts: &Facts<'_>, problems: &mut Vec<Problem>) {
    if facts.said("cylinder_kind").is_some() || facts.table("compressor").is_none() {
        return;
    }
    problems.push(Problem::new(
        ProblemId::NoCylinderKind,
        "the file describes no kind of cylinder: nothing can be forecast".into(),
        Label::new(facts.end(), "the file ends without [[cylinder_kind]]"),
        "add [[cylinder_kind]] and below it id, water_volume and working_pressure, as stamped on a \
         cylinder you fill"
            .into(),
    ));
}

pub(super) fn duplicate_ids(facts: &Facts<'_>, problems: &mut Vec<Problem>) {
    for (list, key) in [
        ("gauge", "name"),
        ("bank", "id"),
        ("cylinder_kind", "id"),
        ("cylinder", "id"),
    ] {
        let mut known: Vec<(&str, std::ops::Range<usize>)> = Vec::new();
        for path in facts.each(list) {
            let Some((id, place)) = facts.words(&format!("{path}.{key}")) else {
                continue;
            };
            let Some((_, first)) = known.iter().find(|(other, _)| *other == id) else {
                known.push((id, place));
                continue;
            };
            problems.push(
                Problem::new(
                    ProblemId::DuplicateId,
                    format!("two [[{list}]] are called {id:?}"),
                    Label::new(place, "here again"),
                    "give each its own name, such as the number painted on it".into(),
                )
                .and(Label::new(first.clone(), "first here")),
            );
        }
    }
}

pub(super) fn unknown_kinds(facts: &Facts<'_>, problems: &mut Vec<Problem>) {
    let id = |path: &String| facts.words(&format!("{path}.id")).map(|(id, _)| id);
    let kinds: Vec<&str> = facts.each("cylinder_kind").iter().filter_map(id).collect();
    for path in facts.each("cylinder") {
        let Some((kind, place)) = facts.words(&format!("{path}.kind")) else {
            continue;
        };
        if kind.is_empty() || kinds.contains(&kind) {
            continue;
        }
        let remedy = match (nearest(kind, kinds.iter().copied()), kinds.as_slice()) {
            (Some(meant), _) => format!("did you mean \"{meant}\"?"),
            (None, []) => format!("describe it: add [[cylinder_kind]] with id = {kind:?}"),
            (None, known) => {
                format!(
                    "write one of {}, or add [[cylinder_kind]] with this id",
                    known.join(", ")
                )
            }
        };
        problems.push(Problem::new(
            ProblemId::UnknownId,
            format!("no [[cylinder_kind]] has the id {kind:?}"),
            Label::new(place, "not known here"),
            remedy,
        ));
    }
}

/// The working or service pressure stamped on a vessel.
fn stamped(facts: &Facts<'_>, path: &str) -> Option<Seen<GaugePressure>> {
    let at = |key: &str| facts.quantity(&format!("{path}.{key}"));
    at("working_pressure").or_else(|| at("service_pressure"))
}

fn vessels(facts: &Facts<'_>) -> Vec<String> {
    [facts.each("bank"), facts.each("cylinder_kind")].concat()
}

pub(super) fn vessel_above_working(facts: &Facts<'_>, problems: &mut Vec<Problem>) {
    let path = "compressor.working_pressure";
    let Some(working) = facts.quantity::<GaugePressure>(path) else {
        return;
    };
    for path in vessels(facts) {
        let Some(stamp) = stamped(facts, &path) else {
            continue;
        };
        if stamp.typed.value <= working.typed.value {
            continue;
        }
        let message = format!(
            "this is rated for {}, and the compressor runs to {}: it cannot be filled fully here",
            stamp.typed, working.typed
        );
        let remedy = "nothing to do if that is so; otherwise check the stamp and the unit";
        problems.push(
            Problem::new(
                ProblemId::VesselAboveWorking,
                message,
                stamp.label("its stamp"),
                remedy.into(),
            )
            .and(working.label("working pressure of the compressor")),
        );
    }
}

pub(super) fn test_below_working(facts: &Facts<'_>, problems: &mut Vec<Problem>) {
    for path in vessels(facts) {
        let test = facts.quantity::<GaugePressure>(&format!("{path}.test_pressure"));
        let (Some(test), Some(stamp)) = (test, stamped(facts, &path)) else {
            continue;
        };
        if test.typed.value > stamp.typed.value {
            continue;
        }
        let message = format!(
            "the test pressure {} is not above the working pressure {}",
            test.typed, stamp.typed
        );
        let remedy = "read the stamps again: the higher one is the test pressure; do not fill by \
                      this entry until it is right";
        problems.push(
            Problem::new(
                ProblemId::TestBelowWorking,
                message,
                test.label("test pressure"),
                remedy.into(),
            )
            .and(stamp.label("working pressure")),
        );
    }
}
