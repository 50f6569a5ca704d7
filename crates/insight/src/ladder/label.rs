//! What stands beside a rung, the same in both drawings.

use super::{Ladder, Rung, Say};

/// The words at one rung.
pub(super) struct Label {
    /// `255`, or the stamp where its unit is another.
    pub figure: String,
    /// `relief lifts, 247 to 263`
    pub words: String,
}

/// The label of a rung.
pub(super) fn label(rung: &Rung, say: Say) -> Label {
    let other_unit = |stamp: &&String| !stamp.ends_with(&format!(" {}", say.unit()));
    let figure = say.number(rung.bar);
    let mut words = clean(&rung.name);
    if rung.high_bar > rung.low_bar {
        let (low, high) = (say.rough(rung.low_bar), say.rough(rung.high_bar));
        words = format!("{words}, {low} to {high}");
    }
    if let Some(stamp) = rung.stamp.as_ref().filter(other_unit) {
        words = format!("{words} (stamped {stamp})");
    }
    Label { figure, words }
}

/// A person's words without what would break a line.
pub(super) fn clean(text: &str) -> String {
    text.chars()
        .map(|c| if c.is_control() { ' ' } else { c })
        .collect()
}

/// Distance of the numbers beside the scale, in bar: 1, 2 or 5 times a power of
/// ten in the unit shown, with at most eight of them.
pub(super) fn step_bar(ladder: &Ladder, say: Say) -> f64 {
    let top = say.value(ladder.top_bar).max(1e-3);
    let power = 10f64.powf((top / 8.0).log10().floor());
    let steps = [1.0, 2.0, 5.0, 10.0].map(|n| n * power);
    let step = steps.into_iter().find(|step| top / step <= 8.0);
    step.unwrap_or(10.0 * power) / say.value(1.0)
}

/// The sentences below a drawing: overlaps first, then the room between neighbours.
pub(super) fn sentences(ladder: &Ladder, say: Say) -> Vec<String> {
    let overlaps = ladder.overlaps.iter().map(|o| {
        let (low, high) = (say.rough(o.low_bar), say.pressure(o.high_bar));
        let (lower, upper) = (clean(&o.lower), clean(&o.upper));
        format!("overlap {low} to {high}: {lower} should stay below {upper}")
    });
    let margins = ladder.margins.iter().map(|m| {
        let (from, to) = (say.rough(m.from_bar), say.rough(m.to_bar));
        let room = say.pressure(m.to_bar - m.from_bar);
        format!("{room} {} ({from} to {to})", m.what)
    });
    overlaps.chain(margins).collect()
}
