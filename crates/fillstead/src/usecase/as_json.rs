//! What every answer has as JSON: errors, problems of a station file, what was assumed.
//!
//! Here so that the command line and the pages' interface for programs cannot differ. Not here:
//! the answers' own fields.

use serde::Serialize;
use serde_json::{Value, json};
use station::{Assumed, Problem, Severity};

use super::Trouble;
use super::station::StationFile;

/// `{"error": {"what", "remedy", "input", "kind", "exit", ...}}`: `word` is `error` or `refused`,
/// `what` tells what is wrong with an input.
pub fn error(
    word: &str,
    exit: u8,
    troubles: &[Trouble],
    what: fn(&Trouble) -> String,
    problems: Option<&Value>,
) -> Value {
    let one = |t: &Trouble| json!({"what": what(t), "remedy": t.remedy, "input": t.field});
    let mut all = troubles.iter().map(one);
    let mut error = all.next().unwrap_or_else(|| json!({}));
    error["kind"] = word.into();
    error["exit"] = exit.into();
    let more: Vec<Value> = all.collect();
    if !more.is_empty() {
        error["more"] = more.into();
    }
    if let Some(problems) = problems {
        error["problems"] = problems.clone();
    }
    json!({ "error": error })
}

/// The answer's own fields, then what the station file left open or warned of.
#[derive(Serialize)]
pub struct OfStation<T> {
    #[serde(flatten)]
    answer: T,
    station_assumed: Value,
    station_problems: Value,
}

impl<T> OfStation<T> {
    /// This answer, drawn from this file.
    pub fn new(answer: T, file: &StationFile) -> OfStation<T> {
        OfStation {
            answer,
            station_assumed: assumed(&file.reading.assumed),
            station_problems: problems(file),
        }
    }
}

/// What was assumed because the station file does not say.
pub fn assumed(assumed: &[Assumed]) -> Value {
    let one = |a: &Assumed| json!({"key": a.key, "value": a.value, "reason": a.reason});
    assumed.iter().map(one).collect()
}

/// Every problem of a station file; lines and columns count from 1, columns in characters.
pub fn problems(file: &StationFile) -> Value {
    let one = |problem: &Problem| {
        let places: Vec<Value> = problem
            .labels
            .iter()
            .map(|label| {
                let (line, column) = place(&file.text, label.span.start);
                let under = file.text.get(label.span.clone()).unwrap_or_default();
                json!({"line": line, "column": column, "under": under, "says": label.text})
            })
            .collect();
        json!({
            "id": problem.id.slug(),
            "severity": word(problem.severity),
            "what": problem.message,
            "remedy": problem.remedy,
            "places": places,
        })
    };
    file.reading.problems.iter().map(one).collect()
}

fn word(severity: Severity) -> &'static str {
    match severity {
        Severity::Error => "error",
        Severity::Warning => "warning",
    }
}

/// Line and column of a byte.
fn place(text: &str, at: usize) -> (usize, usize) {
    let before = text.get(..at).unwrap_or(text);
    let line = before.matches('\n').count() + 1;
    let column = before.chars().rev().take_while(|c| *c != '\n').count() + 1;
    (line, column)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_and_columns_count_from_one() {
        assert_eq!(place("a\n°b", 0), (1, 1));
        assert_eq!(place("a\n°b", 4), (2, 2));
    }
}
