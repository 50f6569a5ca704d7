//! The air path from top to bottom, for a telephone.

use station::Station;

use super::super::Drawing;
use super::super::place::Rect;
use super::super::sheet::{Anchor, Sheet};
use super::super::text::{Pen, Words, fitted, width, wrapped};
use super::parts::{self, Figure, PathPart, Stand};
use super::wide::tower;
use super::{Mark, described, mark_of, note, title};

/// Width of the list, px.
const WIDTH: f64 = 360.0;
/// Where the pipe, the balloons and the names stand, and where settings end.
const PIPE: f64 = 34.0;
const NUMBERS: f64 = 100.0;
const NAMES: f64 = 118.0;
const END: f64 = 356.0;
/// Least height of a row, and of a line in it.
const ROW: f64 = 52.0;
const LINE: f64 = 18.0;

/// Draws it.
pub(super) fn draw(station: &Station, marks: &[Mark]) -> Drawing {
    let parts = parts::of(station);
    let parts: Vec<PathPart> = without_coolers(parts);
    let mut sheet = Sheet::default();
    let heights: Vec<f64> = parts
        .iter()
        .map(|p| ROW.max(lines(p).len() as f64 * LINE + 18.0))
        .collect();
    let mut middles = Vec::new();
    let mut y = 6.0;
    for h in &heights {
        middles.push(y + 0.5 * h);
        y += h;
    }
    if let (Some(first), Some(last)) = (middles.first(), middles.last()) {
        sheet.straight("t", (PIPE, *first), (PIPE, *last));
    }
    if let Some((first, last)) = tower(&parts, &station.air_path.order) {
        let edge = |i: usize, sign: f64| {
            middles
                .get(i)
                .zip(heights.get(i))
                .map(|(y, h)| y + sign * (0.5 * h - 2.0))
        };
        if let (Some(top), Some(bottom)) = (edge(first, -1.0), edge(last, 1.0)) {
            sheet.frame("chain", Rect::new(3.0, top, 84.0, bottom - top));
        }
    }
    for (part, middle) in parts.iter().zip(&middles) {
        symbol(&mut sheet, part, *middle);
        if let Some(number) = part.balloon {
            sheet.balloon(number, (NUMBERS, *middle));
        }
        words(&mut sheet, part, *middle, mark_of(marks, part));
    }
    let chain = "Chain line: one pressure space, the tower.";
    sheet.say(Pen::Note, chain, (4.0, y + 16.0), Anchor::Start);
    let mut foot = y + 33.0;
    for line in wrapped(Pen::Note, &note(station), WIDTH - 8.0, 3) {
        sheet.say(Pen::Note, line, (4.0, foot), Anchor::Start);
        foot += 17.0;
    }
    Drawing::new(
        title(station),
        described(station, &parts),
        (WIDTH, foot - 6.0),
        sheet,
    )
}

/// Stages with their coolers in one row.
fn without_coolers(parts: Vec<PathPart>) -> Vec<PathPart> {
    let named = |part: PathPart| match part.figure {
        Figure::Stage => PathPart {
            name: format!("{} and cooler", part.name),
            ..part
        },
        _ => part,
    };
    let kept = parts.into_iter().filter(|p| p.figure != Figure::Cooler);
    kept.map(named).collect()
}

/// Symbols of the list: through the pipe turned with it, branches lying right of it.
fn symbol(sheet: &mut Sheet, part: &PathPart, y: f64) {
    let (id, w, h) = match part.figure {
        Figure::Intake => ("s-filter", 40.0, 40.0),
        Figure::Stage | Figure::Cooler => ("s-compressor", 42.0, 42.0),
        Figure::Check => ("s-check", 40.0, 40.0),
        Figure::Separator => ("s-separator", 44.0, 44.0),
        Figure::Purifier => ("s-purifier", 24.0, 48.0),
        Figure::Gauge => ("s-gauge", 40.0, 40.0),
        Figure::Relief => ("s-relief", 34.0, 51.0),
        Figure::Disc => ("s-burst", 34.0, 51.0),
        Figure::Vent => ("s-drain", 34.0, 51.0),
        Figure::Pmv => ("s-pmv", 44.0, 44.0),
        Figure::Bank => ("s-bank", 44.0, 44.0),
        Figure::FillValve => ("s-shutoff", 42.0, 42.0),
        Figure::Hose => ("s-hose", 63.0, 42.0),
        Figure::Cylinder => ("s-cylinder", 25.0, 50.0),
    };
    let here = |x: f64| Rect::new(x - 0.5 * w, y - 0.5 * h, w, h);
    match (part.figure, part.stand) {
        (Figure::Purifier | Figure::Cylinder, _) => sheet.symbol(id, here(PIPE)),
        (Figure::Hose, _) => {
            sheet.rect("ground", Rect::new(PIPE - 3.0, y - 24.0, 6.0, 48.0));
            sheet.turned(id, Rect::new(PIPE - 31.5, y - 21.0, 63.0, 42.0), 90.0);
        }
        (Figure::Bank, _) => {
            sheet.straight("", (PIPE, y - 17.0), (PIPE + 8.0, y - 17.0));
            sheet.circle("solid", (PIPE, y - 17.0), 3.0);
            sheet.symbol(id, Rect::new(PIPE + 6.0, y - 21.5, w, h));
        }
        (Figure::Vent, _) => branch(sheet, id, here(PIPE + 0.5 * h), y, -90.0),
        (_, Stand::Up) => branch(sheet, id, here(PIPE + 0.5 * h), y, 90.0),
        _ => sheet.turned(id, here(PIPE), 90.0),
    }
}

fn branch(sheet: &mut Sheet, id: &str, place: Rect, y: f64, degrees: f64) {
    sheet.turned(id, place, degrees);
    sheet.circle("solid", (PIPE, y), 3.0);
}

/// Name and settings: beside each other where there is room, else below.
fn words(sheet: &mut Sheet, part: &PathPart, middle: f64, mark: Option<&'static str>) {
    let lines = lines(part);
    let mut y = middle - 0.5 * LINE * lines.len() as f64 + 13.0;
    if let Some(mark) = mark {
        sheet.symbol(mark, Rect::new(NUMBERS - 7.0, middle + 11.0, 14.0, 14.0));
    }
    for line in &lines {
        match line {
            Line::Both(name, value) => {
                sheet.write(
                    &Words::new(Pen::Small, name.clone()),
                    (NAMES, y),
                    Anchor::Start,
                );
                sheet.write(
                    &Words::new(Pen::Value, value.clone()),
                    (END, y),
                    Anchor::End,
                );
            }
            Line::Name(name) => sheet.say(Pen::Small, name.clone(), (NAMES, y), Anchor::Start),
            Line::Value(value) => sheet.say(Pen::Value, value.clone(), (END, y), Anchor::End),
        }
        y += LINE;
    }
}

enum Line {
    Both(String, String),
    Name(String),
    Value(String),
}

fn lines(part: &PathPart) -> Vec<Line> {
    let room = END - NAMES;
    let fit = |pen, text: &str| fitted(pen, text, room);
    let name = fit(Pen::Small, &part.name);
    let mut values = part.values.iter().map(|v| fit(Pen::Value, v));
    let mut lines = match values.next() {
        Some(first) if width(Pen::Small, &name) + width(Pen::Value, &first) + 10.0 < room => {
            vec![Line::Both(name, first)]
        }
        Some(first) => vec![Line::Name(name), Line::Value(first)],
        None => vec![Line::Name(name)],
    };
    let notes = part.notes.iter().map(|n| fit(Pen::Small, n));
    lines.extend(values.map(Line::Value));
    lines.extend(notes.map(Line::Name));
    lines
}
