//! The order of the air path, where the file gives one.

use std::ops::Range;

use crate::facts::Facts;
use crate::problem::{Label, Problem, ProblemId};
use crate::read::path::{ELEMENTS, fitted, tower_gauge};
use crate::syntax::Shape;

/// The known elements the file names, in order, each with its place.
fn named(facts: &Facts<'_>) -> Vec<(&'static str, Range<usize>)> {
    let Some(Shape::List(items)) = facts.said("air_path.order").map(|s| &s.value.shape) else {
        return Vec::new();
    };
    let known = |text: &str| {
        let same = |(word, _): &&(&'static str, _)| word.eq_ignore_ascii_case(text.trim());
        ELEMENTS.iter().find(same).map(|(word, _)| *word)
    };
    let element = |item: &crate::syntax::Value| match &item.shape {
        Shape::Text(text) => Some((known(text)?, item.place.clone())),
        _ => None,
    };
    items.iter().filter_map(element).collect()
}

fn place_of(order: &[(&str, Range<usize>)], word: &str) -> Option<(usize, Range<usize>)> {
    let index = order.iter().position(|(name, _)| *name == word)?;
    order.get(index).map(|(_, place)| (index, place.clone()))
}

pub(super) fn named_twice(facts: &Facts<'_>, problems: &mut Vec<Problem>) {
    let order = named(facts);
    for (index, (word, place)) in order.iter().enumerate() {
        let Some((first, earlier)) = place_of(&order, word) else {
            continue;
        };
        if *word == "check" || first == index {
            continue;
        }
        problems.push(
            Problem::new(
                ProblemId::ElementTwice,
                format!("the air path names \"{word}\" twice"),
                Label::new(place.clone(), "here again"),
                "keep it once, where it stands; only \"check\" may come several times".into(),
            )
            .and(Label::new(earlier, "first here")),
        );
    }
}

pub(super) fn named_without_table(facts: &Facts<'_>, problems: &mut Vec<Problem>) {
    for (word, place) in named(facts) {
        if fitted(facts, word) {
            continue;
        }
        let (what, remedy) = match word {
            "gauge" => (
                "no [[gauge]] reads the tower".to_owned(),
                "add a [[gauge]] with reads = \"tower\", or take \"gauge\" out of the order".into(),
            ),
            _ => (
                format!("there is no [{word}]"),
                format!("describe it below a heading [{word}], or take it out of the order"),
            ),
        };
        problems.push(Problem::new(
            ProblemId::ElementWithoutTable,
            format!("the air path names \"{word}\", and {what}"),
            Label::new(place, "not described"),
            remedy,
        ));
    }
}

pub(super) fn table_without_name(facts: &Facts<'_>, problems: &mut Vec<Problem>) {
    let Some(said) = facts.said("air_path.order") else {
        return;
    };
    if !matches!(said.value.shape, Shape::List(_)) {
        return;
    }
    let order = named(facts);
    let missing = ELEMENTS
        .iter()
        .map(|(word, _)| *word)
        .filter(|word| *word != "check" && fitted(facts, word) && place_of(&order, word).is_none());
    for word in missing {
        let path = match word {
            "gauge" => tower_gauge(facts).unwrap_or_default(),
            _ => word.to_owned(),
        };
        let problem = Problem::new(
            ProblemId::TableWithoutElement,
            format!("the air path does not name \"{word}\""),
            Label::new(said.value.place.clone(), format!("no \"{word}\" here")),
            format!("add \"{word}\" to the order, where the air meets it"),
        );
        problems.push(match facts.said(&path) {
            Some(_) => problem.and(Label::new(facts.heading(&path), "described here")),
            None => problem,
        });
    }
}

pub(super) fn pmv_before_separator(facts: &Facts<'_>, problems: &mut Vec<Problem>) {
    let order = named(facts);
    let (Some((pmv, at)), Some((separator, other))) =
        (place_of(&order, "pmv"), place_of(&order, "separator"))
    else {
        return;
    };
    if pmv > separator {
        return;
    }
    problems.push(
        Problem::new(
            ProblemId::PmvBeforeSeparator,
            "the PMV stands before the separator: it would not hold the pressure there that makes \
             water drop out"
                .into(),
            Label::new(at, "the PMV"),
            "write the order in which the air passes: the PMV comes after separator and purifier"
                .into(),
        )
        .and(Label::new(other, "the separator")),
    );
}

pub(super) fn relief_after_pmv(facts: &Facts<'_>, problems: &mut Vec<Problem>) {
    let order = named(facts);
    let (Some((relief, at)), Some((pmv, other))) =
        (place_of(&order, "relief"), place_of(&order, "pmv"))
    else {
        return;
    };
    if relief < pmv {
        return;
    }
    problems.push(
        Problem::new(
            ProblemId::ReliefAfterPmv,
            "the relief valve stands after the PMV: a PMV stuck shut cuts it off from the last \
             stage, which then has no protection"
                .into(),
            Label::new(at, "the relief valve"),
            "look where the relief valve is screwed in; if it really is after the PMV, ask whoever \
             services the compressor before running it"
                .into(),
        )
        .and(Label::new(other, "the PMV")),
    );
}
