//! When a line meets a limit.
//!
//! Not here: the line ([`super::line`]), the words.

use super::line::{Line, student};

/// When the value reaches `limit`, x from `now` on.
///
/// The range is Fieller's (J. Roy. Stat. Soc. B 16 (1954) 175): all x at which the limit lies
/// within the 90 % interval of the line's value,
///
/// (L − a − bτ)² ≤ t² (var a + var b τ²), τ = x − x̄
///
/// It is closed only where the slope itself is told from zero; else it has no last end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Reach {
    /// First x at which it may be there.
    pub first: Option<f64>,
    /// Where the line itself is there.
    pub middle: Option<f64>,
    /// Last x by which it is not there yet.
    pub last: Option<f64>,
}

pub(super) fn reach(line: &Line, limit: f64, now: f64) -> Reach {
    let q2 = student(line.freedom).powi(2);
    let d = limit - line.a;
    let tau_now = now - line.mean_x;
    let inside =
        |tau: f64| (d - line.b * tau).powi(2) <= q2 * (line.var_a + line.var_b * tau * tau);
    // c2 τ² − 2 c1 τ + c0 = 0
    let (c2, c1, c0) = (
        line.b * line.b - q2 * line.var_b,
        d * line.b,
        d * d - q2 * line.var_a,
    );
    let under = c1 * c1 - c2 * c0;
    let roots = (under >= 0.0 && c2 != 0.0).then(|| {
        let (one, other) = ((c1 - under.sqrt()) / c2, (c1 + under.sqrt()) / c2);
        (one.min(other), one.max(other))
    });
    let ahead = |tau: f64| (tau > tau_now).then_some(tau + line.mean_x);
    let first = if inside(tau_now) {
        Some(now)
    } else {
        roots.and_then(|(low, high)| ahead(low).or_else(|| ahead(high)))
    };
    let middle = (line.b != 0.0)
        .then(|| d / line.b)
        .filter(|tau| *tau >= tau_now)
        .map(|tau| tau + line.mean_x);
    let last = roots.filter(|_| c2 > 0.0).and_then(|(_, high)| ahead(high));
    Reach {
        first,
        middle,
        last,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drift::line::{Reading, STATED};

    fn line(readings: &[(f64, f64)], u: f64) -> Line {
        let readings: Vec<Reading> = readings.iter().map(|&(x, y)| Reading { x, y, u }).collect();
        Line::through(&readings, STATED, 1.0).unwrap()
    }

    /// Identity: at both ends of the range the limit lies on the edge of the line's own
    /// interval, and at the middle on the line.
    #[test]
    fn ends_lie_on_the_edge_of_the_band() {
        let line = line(&[(0.0, 100.0), (1.0, 98.0), (2.0, 96.5), (3.0, 93.8)], 0.5);
        let limit = 85.0;
        let reach = reach(&line, limit, 3.0);
        let (first, middle, last) = (
            reach.first.unwrap(),
            reach.middle.unwrap(),
            reach.last.unwrap(),
        );
        assert!(3.0 < first && first < middle && middle < last, "{reach:?}");
        assert!((line.at(middle) - limit).abs() < 1e-9);
        assert!((line.at(first) - line.half_at(first) - limit).abs() < 1e-9);
        assert!((line.at(last) + line.half_at(last) - limit).abs() < 1e-9);
    }

    /// Limit: with readings without doubt the range shrinks to the crossing, 2 a year down from
    /// 100 to 90 in five years; with a slope that may be nothing it has no last end.
    #[test]
    fn sure_readings_and_level_ones() {
        let sure = reach(
            &line(&[(0.0, 100.0), (1.0, 98.0), (2.0, 96.0)], 1e-6),
            90.0,
            2.0,
        );
        for x in [sure.first, sure.middle, sure.last] {
            assert!((x.unwrap() - 5.0).abs() < 1e-4, "{sure:?}");
        }
        let level = line(&[(0.0, 100.0), (1.0, 100.4), (2.0, 99.8), (3.0, 99.9)], 0.5);
        let open = reach(&level, 90.0, 3.0);
        assert!(open.last.is_none() && open.first.unwrap() > 3.0, "{open:?}");
    }
}
