//! Rules read from text: those that come with the program, and an owner's own.
//!
//! The form is explained at the head of `rules.txt`. All mistakes are found, not
//! only the first. Not here: what the rules mean ([`super::rule`]).

use super::rule::{Check, Demand, Row, Rule, RuleSource};
use super::tags::is_name;
use quantity::{Temperature, parse};
use thiserror::Error;

/// A line that cannot be read.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error("line {line}: {what}. {remedy}")]
pub struct RuleError {
    /// Counted from 1.
    pub line: usize,
    /// What is wrong.
    pub what: String,
    /// What to do.
    pub remedy: String,
}

type Wrong = (String, &'static str);

/// Reads rules.
///
/// **Errors** every line that cannot be read, with what to write instead.
pub fn read_rules(text: &str) -> Result<Vec<Rule>, Vec<RuleError>> {
    let mut rules: Vec<Rule> = Vec::new();
    let mut errors = Vec::new();
    for (number, line) in (1..).zip(text.lines()) {
        let line = line.trim();
        if line.is_empty() || line.starts_with('#') {
            continue;
        }
        if let Err((what, remedy)) = read_line(&mut rules, line) {
            errors.push(RuleError {
                line: number,
                what,
                remedy: remedy.to_owned(),
            });
        }
    }
    if errors.is_empty() {
        Ok(rules)
    } else {
        Err(errors)
    }
}

fn read_line(rules: &mut Vec<Rule>, line: &str) -> Result<(), Wrong> {
    let (key, value) = line.split_once(':').ok_or((
        format!("`{line}` has no colon"),
        "Write `rule:`, `title:`, `every:` or another key, then what it says",
    ))?;
    let (key, value) = (key.trim(), value.trim());
    if key == "rule" {
        if value.is_empty() || rules.iter().any(|r| r.id == value) {
            return Err((
                format!("a rule called `{value}` cannot begin here"),
                "Give it a short name that no other rule has",
            ));
        }
        rules.push(Rule {
            id: value.to_owned(),
            title: value.to_owned(),
            rows: Vec::new(),
        });
        return Ok(());
    }
    let rule = rules.last_mut().ok_or((
        format!("`{key}` stands before any rule"),
        "Begin with `rule:` and a short name",
    ))?;
    if key == "title" {
        value.clone_into(&mut rule.title);
        return Ok(());
    }
    rule.rows.push(row(key, value)?);
    Ok(())
}

fn row(key: &str, value: &str) -> Result<Row, Wrong> {
    let columns: Vec<&str> = value.split('|').map(str::trim).collect();
    let &[what, who, clause, certainty, seen] = columns.as_slice() else {
        return Err((
            format!("`{key}` has {} columns of 5", columns.len()),
            "Write: what | for whom | document, clause, edition | certainty | where seen",
        ));
    };
    if [clause, certainty, seen].contains(&"") {
        return Err((
            format!("`{key}` names no source"),
            "Say which document, how sure, and where you saw it; `no source` is an answer",
        ));
    }
    Ok(Row {
        demand: demand(key, what)?,
        who: people(who)?,
        source: RuleSource {
            clause: clause.to_owned(),
            certainty: certainty.to_owned(),
            seen: seen.to_owned(),
        },
    })
}

fn demand(key: &str, what: &str) -> Result<Demand, Wrong> {
    let text = || what.to_owned();
    match key {
        "every" => every(what),
        "life" => months(what).map(|months| Demand::Life { months }),
        "never" => Ok(Demand::Never { why: text() }),
        "note" => Ok(Demand::Note { text: text() }),
        "plus" => percent(what).map(|percent| Demand::Plus { percent }),
        "hot" => hot(what),
        _ => Err((
            format!("`{key}` is not known"),
            "Write every, life, never, plus, hot or note",
        )),
    }
}

fn every(what: &str) -> Result<Demand, Wrong> {
    let read = what.split_once(',').and_then(|(check, often)| {
        let check = Check::named(check.trim())?;
        let months = months(often).ok()?;
        Some(Demand::Every { check, months })
    });
    read.ok_or((
        format!("`{what}` is no interval"),
        "Write `test, 60 months`, `visual, 30 months` or `eddy current, 60 months`",
    ))
}

fn months(text: &str) -> Result<u32, Wrong> {
    let number = text.trim().strip_suffix("months").map(str::trim);
    let months = number.and_then(|n| n.parse().ok());
    months.filter(|m| (1..=1200).contains(m)).ok_or((
        format!("`{text}` is no number of months"),
        "Write a whole number and `months`, such as `60 months`",
    ))
}

fn percent(text: &str) -> Result<f64, Wrong> {
    let number = text.trim().strip_suffix('%').map(str::trim);
    let percent = number.and_then(|n| n.parse().ok());
    percent.filter(|p| (0.0..=200.0).contains(p)).ok_or((
        format!("`{text}` is no percentage"),
        "Write a number and %, such as `10 %`",
    ))
}

fn hot(what: &str) -> Result<Demand, Wrong> {
    let read = what.split_once(" at ").and_then(|(share, temperature)| {
        Some(Demand::Hot {
            percent: percent(share).ok()?,
            t_k: parse::<Temperature>(temperature).ok()?.value.as_kelvin(),
        })
    });
    read.ok_or((
        format!("`{what}` is no hot limit"),
        "Write a percentage and a temperature, such as `125 % at 131 °F`",
    ))
}

fn people(who: &str) -> Result<Vec<Vec<String>>, Wrong> {
    if who == "any" {
        return Ok(Vec::new());
    }
    let one = |group: &str| -> Result<Vec<String>, Wrong> {
        let names = group.split('+').map(str::trim);
        names
            .map(|name| {
                let known = is_name(name).then(|| name.to_owned());
                known.ok_or((
                    format!("`{name}` is nobody"),
                    "Write any, a specification such as 3AA, or steel, aluminium, composite, \
                     diving, rescue, storage, aircraft, foreign, permit, star, yearly, assessed, \
                     6351, joined by + and commas",
                ))
            })
            .collect()
    };
    who.split(',').map(one).collect()
}
