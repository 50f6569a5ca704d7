//! An air result against its limits: every quantity on one scale, the limit at the same place.
//!
//! Start at [`draw`]. Whiskers hold the stated uncertainty; hatched is beyond a limit. Not here: the
//! verdict ([`insight::air`]).

use crate::words::capital;
use insight::air::{Amount, Bounds, Judged, Outcome, Overall, Reading, Verdict};

use super::place::Rect;
use super::sheet::{Anchor, Sheet, at};
use super::text::{Pen, Words, fitted, wrapped};
use super::{Drawing, Table};

/// Width of the drawing and its columns.
const WIDTH: f64 = 900.0;
const GIVEN: f64 = 146.0;
const LIMIT: f64 = 466.0;
/// Where the scale begins, where the limit stands, where the scale ends.
const NONE: f64 = 484.0;
const MOST: f64 = 676.0;
const END: f64 = 740.0;
/// Where a lower limit stands.
const LEAST: f64 = NONE + 0.34 * (MOST - NONE);
const MARGIN: f64 = 756.0;
/// Height of a row, of the head, of a bar.
const ROW: f64 = 44.0;
const HEAD: f64 = 26.0;
const BAR: f64 = 13.0;

/// The quantities of a verdict.
pub fn draw(verdict: &Verdict) -> Drawing {
    let mut sheet = Sheet::default();
    for (words, x, anchor) in [
        ("Measured", GIVEN, Anchor::Start),
        ("Limit", LIMIT, Anchor::End),
        ("none", NONE, Anchor::Start),
        ("limit", MOST, Anchor::Middle),
        ("Margin", MARGIN, Anchor::Start),
    ] {
        sheet.say(Pen::Note, words, (x, 16.0), anchor);
    }
    sheet.straight("", (0.0, HEAD), (WIDTH, HEAD));
    let bottom = HEAD + ROW * verdict.quantities.len() as f64;
    for (i, judged) in verdict.quantities.iter().enumerate() {
        row(&mut sheet, judged, HEAD + ROW * (i as f64 + 0.5));
    }
    let title = format!(
        "Air result against {} ({})",
        verdict.standard, verdict.edition
    );
    Drawing::new(title, described(verdict), (WIDTH, bottom + 4.0), sheet)
}

fn described(verdict: &Verdict) -> String {
    let overall = match verdict.overall {
        Overall::Passes => "Every quantity within its limit",
        Overall::Fails => "At least one quantity beyond its limit",
        Overall::CannotTell => "Not every quantity can be told",
    };
    let table = table(verdict);
    let row = |row: &Vec<String>| row.join(", ");
    let rows: Vec<String> = table.rows.iter().map(row).collect();
    format!("{overall}. {}.", rows.join(". "))
}

/// The same as rows.
pub fn table(verdict: &Verdict) -> Table {
    let caption = format!("{} ({})", verdict.standard, verdict.edition);
    let mut table = Table::new(caption, &["Quantity", "Measured", "Limit", "Margin"]);
    for judged in &verdict.quantities {
        table.row([
            judged.what.name().to_owned(),
            given(judged),
            limit(judged),
            margin(judged),
        ]);
    }
    table
}

fn given(judged: &Judged) -> String {
    judged
        .given
        .clone()
        .unwrap_or_else(|| "not measured".into())
}

/// A limit not seen in the standard itself says so.
fn limit(judged: &Judged) -> String {
    match judged.unverified {
        true => format!("{}, unverified", judged.limit),
        false => judged.limit.clone(),
    }
}

fn margin(judged: &Judged) -> String {
    let word = match &judged.outcome {
        Outcome::Passes => "passes",
        Outcome::Fails => "fails",
        Outcome::CannotTell { .. } => "cannot be told",
    };
    let Some(margin) = judged.margin.filter(|m| m.by.is_finite()) else {
        return word.to_owned();
    };
    let by = super::figures::short(margin.by.abs(), if margin.by.abs() < 10.0 { 2 } else { 0 });
    let side = if margin.by < 0.0 { "beyond" } else { "inside" };
    let said = format!("{by} {} {side}", margin.unit);
    match judged.outcome {
        Outcome::CannotTell { .. } => format!("{said}, {word}"),
        Outcome::Passes | Outcome::Fails => said,
    }
}

fn row(sheet: &mut Sheet, judged: &Judged, y: f64) {
    let base = y + 4.5;
    let name = capital(judged.what.name());
    sheet.say(
        Pen::Value,
        fitted(Pen::Value, &name, GIVEN - 8.0),
        (0.0, base),
        Anchor::Start,
    );
    lines(
        sheet,
        Pen::Small,
        &given(judged),
        (GIVEN, y),
        146.0,
        Anchor::Start,
    );
    let room = LIMIT - GIVEN - 152.0;
    lines(
        sheet,
        Pen::Note,
        &limit(judged),
        (LIMIT, y),
        room,
        Anchor::End,
    );
    if let (Some(Reading::Counted(amount)), Some(bounds)) = (&judged.reading, judged.bounds) {
        bar(sheet, amount, bounds, &judged.outcome, y);
    }
    let mark = match judged.outcome {
        Outcome::Passes => "m-normal",
        Outcome::Fails => "m-danger",
        Outcome::CannotTell { .. } => "m-abnormal",
    };
    sheet.symbol(mark, Rect::new(MARGIN, y - 8.0, 16.0, 16.0));
    let place = (MARGIN + 22.0, y);
    let room = WIDTH - MARGIN - 24.0;
    lines(
        sheet,
        Pen::Value,
        &margin(judged),
        place,
        room,
        Anchor::Start,
    );
    sheet.straight("decor", (0.0, y + 0.5 * ROW), (WIDTH, y + 0.5 * ROW));
}

/// A cell of at most two lines about `y`; the table has what is longer.
fn lines(sheet: &mut Sheet, pen: Pen, text: &str, (x, y): (f64, f64), most: f64, anchor: Anchor) {
    let text = text.replace("/m3", "/m³");
    let lines = wrapped(pen, &text, most, 2);
    let mut base = y + 4.5 - 7.5 * lines.len().saturating_sub(1) as f64;
    for line in lines {
        sheet.say(pen, line, (x, base), anchor);
        base += 15.0;
    }
}

/// Where a value stands: the limits keep their places, so the scale is the row's own.
fn place(bounds: Bounds, value: f64) -> f64 {
    let x = match (bounds.least, bounds.most) {
        (Some(least), Some(most)) if most > least => {
            LEAST + (MOST - LEAST) * (value - least) / (most - least)
        }
        (Some(least), _) if least > 0.0 => NONE + (LEAST - NONE) * value / least,
        (_, Some(most)) if most > 0.0 => NONE + (MOST - NONE) * value / most,
        // no positive limit to scale by: at the limit, or beyond it
        _ if value <= 0.0 => MOST,
        _ => END,
    };
    if x.is_finite() {
        x.clamp(NONE, END)
    } else {
        END
    }
}

fn bar(sheet: &mut Sheet, amount: &Amount, bounds: Bounds, outcome: &Outcome, y: f64) {
    let rect = |from: f64, to: f64| Rect::new(from, y - 0.5 * BAR, to - from, BAR);
    let from = bounds.least.map_or(NONE, |_| LEAST);
    let to = bounds.most.map_or(END, |_| MOST);
    sheet.rect("band", rect(from, to));
    let edge = |sheet: &mut Sheet, x: f64| {
        sheet.line("t", &format!("M{} {}v24", at(x), at(y - 12.0)));
    };
    if bounds.least.is_some() {
        sheet.texture("p-tol", rect(NONE, LEAST));
        edge(sheet, LEAST);
    } else {
        sheet.line("m", &format!("M{} {}v20", at(NONE), at(y - 10.0)));
    }
    if bounds.most.is_some() {
        sheet.texture("p-tol", rect(MOST, END));
        edge(sheet, MOST);
    }
    let [low, value, high] = [amount.low, amount.value, amount.high].map(|v| place(bounds, v));
    if bounds.least.is_none() {
        sheet.line("curve", &format!("M{} {}H{}", at(NONE), at(y), at(value)));
    }
    let (l, h, cap) = (at(low), at(high), at(y - 5.0));
    sheet.line("", &format!("M{l} {}H{h}M{l} {cap}v10M{h} {cap}v10", at(y)));
    let fill = match outcome {
        Outcome::Passes => "solid",
        Outcome::Fails => "red-fill",
        Outcome::CannotTell { .. } => "yellow-fill",
    };
    sheet.circle(fill, (value, y), 6.0);
    sheet.circle("ln", (value, y), 6.0);
    if amount.below {
        let below = Words::new(Pen::Note, "less than").class("halo");
        let beside = (value + 10.0).min(END - below.width());
        sheet.write(&below, (beside, y - 9.0), Anchor::Start);
    }
}
