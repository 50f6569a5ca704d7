//! One reading that does not belong to the rest.
//!
//! Not here: the line itself ([`super::line`]).

use super::line::Reading;

/// A reading stands apart beyond this many times the ordinary scatter: modified z-score of
/// Iglewicz and Hoaglin (1993), NIST/SEMATECH e-Handbook 1.3.5.17.
const APART: f64 = 3.5;
/// Median of absolute deviations to standard deviation, normal scatter.
const MAD_TO_SIGMA: f64 = 1.4826;
/// With fewer readings none can be told from the rest.
const FEWEST: usize = 5;

/// The reading that stands farthest from a line through the medians, and by how many times the
/// ordinary scatter, if that is too far. The line has the median of all pairs' slopes
/// (Theil 1950, Sen 1968), which one bad reading in five does not move much.
pub(super) fn apart(readings: &[Reading]) -> Option<(usize, f64)> {
    if readings.len() < FEWEST {
        return None;
    }
    let pairs = readings.iter().enumerate().flat_map(|(i, one)| {
        readings[i + 1..]
            .iter()
            .filter(|other| other.x != one.x)
            .map(move |other| (other.y - one.y) / (other.x - one.x))
    });
    let slope = median(pairs.collect())?;
    let level = median(readings.iter().map(|r| r.y - slope * r.x).collect())?;
    let off: Vec<f64> = readings
        .iter()
        .map(|r| (r.y - level - slope * r.x) / r.u)
        .collect();
    let usual = MAD_TO_SIGMA * median(off.iter().map(|o| o.abs()).collect())?;
    let (worst, far) = off
        .iter()
        .map(|o| o.abs() / usual.max(1.0))
        .enumerate()
        .max_by(|a, b| a.1.total_cmp(&b.1))?;
    (far > APART).then_some((worst, far))
}

fn median(mut values: Vec<f64>) -> Option<f64> {
    values.sort_by(f64::total_cmp);
    let middle = values.len() / 2;
    let upper = *values.get(middle)?;
    if values.len() % 2 == 1 {
        return Some(upper);
    }
    Some(0.5 * (upper + values[middle - 1]))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn readings(values: &[f64]) -> Vec<Reading> {
        let one = |(i, &y): (usize, &f64)| Reading {
            x: i as f64,
            y,
            u: 1.0,
        };
        values.iter().enumerate().map(one).collect()
    }

    /// By construction: a line with one reading ten uncertainties off; it is found wherever it
    /// stands, and none is found where all are on the line to within their uncertainty.
    #[test]
    fn one_bad_reading_is_found_anywhere() {
        for bad in 0..8 {
            let mut values: Vec<f64> = (0..8).map(|i| 100.0 - f64::from(i) * 0.5).collect();
            assert_eq!(apart(&readings(&values)), None);
            values[bad] += 10.0;
            let found = apart(&readings(&values)).map(|(which, _)| which);
            assert_eq!(found, Some(bad));
        }
    }

    #[test]
    fn four_readings_cannot_tell() {
        assert_eq!(apart(&readings(&[1.0, 1.0, 50.0, 1.0])), None);
    }

    /// Scatter beyond the stated uncertainty is not one bad reading.
    #[test]
    fn wide_scatter_is_no_bad_reading() {
        let values = [100.0, 110.0, 95.0, 104.0, 91.0, 108.0, 98.0];
        assert_eq!(apart(&readings(&values)), None);
    }
}
