//! What others do where the owner has set no interval: data, shown and never applied.

use super::answer::Item;
use crate::air;
use serde::Serialize;
use station::Station;

/// An interval that somebody else keeps.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Hint {
    /// Of what.
    pub item: Item,
    /// So many months.
    pub months: u32,
    /// What is done, and for whom the rule is.
    pub text: std::borrow::Cow<'static, str>,
    /// Rule or standard, with its clause.
    pub document: std::borrow::Cow<'static, str>,
    /// Its edition.
    pub edition: std::borrow::Cow<'static, str>,
    /// How surely that was seen.
    pub certainty: std::borrow::Cow<'static, str>,
}

const fn hint(
    item: Item,
    months: u32,
    text: &'static str,
    document: &'static str,
    certainty: &'static str,
) -> Hint {
    use std::borrow::Cow::Borrowed;
    Hint {
        item,
        months,
        text: Borrowed(text),
        document: Borrowed(document),
        edition: Borrowed("current when seen"),
        certainty: Borrowed(certainty),
    }
}

/// Set pressure from which the Californian rule on relief valves speaks, Pa: 2000 psi.
const RELIEF_RULE_PA: f64 = 2000.0 * 6894.757;

/// Those that stand in a rule's text. Oil, valves, belt, filter and cartridge have none: maker
/// only. Intervals of air samples come from the air standards held ([`air::standards`]).
pub const HINTS: [Hint; 3] = [
    hint(
        Item::Hose,
        12,
        "breathing gas hoses of commercial divers are proof tested at 1.5 times their working \
         pressure at least yearly",
        "29 CFR 1910.430(c)",
        "copy of the rule's text",
    ),
    hint(
        Item::Hose,
        24,
        "breathing supply hoses of commercial divers are proof tested at 1.5 times their greatest \
         working pressure before first use and every 24 months",
        "46 CFR 197.456",
        "copy of the rule's text",
    ),
    hint(
        Item::Relief,
        12,
        "in California a safety valve above 2000 psi without a lifting lever is removed and \
         tested at least yearly, with a record",
        "8 CCR 465(b)",
        "government page",
    ),
];

/// The hints for one item of this station.
pub(super) fn of(item: Item, station: &Station) -> Vec<Hint> {
    if item == Item::AirSample {
        return samples();
    }
    let high = station
        .relief
        .as_ref()
        .is_some_and(|r| r.lifts.as_pascal() > RELIEF_RULE_PA);
    let fits = |hint: &&Hint| hint.item == item && (item != Item::Relief || high);
    HINTS.iter().filter(fits).cloned().collect()
}

/// How often the air standards held ask for a sample.
pub(super) fn samples() -> Vec<Hint> {
    air::standards().iter().filter_map(sample).collect()
}

fn sample(standard: &air::Standard) -> Option<Hint> {
    let interval = standard.interval.as_ref()?;
    let months = u32::from(interval.usual_months);
    Some(Hint {
        item: Item::AirSample,
        months,
        text: format!("air is sampled every {months} months: {}", standard.purpose).into(),
        document: standard.name.clone().into(),
        edition: standard.edition.clone().into(),
        certainty: interval.certainty.meaning().into(),
    })
}
