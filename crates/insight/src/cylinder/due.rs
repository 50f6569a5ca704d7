//! What is due when: tests, inspections, end of life.
//!
//! Not here: how often, which the rule says ([`super::rule`]).

use super::answer::CheckAnswer;
use super::facts::{CylinderFacts, Use};
use super::fill::{Gate, own_rule};
use super::rule::{Check, Demand, RuleSource};
use super::when::When;

const HAVE_IT_DONE: &str = "Have it done by a test house; what is in it may be used, but it must \
                            not be filled before";
const READ_THE_DATE: &str = "Read the date from the stamp or the certificate; where there is \
                             none, have it done";

/// Looks at every examination the rule asks of this cylinder.
pub(super) fn examine(gate: &mut Gate) {
    contradictions(gate);
    let test_due = test(gate);
    visual(gate, test_due);
    eddy_current(gate);
    life(gate);
    star(gate);
}

/// Dates that cannot all be true.
fn contradictions(gate: &mut Gate) {
    let facts = gate.facts;
    let own = own_rule();
    let way = "Read the stamps again and correct the record before filling";
    let dated = [
        ("made", facts.made),
        ("test", facts.tested),
        ("visual inspection", facts.visual),
        ("eddy-current examination", facts.eddy_current),
    ];
    for (what, when) in dated {
        let Some(when) = when else { continue };
        if when.is_ahead(gate.today) {
            let what = format!("{what}: {when} is still to come");
            gate.refuse("dates-contradict", what, way, &own);
        }
        if let Some(made) = facts.made
            && when.last_day() < made.first_day()
        {
            let what = format!("{what}: {when} is before it was made, {made}");
            gate.refuse("dates-contradict", what, way, &own);
        }
    }
}

/// The day the first interval counts from where there was no later test.
fn begun(facts: &CylinderFacts) -> Option<When> {
    facts.commissioned.or(facts.made)
}

fn test(gate: &mut Gate) -> Option<When> {
    let facts = gate.facts;
    let Some((months, source)) = gate.rule.every(Check::Test, &gate.tags) else {
        let what = format!("{} says nothing of a cylinder like this", gate.rule.title);
        let way = "Choose the rule that governs it, or write your local rule down; until then do \
                   not fill it";
        gate.refuse("no-rule", what, way, &own_rule());
        return None;
    };
    let source = source.clone();
    let last = facts.tested.or(begun(facts));
    if facts.tested.is_none() && last.is_some() {
        gate.note(
            "no test on record: counted from when it was put into service or made",
            Some(&source),
        );
    }
    check(gate, Check::Test, months, last, None, &source)
}

/// A test includes an inspection; a late inspection does not move the test.
fn visual(gate: &mut Gate, test_due: Option<When>) {
    let facts = gate.facts;
    let Some((months, source)) = gate.rule.every(Check::Visual, &gate.tags) else {
        return;
    };
    let source = source.clone();
    let seen = [facts.visual, facts.tested].into_iter().flatten();
    let seen = seen.chain(facts.inspections.iter().copied());
    let last = seen.max_by_key(|when| when.last_day()).or(begun(facts));
    check(gate, Check::Visual, months, last, test_due, &source);
}

fn eddy_current(gate: &mut Gate) {
    let facts = gate.facts;
    let Some((months, source)) = gate.rule.every(Check::EddyCurrent, &gate.tags) else {
        return;
    };
    let source = source.clone();
    let alloy = match facts.alloy.as_deref() {
        Some(alloy) => format!("alloy {alloy} cracks in the neck"),
        None => "an old aluminium cylinder of unknown alloy may be 6351, which cracks in the \
                 neck"
            .into(),
    };
    gate.note(alloy, Some(&source));
    check(
        gate,
        Check::EddyCurrent,
        months,
        facts.eddy_current,
        None,
        &source,
    );
}

/// Notes one examination; refuses where it is overdue or unknown. Gives the day it is due,
/// which is never later than `cap`.
fn check(
    gate: &mut Gate,
    check: Check,
    months: u32,
    last: Option<When>,
    cap: Option<When>,
    source: &RuleSource,
) -> Option<When> {
    let alone = last.map(|last| last.after_months(months));
    let due = alone.map(|due| match cap {
        Some(cap) if cap.last_day() < due.last_day() => cap,
        _ => due,
    });
    let overdue = due.is_none_or(|due| due.is_over(gate.today));
    let name = check.name();
    record(gate, (name, last, months, due, overdue), source);
    match (last, due) {
        (Some(last), Some(due)) if overdue => {
            let what = format!("{name}: last {last}, every {months} months, due {due}");
            // an inspection cut short by an overdue test adds nothing to that
            if alone == Some(due) {
                gate.refuse("overdue", what, HAVE_IT_DONE, source);
            }
        }
        (None, _) | (_, None) => {
            let what = format!("{name}: no date on record");
            gate.refuse("date-unknown", what, READ_THE_DATE, source);
        }
        (_, Some(due)) => {
            if due.is_this_month(gate.today) {
                gate.note(format!("{name} is due this month"), Some(source));
            }
            gate.ends.push(due);
        }
    }
    due
}

type Checked = (&'static str, Option<When>, u32, Option<When>, bool);

/// Notes an examination with its source.
fn record(gate: &mut Gate, checked: Checked, source: &RuleSource) {
    let (check, last, every_months, due, overdue) = checked;
    gate.checks.push(CheckAnswer {
        check,
        last,
        every_months,
        due,
        overdue,
        source: source.clause.clone(),
        certainty: source.certainty.clone(),
        seen: source.seen.clone(),
    });
}

/// End of life, from the day it was made or as stamped or extended.
fn life(gate: &mut Gate) {
    let facts = gate.facts;
    let (rule, tags) = (gate.rule, gate.tags.clone());
    let row = rule.rows(&tags).find_map(|row| match row.demand {
        Demand::Life { months } => Some((months, row.source.clone())),
        _ => None,
    });
    let (months, source) = match (row, facts.life_ends) {
        (Some(row), _) => row,
        (None, Some(_)) => (0, own_rule()),
        (None, None) => {
            return composite(gate);
        }
    };
    let end = facts
        .life_ends
        .or(facts.made.map(|made| made.after_months(months)));
    let overdue = end.is_none_or(|end| end.is_over(gate.today));
    let row = ("end of life", facts.made, months, end, overdue);
    record(gate, row, &source);
    match end {
        Some(end) if overdue => gate.refuse(
            "end-of-life",
            format!("its service life ended {end}, whatever its last test"),
            "Take it out of use; only a life-extension mark under a permit changes that",
            &source,
        ),
        Some(end) => gate.ends.push(end),
        None => gate.refuse(
            "date-unknown",
            "made: no date on record, and its service life counts from then".into(),
            READ_THE_DATE,
            &source,
        ),
    }
}

fn composite(gate: &mut Gate) {
    if gate.tags.has("composite") {
        let text = "a composite cylinder has an end of life, stamped on it and not known here";
        gate.note(text, None);
    }
}

/// Why a star does not count, where there is one.
fn star(gate: &mut Gate) {
    if !gate.facts.star || gate.tags.has("star") {
        return;
    }
    let why = if gate.facts.used_for == Use::Diving {
        "the star after the test date is ignored: it is never for breathing under water"
    } else {
        "the star after the test date is ignored until someone confirms what it asks for: dry \
         gas only, never under water, hammer-tested and apart from others at each fill"
    };
    gate.note(why, None);
}
