//! Rule: the PMV has room between opening and closing, and not too much.

use super::kit::{AuditInput, Finding, Look, RungKind, Severity, above, rule, source};

rule! {
    /// ## What it looks at
    /// How far below its opening pressure the PMV closes: more than its tolerance, and not
    /// below half.
    /// ## Why it matters
    /// With hardly any gap it opens and shuts all the time. With a wide one the tower
    /// keeps little pressure over night, and the next run begins with wet air.
    /// ## When it stays silent
    /// Without a PMV; where it closes no lower than it opens (`ladder-order` speaks).
    /// ## Source
    /// Common practice, no source.
    /// ## Certainty
    /// The mechanism is plain; the limits are ours.
    "pmv-gap", "Is the PMV's gap between open and shut fit?"
}

/// Closing below this part of the opening pressure is wide.
const WIDE: f64 = 0.5;

fn check(input: &AuditInput) -> Look {
    let rungs = (
        input.rung(RungKind::PmvCloses),
        input.rung(RungKind::PmvOpens),
    );
    let (Some(closes), Some(opens)) = rungs else {
        return Look::silent("no PMV is described");
    };
    if !above(opens.bar, closes.bar) {
        return Look::default();
    }
    let (shut, open) = (input.say(closes.bar), input.say(opens.bar));
    let (severity, claim, why) = if above(closes.high_bar, opens.low_bar) {
        let claim = format!(
            "The PMV opens at {open} and closes at {shut}: the gap is smaller than its tolerance \
             ({} to {}).",
            input.say(closes.high_bar),
            input.say(opens.low_bar)
        );
        (
            Severity::LookInto,
            claim,
            "It may flutter, and wear out its seat.",
        )
    } else if above(opens.bar * WIDE, closes.bar) {
        let claim = format!("The PMV opens at {open} and closes only at {shut}, below half of it.");
        (
            Severity::Note,
            claim,
            "The tower keeps little pressure, and the next run begins with wet air.",
        )
    } else {
        return Look::fine(format!("the PMV opens at {open} and closes at {shut}"));
    };
    let finding = Finding::new(severity, source::PRACTICE, claim)
        .why(why)
        .remedy(
            "Read both pressures off the gauge in a run from empty: the first air at the fill \
             valve, and where the tower gauge stays after the line is bled. Write them into [pmv].",
        )
        .on([&opens.part])
        .with(input.bar("PMV opens", opens.bar))
        .with(input.bar("PMV closes", closes.bar))
        .margin(input.bar("gap", opens.bar - closes.bar));
    Look::found(finding)
}

#[cfg(test)]
mod tests {
    use super::super::Severity;
    use super::super::testing::{TRADE, claims, found, metric, with};

    fn closes(at: &str) -> Vec<super::Finding> {
        let to = format!("closes = \"{at}\"");
        found("pmv-gap", &with(metric(), "closes = \"70 bar\"", &to))
    }

    #[test]
    fn fires_for_a_gap_within_the_tolerance() {
        // 5 % of each: 92 · 1.05 = 96.6 above 100 · 0.95 = 95
        assert_eq!(closes("92 bar")[0].severity, Severity::LookInto);
        assert!(closes("92 bar")[0].claim.contains("92 bar"));
    }

    #[test]
    fn fires_for_a_wide_gap() {
        assert_eq!(closes("45 bar")[0].severity, Severity::Note);
    }

    #[test]
    fn silent_between() {
        assert_eq!(closes("90 bar"), []);
        assert_eq!(claims("pmv-gap", TRADE), [""; 0]);
    }
}
