//! Rule: no cylinder hangs on a line that can exceed what it is made for.

use super::kit::{
    AuditInput, Finding, Look, Measure, Part, RungKind, Severity, above, rule, source,
};
use station::Vessel;

rule! {
    /// ## What it looks at
    /// The working pressure stamped on each kind of cylinder and each bank against the
    /// compressor's working pressure, and, where that is higher, where the relief valve
    /// would stop it against the vessel's test pressure.
    /// ## Why it matters
    /// The final relief valve protects the compressor. It does not protect a cylinder of
    /// 200 bar on a machine of 330 bar: one moment of inattention fills it beyond its
    /// stamp, and no part of the station stops that.
    /// ## When it stays silent
    /// For vessels rated for the working pressure or more: that the relief valve lifts a
    /// little above their stamp is the trade's custom. The file has no place for a second
    /// relief valve, regulator or interlock: where you have one, the finding stays as a
    /// reminder. A plus mark is not counted.
    /// ## Source
    /// 49 CFR 173.301a(c): settled pressure no higher than service pressure at 21 °C.
    /// ## Certainty
    /// Stored text of the rule. That a lower-rated cylinder needs its own relief valve,
    /// regulator or interlock is common practice, no source.
    "lower-rated-cylinder", "Does a cylinder hang on a line made for more?"
}

fn check(input: &AuditInput) -> Look {
    let kinds = input.station.cylinder_kinds.iter();
    let kinds = kinds.map(|k| (Part::cylinder(&k.id), &k.vessel));
    let banks = input.station.banks.iter();
    let banks = banks.map(|b| (Part::bank(&b.id), &b.vessel));
    let vessels: Vec<(Part, &Vessel)> = kinds.chain(banks).collect();
    if vessels.is_empty() {
        return Look::silent("the file describes no cylinder kind and no bank");
    }
    let found: Look = vessels
        .iter()
        .map(|(part, vessel)| against(input, part, vessel))
        .collect();
    if found.findings.is_empty() {
        let working = input.say(input.working_bar());
        return found.and(Look::fine(format!(
            "every cylinder kind and bank is rated for {working} or more"
        )));
    }
    found
}

fn against(input: &AuditInput, part: &Part, vessel: &Vessel) -> Look {
    let stamp = vessel.working_pressure;
    let (rated, working) = (stamp.value.as_bar(), input.working_bar());
    if !above(working, rated) {
        return Look::default();
    }
    let relief = input.rung(RungKind::ReliefLifts);
    let reaches = relief.map_or(working, |r| r.high_bar);
    let test = vessel
        .test_pressure
        .filter(|test| above(reaches, test.value.as_bar()));
    let name = &part.name;
    let (severity, beyond) = match test {
        Some(test) => (
            Severity::Stop,
            format!("; before anything lifts it would be past its test pressure, {test}"),
        ),
        None => (Severity::FixBeforeNextRun, String::new()),
    };
    let lifts = relief.map_or(String::new(), |r| {
        format!(" and its relief valve lifts only at {}", input.say(r.bar))
    });
    let claim = format!(
        "{name} is stamped {stamp}; the machine runs to {}{lifts}{beyond}.",
        input.say(working)
    );
    let stamped = Measure {
        shown: stamp.to_string(),
        ..input.bar(format!("{name} stamped"), rated)
    };
    let mut finding = Finding::new(severity, source::FILL, claim)
        .why("Nothing on the station stops a fill of that cylinder before it is beyond its stamp.")
        .remedy(format!(
            "Do not connect {name} to this line unless a relief valve or regulator of its own \
             rating stands before it. Never fill it together with cylinders of a higher rating."
        ))
        .on([part, &Part::stage(1, 1)])
        .with(stamped)
        .with(input.bar("working pressure", working))
        .margin(input.bar("room", rated - working));
    if let Some(relief) = relief {
        finding = finding
            .on([&relief.part])
            .with(input.bar("relief lifts, highest", relief.high_bar));
    }
    Look::found(finding)
}

#[cfg(test)]
mod tests {
    use super::super::Severity;
    use super::super::testing::{claims, found, metric, with};

    fn second(rated: &str, test: &str) -> String {
        let kind = format!(
            "[[cylinder_kind]]\nid = \"old\"\nwater_volume = \"10 L\"\nworking_pressure = \"{rated}\"\n\
             test_pressure = \"{test}\"\n"
        );
        format!("{}{kind}", metric())
    }

    #[test]
    fn fires_for_a_lower_stamp_in_its_own_unit() {
        let [one] = &found("lower-rated-cylinder", &second("2900 psi", "300 bar"))[..] else {
            panic!()
        };
        assert_eq!(one.severity, Severity::FixBeforeNextRun);
        assert!(
            one.claim.contains("2900 psi") && one.claim.contains("232 bar"),
            "{}",
            one.claim
        );
    }

    #[test]
    fn beyond_the_test_pressure_is_a_stop() {
        let [one] = &found("lower-rated-cylinder", &second("150 bar", "225 bar"))[..] else {
            panic!()
        };
        assert_eq!(one.severity, Severity::Stop);
        assert!(
            one.claim.contains("225 bar") && one.claim.contains("255 bar"),
            "{}",
            one.claim
        );
    }

    #[test]
    fn banks_count() {
        let bank =
            "[[bank]]\nid = \"B\"\nwater_volume = \"50 L\"\nworking_pressure = \"200 bar\"\n";
        assert_eq!(
            claims("lower-rated-cylinder", &format!("{}{bank}", metric())).len(),
            1
        );
    }

    #[test]
    fn silent_for_the_machines_own_rating() {
        assert_eq!(claims("lower-rated-cylinder", metric()), [""; 0]);
        assert_eq!(
            claims("lower-rated-cylinder", &second("300 bar", "450 bar")),
            [""; 0]
        );
        let none = with(
            metric(),
            "working_pressure = \"232 bar\" # machine",
            "working_pressure = \"233 bar\"",
        );
        assert_eq!(claims("lower-rated-cylinder", &none).len(), 1);
    }
}
