//! Rule: the disc does not burst while the relief valve is still opening.

use super::kit::{AuditInput, Finding, Look, RungKind, Severity, above, rule, source};

rule! {
    /// ## What it looks at
    /// The least pressure at which the disc may burst against the range in which the
    /// relief valve may begin to lift, and against where it may be fully open.
    /// ## Why it matters
    /// The disc is the last resort: it bursts once, suddenly, and empties the tower. If it
    /// can burst before the relief valve opens it does so in ordinary service.
    /// ## When it stays silent
    /// Without a disc or without a relief valve.
    /// ## Source
    /// Tolerances of ASME VIII-1: set tolerance 3 % (UG-126), burst tolerance 5 %
    /// (UG-127(a)(1)), where the file gives no others.
    /// ## Certainty
    /// The burst tolerance was seen in a handbook that quotes it; the set tolerance is
    /// from memory, unverified. That the disc must stay above is common practice.
    "disc-before-relief", "Can the disc burst before the relief valve opens?"
}

fn check(input: &AuditInput) -> Look {
    let Some(disc) = input.rung(RungKind::DiscBursts) else {
        return Look::silent("no burst disc is described");
    };
    let rungs = (
        input.rung(RungKind::ReliefLifts),
        input.rung(RungKind::ReliefFull),
    );
    let (Some(lifts), Some(full)) = rungs else {
        return Look::silent("no final relief valve is described");
    };
    let least = input.say(disc.low_bar);
    let (mark, set) = (input.say(disc.bar), input.say(lifts.bar));
    let (severity, claim, margin) = if !above(disc.low_bar, lifts.high_bar) {
        let most = input.say(lifts.high_bar);
        let claim = format!(
            "The burst disc, {mark}, may burst from {least} on; the relief valve, {set}, may not \
             lift before {most}."
        );
        (
            Severity::FixBeforeNextRun,
            claim,
            disc.low_bar - lifts.high_bar,
        )
    } else if above(full.high_bar, disc.low_bar) {
        let open = input.say(full.high_bar);
        let claim = format!(
            "The burst disc, {mark}, may burst from {least} on; the relief valve, {set}, may be \
             fully open only at {open}."
        );
        (Severity::LookInto, claim, disc.low_bar - full.high_bar)
    } else {
        return Look::fine(format!(
            "the disc bursts from {least} on, above the {} at which the relief valve is fully open",
            input.say(full.high_bar)
        ));
    };
    let finding = Finding::new(severity, source::DISC_TOLERANCE, claim)
        .why("The disc goes where the valve should: suddenly, once, and the tower empties itself.")
        .remedy(
            "Check the disc's stamp and the valve's tag. Have a disc of the pressure the maker's \
             manual names fitted by someone trained to do it, never under pressure; never loosen \
             a disc to see.",
        )
        .on([&disc.part, &lifts.part])
        .with(input.bar("disc bursts, as marked", disc.bar))
        .with(input.bar("disc bursts, lowest", disc.low_bar))
        .with(input.bar("relief lifts, as set", lifts.bar))
        .with(input.bar("relief lifts, highest", lifts.high_bar))
        .with(input.bar("relief fully open, highest", full.high_bar))
        .margin(input.bar("room", margin));
    Look::found(finding)
}

#[cfg(test)]
mod tests {
    use super::super::Severity;
    use super::super::testing::{claims, found, metric, with};

    fn disc(bursts: &str) -> Vec<super::Finding> {
        let to = format!("bursts = \"{bursts}\"");
        found(
            "disc-before-relief",
            &with(metric(), "bursts = \"300 bar\"", &to),
        )
    }

    /// 276 bar and 5 %: from 262.2 bar on; 255 bar and 3 %: up to 262.65 bar.
    #[test]
    fn fires_inside_the_opening_range() {
        let [one] = &disc("276 bar")[..] else {
            panic!()
        };
        assert_eq!(one.severity, Severity::FixBeforeNextRun);
        for number in ["276 bar", "262.2 bar", "255 bar", "262.7 bar"] {
            assert!(one.claim.contains(number), "{number} in {}", one.claim);
        }
    }

    /// Fully open at 255 · 1.03 + 25.5 = 288.15 bar; 302 · 0.95 = 286.9 bar.
    #[test]
    fn below_full_lift_is_to_be_looked_into() {
        assert_eq!(disc("302 bar")[0].severity, Severity::LookInto);
    }

    #[test]
    fn silent_above_full_lift() {
        assert_eq!(disc("304 bar"), [], "from 288.8 bar on");
        let none = with(metric(), "[burst_disc]\nbursts = \"300 bar\"\n", "");
        assert_eq!(claims("disc-before-relief", &none), [""; 0]);
    }
}
