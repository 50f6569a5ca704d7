//! Rule: the fill hose is rated for what can reach it.

use super::kit::{AuditInput, Finding, Look, Part, RungKind, Severity, above, rule, source};

rule! {
    /// ## What it looks at
    /// The rated pressure of the weakest fill hose against the working pressure and
    /// against where the relief valve lifts; it also says when a proof test is due.
    /// ## Why it matters
    /// The hose is the part nearest to people. One that lets go whips with the thrust of
    /// its jet until the pressure is gone.
    /// ## When it stays silent
    /// Without a rating in the file (`rating-missing` speaks). It does not know the hose's
    /// age, nor when it was tested.
    /// ## Source
    /// 29 CFR 1910.430(c) and 46 CFR 197.312: burst at 4 times working pressure; proof
    /// test at 1.5 times, every year (29 CFR) or every 24 months (46 CFR 197.456).
    /// ## Certainty
    /// Copies of the rules; they bind commercial diving in the US. That the relief valve
    /// lifts no higher than the hose's rating is common practice, no source.
    "hose-rating", "Is the fill hose rated for what can reach it?"
}

/// Proof pressure over working pressure.
const PROOF: f64 = 1.5;

fn check(input: &AuditInput) -> Look {
    let Some(rated) = input.station.whip.rated_pressure else {
        return Look::silent("the fill hose's rated pressure is not known");
    };
    let (rated, working) = (rated.as_bar(), input.working_bar());
    let relief = input.rung(RungKind::ReliefLifts);
    let (hose, run) = (input.say(rated), input.say(working));
    let (severity, claim, reaches) = match relief {
        _ if above(working, rated) => {
            let claim = format!("The fill hose is rated {hose}; the machine runs to {run}.");
            (Severity::Stop, claim, working)
        }
        Some(relief) if above(relief.bar, rated) => {
            let lifts = input.say(relief.bar);
            let claim =
                format!("The fill hose is rated {hose}; the relief valve lifts only at {lifts}.");
            (Severity::FixBeforeNextRun, claim, relief.bar)
        }
        _ => {
            return Look::fine(format!(
                "the fill hose is rated {hose}; where the diving rules hold it is proof-tested at \
                 {}, every year (29 CFR 1910.430(c)) or every 24 months (46 CFR 197.456)",
                input.say(working * PROOF)
            ));
        }
    };
    let mut finding = Finding::new(severity, source::HOSES, claim)
        .why("A hose that lets go whips about where people stand.")
        .remedy(
            "Read the marking on the hose again. Vent the line and fit a hose rated at least for \
             the relief valve's pressure, with its end restrained.",
        )
        .on([&Part::whip()])
        .with(input.bar("fill hose rated", rated))
        .with(input.bar("working pressure", working))
        .margin(input.bar("room", rated - reaches));
    if let Some(relief) = relief {
        finding = finding
            .on([&relief.part])
            .with(input.bar("relief lifts", relief.bar));
    }
    Look::found(finding)
}

#[cfg(test)]
mod tests {
    use super::super::testing::{claims, found, look, metric, with};
    use super::*;

    fn hose(rated: &str) -> String {
        let to = format!("rated_pressure = \"{rated}\"");
        with(metric(), "rated_pressure = \"345 bar\" # hose", &to)
    }

    #[test]
    fn fires_below_what_reaches_it() {
        let [one] = &found("hose-rating", &hose("225 bar"))[..] else {
            panic!()
        };
        assert_eq!(one.severity, Severity::Stop);
        assert!(one.claim.contains("225 bar") && one.claim.contains("232 bar"));
        let [one] = &found("hose-rating", &hose("250 bar"))[..] else {
            panic!()
        };
        assert_eq!(one.severity, Severity::FixBeforeNextRun);
        assert!(one.claim.contains("255 bar"), "{}", one.claim);
    }

    /// 29 CFR 1910.430(c): 1.5 times the working pressure of 232 bar is 348 bar.
    #[test]
    fn silent_above_it_with_the_proof_test() {
        assert_eq!(claims("hose-rating", metric()), [""; 0]);
        assert!(look("hose-rating", metric()).fine[0].contains("348 bar"));
    }
}
