//! A straight line through uncertain readings.
//!
//! Not here: which readings belong together ([`super::trend`]), when the line
//! meets a limit ([`super::cross`]).

use statrs::distribution::{ContinuousCDF as _, StudentsT};

/// How well a stated uncertainty is itself known, counted in degrees of freedom: 8 stand for one
/// known to a quarter (JCGM 100:2008, equation G.3: ν ≈ ½ (Δu/u)⁻²).
pub(super) const STATED: f64 = 8.0;

/// One reading.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Reading {
    pub x: f64,
    pub y: f64,
    /// Standard uncertainty of y.
    pub u: f64,
}

/// A line y = a + b (x − x̄): a and b are independent of each other.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Line {
    /// Weighted mean of x.
    pub mean_x: f64,
    /// Value there.
    pub a: f64,
    /// Slope.
    pub b: f64,
    /// Variance of a.
    pub var_a: f64,
    /// Variance of b.
    pub var_b: f64,
    /// Degrees of freedom behind the variances.
    pub freedom: f64,
    /// Scatter about the line over the stated uncertainty; none of fewer than three readings.
    pub scatter: Option<f64>,
}

impl Line {
    /// Weighted least squares, weights 1/u²:
    ///
    /// b = Σw(x−x̄)(y−ȳ) / Σw(x−x̄)², var b = s² / Σw(x−x̄)², var a = s² / Σw
    ///
    /// s² = max(least, (ν·1 + χ²) / (ν + n − 2)) widens both where the readings scatter more than
    /// they should: ν degrees of freedom say that the stated uncertainty is right, n − 2 what
    /// the scatter says. With ν = 0 and `least` = 0 it is the textbook's line. None where all x
    /// are the same, or nothing tells how sure the line is.
    pub fn through(readings: &[Reading], stated: f64, least: f64) -> Option<Line> {
        let weight = |r: &Reading| 1.0 / (r.u * r.u);
        let sum: f64 = readings.iter().map(weight).sum();
        let mean =
            |of: fn(&Reading) -> f64| readings.iter().map(|r| weight(r) * of(r)).sum::<f64>() / sum;
        let (mean_x, a) = (mean(|r| r.x), mean(|r| r.y));
        let spread: f64 = readings
            .iter()
            .map(|r| weight(r) * (r.x - mean_x).powi(2))
            .sum();
        let beyond = readings.len().checked_sub(2)? as f64;
        let freedom = stated + beyond;
        if !(spread > 0.0 && spread.is_finite() && freedom > 0.0) {
            return None;
        }
        let b = readings
            .iter()
            .map(|r| weight(r) * (r.x - mean_x) * (r.y - a))
            .sum::<f64>()
            / spread;
        let chi2: f64 = readings
            .iter()
            .map(|r| weight(r) * (r.y - a - b * (r.x - mean_x)).powi(2))
            .sum();
        let s2 = ((stated + chi2) / freedom).max(least);
        Some(Line {
            mean_x,
            a,
            b,
            var_a: s2 / sum,
            var_b: s2 / spread,
            freedom,
            scatter: (beyond > 0.0).then(|| (chi2 / beyond).sqrt()),
        })
    }

    /// The line's value.
    pub fn at(&self, x: f64) -> f64 {
        self.a + self.b * (x - self.mean_x)
    }

    /// Half the 90 % interval of the line's value.
    pub fn half_at(&self, x: f64) -> f64 {
        let var = self.var_a + self.var_b * (x - self.mean_x).powi(2);
        student(self.freedom) * var.sqrt()
    }

    /// Half the 90 % interval of the slope.
    pub fn half_slope(&self) -> f64 {
        student(self.freedom) * self.var_b.sqrt()
    }
}

/// Between minus and plus this lie 90 % of Student's t.
pub(super) fn student(freedom: f64) -> f64 {
    // parameters are finite and positive: there is always an answer
    StudentsT::new(0.0, 1.0, freedom).map_or(f64::INFINITY, |t| t.inverse_cdf(0.95))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// x and y of the dataset Norris, NIST Statistical Reference Datasets, linear regression.
    const NORRIS: [(f64, f64); 36] = [
        (0.2, 0.1),
        (337.4, 338.8),
        (118.2, 118.1),
        (884.6, 888.0),
        (10.1, 9.2),
        (226.5, 228.1),
        (666.3, 668.5),
        (996.3, 998.5),
        (448.6, 449.1),
        (777.0, 778.9),
        (558.2, 559.2),
        (0.4, 0.3),
        (0.6, 0.1),
        (775.5, 778.1),
        (666.9, 668.8),
        (338.0, 339.3),
        (447.5, 448.9),
        (11.6, 10.8),
        (556.0, 557.7),
        (228.1, 228.3),
        (995.8, 998.0),
        (887.6, 888.8),
        (120.2, 119.6),
        (0.3, 0.3),
        (0.3, 0.6),
        (556.8, 557.6),
        (339.1, 339.3),
        (887.2, 888.0),
        (999.0, 998.5),
        (779.0, 778.9),
        (11.1, 10.2),
        (118.3, 117.6),
        (229.2, 228.9),
        (669.1, 668.4),
        (448.9, 449.2),
        (0.5, 0.2),
    ];

    /// NIST StRD, Norris: certified slope 1.00211681802045 (standard deviation
    /// 0.429796848199937E-03), intercept -0.262323073774029 (0.232818234301152).
    #[test]
    fn nist_strd_norris() {
        let readings: Vec<Reading> = NORRIS
            .iter()
            .map(|&(x, y)| Reading { x, y, u: 1.0 })
            .collect();
        let line = Line::through(&readings, 0.0, 0.0).unwrap();
        let at_zero = (line.var_a + line.var_b * line.mean_x.powi(2)).sqrt();
        for (what, found, certified) in [
            ("slope", line.b, 1.002_116_818_020_45),
            ("its deviation", line.var_b.sqrt(), 0.429_796_848_199_937e-3),
            ("intercept", line.at(0.0), -0.262_323_073_774_029),
            ("its deviation", at_zero, 0.232_818_234_301_152),
        ] {
            assert!(
                (found / certified - 1.0).abs() < 1e-11,
                "{what}: {found}, certified {certified}"
            );
        }
    }

    /// NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.2: upper critical values of
    /// Student's t at 0.05; NIST TN 1297, table B.1 has the same to two places.
    #[test]
    fn nist_handbook_students_t() {
        for (freedom, t) in [
            (1.0, 6.314),
            (2.0, 2.920),
            (3.0, 2.353),
            (4.0, 2.132),
            (5.0, 2.015),
            (8.0, 1.860),
            (10.0, 1.812),
            (20.0, 1.725),
            (30.0, 1.697),
            (60.0, 1.671),
            (100.0, 1.660),
        ] {
            let found = student(freedom);
            assert!((found - t).abs() < 6e-4, "{freedom}: {found}, table {t}");
        }
    }

    proptest! {
        /// Readings on a line give that line, whatever their weights; more scatter never makes
        /// the line surer.
        #[test]
        fn a_line_is_found(
            a in -10.0..10.0f64, b in -5.0..5.0f64,
            us in proptest::collection::vec(0.1..3.0f64, 3..20), noise in 0.0..10.0f64,
        ) {
            let on: Vec<Reading> = us
                .iter()
                .enumerate()
                .map(|(i, &u)| Reading { x: i as f64, y: a + b * i as f64, u })
                .collect();
            let line = Line::through(&on, STATED, 1.0).unwrap();
            prop_assert!((line.b - b).abs() < 1e-9 && (line.at(0.0) - a).abs() < 1e-8);
            let off: Vec<Reading> = on
                .iter()
                .enumerate()
                .map(|(i, r)| Reading { y: r.y + noise * r.u * if i % 2 == 0 { 1.0 } else { -1.0 }, ..*r })
                .collect();
            let wider = Line::through(&off, STATED, 1.0).unwrap();
            prop_assert!(wider.half_slope() >= line.half_slope() * (1.0 - 1e-12));
        }
    }
}
