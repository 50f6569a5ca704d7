//! Rule: the relief valve shuts again above working pressure.

use super::kit::{AuditInput, Finding, Look, Part, RungKind, Severity, above, rule, source};

rule! {
    /// ## What it looks at
    /// The pressure at which the relief valve reseats against the working pressure.
    /// ## Why it matters
    /// A valve that reseats below working pressure goes on blowing after one lift until
    /// the machine is stopped: the fill slows down, and the seat wears.
    /// ## When it stays silent
    /// Without a relief valve. Where the file does not say `reseats`, 90 % of the
    /// lifting pressure is assumed, and what follows from that is only a note.
    /// ## Source
    /// Common practice, no source.
    /// ## Certainty
    /// The mechanism is plain; how much room is enough is custom.
    "relief-reseats", "Does the relief valve shut again during a fill?"
}

/// What the station reader assumes, as part of the lifting pressure.
const ASSUMED: f64 = 0.9;

fn check(input: &AuditInput) -> Look {
    let rungs = (
        input.rung(RungKind::ReliefLifts),
        input.rung(RungKind::ReliefReseats),
    );
    let (Some(lifts), Some(reseats)) = rungs else {
        return Look::silent("no final relief valve is described");
    };
    let working = input.working_bar();
    let assumed = (reseats.bar / lifts.bar - ASSUMED).abs() < 1e-9;
    let (set, run) = (input.say(reseats.bar), input.say(working));
    let (severity, claim) = if !above(lifts.bar, reseats.bar) {
        let opens = input.say(lifts.bar);
        let claim =
            format!("The relief valve reseats at {set}, not below the {opens} at which it lifts.");
        (Severity::LookInto, claim)
    } else if above(reseats.bar, working) {
        return Look::fine(format!(
            "the relief valve reseats at {set}, above the working pressure, {run}"
        ));
    } else if assumed {
        let claim = format!(
            "The relief valve may go on blowing after a lift: reseating at {set}, 90 % of its \
             lifting pressure, is assumed, not above the working pressure, {run}."
        );
        (Severity::Note, claim)
    } else {
        let claim = format!(
            "The relief valve reseats at {set}, not above the working pressure, {run}: after one \
             lift it goes on blowing."
        );
        (Severity::LookInto, claim)
    };
    let finding = Finding::new(severity, source::PRACTICE, claim)
        .why("Air is lost and the seat wears while the fill goes on.")
        .remedy(
            "Write the reseating pressure from the valve's tag under `reseats`. If it once lifts \
             during a fill, stop, let the pressure fall and find out why.",
        )
        .on([&Part::relief()])
        .with(input.bar("relief valve reseats", reseats.bar))
        .with(input.bar("working pressure", working))
        .margin(input.bar("room", reseats.bar - working));
    Look::found(finding)
}

#[cfg(test)]
mod tests {
    use super::super::Severity;
    use super::super::testing::{TRADE, claims, found, metric, with};

    #[test]
    fn fires_at_or_below_working_pressure() {
        let [one] = &found("relief-reseats", TRADE)[..] else {
            panic!()
        };
        assert_eq!(one.severity, Severity::LookInto);
        let low = with(metric(), "reseats = \"240 bar\"", "reseats = \"231 bar\"");
        assert!(found("relief-reseats", &low)[0].claim.contains("231 bar"));
    }

    #[test]
    fn an_assumption_is_only_a_note() {
        let unsaid = with(metric(), "reseats = \"240 bar\"\n", "");
        assert_eq!(found("relief-reseats", &unsaid)[0].severity, Severity::Note);
    }

    #[test]
    fn silent_above_it() {
        assert_eq!(claims("relief-reseats", metric()), [""; 0]);
    }
}
