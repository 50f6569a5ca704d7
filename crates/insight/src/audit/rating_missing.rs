//! Rule: the ratings that protection is judged by are written down.

use super::kit::{AuditInput, Finding, Look, Part, RungKind, Severity, rule, source};

rule! {
    /// ## What it looks at
    /// Whether the file gives the rated pressures of tower and fill hose, and the test
    /// pressures of cylinders rated below the machine.
    /// ## Why it matters
    /// Without them nothing can be said about whether relief valve and disc protect these
    /// parts. Silence is not a pass.
    /// ## When it stays silent
    /// When all of them are there.
    /// ## Source
    /// ASME VIII-1 UG-134(a) and UG-125(c) measure every setting by the rating.
    /// ## Certainty
    /// As those: seen in an article of the National Board and in a copy of the text.
    "rating-missing", "Are the ratings known?"
}

fn check(input: &AuditInput) -> Look {
    let station = input.station;
    let mut missing: Vec<(Part, &str)> = Vec::new();
    if station.tower.rated_pressure.is_none() {
        missing.push((
            Part::tower(),
            "`rated_pressure` in [tower], from the plate of the housing",
        ));
    }
    if station.whip.rated_pressure.is_none() {
        missing.push((
            Part::whip(),
            "`rated_pressure` in [whip], from the marking on the hose",
        ));
    }
    let low = |bar: f64| bar < input.working_bar() * (1.0 - 1e-6);
    let mut kinds: Vec<_> = station.cylinder_kinds.iter().collect();
    kinds.sort_by(|a, b| a.id.cmp(&b.id));
    for kind in kinds {
        let vessel = &kind.vessel;
        if vessel.test_pressure.is_none() && low(vessel.working_pressure.value.as_bar()) {
            missing.push((
                Part::cylinder(&kind.id),
                "`test_pressure` of that cylinder kind, from its stamps",
            ));
        }
    }
    if missing.is_empty() {
        return Look::fine("the ratings of tower and fill hose are known");
    }
    let names: Vec<String> = missing
        .iter()
        .map(|(part, _)| format!("the {}", part.name))
        .collect();
    let lifts = input.rung(RungKind::ReliefLifts);
    let against = lifts.map_or(String::new(), |r| format!(" ({})", input.say(r.bar)));
    let claim = format!(
        "The rating of {} is not written down: whether the relief valve{against} and the disc \
         protect it was not judged.",
        names.join(" and ")
    );
    let places: Vec<&str> = missing.iter().map(|(_, place)| *place).collect();
    let mut finding = Finding::new(Severity::LookInto, source::SET, claim)
        .why("Silence is not a pass: a part may be weaker than the relief valve.")
        .remedy(format!("Write {}.", places.join("; ")));
    finding.parts = missing.into_iter().map(|(part, _)| part).collect();
    Look::found(finding)
}

#[cfg(test)]
mod tests {
    use super::super::testing::{TRADE, claims, found, metric};

    #[test]
    fn fires_and_names_what_is_missing() {
        let [one] = &found("rating-missing", TRADE)[..] else {
            panic!()
        };
        assert!(
            one.claim.contains("the tower and the fill hose"),
            "{}",
            one.claim
        );
        assert!(one.remedy.contains("[tower]") && one.remedy.contains("[whip]"));
    }

    #[test]
    fn lower_rated_cylinders_need_a_test_pressure() {
        let kind = "[[cylinder_kind]]\nid = \"old\"\nwater_volume = \"10 L\"\nworking_pressure = \"150 bar\"\n";
        let claims = claims("rating-missing", &format!("{}{kind}", metric()));
        assert!(claims[0].contains("the old"), "{claims:?}");
    }

    #[test]
    fn silent_when_known() {
        assert_eq!(claims("rating-missing", metric()), [""; 0]);
    }
}
