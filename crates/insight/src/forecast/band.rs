//! The band that holds 90 % of an ensemble's values.

use super::answer::Band;

impl Band {
    /// A value without doubt.
    pub(super) fn of(value: f64) -> Band {
        Band {
            low: value,
            median: value,
            high: value,
        }
    }
}

/// The band of a thing that at least half of all members have.
pub(super) fn band_of(values: Vec<f64>, of: usize) -> Option<Band> {
    if 2 * values.len() < of {
        None
    } else {
        band(values)
    }
}

/// Five, fifty and ninety-five per cent points, linear between members.
pub(super) fn band(mut values: Vec<f64>) -> Option<Band> {
    values.retain(|v| v.is_finite());
    values.sort_by(f64::total_cmp);
    let last = values.len().checked_sub(1)?;
    let point = |share: f64| {
        let place = share * last as f64;
        let below = place.floor() as usize;
        let above = (below + 1).min(last);
        values[below] + (place - below as f64) * (values[above] - values[below])
    };
    Some(Band {
        low: point(0.05),
        median: point(0.5),
        high: point(0.95),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Of the numbers 0 to 100 the five, fifty and ninety-five per cent points are 5, 50 and 95
    /// (definition, linear between members); what is not a number does not count.
    #[test]
    fn points_of_a_band() {
        let mut values: Vec<f64> = (0..=100).rev().map(f64::from).collect();
        values.push(f64::NAN);
        let found = band(values).unwrap();
        let points = [found.low, found.median, found.high];
        for (point, wanted) in points.into_iter().zip([5.0, 50.0, 95.0]) {
            assert!((point - wanted).abs() < 1e-9, "{found:?}");
        }
        assert_eq!(band(vec![]), None);
        assert_eq!(band(vec![7.0]), Some(Band::of(7.0)));
        let two = band(vec![10.0, 20.0]).unwrap();
        assert!((two.median - 15.0).abs() < 1e-12, "{two:?}");
    }

    /// Less than half of the members: no band.
    #[test]
    fn rare_events_have_no_band() {
        assert_eq!(band_of(vec![1.0, 2.0], 5), None);
        assert!(band_of(vec![1.0, 2.0], 4).is_some());
    }
}
