//! Smooth curves through given points: piecewise cubic Hermite interpolation.
//!
//! Everything the simulation looks up along one variable (delivery over tower
//! pressure, film coefficients over density) is a [`Curve`]. Values and slopes
//! are continuous inside; outside its ends a curve continues at its end value.
//! Not here: two-dimensional tables (see [`crate::gas`]).

use thiserror::Error;

/// Why a curve could not be made.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum CurveError {
    /// Fewer than two points.
    #[error("a curve needs at least two points, got {0}")]
    TooFew(usize),
    /// The abscissae do not rise, or something is not a number.
    #[error("point {index} of the curve is not beyond the one before it, or is not a number")]
    NotRising {
        /// Index of the offending point.
        index: usize,
    },
}

/// A piecewise cubic y(x) with continuous slope; constant outside its ends.
#[derive(Debug, Clone, PartialEq)]
pub struct Curve {
    x: Vec<f64>,
    y: Vec<f64>,
    slope: Vec<f64>,
    /// 1/step when the abscissae are evenly spaced: the cell is then found directly.
    per_step: Option<f64>,
}

impl Curve {
    /// Through the points, with monotone slopes (Fritsch and Carlson, SIAM J.
    /// Numer. Anal. 17 (1980) 238): no overshoot between points.
    pub fn monotone(points: &[(f64, f64)]) -> Result<Curve, CurveError> {
        let n = points.len();
        if n < 2 {
            return Err(CurveError::TooFew(n));
        }
        if let Some(i) = points.windows(2).position(|w| w[1].0 <= w[0].0) {
            return Err(CurveError::NotRising { index: i + 1 });
        }
        let secant = |i: usize| (points[i + 1].1 - points[i].1) / (points[i + 1].0 - points[i].0);
        let slope = (0..n)
            .map(|i| match i {
                0 => secant(0),
                _ if i == n - 1 => secant(n - 2),
                _ => harmonic(secant(i - 1), secant(i)),
            })
            .collect();
        Self::build(points, slope)
    }

    /// Through the points with the slopes given.
    pub fn with_slopes(points: &[(f64, f64)], slope: Vec<f64>) -> Result<Curve, CurveError> {
        if points.len() < 2 || slope.len() != points.len() {
            return Err(CurveError::TooFew(points.len().min(slope.len())));
        }
        Self::build(points, slope)
    }

    /// The curve that has one value everywhere.
    pub fn constant(y: f64) -> Curve {
        Curve {
            x: vec![0.0, 1.0],
            y: vec![y, y],
            slope: vec![0.0, 0.0],
            per_step: Some(1.0),
        }
    }

    fn build(points: &[(f64, f64)], slope: Vec<f64>) -> Result<Curve, CurveError> {
        for (index, (point, s)) in points.iter().zip(&slope).enumerate() {
            let rises = index == 0 || point.0 > points[index - 1].0;
            if !(rises && point.0.is_finite() && point.1.is_finite() && s.is_finite()) {
                return Err(CurveError::NotRising { index });
            }
        }
        let x: Vec<f64> = points.iter().map(|p| p.0).collect();
        let step = (x[x.len() - 1] - x[0]) / (x.len() - 1) as f64;
        let even = x
            .iter()
            .enumerate()
            .all(|(i, v)| (v - x[0] - step * i as f64).abs() < 1e-9 * step);
        let y = points.iter().map(|p| p.1).collect();
        Ok(Curve {
            x,
            y,
            slope,
            per_step: even.then_some(1.0 / step),
        })
    }

    /// The value and the slope at `x`.
    pub fn at(&self, x: f64) -> (f64, f64) {
        let last = self.x.len() - 1;
        if x.is_nan() {
            return (f64::NAN, f64::NAN);
        }
        if x <= self.x[0] {
            return (self.y[0], 0.0);
        }
        if x >= self.x[last] {
            return (self.y[last], 0.0);
        }
        let i = match self.per_step {
            Some(per_step) => (((x - self.x[0]) * per_step) as usize).min(last - 1),
            None => self.x.partition_point(|v| *v <= x) - 1,
        };
        hermite(
            (self.x[i], self.x[i + 1]),
            (self.y[i], self.y[i + 1]),
            (self.slope[i], self.slope[i + 1]),
            x,
        )
    }

    /// The value at `x`.
    pub fn value(&self, x: f64) -> f64 {
        self.at(x).0
    }

    /// The curve y(x)·f(x) for a straight f through one at x = 0 with this slope.
    pub fn tilted(&self, slope: f64) -> Curve {
        let tilt = |i: usize| 1.0 + slope * self.x[i];
        Curve {
            x: self.x.clone(),
            y: (0..self.y.len()).map(|i| self.y[i] * tilt(i)).collect(),
            slope: (0..self.y.len())
                .map(|i| self.slope[i] * tilt(i) + self.y[i] * slope)
                .collect(),
            per_step: self.per_step,
        }
    }

    /// The same curve with every value (and slope) multiplied by `factor`.
    pub fn scaled(&self, factor: f64) -> Curve {
        Curve {
            x: self.x.clone(),
            y: self.y.iter().map(|v| v * factor).collect(),
            slope: self.slope.iter().map(|v| v * factor).collect(),
            per_step: self.per_step,
        }
    }
}

fn harmonic(a: f64, b: f64) -> f64 {
    if a * b <= 0.0 {
        0.0
    } else {
        2.0 * a * b / (a + b)
    }
}

fn hermite(x: (f64, f64), y: (f64, f64), slope: (f64, f64), at: f64) -> (f64, f64) {
    let h = x.1 - x.0;
    let s = (at - x.0) / h;
    let rise = y.1 - y.0;
    let a = slope.0 * h - rise;
    let b = rise - slope.1 * h;
    // y = y0 + s rise + s(1-s)((1-s) a + s b)
    let bend = (1.0 - s) * a + s * b;
    let value = y.0 + s * rise + s * (1.0 - s) * bend;
    let derivative = (rise + (1.0 - 2.0 * s) * bend + s * (1.0 - s) * (b - a)) / h;
    (value, derivative)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A cubic is reproduced exactly by cubic Hermite interpolation with its own slopes.
    #[test]
    fn cubic_is_exact() {
        let f = |x: f64| x * x * x - 2.0 * x + 1.0;
        let d = |x: f64| 3.0 * x * x - 2.0;
        let xs = [0.0, 0.7, 1.1, 3.0];
        let points: Vec<_> = xs.iter().map(|x| (*x, f(*x))).collect();
        let curve = Curve::with_slopes(&points, xs.iter().map(|x| d(*x)).collect()).unwrap();
        for i in 0..=300 {
            let x = i as f64 * 0.01;
            let (y, slope) = curve.at(x);
            assert!((y - f(x)).abs() < 1e-12, "value at {x}: {y} for {}", f(x));
            let inside = x > 0.0 && x < 3.0;
            assert!(
                !inside || (slope - d(x)).abs() < 1e-11,
                "slope at {x}: {slope} for {}",
                d(x)
            );
        }
    }

    #[test]
    fn monotone_points_give_a_monotone_curve() {
        let points = [(0.0, 0.0), (1.0, 0.1), (2.0, 5.0), (3.0, 5.0), (4.0, 9.0)];
        let curve = Curve::monotone(&points).unwrap();
        let mut before = curve.value(0.0);
        for i in 1..=400 {
            let y = curve.value(i as f64 * 0.01);
            assert!(y >= before - 1e-12, "falls at {}", i as f64 * 0.01);
            before = y;
        }
    }

    #[test]
    fn bad_points_are_named() {
        assert_eq!(Curve::monotone(&[(0.0, 1.0)]), Err(CurveError::TooFew(1)));
        let back = [(0.0, 1.0), (1.0, 2.0), (1.0, 3.0)];
        assert_eq!(
            Curve::monotone(&back),
            Err(CurveError::NotRising { index: 2 })
        );
        assert!(Curve::constant(2.0).at(f64::NAN).0.is_nan());
    }
}
