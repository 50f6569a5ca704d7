//! The ladder beside a running machine: one rail, a marker for what a gauge should show now.
//!
//! Start at [`draw`]. Not here: the whole ladder ([`insight::ladder`]).

use insight::ladder::{Ladder, Rung, RungKind};
use quantity::UnitSystem;

use super::figures::Figures;
use super::place::{Rect, spread};
use super::sheet::{Anchor, Sheet, at};
use super::text::{Pen, Words};
use super::{Drawing, Table};

/// Width of the drawing, its rails, and room above and below.
const WIDTH: f64 = 128.0;
const RAIL: f64 = 80.0;
const RAILS: f64 = 22.0;
const TOP: f64 = 12.0;
const BOTTOM: f64 = 12.0;
/// Height of a label.
const LABEL: f64 = 33.0;

/// What a gauge shows, or should.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Now {
    /// Gauge, bar.
    pub bar: f64,
    /// How far off it may be and still be as forecast, bar.
    pub give_or_take: f64,
    /// Past the planned stop.
    pub over: bool,
}

/// The ladder, `height` px high, with the marker where something is known.
pub fn draw(ladder: &Ladder, units: UnitSystem, now: Option<Now>, height: f64) -> Drawing {
    let figures = Figures { units };
    let rungs: Vec<&Rung> = ladder
        .rungs
        .iter()
        .rev()
        .filter(|r| name(r).is_some())
        .collect();
    let height = height.max(TOP + BOTTOM + LABEL * rungs.len() as f64 + 20.0);
    let now = now.filter(|now| now.bar.is_finite());
    let top_bar = now.map_or(ladder.top_bar, |now| ladder.top_bar.max(now.bar * 1.03));
    let y = |bar: f64| TOP + (height - TOP - BOTTOM) * (1.0 - (bar / top_bar).clamp(0.0, 1.0));
    let mut sheet = Sheet::default();
    let stretch =
        |low: f64, high: f64| Rect::new(RAIL, y(high), RAILS, (y(low) - y(high)).max(0.0));
    if let Some(disc) = ladder.rung(RungKind::DiscBursts) {
        sheet.rect("band2", stretch(disc.low_bar, disc.high_bar));
    }
    let bar = |kind| ladder.rung(kind).map(|r| r.bar);
    if let (Some(low), Some(high)) = (bar(RungKind::PmvCloses), bar(RungKind::PmvOpens)) {
        sheet.rect("band", stretch(low, high));
    }
    if let Some(now) = now {
        match (now.over, bar(RungKind::Working)) {
            (true, Some(working)) => {
                sheet.texture("p-danger", stretch(working.min(now.bar), now.bar))
            }
            _ => sheet.rect("band2", stretch(0.0, now.bar)),
        }
    }
    rails(&mut sheet, figures, top_bar, &y);
    labels(&mut sheet, figures, &rungs, &y, height);
    if let Some(now) = now {
        marker(&mut sheet, now, &y);
    }
    let said = match now {
        Some(now) => format!("Marker at {} {}", figures.read(now.bar), figures.unit()),
        None => "No reading".to_owned(),
    };
    Drawing::new("Pressure now, on the ladder", said, (WIDTH, height), sheet)
}

/// What a rung is called beside a running machine; none for those left out.
fn name(rung: &Rung) -> Option<&'static str> {
    match rung.kind {
        RungKind::PmvCloses => Some("PMV closes"),
        RungKind::PmvOpens => Some("PMV opens"),
        RungKind::Working => Some("working"),
        RungKind::ReliefLifts => Some("relief lifts"),
        RungKind::DiscBursts => Some("burst disc"),
        _ => None,
    }
}

fn rails(sheet: &mut Sheet, figures: Figures, top_bar: f64, y: &dyn Fn(f64) -> f64) {
    let (left, right, foot) = (at(RAIL), at(RAIL + RAILS), at(y(0.0)));
    let d = format!(
        "M{left} {foot}V0M{right} {foot}V0M{} {foot}H{}",
        at(RAIL - 6.0),
        at(RAIL + RAILS + 6.0)
    );
    sheet.line("t", &d);
    let mut d = String::new();
    for (bar, long) in figures.strokes(top_bar) {
        let long = if long { 8 } else { 4 };
        d += &format!("M{left} {}h{long}", at(y(bar)));
    }
    sheet.line("hairline", &d);
}

fn labels(
    sheet: &mut Sheet,
    figures: Figures,
    rungs: &[&Rung],
    y: &dyn Fn(f64) -> f64,
    height: f64,
) {
    let wanted: Vec<(f64, f64)> = rungs.iter().map(|r| (y(r.bar), LABEL)).collect();
    let placed = spread(&wanted, 0.0, height - 2.0);
    for ((rung, (from, _)), to) in rungs.iter().zip(&wanted).zip(&placed) {
        let out = if rung.kind == RungKind::Working {
            5.0
        } else {
            0.0
        };
        let pen = if out > 0.0 { "x" } else { "t" };
        sheet.straight(pen, (RAIL - out, *from), (RAIL + RAILS + out, *from));
        if (from - to).abs() > 3.0 {
            sheet.straight("lead", (RAIL - out, *from), (RAIL - 10.0, *to));
        }
        let end = RAIL - 12.0;
        sheet.say(
            Pen::Big,
            figures.set(rung.bar),
            (end, to + 1.0),
            Anchor::End,
        );
        let words = Words::new(Pen::Note, name(rung).unwrap_or_default());
        sheet.write(&words, (end, to + 15.0), Anchor::End);
    }
}

fn marker(sheet: &mut Sheet, now: Now, y: &dyn Fn(f64) -> f64) {
    let (at_now, right) = (y(now.bar), RAIL + RAILS);
    if now.give_or_take > 0.0 && now.give_or_take.is_finite() {
        let (high, low) = (y(now.bar + now.give_or_take), y(now.bar - now.give_or_take));
        sheet.rect("grey", Rect::new(right + 2.0, high, 4.0, low - high));
    }
    let (fill, line) = match now.over {
        true => ("red-fill", "curve red"),
        false => ("solid", "curve"),
    };
    let (x, middle) = (at(right + 2.0), at(at_now));
    sheet.shape(fill, &format!("M{x} {middle}l17 -10v20Z"));
    sheet.straight(line, (RAIL - 3.0, at_now), (right + 3.0, at_now));
}

/// The rungs and the marker as rows.
pub fn table(ladder: &Ladder, units: UnitSystem, now: Option<Now>) -> Table {
    let figures = Figures { units };
    let unit = figures.unit();
    let mut table = Table::new(format!("Pressures, {unit} gauge"), &["What", "Pressure"]);
    for rung in ladder.rungs.iter().rev() {
        if let Some(name) = name(rung) {
            table.row([name.to_owned(), figures.set(rung.bar)]);
        }
    }
    if let Some(now) = now {
        table.row(["should read now".to_owned(), figures.read(now.bar)]);
    }
    table
}
