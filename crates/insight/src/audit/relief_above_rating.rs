//! Rule: a relief valve is set no higher than what it protects.

use super::kit::{
    AuditInput, Finding, Look, Part, RungKind, SETTING, Severity, above, rule, source,
};
use station::{Output, Stage};

rule! {
    /// ## What it looks at
    /// The pressure at which the final relief valve lifts, and at which it is fully
    /// open, against the rated pressures of the tower and of the last stage; each
    /// stage's own relief valve against the rating of that stage.
    /// ## Why it matters
    /// Set higher, the valve stays shut until the part is past its rating. Rising to a
    /// tenth above the rating while the valve blows is allowed, no more.
    /// ## When it stays silent
    /// Without a relief valve (`relief-missing` speaks), and for parts whose rating is
    /// not written down (`rating-missing` speaks). Fill hoses have a rule of their own
    /// (`hose-rating`), cylinders and banks too (`lower-rated-cylinder`).
    /// ## Source
    /// ASME VIII-1 UG-134(a): one device is set no higher than the rated pressure.
    /// UG-125(c): the pressure rises no more than 10 % above it while relieving.
    /// ## Certainty
    /// UG-125(c) seen in a copy of the text; UG-134(a) in an article of the National
    /// Board. Since 2021 both stand in Section XIII (from memory).
    "relief-above-rating", "Is a relief valve set above what it protects?"
}

/// Above the rating by no more than this part while relieving.
const ACCUMULATION: f64 = 0.10;

fn check(input: &AuditInput) -> Look {
    let finals = match input.rung(RungKind::ReliefLifts) {
        None => Look::silent("no final relief valve is described"),
        Some(_) => final_relief(input),
    };
    let stages = match &input.station.compressor.output {
        Output::Stages(stages) => stages.as_slice(),
        _ => &[],
    };
    let of = stages.len();
    let numbered = stages.iter().zip(1..);
    numbered
        .filter_map(|(stage, number)| of_stage(input, stage, number, of))
        .fold(finals, Look::and)
}

fn final_relief(input: &AuditInput) -> Look {
    let hose = Part::whip();
    let rated = input.ladder.ratings().filter(|r| r.part != hose);
    let rated: Vec<_> = rated.map(|r| (r.part.clone(), r.bar)).collect();
    if rated.is_empty() {
        return Look::silent("neither the tower's nor the last stage's rated pressure is known");
    }
    let bar = |kind| input.rung(kind).map_or(0.0, |r| r.bar);
    let (lifts, full) = (bar(RungKind::ReliefLifts), bar(RungKind::ReliefFull));
    let one =
        |(part, rating): (Part, f64)| against(input, (&Part::relief(), lifts, full), &part, rating);
    rated.into_iter().map(one).collect()
}

fn of_stage(input: &AuditInput, stage: &Stage, number: usize, of: usize) -> Option<Look> {
    let (relief, rated) = (stage.relief?.as_bar(), stage.rated_pressure?.as_bar());
    let part = Part::stage(number, of);
    let valve = Part {
        name: format!("relief valve of stage {number}"),
        ..part.clone()
    };
    let full = relief * (1.0 + ACCUMULATION);
    Some(against(input, (&valve, relief, full), &part, rated))
}

fn against(input: &AuditInput, valve: (&Part, f64, f64), part: &Part, rated: f64) -> Look {
    let (valve, lifts, full) = valve;
    let (set, rating) = (input.say(lifts), input.say(rated));
    let most = rated * (1.0 + ACCUMULATION);
    let (severity, source, claim, margin) = if above(lifts, rated) {
        let claim = format!(
            "The {} lifts at {set}, above the {rating} the {} is rated for.",
            valve.name, part.name
        );
        (Severity::Stop, source::SET, claim, rated - lifts)
    } else if above(full, most) {
        let claim = format!(
            "The {} lifts at {set} and is fully open only at {}, more than 10 % above the {rating} \
             the {} is rated for.",
            valve.name,
            input.say(full),
            part.name
        );
        (
            Severity::FixBeforeNextRun,
            source::ACCUMULATION,
            claim,
            most - full,
        )
    } else {
        return Look::fine(format!(
            "the {} lifts at {set}, no higher than the {rating} the {} is rated for",
            valve.name, part.name
        ));
    };
    let finding = Finding::new(severity, source, claim)
        .why(format!(
            "The {} is past its rating before the valve protects it.",
            part.name
        ))
        .remedy(format!(
            "Read the plate of the {} and the valve's tag again. If both are right, have a valve \
             for that rating fitted by whoever services the compressor. {SETTING}.",
            part.name
        ))
        .on([valve, part])
        .with(input.bar("relief valve lifts", lifts))
        .with(input.bar("relief valve fully open", full))
        .with(input.bar(format!("{} rated", part.name), rated))
        .margin(input.bar("room to the rating", margin));
    Look::found(finding)
}

#[cfg(test)]
mod tests {
    use super::super::Severity;
    use super::super::testing::{claims, found, metric, with};

    fn tower(rated: &str) -> String {
        with(
            metric(),
            "rated_pressure = \"350 bar\" # tower",
            &format!("rated_pressure = \"{rated}\""),
        )
    }

    #[test]
    fn fires_above_the_rating() {
        let [one] = &found("relief-above-rating", &tower("250 bar"))[..] else {
            panic!()
        };
        assert_eq!(one.severity, Severity::Stop);
        assert!(one.claim.contains("255 bar") && one.claim.contains("250 bar"));
        assert_eq!(one.margin.as_ref().unwrap().shown, "-5 bar");
    }

    /// UG-125(c): 10 % above the rating and no more. The valve of 255 bar is fully
    /// open at 280.5 bar: 110 % of 255 bar exactly.
    #[test]
    fn accumulation_to_ten_percent_is_allowed() {
        assert_eq!(claims("relief-above-rating", &tower("255 bar")), [""; 0]);
        let slow = with(
            &tower("255 bar"),
            "reseats = \"240 bar\"",
            "full_lift_above = \"26 bar\"",
        );
        let [one] = &found("relief-above-rating", &slow)[..] else {
            panic!()
        };
        assert_eq!(one.severity, Severity::FixBeforeNextRun);
    }

    #[test]
    fn stages_have_their_own() {
        let stages = "speed = \"1450 rpm\"\nstage = [{ swept_volume = \"100 mL\", rated_pressure = \"10 bar\", \
                      relief = \"12 bar\" }, { swept_volume = \"20 mL\" }, { swept_volume = \"4 mL\" }]";
        let text = with(
            metric(),
            "charging_rate = \"100 L/min\"\nstage_count = 3",
            stages,
        );
        let [one] = &found("relief-above-rating", &text)[..] else {
            panic!()
        };
        assert!(
            one.claim
                .starts_with("The relief valve of stage 1 lifts at 12 bar"),
            "{}",
            one.claim
        );
    }

    #[test]
    fn silent_below() {
        assert_eq!(claims("relief-above-rating", metric()), [""; 0]);
        let unknown = with(metric(), "rated_pressure = \"350 bar\" # tower", "");
        assert_eq!(claims("relief-above-rating", &unknown), [""; 0]);
    }
}
