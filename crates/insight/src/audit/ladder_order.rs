//! Rule: each setting stands above the one that should come before it.

use super::kit::{
    AuditInput, Finding, Look, Part, Rung, RungKind, SETTING, Severity, above, rule, source,
};

rule! {
    /// ## What it looks at
    /// The neighbours of the pressure ladder from low to high, with their tolerances: the
    /// PMV closes below where it opens, opens below the working pressure, and the working
    /// pressure stands below where the relief valve may lift (below the disc, where no
    /// relief valve is fitted) and below every part's rating.
    /// ## Why it matters
    /// Past each other the parts work against each other: a PMV above working pressure
    /// lets no air through, a relief valve below it blows on every fill, and a machine
    /// run above a rating relies on luck.
    /// ## When it stays silent
    /// About neighbours with rules of their own: cylinders (`lower-rated-cylinder`), hoses
    /// (`hose-rating`), relief valve against ratings (`relief-above-rating`), disc against
    /// relief valve (`disc-before-relief`) and against ratings (`disc-above-weakest`);
    /// and about parts that are not fitted or not rated.
    /// ## Source
    /// Common practice in the light of ASME VIII-1 UG-125 to UG-134; set tolerances UG-126
    /// and UG-127.
    /// ## Certainty
    /// The order follows from what the parts do; no source gives it as a whole. The set
    /// tolerance of 3 % is from memory, unverified.
    "ladder-order", "Do the settings stand in their order?"
}

/// A pair of neighbours: what they do there, and what goes wrong past each other.
struct Pair {
    lower: RungKind,
    upper: RungKind,
    claim: fn(&str, &str) -> String,
    /// The same where only the tolerances overlap; none where that is another rule's.
    nearly: Option<fn(&str, &str) -> String>,
    why: &'static str,
}

const PAIRS: [Pair; 3] = [
    Pair {
        lower: RungKind::PmvCloses,
        upper: RungKind::PmvOpens,
        claim: |low, high| {
            format!("The PMV closes at {low}, not below the {high} at which it opens.")
        },
        nearly: None,
        why: "A valve cannot shut at a higher pressure than it opens at: one of the figures is wrong.",
    },
    Pair {
        lower: RungKind::PmvOpens,
        upper: RungKind::Working,
        claim: |low, high| {
            format!("The PMV opens at {low}, not below the working pressure, {high}.")
        },
        nearly: Some(|low, high| {
            format!("The PMV may open only at {low}, above the working pressure, {high}.")
        }),
        why: "No air reaches the cylinders before the machine is at its end.",
    },
    Pair {
        lower: RungKind::Working,
        upper: RungKind::ReliefLifts,
        claim: |low, high| {
            format!(
                "The working pressure, {low}, is not below the {high} at which the relief valve lifts."
            )
        },
        nearly: Some(|low, high| {
            format!("The relief valve may lift at {high}, below the working pressure, {low}.")
        }),
        why: "The valve blows on every full fill, wears, and may no longer be tight when it is needed.",
    },
];

const DISC_ALONE: Pair = Pair {
    lower: RungKind::Working,
    upper: RungKind::DiscBursts,
    claim: |low, high| {
        format!("The working pressure, {low}, is not below the {high} of the burst disc.")
    },
    nearly: Some(|low, high| {
        format!("The burst disc may burst at {high}, below the working pressure, {low}.")
    }),
    why: "The disc bursts during a fill, suddenly and loudly.",
};

fn check(input: &AuditInput) -> Look {
    let pairs = PAIRS.iter().map(|pair| neighbours(input, pair));
    let alone = input.station.relief.is_none();
    let disc = alone.then(|| neighbours(input, &DISC_ALONE));
    pairs.chain(disc).chain([ratings(input)]).collect()
}

fn neighbours(input: &AuditInput, pair: &Pair) -> Look {
    let (Some(lower), Some(upper)) = (input.rung(pair.lower), input.rung(pair.upper)) else {
        return Look::default();
    };
    let (low, high) = (input.say(lower.bar), input.say(upper.bar));
    if !above(upper.bar, lower.bar) {
        let claim = (pair.claim)(&low, &high);
        let margin = upper.bar - lower.bar;
        return wrong(
            input,
            Severity::FixBeforeNextRun,
            claim,
            pair.why,
            (lower, upper, margin),
        );
    }
    let margin = upper.low_bar - lower.high_bar;
    match pair.nearly {
        Some(nearly) if above(lower.high_bar, upper.low_bar) => {
            let claim = nearly(&input.say(lower.high_bar), &input.say(upper.low_bar));
            wrong(
                input,
                Severity::LookInto,
                claim,
                pair.why,
                (lower, upper, margin),
            )
        }
        _ => Look::fine(format!(
            "{} ({low}) stands below {} ({high})",
            lower.name, upper.name
        )),
    }
}

/// Parts rated below the working pressure; hoses have a rule of their own.
fn ratings(input: &AuditInput) -> Look {
    let hose = Part::whip();
    let Some(working) = input.rung(RungKind::Working) else {
        return Look::default();
    };
    let weak = |rung: &&Rung| rung.part != hose && above(working.bar, rung.bar);
    let one = |rung: &Rung| {
        let claim = format!(
            "The working pressure, {}, is above the {} the {} is rated for.",
            input.say(working.bar),
            input.say(rung.bar),
            rung.part.name
        );
        let why = "The part is past its rating on every fill.";
        wrong(
            input,
            Severity::Stop,
            claim,
            why,
            (working, rung, rung.bar - working.bar),
        )
    };
    input.ladder.ratings().filter(weak).map(one).collect()
}

fn wrong(
    input: &AuditInput,
    severity: Severity,
    claim: String,
    why: &str,
    (lower, upper, margin): (&Rung, &Rung, f64),
) -> Look {
    let mut finding = Finding::new(severity, source::ORDER, claim)
        .why(why)
        .remedy(format!(
            "Check both figures and their units against plate, tag and manual, and the gauge they \
             were read on. {SETTING}."
        ))
        .on([&lower.part])
        .with(input.bar(lower.name.clone(), lower.bar))
        .with(input.bar(upper.name.clone(), upper.bar))
        .margin(input.bar("room", margin));
    if upper.part != lower.part {
        finding.parts.push(upper.part.clone());
    }
    for rung in [lower, upper] {
        if rung.high_bar > rung.low_bar {
            finding = finding
                .with(input.bar(format!("{}, lowest", rung.name), rung.low_bar))
                .with(input.bar(format!("{}, highest", rung.name), rung.high_bar));
        }
    }
    Look::found(finding)
}

#[cfg(test)]
mod tests {
    use super::super::Severity;
    use super::super::testing::{claims, found, metric, with};

    fn only(from: &str, to: &str) -> (Severity, String) {
        let found = found("ladder-order", &with(metric(), from, to));
        assert_eq!(found.len(), 1, "{found:?}");
        (found[0].severity, found[0].claim.clone())
    }

    #[test]
    fn fires_for_each_pair() {
        let (severity, claim) = only("closes = \"70 bar\"", "closes = \"110 bar\"");
        assert_eq!(severity, Severity::FixBeforeNextRun);
        assert!(claim.contains("110 bar") && claim.contains("100 bar"));
        let (_, claim) = only("opens = \"100 bar\"", "opens = \"240 bar\"");
        assert!(claim.contains("PMV opens at 240 bar") && claim.contains("232 bar"));
        let (_, claim) = only("lifts = \"255 bar\"", "lifts = \"230 bar\"");
        assert!(claim.contains("working pressure, 232 bar") && claim.contains("230 bar"));
        let (severity, claim) = only(
            "rated_pressure = \"350 bar\" # tower",
            "rated_pressure = \"230 bar\"",
        );
        assert_eq!(severity, Severity::Stop);
        assert!(claim.contains("230 bar the tower is rated for"));
    }

    /// 3 % of 238 bar: it may lift at 230.9 bar.
    #[test]
    fn tolerances_alone_are_to_be_looked_into() {
        let (severity, claim) = only("lifts = \"255 bar\"", "lifts = \"238 bar\"");
        assert_eq!(severity, Severity::LookInto);
        assert!(claim.contains("230.9 bar"), "{claim}");
    }

    #[test]
    fn a_disc_alone_counts() {
        let relief = "[relief]\nlifts = \"255 bar\"\nreseats = \"240 bar\"\n";
        let text = with(
            &with(metric(), relief, ""),
            "bursts = \"300 bar\"",
            "bursts = \"230 bar\"",
        );
        assert_eq!(claims("ladder-order", &text).len(), 1);
    }

    #[test]
    fn silent_in_order() {
        assert_eq!(claims("ladder-order", metric()), [""; 0]);
    }
}
