//! Rule: the disc bursts before a rated part or a test pressure is passed.

use super::kit::{
    AuditInput, Finding, Look, Measure, Part, Rung, RungKind, Severity, above, rule, source,
};
use station::CylinderKind;

rule! {
    /// ## What it looks at
    /// The highest pressure at which the disc may burst against the ratings of tower, fill
    /// hose and last stage, and against the test pressure of cylinders made for this
    /// working pressure.
    /// ## Why it matters
    /// The disc is there for when the relief valve fails. If it may hold more than a part
    /// is rated for, that part is the disc.
    /// ## When it stays silent
    /// Without a disc; for parts without a rating and cylinders without a test pressure in
    /// the file; for cylinders rated below the working pressure (`lower-rated-cylinder`).
    /// ## Source
    /// ASME VIII-1 UG-127(a)(1): a disc marked no higher than the rating may burst 5 %
    /// above its mark, so an excess within the tolerance is only told. CGA S-1.1 for test
    /// pressures of cylinders.
    /// ## Certainty
    /// UG-127 seen in a handbook that quotes it; CGA S-1.1 from memory, unverified.
    "disc-above-weakest", "May the disc hold more than the weakest part?"
}

fn check(input: &AuditInput) -> Look {
    let Some(disc) = input.rung(RungKind::DiscBursts) else {
        return Look::silent("no burst disc is described");
    };
    parts(input, disc).and(cylinders(input, disc))
}

fn parts(input: &AuditInput, disc: &Rung) -> Look {
    let Some(weakest) = input.ladder.ratings().next() else {
        return Look::silent("no part's rated pressure is known");
    };
    let (mark, most) = (input.say(disc.bar), input.say(disc.high_bar));
    let rated = input.say(weakest.bar);
    let name = &weakest.part.name;
    if !above(disc.high_bar, weakest.bar) {
        return Look::fine(format!(
            "the disc bursts at {most} at the latest, no higher than the {rated} the weakest \
             rated part, the {name}, is made for"
        ));
    }
    let severity = if above(disc.bar, weakest.bar) {
        Severity::FixBeforeNextRun
    } else {
        Severity::LookInto
    };
    let claim =
        format!("The burst disc, {mark}, may hold up to {most}; the {name} is rated for {rated}.");
    let weak = input
        .ladder
        .ratings()
        .filter(|r| above(disc.high_bar, r.bar));
    let finding = weak.fold(
        finding(input, severity, claim, disc)
            .margin(input.bar("room", weakest.bar - disc.high_bar)),
        |finding, rung| {
            finding
                .on([&rung.part])
                .with(input.bar(rung.name.clone(), rung.bar))
        },
    );
    Look::found(finding)
}

fn cylinders(input: &AuditInput, disc: &Rung) -> Look {
    let working = input.working_bar();
    let kinds = input.station.cylinder_kinds.iter();
    let filled = kinds.filter(|k| !above(working, k.vessel.working_pressure.value.as_bar()));
    let one = |kind: &CylinderKind| {
        let test = kind.vessel.test_pressure?;
        if !above(disc.high_bar, test.value.as_bar()) {
            return None;
        }
        let claim = format!(
            "The burst disc, {}, may hold up to {}, above the test pressure of {}, {test}.",
            input.say(disc.bar),
            input.say(disc.high_bar),
            kind.id
        );
        let measure = Measure {
            shown: test.to_string(),
            ..input.bar(format!("{} tested at", kind.id), test.value.as_bar())
        };
        let found = finding(input, Severity::LookInto, claim, disc);
        let found = found.on([&Part::cylinder(&kind.id)]).with(measure);
        Some(Finding {
            source: source::CYLINDER_DISC,
            ..found
        })
    };
    Look {
        findings: filled.filter_map(one).collect(),
        ..Look::default()
    }
}

fn finding(input: &AuditInput, severity: Severity, claim: String, disc: &Rung) -> Finding {
    Finding::new(severity, source::DISC_TOLERANCE, claim)
        .why("If the relief valve fails, that part has to bear more than it is made for.")
        .remedy(
            "Check the disc's stamp and the part's plate or marking. Have a lower disc, or a part \
             with a higher rating, fitted as the maker's manual says; never under pressure.",
        )
        .on([&disc.part])
        .with(input.bar("disc bursts, as marked", disc.bar))
        .with(input.bar("disc bursts, highest", disc.high_bar))
}

#[cfg(test)]
mod tests {
    use super::super::Severity;
    use super::super::testing::{claims, found, metric, with};

    /// 340 bar and 5 %: up to 357 bar, against a tower of 350 and a hose of 345 bar.
    #[test]
    fn fires_above_a_rating() {
        let strong = with(
            metric(),
            "test_pressure = \"348 bar\"",
            "test_pressure = \"450 bar\"",
        );
        let text = with(&strong, "bursts = \"300 bar\"", "bursts = \"340 bar\"");
        let [one] = &found("disc-above-weakest", &text)[..] else {
            panic!()
        };
        assert_eq!(one.severity, Severity::LookInto, "marked below the rating");
        assert!(
            one.claim.contains("340 bar") && one.claim.contains("345 bar"),
            "{}",
            one.claim
        );
        assert_eq!(one.parts.len(), 3, "disc, hose and tower");
        let higher = with(&strong, "bursts = \"300 bar\"", "bursts = \"346 bar\"");
        assert_eq!(
            found("disc-above-weakest", &higher)[0].severity,
            Severity::FixBeforeNextRun
        );
    }

    #[test]
    fn fires_above_a_test_pressure() {
        let text = with(
            metric(),
            "test_pressure = \"348 bar\"",
            "test_pressure = \"310 bar\"",
        );
        let [one] = &claims("disc-above-weakest", &text)[..] else {
            panic!()
        };
        assert!(one.contains("310 bar") && one.contains("315 bar"), "{one}");
    }

    #[test]
    fn silent_below_all() {
        assert_eq!(claims("disc-above-weakest", metric()), [""; 0]);
    }
}
