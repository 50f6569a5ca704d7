//! What several models, each with its probability, say together of one number.
//!
//! Each model's word is a normal distribution. Not here: where the probabilities come from.

use std::f64::consts::{PI, SQRT_2};

/// One model's word.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Part {
    /// Its probability.
    pub weight: f64,
    /// Mean.
    pub mean: f64,
    /// Standard deviation.
    pub sd: f64,
}

impl Part {
    fn density(&self, x: f64) -> f64 {
        let u = (x - self.mean) / self.sd;
        (-0.5 * u * u).exp() / (self.sd * (2.0 * PI).sqrt())
    }

    /// Probability of a value below `x`.
    fn below(&self, x: f64) -> f64 {
        0.5 * libm::erfc(-(x - self.mean) / (self.sd * SQRT_2))
    }
}

/// Probability of a value below `x`, for weights that add up to one.
pub fn below(parts: &[Part], x: f64) -> f64 {
    parts.iter().map(|p| p.weight * p.below(x)).sum()
}

/// The value that a share `q` of the mixture lies below, for weights that add up to one. None
/// without parts.
pub fn quantile(parts: &[Part], q: f64) -> Option<f64> {
    let ends = |sign: f64| parts.iter().map(move |p| p.mean + sign * 9.0 * p.sd);
    let mut low = ends(-1.0).reduce(f64::min)?;
    let mut high = ends(1.0).reduce(f64::max)?;
    for _ in 0..80 {
        let middle = 0.5 * (low + high);
        if below(parts, middle) < q {
            low = middle;
        } else {
            high = middle;
        }
    }
    Some(0.5 * (low + high))
}

/// Information that a reading gives about which model holds, bits:
/// Σ wₖ ∫ pₖ log₂(pₖ / Σ wⱼ pⱼ) dx (Shannon's mutual information; MacKay (2003) ch. 8). Zero where
/// all say the same, at most the information still missing, −Σ wₖ log₂ wₖ.
pub fn information(parts: &[Part]) -> f64 {
    const NODES: u32 = 48;
    let mixed = |x: f64| -> f64 { parts.iter().map(|p| p.weight * p.density(x)).sum() };
    parts
        .iter()
        .filter(|p| p.weight > 1e-4)
        .map(|part| {
            // the middle of equal shares of this part's own range
            let h = 8.0 / f64::from(NODES);
            let one = |i: u32| {
                let u = -4.0 + (f64::from(i) + 0.5) * h;
                let x = part.mean + u * part.sd;
                let p = part.density(x);
                (-0.5 * u * u).exp() / (2.0 * PI).sqrt() * h * (p / mixed(x)).log2()
            };
            part.weight * (0..NODES).map(one).sum::<f64>()
        })
        .sum::<f64>()
        .max(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn part(weight: f64, mean: f64, sd: f64) -> Part {
        Part { weight, mean, sd }
    }

    /// Normal distribution: 5 % below −1.644854, 97.5 % below 1.959964 (NIST/SEMATECH e-Handbook
    /// 1.3.6.7.1).
    #[test]
    fn quantiles_of_one_part_are_the_normal_table() {
        let one = [part(1.0, 10.0, 2.0)];
        let q = |q| (quantile(&one, q).unwrap() - 10.0) / 2.0;
        assert!((q(0.05) + 1.644_854).abs() < 1e-5, "{}", q(0.05));
        assert!((q(0.975) - 1.959_964).abs() < 1e-5);
        assert!(q(0.5).abs() < 1e-6);
        assert_eq!(quantile(&[], 0.5), None);
    }

    #[test]
    fn halves_far_apart_have_their_quarters_in_their_middles() {
        let two = [part(0.5, 0.0, 1.0), part(0.5, 100.0, 1.0)];
        assert!(quantile(&two, 0.25).unwrap().abs() < 1e-4);
        assert!((quantile(&two, 0.75).unwrap() - 100.0).abs() < 1e-4);
        for i in 1..20 {
            let q = f64::from(i) * 0.05;
            assert!(quantile(&two, q).unwrap() >= quantile(&two, q - 0.04).unwrap());
        }
    }

    /// Two equal models far apart: one bit. The same model twice: nothing. A binary signal ±1 in
    /// normal noise of the same size: 0.486 bits (capacity of the binary-input Gaussian channel at
    /// a signal-to-noise ratio of 0 dB, Proakis and Salehi, Digital Communications, fig. 6.5-1;
    /// the figure itself from memory).
    #[test]
    fn information_is_shannons() {
        let apart = [part(0.5, 0.0, 1.0), part(0.5, 50.0, 1.0)];
        assert!((information(&apart) - 1.0).abs() < 1e-3);
        let same = [part(0.5, 3.0, 1.0), part(0.5, 3.0, 1.0)];
        assert!(information(&same) < 1e-9);
        let signal = [part(0.5, -1.0, 1.0), part(0.5, 1.0, 1.0)];
        assert!(
            (information(&signal) - 0.486).abs() < 2e-3,
            "{}",
            information(&signal)
        );
        let three = [
            part(0.2, 0.0, 1.0),
            part(0.3, 40.0, 3.0),
            part(0.5, 90.0, 2.0),
        ];
        let missing: f64 = three.iter().map(|p| -p.weight * p.weight.log2()).sum();
        assert!((information(&three) - missing).abs() < 1e-2);
    }
}
