//! Chance of the story: everything drawn comes from its seed, and from nothing else.
//!
//! Each part of the story draws from a stream of its own, so that what one part draws moves no other.

use rand::{RngExt as _, SeedableRng as _};
use rand_pcg::Pcg64Mcg;

/// A stream of chance.
pub struct Chance(Pcg64Mcg);

/// An odd number with its bits well spread: parts a seed into streams (the golden ratio, Knuth, The
/// Art of Computer Programming 3, 6.4).
const SPREAD: u64 = 0x9e37_79b9_7f4a_7c15;

impl Chance {
    /// Stream `of` of this seed.
    pub fn new(seed: u64, of: u64) -> Chance {
        let mixed = seed ^ of.wrapping_add(1).wrapping_mul(SPREAD);
        Chance(Pcg64Mcg::seed_from_u64(mixed))
    }

    /// Even between these.
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.0.random::<f64>()
    }

    /// Normal about nothing, cut off at three standard deviations. Box and Muller, Ann. Math. Stat.
    /// 29 (1958) 610.
    pub fn normal(&mut self, deviation: f64) -> f64 {
        let u = 1.0 - self.0.random::<f64>();
        let angle = std::f64::consts::TAU * self.0.random::<f64>();
        deviation * ((-2.0 * u.ln()).sqrt() * angle.cos()).clamp(-3.0, 3.0)
    }

    /// Whether something of this probability happens.
    pub fn happens(&mut self, probability: f64) -> bool {
        self.0.random::<f64>() < probability
    }

    /// A whole number from `low` to `high`.
    pub fn whole(&mut self, low: usize, high: usize) -> usize {
        self.0.random_range(low..=high)
    }
}

/// A gauge as it hangs there: its own error, and eyes that read it.
pub struct Dial {
    /// How far it is off, bar.
    off_bar: f64,
    /// What can be told apart on it, bar.
    step_bar: f64,
}

/// A gauge in service is off by up to this share of its class.
const OF_CLASS: f64 = 0.6;
/// Scatter of the needle and the eye, in steps.
const EYE: f64 = 0.3;

impl Dial {
    /// A gauge of this class (% of span, EN 837-1), its error drawn once for the year.
    pub fn new(chance: &mut Chance, span_bar: f64, class: f64, step_bar: f64) -> Dial {
        let most = OF_CLASS * class / 100.0 * span_bar;
        Dial {
            off_bar: chance.between(-most, most),
            step_bar,
        }
    }

    /// What is read where the pressure is this.
    pub fn shows(&self, bar: f64, chance: &mut Chance) -> f64 {
        let seen = bar + self.off_bar + chance.normal(EYE * self.step_bar);
        // a needle at rest is on its pin
        if bar < 1.0 {
            return 0.0;
        }
        ((seen / self.step_bar).round() * self.step_bar).max(0.0)
    }

    /// The pressure at which somebody who wants to see `shown` shuts the valve.
    pub fn pressure_at(&self, shown: f64, chance: &mut Chance) -> f64 {
        shown - self.off_bar + chance.normal(EYE * self.step_bar)
    }
}
