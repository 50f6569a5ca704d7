//! `[air_path]`: what the air meets after the last stage, in order.

use crate::facts::Facts;
use crate::model::{AirPath, Element};
use crate::problem::{Label, Problem, ProblemId};
use crate::section::Section;
use crate::suggest::nearest;
use crate::syntax::{Shape, Value};

/// The usual order, and the words for it.
pub(crate) const ELEMENTS: [(&str, Element); 8] = [
    ("check", Element::Check),
    ("separator", Element::Separator),
    ("purifier", Element::Purifier),
    ("gauge", Element::Gauge),
    ("relief", Element::Relief),
    ("burst_disc", Element::BurstDisc),
    ("vent", Element::Vent),
    ("pmv", Element::Pmv),
];

/// The order the file gives, or the usual one of whatever is fitted.
pub(super) fn air_path(section: &Section<'_>) -> AirPath {
    let usual = || {
        ELEMENTS
            .into_iter()
            .filter(|(word, _)| fitted(section.facts, word))
    };
    let Some(said) = section.facts.said("air_path.order") else {
        let words: Vec<&str> = usual().map(|(word, _)| word).collect();
        let reason = "the usual order on a small machine: everything on one tower before the PMV";
        section.assume("order", words.join(", "), reason);
        return AirPath {
            order: usual().map(|(_, element)| element).collect(),
        };
    };
    let Shape::List(items) = &said.value.shape else {
        section.note(not_a_list(said.value));
        return AirPath {
            order: usual().map(|(_, element)| element).collect(),
        };
    };
    AirPath {
        order: items
            .iter()
            .filter_map(|item| element(section, item))
            .collect(),
    }
}

/// Whether the file describes an element; separator, purifier and a check are always taken to
/// be there.
pub(crate) fn fitted(facts: &Facts<'_>, word: &str) -> bool {
    match word {
        "check" | "separator" | "purifier" => true,
        "gauge" => tower_gauge(facts).is_some(),
        _ => facts.table(word).is_some(),
    }
}

/// Path of the first gauge that reads the tower.
pub(crate) fn tower_gauge(facts: &Facts<'_>) -> Option<String> {
    let reads_tower = |path: &String| {
        let reads = facts.words(&format!("{path}.reads"));
        reads.is_some_and(|(word, _)| word.eq_ignore_ascii_case("tower"))
    };
    facts.each("gauge").into_iter().find(reads_tower)
}

fn element(section: &Section<'_>, item: &Value) -> Option<Element> {
    let text = match &item.shape {
        Shape::Text(text) => text.trim(),
        _ => "",
    };
    let same = |(word, _): &&(&str, Element)| word.eq_ignore_ascii_case(text);
    let found = ELEMENTS.iter().find(same).map(|(_, element)| *element);
    if found.is_none() {
        section.note(unknown(item, text));
    }
    found
}

fn unknown(item: &Value, text: &str) -> Problem {
    let words = ELEMENTS.map(|(word, _)| word);
    let remedy = match nearest(text, words.into_iter()) {
        Some(word) => format!("did you mean \"{word}\"?"),
        None => format!(
            "use only {}; the fill hose follows by itself",
            words.join(", ")
        ),
    };
    Problem::new(
        ProblemId::UnknownWord,
        format!("{text:?} is not something the air path can hold"),
        Label::new(item.place.clone(), "not known here"),
        remedy,
    )
}

fn not_a_list(value: &Value) -> Problem {
    let called = value.shape.called();
    Problem::new(
        ProblemId::WrongType,
        format!("`order` is {called}, and a list is wanted"),
        Label::new(value.place.clone(), called),
        "write order = [\"check\", \"separator\", \"purifier\", ...], in the order the air \
         meets them"
            .into(),
    )
}
