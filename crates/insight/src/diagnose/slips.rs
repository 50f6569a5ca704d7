//! Readings that stand apart, and what may have been meant.
//!
//! Not here: the fit, which such a reading does not bend.

use super::course::Trace;
use super::space::{Datum, Space, Told, series};
use physics::fit::Predicted;
use quantity::PressureDifference;
use station::Reads;

/// A reading stands apart from so many scales on.
const APART: f64 = 3.5;
/// What may have been meant lies within so many.
const NEAR: f64 = 1.7;
/// A number read in the other unit is so many times as large or as small: 1 bar in psi.
fn psi_in_a_bar() -> f64 {
    PressureDifference::bar(1.0).as_psi()
}

/// How far each datum stands from what is expected, in scales.
pub(super) fn scales(values: &[f64], p: &Predicted) -> Vec<f64> {
    let off = values.iter().zip(&p.mean).zip(&p.scale);
    off.map(|((y, m), s)| (y - m) / s).collect()
}

/// What to say of a reading that stands apart; nothing of one that does not.
pub(super) fn apart(datum: &Datum, expected: f64, scale: f64, trace: &Trace) -> Option<String> {
    let Told::Gauge(reads) = datum.what else {
        return None;
    };
    let off = datum.value - expected;
    if off.abs() < APART * scale {
        return None;
    }
    let said = format!(
        "{:.0} bar {} what the other readings lead to",
        off.abs(),
        if off > 0.0 { "above" } else { "below" }
    );
    let meant = meant(datum.value, expected, scale).or_else(|| swapped(datum, reads, scale, trace));
    Some(match meant {
        Some(meant) => format!("{said}; {meant}"),
        None => format!("{said}; read it again, and check gauge and time"),
    })
}

fn meant(value: f64, expected: f64, scale: f64) -> Option<String> {
    let near = |v: f64| (v - expected).abs() < NEAR * scale;
    if near(value / psi_in_a_bar()) {
        return Some(format!("{value:.0} psi would fit: was it psi?"));
    }
    if near(value * psi_in_a_bar()) {
        return Some(format!(
            "{value:.0} bar as psi is {:.0}: was the unit bar?",
            value * psi_in_a_bar()
        ));
    }
    let digits = format!("{value:.0}");
    let swapped = (0..digits.len().saturating_sub(1)).filter_map(|i| {
        let mut bytes = digits.clone().into_bytes();
        bytes.swap(i, i + 1);
        String::from_utf8(bytes).ok()
    });
    let shorter = (0..digits.len()).map(|i| {
        let mut text = digits.clone();
        text.remove(i);
        text
    });
    let longer = ["0", "1", "2"]
        .iter()
        .flat_map(|d| [format!("{d}{digits}"), format!("{digits}{d}")]);
    let kinds: [(&str, Vec<String>); 3] = [
        ("were two digits swapped?", swapped.collect()),
        ("was a digit too many?", shorter.collect()),
        ("was a digit left out?", longer.collect()),
    ];
    for (why, texts) in kinds {
        let fits = texts.iter().find(|t| t.parse().is_ok_and(near));
        if let Some(text) = fits {
            return Some(format!("{} would fit: {why}", text.trim_start_matches('0')));
        }
    }
    let hundreds = [100.0, -100.0].into_iter().find(|h| near(value + h));
    hundreds.map(|h| format!("{:.0} would fit: was a hundred misread?", value + h))
}

/// The other gauge at the same moment.
fn swapped(datum: &Datum, reads: Reads, scale: f64, trace: &Trace) -> Option<String> {
    let (other, name) = match reads {
        Reads::Tower => (Reads::Line, "line"),
        Reads::Line => (Reads::Tower, "tower"),
        Reads::Stage(_) => return None,
    };
    let there = trace.at(series(other), datum.t_s)?;
    ((there - datum.value).abs() < NEAR * scale)
        .then(|| format!("the {name} gauge would have shown that: was it read instead?"))
}

/// What would make rubbish fit: another unit, or times in another order. `cost` weighs values
/// against what a sound machine shows.
pub(super) fn rubbish(space: &Space, expected: &Predicted) -> Option<String> {
    let cost = |values: &[f64]| -> f64 {
        let off = scales(values, expected);
        off.iter().map(|r| 2.5 * (r * r / 4.0).ln_1p()).sum()
    };
    let values = space.values();
    let now = cost(&values);
    // so well that chance is out of the question, and well in itself
    let better = |values: &[f64]| {
        let then = cost(values);
        now - then > 12.0 && then < 2.5 * values.len() as f64
    };
    let times = |factor: f64| -> Vec<f64> { values.iter().map(|v| v * factor).collect() };
    if better(&times(1.0 / psi_in_a_bar())) {
        return Some("all readings fit as psi: were they typed as bar?".into());
    }
    if better(&times(psi_in_a_bar())) {
        return Some("all readings fit as bar: were they typed as psi?".into());
    }
    better(&in_order(space))
        .then(|| "the pressures fit if they are put in order of time: check the time column".into())
}

/// The same pressures, rising with time on each gauge as far as it is filled.
fn in_order(space: &Space) -> Vec<f64> {
    let mut values = space.values();
    for reads in [Reads::Tower, Reads::Line] {
        let of = |d: &Datum| d.what == Told::Gauge(reads);
        let mut places: Vec<usize> = (0..space.data.len())
            .filter(|i| of(&space.data[*i]))
            .collect();
        places.sort_by(|a, b| space.data[*a].t_s.total_cmp(&space.data[*b].t_s));
        let mut sorted: Vec<f64> = places.iter().map(|i| values[*i]).collect();
        sorted.sort_by(f64::total_cmp);
        for (place, value) in places.into_iter().zip(sorted) {
            values[place] = value;
        }
    }
    values
}

#[cfg(test)]
mod tests {
    use super::meant;

    #[test]
    fn common_slips_are_named() {
        let said = |value, expected| meant(value, expected, 3.0).unwrap_or_default();
        assert!(said(123.0, 132.0).contains("132 would fit: were two digits swapped?"));
        assert!(said(15.0, 150.0).contains("was a digit left out?"));
        assert!(said(1500.0, 150.0).contains("was a digit too many?"));
        assert!(said(1900.0, 131.0).contains("was it psi?"));
        assert!(said(9.0, 131.0).contains("was the unit bar?"));
        assert!(said(147.0, 247.0).contains("hundred"));
        assert_eq!(said(60.0, 131.0), "");
    }
}
