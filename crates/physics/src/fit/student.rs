//! The error of a reading: for the search Student's t, whose tails let a mistyped reading stand
//! apart without bending the fit; for the evidence the two kinds of reading there are, good ones
//! with a normal error and slips, which may be anything.
//!
//! Source of the densities: Johnson, Kotz, Balakrishnan, Continuous Univariate Distributions 1, 2
//! (1994, 1995) ch. 13, 28.

/// Degrees of freedom: errors beyond 5 scales are expected about once in 140 readings.
const NU: f64 = 4.0;
/// Share of readings that are slips, and how far half of them lie off, in scales (estimates).
const SLIPS: f64 = 0.02;
const SLIP_SCALES: f64 = 10.0;

/// −ln of the density at `r` scales, less that at 0: ½(ν+1)·ln(1+r²/ν).
pub(super) fn cost(r: f64) -> f64 {
    0.5 * (NU + 1.0) * (r * r / NU).ln_1p()
}

/// The weight that least squares must give such a reading: cost'(r)/r = (ν+1)/(ν+r²).
pub(super) fn weight(r: f64) -> f64 {
    (NU + 1.0) / (NU + r * r)
}

/// ln of the density of a reading `r` scales off, good or a slip:
/// (1 − ε)·N(r; 0, 1) + ε·Cauchy(r; 0, 10), over the scale.
pub(super) fn log_density(r: f64, scale: f64) -> f64 {
    let (good, slip) = both(r);
    (good + slip).ln() - scale.ln()
}

/// The probability that a reading `r` scales off is a good one: what it then tells of the place of
/// its middle, Fisher's information of a normal error being 1.
pub(super) fn good(r: f64) -> f64 {
    let (good, slip) = both(r);
    good / (good + slip)
}

fn both(r: f64) -> (f64, f64) {
    use std::f64::consts::{PI, TAU};
    let normal = (-0.5 * r * r).exp() / TAU.sqrt();
    let u = r / SLIP_SCALES;
    let anything = 1.0 / (PI * SLIP_SCALES * (1.0 + u * u));
    ((1.0 - SLIPS) * normal, SLIPS * anything)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sum(from: f64, to: f64, of: impl Fn(f64) -> f64) -> f64 {
        let n = 400_000;
        let h = (to - from) / f64::from(n);
        (0..n)
            .map(|i| of(from + (f64::from(i) + 0.5) * h) * h)
            .sum()
    }

    /// t(ν = 4): P(|t| < 2.776) = 0.95 (table of Student's t, NIST/SEMATECH e-Handbook 1.3.6.7.2:
    /// 97.5 % point 2.776 for 4 degrees of freedom); density at 0: Γ(5/2)/(Γ(2)√(4π)) = 3/8.
    #[test]
    fn the_cost_is_students_t() {
        let inside = sum(-2.776, 2.776, |x| 0.375 * (-cost(x)).exp());
        assert!((inside - 0.95).abs() < 1e-4, "{inside}");
    }

    /// Within one scale lie 98 % of a normal's 68.27 % (NIST/SEMATECH e-Handbook 1.3.6.7.1) and 2 %
    /// of (2/π)·arctan(1/10); within ten, all of the one and half of the other (closed form of
    /// Cauchy's distribution).
    #[test]
    fn good_readings_and_slips_add_up() {
        let density = |r: f64| log_density(r, 1.0).exp();
        let within = sum(-1.0, 1.0, density);
        let expected = 0.98 * 0.682_69 + 0.02 * std::f64::consts::FRAC_2_PI * 0.1_f64.atan();
        assert!((within - expected).abs() < 1e-5, "{within}");
        let within = sum(-10.0, 10.0, density);
        assert!((within - (0.98 + 0.01)).abs() < 1e-6, "{within}");
        assert!((log_density(0.3, 2.0) - (log_density(0.3, 1.0) - 2f64.ln())).abs() < 1e-12);
        let mut last = 1.0;
        for i in 0..60 {
            let share = good(f64::from(i) * 0.2);
            assert!(share <= last, "{i}");
            last = share;
        }
        assert!(good(0.0) > 0.99 && last < 1e-3);
    }

    /// The weight is the slope of the cost over the residual, for small and large ones.
    #[test]
    fn weight_is_the_slope_of_the_cost() {
        for i in 1..200 {
            let r = f64::from(i) * 0.25;
            let slope = (cost(r + 1e-5) - cost(r - 1e-5)) / 2e-5;
            assert!((slope / r - weight(r)).abs() < 1e-6, "{r}");
            assert_eq!(cost(r), cost(-r));
        }
    }
}
