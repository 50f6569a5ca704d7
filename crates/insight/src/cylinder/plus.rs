//! The plus mark: a tenth more, where everything it asks for holds.
//!
//! Not here: for whom, which the rule says ([`super::rule`]).

use super::fill::Gate;
use super::pressure::{both, times};
use super::rule::Demand;
use quantity::{GaugePressure, Typed};

/// The highest settled pressure: as stamped, or more by the plus mark.
pub(super) fn allowed(gate: &mut Gate) -> Option<Typed<GaugePressure>> {
    let rated = gate.facts.rated?;
    if gate.facts.plus != Some(true) {
        return Some(rated);
    }
    let (rule, tags) = (gate.rule, gate.tags.clone());
    let row = rule.rows(&tags).find_map(|row| match row.demand {
        Demand::Plus { percent } => Some((percent, row.source.clone())),
        _ => None,
    });
    let Some((percent, source)) = row else {
        let text = format!(
            "the plus mark is ignored: {} gives it nothing here",
            rule.title
        );
        gate.note(text, None);
        return Some(rated);
    };
    let more = times(&rated, 1.0 + percent / 100.0);
    let missing = missing(gate);
    if missing.is_empty() {
        let text = format!(
            "plus mark after the latest test date: {} instead of {}",
            both(&more),
            both(&rated)
        );
        gate.note(text, Some(&source));
        return Some(more);
    }
    let text = format!(
        "the plus mark would allow {}, but not while {}",
        both(&more),
        missing.join(", and ")
    );
    gate.note(text, Some(&source));
    Some(rated)
}

/// Conditions that do not hold, or that nobody has confirmed. The mark itself is
/// the tester's word for all but the disc.
fn missing(gate: &Gate) -> Vec<&'static str> {
    let conditions = gate.facts.plus_conditions;
    let denied = |known: Option<bool>| known == Some(false);
    let all = [
        (
            denied(conditions.expansion_measured),
            "elastic expansion was not measured at the last test",
        ),
        (
            denied(conditions.wall_stress_fits),
            "its wall stress is above the limit",
        ),
        (
            denied(conditions.visual_clean),
            "its last inspection was not clean",
        ),
        (
            denied(conditions.disc_fits),
            "its burst disc is not the kind or rating asked for",
        ),
        (
            conditions.disc_fits.is_none(),
            "nobody has confirmed its burst disc: no fusible backing, rated not above the \
             minimum test pressure",
        ),
    ];
    let wrong = all.into_iter().filter(|(wrong, _)| *wrong);
    wrong.map(|(_, text)| text).collect()
}
