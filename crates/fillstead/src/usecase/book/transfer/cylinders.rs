//! A list of cylinders against the register: what is new, what changes, what cannot be.
//!
//! An empty cell changes nothing: what the register knows beyond the sheet stays.

use std::collections::BTreeMap;

use book::body::CylinderRegistered;
use book::{Body, Book, Kind, Wanted};
use serde_json::{Map, Value};
use station::Date;

use super::import::Source;
use super::plan::{Change, Changed, New, Plan, Problem};
use super::plausible;
use super::sheet::Row;
use crate::usecase::Trouble;
use crate::usecase::book::desk::Signed;
use crate::usecase::book::form::{Given, object_of};
use crate::usecase::book::words;

/// What the book knows of a cylinder.
#[derive(Clone, Debug, Default)]
pub struct Known {
    /// Its last registration.
    pub body: Option<CylinderRegistered>,
    /// The entry that made it, and when it happened.
    pub seq: u64,
    /// The entry that condemned it.
    pub condemned: Option<u64>,
    /// It left the register afterwards.
    pub left: bool,
}

/// Every cylinder the book knows, by name.
pub fn register(book: &Book) -> Result<BTreeMap<String, Known>, Trouble> {
    let kinds = [
        Kind::CylinderRegistered,
        Kind::CylinderCondemned,
        Kind::CylinderLeft,
    ];
    let events = book.events(&Wanted {
        kinds: &kinds,
        ..Wanted::default()
    })?;
    let mut register: BTreeMap<String, Known> = BTreeMap::new();
    for event in events {
        match event.body {
            Ok(Body::CylinderRegistered(body)) => {
                let known = register.entry(body.cylinder.clone()).or_default();
                (known.body, known.seq, known.left) = (Some(body), event.seq, false);
            }
            Ok(Body::CylinderCondemned(body)) => {
                register.entry(body.cylinder).or_default().condemned = Some(event.seq);
            }
            Ok(Body::CylinderLeft(body)) => register.entry(body.cylinder).or_default().left = true,
            _ => {}
        }
    }
    Ok(register)
}

/// Goes through the list.
pub(super) fn plan(
    book: &Book,
    source: &Source<'_>,
    signed: &Signed,
    plan: &mut Plan,
) -> Result<(), Trouble> {
    let register = register(book)?;
    let today = signed.zone.day(signed.recorded).ok_or_else(|| {
        Trouble::new(
            "this machine's clock shows no day of the calendar",
            "set the clock",
        )
    })?;
    let read: Vec<(&Row, Given)> = source
        .rows
        .iter()
        .map(|row| (*row, source.given(row, plan)))
        .collect();
    let doubled = doubled(&read, source, plan);
    for (n, (row, given)) in read.iter().enumerate() {
        if doubled.contains(&n) {
            continue;
        }
        let known = name(given).and_then(|name| register.get(name));
        one(source, row, given, known, signed, today, plan);
    }
    Ok(())
}

fn one(
    source: &Source<'_>,
    row: &Row,
    given: &Given,
    known: Option<&Known>,
    signed: &Signed,
    today: Date,
    plan: &mut Plan,
) {
    let old = known
        .filter(|known| !known.left)
        .and_then(|known| known.body.clone());
    let object = old
        .as_ref()
        .map(|old| object_of(&Body::from(old.clone())))
        .unwrap_or_default();
    let news: Given = given
        .iter()
        .filter(|(name, text)| differs(source, &object, name, text))
        .cloned()
        .collect();
    if old.is_some() && news.is_empty() && !plan.bad_rows.contains(&row.number) {
        plan.same += 1;
        return;
    }
    let Some(body) = body(source, row, object, &news, plan) else {
        return;
    };
    if let Some(condemned) = known.and_then(|known| known.condemned) {
        let what = format!("{} was condemned (entry {condemned})", body.cylinder);
        let remedy = "leave the row out; if that entry is wrong, withdraw it with `book correct`";
        source.tell(row, Trouble::new(what, remedy).about("cylinder"), plan);
    }
    let implausible = plausible::troubles(&body, today);
    implausible
        .into_iter()
        .for_each(|t| source.tell(row, t, plan));
    if plan.bad_rows.contains(&row.number) {
        return;
    }
    let number = row.number;
    if known.is_some_and(|known| known.left) {
        plan.notes.push(format!(
            "row {number}: {} had left the register and comes back",
            body.cylinder
        ));
    }
    match old {
        Some(old) => plan
            .changed
            .push(changed(source, number, &old, &body, &news)),
        None => plan.new.push(New {
            row: number,
            line: words::of_body(&body.clone().into()),
        }),
    }
    plan.drafts.push(signed.draft(body));
}

/// The body of a row. Where some fields do not do they are told, and the others are looked at all
/// the same, so that everything wrong with a row is told at once.
fn body(
    source: &Source<'_>,
    row: &Row,
    object: Map<String, Value>,
    news: &Given,
    plan: &mut Plan,
) -> Option<CylinderRegistered> {
    let cylinder = |body: Body| match body {
        Body::CylinderRegistered(body) => Some(body),
        _ => None,
    };
    let troubles = match source.form.body_over(object.clone(), news) {
        Ok(body) => return cylinder(body),
        Err(troubles) => troubles,
    };
    let bad: Vec<&str> = troubles.iter().filter_map(|t| t.field).collect();
    let good: Given = news
        .iter()
        .filter(|(name, _)| !bad.contains(&name.as_str()))
        .cloned()
        .collect();
    // A cell that did not read was told already.
    let told = |t: &Trouble, plan: &Plan| {
        let column = t
            .field
            .and_then(|field| source.columns.of(field))
            .map(|c| &c.label);
        let earlier = |p: &Problem| p.row == row.number && p.column.as_ref() == column;
        column.is_some() && plan.problems.iter().rev().any(earlier)
    };
    for trouble in troubles {
        if !told(&trouble, plan) {
            source.tell(row, trouble, plan);
        }
    }
    source.form.body_over(object, &good).ok().and_then(cylinder)
}

fn changed(
    source: &Source<'_>,
    row: usize,
    old: &CylinderRegistered,
    new: &CylinderRegistered,
    news: &Given,
) -> Changed {
    let before = source.form.given(&old.clone().into());
    let after = source.form.given(&new.clone().into());
    let text = |given: &Given, name: &str| {
        given
            .iter()
            .find(|(n, _)| n == name)
            .map(|(_, text)| text.clone())
    };
    let change = |(name, typed): &(String, String)| {
        Some(Change {
            field: source.form.field(name)?.name,
            old: text(&before, name),
            new: text(&after, name).unwrap_or_else(|| typed.clone()),
        })
    };
    Changed {
        row,
        cylinder: new.cylinder.clone(),
        changes: news.iter().filter_map(change).collect(),
    }
}

/// Whether what is typed says something else than the body: the same figure in another unit does
/// not. What does not read differs, and is told by the form.
pub(super) fn differs(
    source: &Source<'_>,
    object: &Map<String, Value>,
    name: &str,
    text: &str,
) -> bool {
    let Some(field) = source.form.field(name) else {
        return true;
    };
    match (object.get(&field.key()), field.kind.value(text.trim())) {
        (Some(old), Ok(new)) => !alike(old, &new),
        _ => true,
    }
}

/// Whether two values say the same.
fn alike(old: &Value, new: &Value) -> bool {
    let si = |value: &Value| value.get("si").and_then(Value::as_f64);
    match (si(old), si(new)) {
        (Some(old), Some(new)) => (old - new).abs() <= 1e-9 * old.abs().max(new.abs()),
        _ => old == new,
    }
}

fn name(given: &Given) -> Option<&str> {
    given
        .iter()
        .find(|(name, _)| name == "cylinder")
        .map(|(_, text)| text.trim())
}

/// Places in the list of rows that stand there twice: the same again is left out, another content
/// is a problem of both.
fn doubled(read: &[(&Row, Given)], source: &Source<'_>, plan: &mut Plan) -> Vec<usize> {
    let mut first: BTreeMap<&str, usize> = BTreeMap::new();
    let mut out = Vec::new();
    for (n, (row, given)) in read.iter().enumerate() {
        let Some(name) = name(given) else { continue };
        let Some(before) = first.get(name).copied() else {
            first.insert(name, n);
            continue;
        };
        let Some((earlier, other)) = read.get(before) else {
            continue;
        };
        out.push(n);
        if other == given {
            let text = format!(
                "row {} says the same as row {} and is left out",
                row.number, earlier.number
            );
            plan.notes.push(text);
            continue;
        }
        out.push(before);
        for (row, elsewhere) in [(*row, earlier.number), (*earlier, row.number)] {
            let what = format!("{name} stands in row {elsewhere} too, with other content");
            let remedy = "keep the one that is right, or give one another name";
            source.tell(row, Trouble::new(what, remedy).about("cylinder"), plan);
        }
    }
    out
}
