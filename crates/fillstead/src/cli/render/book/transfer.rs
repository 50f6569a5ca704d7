//! What bringing a list in would do, or did, on paper.

use std::collections::HashMap;

use crate::cli::render::page::{item, paragraph, wrapped};
use crate::cli::terminal::harmless;
use crate::usecase::book::transfer::plan::{Change, Plan, Problem};

/// So many lines of what is new or changed are shown; problems are shown all.
const SHOWN: usize = 40;

/// The whole plan.
pub fn plan(plan: &Plan) -> String {
    let mut text = format!("{}: {}.\n", plan.file, plan.read_as);
    text += &paragraph(0, &understood(plan));
    if !plan.not_understood.is_empty() {
        let names = plan.not_understood.join(", ");
        text += &paragraph(
            0,
            &format!("NOT understood, nothing of it is kept: {names}."),
        );
    }
    if !plan.worked_out.is_empty() {
        text += &paragraph(
            0,
            &format!(
                "Not read, worked out by Fillstead: {}.",
                plan.worked_out.join(", ")
            ),
        );
    }
    text += "\n";
    text += &news(plan);
    text += &problems(&plan.problems);
    for note in &plan.notes {
        text += &item(&format!("Note: {note}."));
    }
    text += &ending(plan);
    harmless(&text)
}

fn understood(plan: &Plan) -> String {
    let column = |(label, field, unit): &(String, &'static str, Option<String>)| match unit {
        Some(unit) => format!("{label} = {field} in {unit}"),
        None => format!("{label} = {field}"),
    };
    let columns: Vec<String> = plan.columns.iter().map(column).collect();
    let from = match plan.heading_row {
        0 => "Columns".to_owned(),
        row => format!("Columns by row {row}"),
    };
    format!("{from}: {}.", columns.join(", "))
}

fn news(plan: &Plan) -> String {
    let mut text = String::new();
    let verb = if plan.written.is_some() {
        "Registered"
    } else {
        "To register"
    };
    let fills = if plan.written.is_some() {
        "Entered"
    } else {
        "To enter"
    };
    let verb = if plan.list == "fills" { fills } else { verb };
    if !plan.new.is_empty() {
        text += &format!("{verb}: {}\n", counted(plan.new.len(), plan.list));
        for new in plan.new.iter().take(SHOWN) {
            text += &hanging(&format!("row {}", new.row), &new.line);
        }
        text += &more(plan.new.len());
    }
    if !plan.changed.is_empty() {
        text += &format!("Changed on the register: {}\n", plan.changed.len());
        for changed in plan.changed.iter().take(SHOWN) {
            let changes: Vec<String> = changed.changes.iter().map(change).collect();
            text += &hanging(
                &format!("row {}", changed.row),
                &format!("{}: {}", changed.cylinder, changes.join(", ")),
            );
        }
        text += &more(plan.changed.len());
    }
    if plan.same > 0 {
        text += &format!(
            "In the book already, the same: {}\n",
            counted(plan.same, "rows")
        );
    }
    text
}

/// `1 row`, `2 rows`.
fn counted(count: usize, things: &str) -> String {
    match count {
        1 => format!("1 {}", things.trim_end_matches('s')),
        count => format!("{count} {things}"),
    }
}

fn change(change: &Change) -> String {
    match &change.old {
        Some(old) => format!("{} {old} becomes {}", change.field, change.new),
        None => format!("{} {}", change.field, change.new),
    }
}

fn more(count: usize) -> String {
    match count.saturating_sub(SHOWN) {
        0 => String::new(),
        more => format!("  and {more} more (--json lists all)\n"),
    }
}

/// A line with its place in front, hanging from it.
fn hanging(place: &str, text: &str) -> String {
    let lines = wrapped(text, 80);
    let heads = std::iter::once(format!("  {place:<10}")).chain(std::iter::repeat(" ".repeat(12)));
    heads
        .zip(&lines)
        .map(|(head, line)| format!("{head}{line}\n"))
        .collect()
}

/// Every problem; the same one in many rows of a column is told once, with all its rows.
fn problems(problems: &[Problem]) -> String {
    if problems.is_empty() {
        return String::new();
    }
    let mut places: HashMap<(&Option<String>, &str, &str), usize> = HashMap::new();
    let mut told: Vec<(&Problem, Vec<usize>)> = Vec::new();
    for problem in problems {
        let key = (
            &problem.column,
            problem.what.as_str(),
            problem.remedy.as_str(),
        );
        let place = *places.entry(key).or_insert(told.len());
        match told.get_mut(place) {
            Some((_, rows)) => rows.push(problem.row),
            None => told.push((problem, vec![problem.row])),
        }
    }
    let mut text = "Problems\n".to_owned();
    for (problem, rows) in told {
        let column = problem
            .column
            .as_ref()
            .map(|c| format!(", column {c}"))
            .unwrap_or_default();
        text += &item(&format!("{}{column}: {}", rows_text(&rows), problem.what));
        text += &paragraph(6, &format!("help: {}", problem.remedy));
    }
    text
}

/// `rows 2 to 5, 9`.
fn rows_text(rows: &[usize]) -> String {
    let mut spans: Vec<(usize, usize)> = Vec::new();
    for row in rows {
        match spans.last_mut() {
            Some((_, last)) if *last + 1 >= *row => *last = *row,
            _ => spans.push((*row, *row)),
        }
    }
    let span = |(first, last): &(usize, usize)| match first == last {
        true => first.to_string(),
        false => format!("{first} to {last}"),
    };
    let texts: Vec<String> = spans.iter().map(span).collect();
    let word = if rows.len() == 1 { "row" } else { "rows" };
    format!("{word} {}", texts.join(", "))
}

fn ending(plan: &Plan) -> String {
    let bad = plan.bad_rows.len();
    let left_out = match bad {
        0 => String::new(),
        1 => " 1 row with problems was left out.".to_owned(),
        bad => format!(" {bad} rows with problems were left out."),
    };
    match &plan.written {
        Some(written) => format!(
            "Written as {}: seal {}:{}. On the disk.{left_out}\n",
            match written.first == written.last {
                true => format!("entry {}", written.last),
                false => format!("entries {} to {}", written.first, written.last),
            },
            written.last,
            written.seal
        ),
        None if plan.dry_run => format!(
            "Nothing was written: this was a dry run. {}, {bad} with problems.\n",
            counted(plan.rows, "rows")
        ),
        None if plan.problems.is_empty() => "Nothing was written: the book holds all of it already.
"
        .to_owned(),
        None => "Nothing was written.\n".to_owned(),
    }
}
