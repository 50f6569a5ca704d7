//! Rule: the machine does not work too near its relief valve or disc.

use super::kit::{AuditInput, Finding, Look, Rung, RungKind, Severity, above, rule, source};

rule! {
    /// ## What it looks at
    /// Working pressure over the pressure at which the relief valve lifts, and over the
    /// least pressure at which the disc may burst.
    /// ## Why it matters
    /// Near its set pressure a valve simmers and its seat wears; a disc pressed close to
    /// its limit on every fill tires and bursts early.
    /// ## When it stays silent
    /// Without a relief valve and a disc; where the pressures pass each other already
    /// (`ladder-order` speaks). The kind of disc is not in the file: above 0.7 it is a
    /// note, for plain discs; above 0.9 no kind of disc is meant for it.
    /// ## Source
    /// Relief valve: API 520 Part I and ASME VIII-1 Appendix M, about 90 % of set
    /// pressure. Disc: Valve Selection Handbook p. 216 and 248, ratio 0.7 for plain discs.
    /// ## Certainty
    /// The 90 % and the 0.9 are from memory, unverified; 0.7 was seen in the handbook.
    /// Machines about 10 % below their relief valve are the trade's custom.
    "operating-ratio", "Does the machine work too near its relief valve or disc?"
}

/// Of the set pressure of a relief valve; beyond the second it is worth looking into.
const RELIEF: [f64; 2] = [0.92, 0.95];
/// Of the least burst pressure of a disc: plain ones, any.
const DISC: [f64; 2] = [0.7, 0.9];

fn check(input: &AuditInput) -> Look {
    let relief = input.rung(RungKind::ReliefLifts);
    let disc = input.rung(RungKind::DiscBursts);
    if relief.is_none() && disc.is_none() {
        return Look::silent("neither a relief valve nor a disc is described");
    }
    let relief = relief.map(|rung| near(input, rung, rung.bar, RELIEF, source::NEAR_RELIEF));
    let disc = disc.map(|rung| near(input, rung, rung.low_bar, DISC, source::OPERATING_RATIO));
    relief.into_iter().chain(disc).collect()
}

fn near(
    input: &AuditInput,
    rung: &Rung,
    limit_bar: f64,
    [note, most]: [f64; 2],
    source: super::Source,
) -> Look {
    let working = input.working_bar();
    if !above(limit_bar, working) {
        return Look::default();
    }
    let ratio = working / limit_bar;
    let (run, limit) = (input.say(working), input.say(limit_bar));
    let percent = |part: f64| format!("{:.0} %", part * 100.0);
    let name = &rung.part.name;
    let numbers = format!(
        "the working pressure, {run}, is {} of the {limit} at which the {name} may open",
        percent(ratio)
    );
    let (severity, limit) = match () {
        () if above(ratio, most) => (Severity::LookInto, most),
        () if above(ratio, note) => (Severity::Note, note),
        () => return Look::fine(numbers),
    };
    let claim = format!(
        "The machine works near its {name}: {numbers}; above {} not every kind is made for it.",
        percent(limit)
    );
    let finding = Finding::new(severity, source, claim)
        .why(format!(
            "Near its limit a {name} wears or tires, and may open in ordinary service."
        ))
        .remedy(format!(
            "Ask whoever services the compressor whether the {name} is made for that ratio; \
             until then stop fills a little lower."
        ))
        .on([&rung.part])
        .with(input.bar("working pressure", working))
        .with(input.bar(rung.name.clone(), limit_bar))
        .with(input.figure("ratio", ratio, "1", 3))
        .margin(input.bar("room", limit_bar - working));
    Look::found(finding)
}

#[cfg(test)]
mod tests {
    use super::super::Severity;
    use super::super::testing::{TRADE, claims, found, metric, with};

    fn disc(bursts_bar: f64, working_bar: f64) -> Option<(Severity, f64)> {
        let text = with(
            metric(),
            "bursts = \"300 bar\"",
            &format!("bursts = \"{bursts_bar} bar\""),
        );
        let working = format!("working_pressure = \"{working_bar} bar\" # machine");
        let text = with(&text, "working_pressure = \"232 bar\" # machine", &working);
        let found = found("operating-ratio", &text);
        let disc = found
            .into_iter()
            .find(|f| f.parts[0].name == "burst disc")?;
        Some((disc.severity, disc.evidence[2].value))
    }

    /// Valve Selection Handbook p. 248: a part rated 100, a disc made within +10 %, with
    /// burst and made-to tolerances of 5 % each, bursts at 82.05 at least and allows 57.4
    /// at a ratio of 0.7. Here three times as much.
    #[test]
    fn the_handbooks_example() {
        let marked: f64 = 300.0 / 1.10 * 0.95;
        assert!((marked * 0.95 - 3.0 * 82.05).abs() < 0.03, "{marked}");
        assert_eq!(disc(marked, 3.0 * 57.4), None);
        let (severity, ratio) = disc(marked, 3.0 * 57.5).unwrap();
        assert_eq!(severity, Severity::Note);
        assert!((ratio - 0.7).abs() < 0.002, "{ratio}");
    }

    /// The same, p. 248: 70 on a disc of 105.26 with 5 % is a ratio of 0.7 (times three).
    #[test]
    fn two_discs_in_series() {
        assert_eq!(disc(3.0 * 105.27, 210.0), None);
        assert!(disc(3.0 * 105.2, 210.0).is_some());
    }

    #[test]
    fn fires_close_to_the_relief_valve() {
        let text = with(metric(), "lifts = \"255 bar\"", "lifts = \"242 bar\"");
        let found = found("operating-ratio", &text);
        assert_eq!(
            (found[0].severity, found[0].parts[0].name.as_str()),
            (Severity::LookInto, "relief valve")
        );
    }

    /// 3000 of 3300 psi is what the trade does: not told.
    #[test]
    fn silent_at_the_usual_distance() {
        let relief: Vec<String> = claims("operating-ratio", TRADE);
        assert!(relief.iter().all(|c| !c.contains("relief")), "{relief:?}");
    }
}
