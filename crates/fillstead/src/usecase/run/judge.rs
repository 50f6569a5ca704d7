//! A reading held against what was expected: inside the band, high or low, what it may mean in
//! plain words, and what to do. Causes and remedies are common practice, no source.

use serde::Serialize;

use super::course::Expected;

/// Where a reading stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Verdict {
    /// As expected.
    Inside,
    /// Above the band.
    High,
    /// Below it.
    Low,
}

/// Which gauge was read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Gauge {
    /// At the tower.
    Tower,
    /// At the fill panel.
    Fill,
}

/// Where this reading stands.
pub fn verdict(bar: f64, expected: Expected) -> Verdict {
    match bar - expected.bar {
        over if over > expected.give_or_take => Verdict::High,
        under if under < -expected.give_or_take => Verdict::Low,
        _ => Verdict::Inside,
    }
}

/// Whether the last two readings stand outside on the same side: stop and find out why.
pub fn twice(verdicts: &[Verdict]) -> bool {
    matches!(
        verdicts,
        [.., Verdict::High, Verdict::High] | [.., Verdict::Low, Verdict::Low]
    )
}

/// What it may mean, in a sentence.
pub fn meaning(gauge: Gauge, verdict: Verdict) -> &'static str {
    match (gauge, verdict) {
        (_, Verdict::Inside) => "As expected.",
        (Gauge::Fill, Verdict::High) => {
            "More pressure than expected: the cylinder is smaller or was fuller than typed, its \
             valve is not fully open, or the gauge reads high."
        }
        (Gauge::Fill, Verdict::Low) => {
            "Less pressure than expected: a leak, an open drain or vent, a slipping belt, tired \
             stage valves, or the cylinder was emptier than typed."
        }
        (Gauge::Tower, Verdict::High) => {
            "The tower stands higher than expected: the air does not get past the PMV or the fill \
             valve, or the gauge reads high."
        }
        (Gauge::Tower, Verdict::Low) => {
            "The tower stands lower than expected: a drain or vent is open, something leaks, or \
             the machine delivers less."
        }
    }
}

/// What to do now, in a sentence.
pub fn remedy(gauge: Gauge, verdict: Verdict, twice: bool) -> &'static str {
    match (gauge, verdict) {
        (_, Verdict::Inside) => "Go on.",
        (_, _) if twice => "Outside twice in a row. Stop the machine and find out why.",
        (Gauge::Fill, Verdict::High) => {
            "Watch the gauge, not the clock, and stop by the gauge. Read it again in a minute."
        }
        (Gauge::Fill, Verdict::Low) => {
            "Look and listen at drains, vent and hose from a step away. Tighten nothing under \
             pressure. Read it again in two minutes."
        }
        (Gauge::Tower, Verdict::High) => {
            "See that the fill valve and the cylinder valve are open. If the tower goes on \
             rising, stop the machine."
        }
        (Gauge::Tower, Verdict::Low) => {
            "See that drains and vent are shut. Tighten nothing under pressure. Read it again in \
             a minute."
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_edge_of_the_band_is_inside() {
        let expected = Expected {
            bar: 143.0,
            give_or_take: 6.0,
        };
        let at = |bar| verdict(bar, expected);
        assert_eq!(at(143.0), Verdict::Inside);
        assert_eq!(at(149.0), Verdict::Inside);
        assert_eq!(at(137.0), Verdict::Inside);
        assert_eq!(at(149.5), Verdict::High);
        assert_eq!(at(136.5), Verdict::Low);
    }

    #[test]
    fn twice_is_the_last_two_on_one_side() {
        use Verdict::{High, Inside, Low};
        assert!(twice(&[High, High]) && twice(&[Inside, Low, Low]));
        assert!(!twice(&[High, Low]) && !twice(&[High, High, Inside]) && !twice(&[High]));
    }

    /// Never a word that sends somebody to a fitting under pressure.
    #[test]
    fn nobody_is_told_to_tighten_anything() {
        for gauge in [Gauge::Fill, Gauge::Tower] {
            for verdict in [Verdict::High, Verdict::Low] {
                let text = remedy(gauge, verdict, false);
                let bare = text.replace("Tighten nothing", "");
                assert!(!bare.to_lowercase().contains("tighten"), "{text}");
                assert!(remedy(gauge, verdict, true).contains("Stop the machine"));
            }
        }
    }
}
