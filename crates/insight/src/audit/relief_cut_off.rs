//! Rule: nothing stands between the last stage and its relief valve.

use super::kit::{AuditInput, Finding, Look, Part, Severity, rule, source};
use station::{AirPath, Element};

rule! {
    /// ## What it looks at
    /// The order of the air path: whether a PMV, or a non-return valve behind the
    /// separator, stands between the last stage and the relief valve or the disc.
    /// ## Why it matters
    /// A PMV that sticks shut cuts off everything behind it: the last stage then pumps
    /// against a closed pipe. Non-return valves stick shut more rarely, the air pushes
    /// them open, but they can.
    /// ## When it stays silent
    /// Where neither relief valve nor disc is described, or the air path does not name
    /// them. The non-return valve right behind the last stage is part of every such
    /// machine and not told; nor is a blocked purifier, which chokes before it shuts.
    /// ## Source
    /// 29 CFR 1917.155 and California Code of Regulations, title 8, § 465: no stop valve
    /// between a receiver and its relief valve. A PMV is no stop valve; that it acts as
    /// one when stuck is common practice, no source.
    /// ## Certainty
    /// Government pages for the rule; carrying it over to a stuck PMV is our reading.
    "relief-cut-off", "Can a sticking valve cut the relief valve or disc off?"
}

fn check(input: &AuditInput) -> Look {
    let path = &input.station.air_path;
    let fitted = [
        (Element::Relief, Part::relief()),
        (Element::BurstDisc, Part::disc()),
    ];
    let fitted: Vec<_> = fitted
        .into_iter()
        .filter(|(element, _)| path.position(*element).is_some())
        .collect();
    if fitted.is_empty() {
        return Look::silent("the air path names neither a relief valve nor a disc");
    }
    let (behind, before): (Vec<_>, Vec<_>) = fitted
        .into_iter()
        .partition(|(element, _)| path.is_before(Element::Pmv, *element));
    let looks = behind.iter().map(|(element, part)| {
        Look::found(behind_pmv(
            input,
            *element,
            part,
            before.first().map(|(_, p)| p),
        ))
    });
    let checked: Vec<&Part> = before
        .iter()
        .filter(|(element, _)| check_before(path, *element))
        .map(|(_, part)| part)
        .collect();
    let told: Look = looks.collect();
    match &checked[..] {
        [] if told.findings.is_empty() => {
            Look::fine("no valve stands between last stage and relief")
        }
        [] => told,
        parts => told.and(Look::found(behind_check(parts))),
    }
}

/// Whether a non-return valve stands between the separator and this.
fn check_before(path: &AirPath, element: Element) -> bool {
    path.is_before(Element::Separator, element) && path.check_between(Element::Separator, element)
}

fn behind_pmv(input: &AuditInput, element: Element, part: &Part, left: Option<&Part>) -> Finding {
    let pressure = match (element, &input.station.relief, &input.station.burst_disc) {
        (Element::Relief, Some(relief), _) => relief.lifts.as_bar(),
        (_, _, Some(disc)) => disc.bursts.as_bar(),
        _ => 0.0,
    };
    let (severity, rest) = match (element, left) {
        (Element::BurstDisc, Some(left)) => {
            (Severity::LookInto, format!("the {} remains", left.name))
        }
        (_, Some(left)) => (
            Severity::FixBeforeNextRun,
            format!("only the {} remains", left.name),
        ),
        (_, None) => (
            Severity::Stop,
            "nothing protects the last stage then".to_owned(),
        ),
    };
    let claim = format!(
        "The {}, {}, stands after the PMV: a PMV stuck shut cuts it off, and {rest}.",
        part.name,
        input.say(pressure)
    );
    Finding::new(severity, source::RECEIVER, claim)
        .why("The last stage pumps against a closed pipe until something breaks.")
        .remedy(
            "Look where it is screwed in and correct the order in [air_path] if the file is \
             wrong. If it really stands there, ask whoever services the compressor before running it.",
        )
        .on([part, &Part::pmv()])
        .with(input.bar(part.name.clone(), pressure))
}

fn behind_check(parts: &[&Part]) -> Finding {
    let names: Vec<&str> = parts.iter().map(|p| p.name.as_str()).collect();
    let claim = format!(
        "A non-return valve stands between the separator and the {}.",
        names.join(" and the ")
    );
    let mut finding = Finding::new(Severity::Note, source::PRACTICE, claim)
        .why("If it sticks shut, separator and last stage have no protection but their own.")
        .remedy(
            "Have it looked after at every service; a tower gauge that stays behind while the \
             interstage gauges climb shows it: stop at once.",
        );
    finding.parts = parts.iter().map(|p| (*p).clone()).collect();
    finding.parts.push(Part::separator());
    finding
}

#[cfg(test)]
mod tests {
    use super::super::Severity;
    use super::super::testing::{claims, found, metric, with};

    fn order(list: &str) -> String {
        format!("{}[air_path]\norder = [{list}]\n", metric())
    }

    #[test]
    fn fires_behind_the_pmv() {
        let both =
            order(r#""check", "separator", "purifier", "gauge", "pmv", "relief", "burst_disc""#);
        let severities: Vec<_> = found("relief-cut-off", &both)
            .iter()
            .map(|f| f.severity)
            .collect();
        assert_eq!(severities, [Severity::Stop, Severity::Stop]);
        let relief =
            order(r#""check", "separator", "purifier", "gauge", "burst_disc", "pmv", "relief""#);
        let [one] = &found("relief-cut-off", &relief)[..] else {
            panic!()
        };
        assert_eq!(one.severity, Severity::FixBeforeNextRun);
        assert!(one.claim.contains("255 bar"), "{}", one.claim);
    }

    #[test]
    fn a_second_non_return_valve_is_a_note() {
        let two = order(
            r#""check", "separator", "check", "purifier", "gauge", "relief", "burst_disc", "pmv""#,
        );
        let [one] = &found("relief-cut-off", &two)[..] else {
            panic!()
        };
        assert_eq!(one.severity, Severity::Note);
    }

    #[test]
    fn silent_in_the_usual_order() {
        assert_eq!(claims("relief-cut-off", metric()), [""; 0]);
        let bare = with(metric(), "reseats = \"240 bar\"\n", "");
        assert_eq!(claims("relief-cut-off", &bare), [""; 0]);
    }
}
