//! How often to drain.
//!
//! Not here: when somebody did (the book), how much came (see [`super::Ledger`]).

/// How full a sump may become before it is drained.
///
/// Common practice, no source: a sump must take one missed drain, and
/// condensate is an emulsion that foams when the pressure falls.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DrainRule {
    /// Drains that may be missed before it overflows.
    pub missed: f64,
    /// Volume of foam per volume of condensate: least, usual, most.
    pub foam: [f64; 3],
}

impl DrainRule {
    /// One missed drain; foam of 1.3 to 2 times the liquid.
    pub const USUAL: DrainRule = DrainRule {
        missed: 1.0,
        foam: [1.3, 1.6, 2.0],
    };
}

/// Minutes between drains.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DrainInterval {
    /// If the air is saturated and the condensate foams most.
    pub low_s: f64,
    /// As given.
    pub mid_s: f64,
    /// If it foams least.
    pub high_s: f64,
}

/// The interval for a sump of `volume_m3` filling at `rate_m3_s` (and at
/// `saturated_rate_m3_s` if the air at the intake were saturated):
///
/// t = V / ((1 + missed)·foam·V̇)
///
/// Infinite where nothing condenses.
pub fn drain_interval(
    volume_m3: f64,
    rate_m3_s: f64,
    saturated_rate_m3_s: f64,
    rule: DrainRule,
) -> DrainInterval {
    let [least, usual, most] = rule.foam;
    let interval = |rate: f64, foam: f64| {
        if rate > 0.0 {
            volume_m3 / ((1.0 + rule.missed) * foam * rate)
        } else {
            f64::INFINITY
        }
    };
    DrainInterval {
        low_s: interval(saturated_rate_m3_s.max(rate_m3_s), most),
        mid_s: interval(rate_m3_s, usual),
        high_s: interval(rate_m3_s, least),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The formula, its order, and its limits: a dry intake never fills the sump.
    #[test]
    fn interval_follows_the_formula() {
        let t = drain_interval(90e-6, 1e-8, 2e-8, DrainRule::USUAL);
        assert!((t.mid_s - 90e-6 / (2.0 * 1.6 * 1e-8)).abs() < 1e-9);
        assert!(t.low_s < t.mid_s && t.mid_s < t.high_s);
        assert_eq!(
            drain_interval(90e-6, 0.0, 0.0, DrainRule::USUAL).mid_s,
            f64::INFINITY
        );
        let double = drain_interval(180e-6, 1e-8, 2e-8, DrainRule::USUAL);
        assert!(
            (double.mid_s / t.mid_s - 2.0).abs() < 1e-12,
            "twice the sump, twice the time"
        );
    }
}
