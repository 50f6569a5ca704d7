//! Rule: a relief valve stands near the pressure stamped on it.

use super::kit::{AuditInput, Finding, Look, Part, SETTING, Severity, above, rule, source};

rule! {
    /// ## What it looks at
    /// The pressure at which the relief valve lifts (`lifts`) against the one stamped on
    /// it (`stamped`), where the file gives both.
    /// ## Why it matters
    /// A spring turned far from the pressure it was made for may bind, or leave the valve
    /// less lift than its capacity was certified with.
    /// ## When it stays silent
    /// Without `stamped` in [relief].
    /// ## Source
    /// California Code of Regulations, title 8, § 465(b): no more than 10 % up to
    /// 250 psig, 5 % above that.
    /// ## Certainty
    /// Government page, current when seen. Other places have other rules; the valve's
    /// maker may allow less.
    "relief-moved", "Is the relief valve set far from its stamp?"
}

/// 250 psig, below which more is allowed, bar.
const LOW_BAR: f64 = 17.236_893;

fn check(input: &AuditInput) -> Look {
    let Some(relief) = &input.station.relief else {
        return Look::silent("no final relief valve is described");
    };
    let Some(stamped) = relief.stamped else {
        return Look::silent(
            "the stamp of the relief valve is not known: write `stamped` in [relief]",
        );
    };
    let (lifts, stamp) = (relief.lifts.as_bar(), stamped.as_bar());
    let allowed = if above(stamp, LOW_BAR) { 0.05 } else { 0.10 };
    let moved = (lifts / stamp - 1.0).abs();
    let numbers = format!(
        "{:.1} % from the {} stamped on it; {:.0} % is allowed",
        moved * 100.0,
        input.say(stamp),
        allowed * 100.0
    );
    let set = input.say(lifts);
    if !above((lifts - stamp).abs(), allowed * stamp) {
        return Look::fine(format!("the relief valve lifts at {set}, {numbers}"));
    }
    let claim = format!("The relief valve lifts at {set}, {numbers}.");
    let finding = Finding::new(Severity::FixBeforeNextRun, source::STAMP, claim)
        .why("Outside that range its spring may bind and its certified capacity no longer holds.")
        .remedy(format!(
            "Check tag and gauge first. Have the valve set back or replaced by the maker or a \
             licensed person; never reset a sealed valve. {SETTING}."
        ))
        .on([&Part::relief()])
        .with(input.bar("lifts", lifts))
        .with(input.bar("stamped", stamp))
        .margin(input.bar("room", allowed * stamp - (lifts - stamp).abs()));
    Look::found(finding)
}

#[cfg(test)]
mod tests {
    use super::super::testing::{claims, metric, with};

    fn stamped(pressure: &str) -> Vec<String> {
        let line = format!("stamped = \"{pressure}\"");
        claims(
            "relief-moved",
            &with(metric(), "reseats = \"240 bar\"", &line),
        )
    }

    /// 8 CCR 465(b): 5 % above 250 psig.
    #[test]
    fn fires_beyond_five_percent() {
        assert_eq!(stamped("242 bar").len(), 1, "255/242 is 5.4 % above");
        assert_eq!(stamped("275 bar").len(), 1, "7.3 % below");
        assert!(
            stamped("275 bar")[0].contains("255 bar") && stamped("275 bar")[0].contains("275 bar")
        );
    }

    #[test]
    fn silent_within_it_and_without_a_stamp() {
        assert_eq!(stamped("243 bar"), [""; 0], "4.9 %");
        assert_eq!(stamped("268 bar"), [""; 0], "4.9 %");
        assert_eq!(claims("relief-moved", metric()), [""; 0]);
    }
}
