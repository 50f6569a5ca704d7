//! The site, the stages, the measured delivery and the gauges.

use std::ops::Range;

use quantity::{FlowRate, GaugePressure, Volume};

use crate::facts::{Facts, Seen};
use crate::model::Reads;
use crate::problem::{Label, Problem, ProblemId};
use crate::read::reads;

pub(super) fn altitude_and_pressure(facts: &Facts<'_>, problems: &mut Vec<Problem>) {
    let (Some(height), Some(pressure)) = (
        facts.said("station.altitude"),
        facts.said("station.ambient_pressure"),
    ) else {
        return;
    };
    let message = "[station] gives both `altitude` and `ambient_pressure`";
    let remedy = "keep `ambient_pressure` if a barometer was read at the site, without reducing \
                  it to sea level; otherwise keep `altitude`";
    problems.push(
        Problem::new(
            ProblemId::SaidTwice,
            message.into(),
            Label::new(height.key.clone(), "the pressure follows from this"),
            remedy.into(),
        )
        .and(Label::new(pressure.key.clone(), "and is given here")),
    );
}

pub(super) fn stage_count(facts: &Facts<'_>, problems: &mut Vec<Problem>) {
    let listed = facts.count("compressor.stage");
    let (Some(said), Some((count, place))) = (
        facts.said("compressor.stage"),
        written_count(facts, "compressor.stage_count"),
    ) else {
        return;
    };
    if listed == 0 || count == listed {
        return;
    }
    let message = format!("`stage_count` is {count}, and {listed} stages are listed");
    let remedy = format!("take `stage_count` out, or list {count} [[compressor.stage]] tables");
    problems.push(
        Problem::new(
            ProblemId::StageCountContradicts,
            message,
            Label::new(place, format!("{count} here")),
            remedy,
        )
        .and(Label::new(
            said.key.clone(),
            format!("the first of {listed}"),
        )),
    );
}

fn written_count(facts: &Facts<'_>, path: &str) -> Option<(usize, Range<usize>)> {
    let value = facts.said(path)?.value;
    let number = facts
        .text
        .get(value.place.clone())?
        .trim_matches(['"', '\'']);
    Some((number.trim().parse().ok()?, value.place.clone()))
}

/// The quantities at one key of every table of a list, in order.
fn column<Q: quantity::Quantity>(facts: &Facts<'_>, list: &str, key: &str) -> Vec<Seen<Q>> {
    facts
        .each(list)
        .iter()
        .filter_map(|p| facts.quantity(&format!("{p}.{key}")))
        .collect()
}

pub(super) fn stages_not_falling(facts: &Facts<'_>, problems: &mut Vec<Problem>) {
    let volumes: Vec<Seen<Volume>> = column(facts, "compressor.stage", "swept_volume");
    for pair in volumes.windows(2) {
        let [before, after] = pair else { continue };
        if after.typed.value < before.typed.value {
            continue;
        }
        let message = format!(
            "this stage sweeps {}, no less than the {} of the stage before it",
            after.typed, before.typed
        );
        let remedy = "list the stages from the first to the last, each smaller than the one before";
        problems.push(
            Problem::new(
                ProblemId::StagesNotFalling,
                message,
                after.label("the later stage"),
                remedy.into(),
            )
            .and(before.label("the stage before it")),
        );
    }
}

pub(super) fn stage_relief(facts: &Facts<'_>, problems: &mut Vec<Problem>) {
    for path in facts.each("compressor.stage") {
        let at = |key: &str| facts.quantity::<GaugePressure>(&format!("{path}.{key}"));
        let (Some(relief), Some(rated)) = (at("relief"), at("rated_pressure")) else {
            continue;
        };
        if relief.typed.value <= rated.typed.value {
            continue;
        }
        let message = format!(
            "the relief valve of this stage lifts at {}, above the {} the stage is rated for",
            relief.typed, rated.typed
        );
        let remedy = "check the valve's tag and the maker's manual; valves are set only as the \
                      manual says";
        problems.push(
            Problem::new(
                ProblemId::StageReliefAboveRating,
                message,
                relief.label("lifts here"),
                remedy.into(),
            )
            .and(rated.label("rated pressure of the stage")),
        );
    }
}

pub(super) fn too_few_rows(facts: &Facts<'_>, problems: &mut Vec<Problem>) {
    if facts.count("compressor.delivery") != 1 {
        return;
    }
    let place = facts.heading("compressor.delivery[1]");
    problems.push(Problem::new(
        ProblemId::DeliveryNotRising,
        "the measured delivery has only one row".into(),
        Label::new(place, "the only row"),
        "add a second [[compressor.delivery]] at a higher pressure, or write charging_rate \
         instead"
            .into(),
    ));
}

pub(super) fn delivery_rows(facts: &Facts<'_>, problems: &mut Vec<Problem>) {
    let pressures: Vec<Seen<GaugePressure>> = column(facts, "compressor.delivery", "at");
    for pair in pressures.windows(2) {
        let [before, after] = pair else { continue };
        if after.typed.value <= before.typed.value {
            let message = format!(
                "the measured delivery goes from {} to {}: the pressure must rise from row to row",
                before.typed, after.typed
            );
            let remedy = "put the rows in order of pressure, each pressure once";
            let place = after.label("not above the row before");
            problems.push(
                Problem::new(ProblemId::DeliveryNotRising, message, place, remedy.into())
                    .and(before.label("the row before")),
            );
        }
    }
    let flows: Vec<Seen<FlowRate>> = column(facts, "compressor.delivery", "free_air");
    for pair in flows.windows(2) {
        let [before, after] = pair else { continue };
        if after.typed.value > before.typed.value {
            let message = format!(
                "the measured delivery grows from {} to {} with the pressure, which no compressor does",
                before.typed, after.typed
            );
            let remedy = "time these two rows again, from a cold start";
            let place = after.label("more than the row before");
            problems.push(
                Problem::new(ProblemId::DeliveryGrows, message, place, remedy.into())
                    .and(before.label("the row before")),
            );
        }
    }
}

/// The stage a gauge reads, and where that is written.
fn stage_read(facts: &Facts<'_>, gauge: &str) -> Option<(usize, Range<usize>)> {
    let (word, place) = facts.words(&format!("{gauge}.reads"))?;
    match reads(word)? {
        Reads::Stage(number) => Some((number, place)),
        Reads::Tower | Reads::Line => None,
    }
}

/// How many stages the file says there are, and where.
fn stages_said(facts: &Facts<'_>) -> Option<(usize, Range<usize>)> {
    match facts.count("compressor.stage") {
        0 => written_count(facts, "compressor.stage_count"),
        listed => Some((
            listed,
            facts.heading(&format!("compressor.stage[{listed}]")),
        )),
    }
}

pub(super) fn gauge_stages(facts: &Facts<'_>, problems: &mut Vec<Problem>) {
    let Some((stages, place)) = stages_said(facts) else {
        return;
    };
    for gauge in facts.each("gauge") {
        let Some((number, reads)) = stage_read(facts, &gauge) else {
            continue;
        };
        if (1..=stages).contains(&number) {
            continue;
        }
        let message = format!("this gauge reads stage {number} of a compressor with {stages}");
        problems.push(
            Problem::new(
                ProblemId::GaugeStageUnknown,
                message,
                Label::new(reads, "no such stage"),
                format!("write \"stage 1\" to \"stage {stages}\", or correct the stages"),
            )
            .and(Label::new(place.clone(), format!("{stages} stages"))),
        );
    }
}

pub(super) fn gauge_spans(facts: &Facts<'_>, problems: &mut Vec<Problem>) {
    for gauge in facts.each("gauge") {
        let span = facts.quantity::<GaugePressure>(&format!("{gauge}.span"));
        let (Some(span), Some((highest, why))) = (span, highest_read(facts, &gauge)) else {
            continue;
        };
        if span.typed.value >= highest.typed.value {
            continue;
        }
        let message = format!(
            "this gauge ends at {}, and what it reads can reach {}",
            span.typed, highest.typed
        );
        let remedy = "check the last figure on its dial; if it is right, fit a gauge that reads \
                      further, for a dial past its end shows nothing";
        problems.push(
            Problem::new(
                ProblemId::GaugeSpanShort,
                message,
                span.label("ends here"),
                remedy.into(),
            )
            .and(highest.label(why)),
        );
    }
}

/// The highest pressure a gauge has to show, as far as the file says.
fn highest_read(facts: &Facts<'_>, gauge: &str) -> Option<(Seen<GaugePressure>, &'static str)> {
    let at = |path: &str| facts.quantity::<GaugePressure>(path);
    let (word, _) = facts.words(&format!("{gauge}.reads"))?;
    let working = || at("compressor.working_pressure").map(|p| (p, "working pressure"));
    match word.to_lowercase().as_str() {
        "tower" => at("relief.lifts")
            .map(|p| (p, "the relief valve lifts here"))
            .or_else(working),
        "line" => working(),
        _ => {
            let (number, _) = stage_read(facts, gauge)?;
            let relief = at(&format!("compressor.stage[{number}].relief"))?;
            Some((relief, "the relief valve of this stage lifts here"))
        }
    }
}
