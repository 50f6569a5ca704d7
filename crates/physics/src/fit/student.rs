//! Student's t distribution as the error of a reading: close to normal in the middle, with tails
//! that let a mistyped reading stand apart without bending the fit.
//!
//! Source of the density: Johnson, Kotz, Balakrishnan, Continuous Univariate Distributions 2
//! (1995) ch. 28.

/// Degrees of freedom: errors beyond 5 scales are expected about once in 140 readings.
const NU: f64 = 4.0;
/// Γ(5/2) / (Γ(2)·√(4π)) = (3√π/4) / (2√π) = 3/8, the density at 0 for ν = 4.
const AT_ZERO: f64 = 0.375;

/// −ln of the density at `r` scales, less that at 0: ½(ν+1)·ln(1+r²/ν).
pub(super) fn cost(r: f64) -> f64 {
    0.5 * (NU + 1.0) * (r * r / NU).ln_1p()
}

/// The weight that least squares must give such a reading: cost'(r)/r = (ν+1)/(ν+r²).
pub(super) fn weight(r: f64) -> f64 {
    (NU + 1.0) / (NU + r * r)
}

/// What a reading tells on the average: Fisher's information of the place of a t, (ν+1)/(ν+3).
pub(super) fn expected_weight(_: f64) -> f64 {
    (NU + 1.0) / (NU + 3.0)
}

/// ln of the density at 0 for this scale.
pub(super) fn log_peak(scale: f64) -> f64 {
    AT_ZERO.ln() - scale.ln()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn density(x: f64) -> f64 {
        (log_peak(1.0) - cost(x)).exp()
    }

    /// Sum of `of` over the range in which all but 1e-9 of a t lies, by the middle rule.
    fn sum(from: f64, to: f64, of: impl Fn(f64) -> f64) -> f64 {
        let n = 400_000;
        let h = (to - from) / f64::from(n);
        (0..n)
            .map(|i| of(from + (f64::from(i) + 0.5) * h) * h)
            .sum()
    }

    /// t(ν = 4): f(0) = 3/8 and P(|t| < 2.776) = 0.95 (table of Student's t, NIST/SEMATECH
    /// e-Handbook 1.3.6.7.2: 97.5 % point 2.776 for 4 degrees of freedom).
    #[test]
    fn it_is_students_t() {
        assert!((density(0.0) - 0.375).abs() < 1e-12);
        let inside = sum(-2.776, 2.776, density);
        assert!((inside - 0.95).abs() < 1e-4, "{inside}");
    }

    /// Fisher's information is the mean square of the score r·weight(r), by its definition.
    #[test]
    fn expected_weight_is_fishers_information() {
        let information = sum(-400.0, 400.0, |r| (r * weight(r)).powi(2) * density(r));
        assert!(
            (information - expected_weight(0.0)).abs() < 1e-6,
            "{information}"
        );
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
