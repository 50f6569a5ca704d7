//! Rule: a final relief valve is fitted.

use super::kit::{AuditInput, Finding, Look, Part, RungKind, Severity, rule, source};

rule! {
    /// ## What it looks at
    /// Whether the file describes a final relief valve, and if not, a burst disc.
    /// ## Why it matters
    /// With nothing that lets air out, a full cylinder, a closed valve or a blocked
    /// purifier drives the pressure up until the weakest part gives way.
    /// ## When it stays silent
    /// Never: a valve that the file forgets is found here too.
    /// ## Source
    /// 29 CFR 1917.155 and 30 CFR 56/57.13011 ask for a relief valve on air receivers;
    /// California Code of Regulations, title 8, § 465 allows a disc in its place.
    /// ## Certainty
    /// Government pages; whether they bind this machine depends on where it stands.
    "relief-missing", "Is a final relief valve fitted?"
}

fn check(input: &AuditInput) -> Look {
    if let Some(relief) = input.rung(RungKind::ReliefLifts) {
        return Look::fine(format!(
            "a final relief valve lifts at {}",
            input.say(relief.bar)
        ));
    }
    let (severity, beside) = match input.rung(RungKind::DiscBursts) {
        Some(disc) => (
            Severity::FixBeforeNextRun,
            format!("; only a burst disc, {}, is left", input.say(disc.bar)),
        ),
        None => (Severity::Stop, ", and no burst disc".to_owned()),
    };
    let claim = format!("The file describes no final relief valve{beside}.");
    let working = input.bar("working pressure", input.working_bar());
    let finding = Finding::new(severity, source::RECEIVER, claim)
        .why("Nothing but the machine's own strength ends the pressure when a valve stays shut.")
        .remedy(
            "Look for the valve and write [relief] with `lifts` from its tag. If none is fitted, \
             do not run the compressor; ask whoever services it.",
        )
        .on([&Part::relief()])
        .with(working);
    Look::found(finding)
}

#[cfg(test)]
mod tests {
    use super::super::Severity;
    use super::super::testing::{claims, found, metric, with};

    #[test]
    fn fires_without_a_relief_valve() {
        let relief = "[relief]\nlifts = \"255 bar\"\nreseats = \"240 bar\"\n";
        let without = with(metric(), relief, "");
        let [one] = &found("relief-missing", &without)[..] else {
            panic!("{:?}", claims("relief-missing", &without));
        };
        assert_eq!(one.severity, Severity::FixBeforeNextRun);
        assert!(one.claim.contains("300 bar"), "{}", one.claim);
        let bare = with(&without, "[burst_disc]\nbursts = \"300 bar\"\n", "");
        assert_eq!(found("relief-missing", &bare)[0].severity, Severity::Stop);
    }

    #[test]
    fn silent_with_one() {
        assert_eq!(claims("relief-missing", metric()), [""; 0]);
    }
}
