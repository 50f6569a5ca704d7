//! One result against one limit.
//!
//! Not here: which limit.

use super::amount::{Amount, Reading, Seen};
use super::answer::{Margin, Outcome};
use super::standard::{Allowed, Limit};

/// Whether the result keeps the limit, all of its band or none of it.
pub(super) fn compare(reading: &Reading, limit: &Limit) -> Outcome {
    match (reading, &limit.allowed) {
        (Reading::Counted(amount), Allowed::Within { least, most }) => {
            let least = least.as_ref().map_or(f64::NEG_INFINITY, |b| b.value);
            let most = most.as_ref().map_or(f64::INFINITY, |b| b.value);
            within(amount, least, most)
        }
        (Reading::Noticed(Seen::None), _) => Outcome::Passes,
        (Reading::Noticed(Seen::Slight), Allowed::NoneSignificant) => Outcome::CannotTell {
            why: "slight is noticed, and none that matters is allowed".into(),
            settle: "have somebody else with a fresh nose look and smell, or have the laboratory \
                     say what it is"
                .into(),
        },
        // Anything noticed where none is allowed.
        _ => Outcome::Fails,
    }
}

/// Relative rounding forgiven: a value converted there and back.
const ROUNDING: f64 = 1e-9;

fn within(amount: &Amount, least: f64, most: f64) -> Outcome {
    let keeps_most = |v: f64| v <= most * (1.0 + ROUNDING);
    let keeps_least = |v: f64| v >= least * (1.0 - ROUNDING);
    if keeps_most(amount.high) && keeps_least(amount.low) {
        return Outcome::Passes;
    }
    if !keeps_most(amount.low) || !keeps_least(amount.high) {
        return Outcome::Fails;
    }
    let (why, settle) = if amount.below {
        (
            format!(
                "less than {} {} is as much as the test could show",
                shown(amount.value),
                amount.unit
            ),
            "test with a tube or method that shows less than the limit",
        )
    } else {
        (
            format!(
                "the limit lies inside the uncertainty, {} to {} {}",
                shown(amount.low),
                shown(amount.high),
                amount.unit
            ),
            "test again with a method of smaller uncertainty; until then it is no pass",
        )
    };
    Outcome::CannotTell {
        why,
        settle: settle.into(),
    }
}

/// How far the value is from the nearer bound.
pub(super) fn margin(reading: &Reading, limit: &Limit) -> Option<Margin> {
    let (Reading::Counted(amount), Allowed::Within { least, most }) = (reading, &limit.allowed)
    else {
        return None;
    };
    let sides = [
        most.as_ref().map(|b| (b.value - amount.value, b.value)),
        least.as_ref().map(|b| (amount.value - b.value, b.value)),
    ];
    let nearer = sides
        .into_iter()
        .flatten()
        .min_by(|a, b| a.0.total_cmp(&b.0));
    nearer.map(|(by, bound)| Margin {
        by,
        unit: amount.unit,
        percent_of_limit: (bound > 0.0).then(|| by / bound * 100.0),
    })
}

/// A number short enough to read: three digits that count.
pub(super) fn shown(number: f64) -> String {
    if number == 0.0 || !number.is_finite() {
        return format!("{number}");
    }
    let places = (2.0 - number.abs().log10().floor()).clamp(0.0, 6.0) as usize;
    let text = format!("{number:.places$}");
    match text.contains('.') {
        true => text.trim_end_matches('0').trim_end_matches('.').to_owned(),
        false => text,
    }
}
