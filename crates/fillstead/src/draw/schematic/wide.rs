//! The air path from left to right.

use station::{Element, Station};

use super::super::Drawing;
use super::super::figures::Figures;
use super::super::place::Rect;
use super::super::sheet::{Anchor, Sheet, at};
use super::super::text::{Pen, Words};
use super::parts::{self, Figure, PathPart, Stand, drive};
use super::row::{Leader, Row, Shared};
use super::symbol::{draw as draw_symbol, ports};
use super::{Mark, described, note, title};

/// Left and right of the rows.
const MARGIN: f64 = 20.0;
/// Below the last row, for the note.
const FOOT: f64 = 26.0;

/// Draws it in one row where that fits, else the machine above and the rest below.
pub(super) fn draw(station: &Station, marks: &[Mark], available: f64) -> Drawing {
    draw_parts(station, parts::of(station), marks, available)
}

/// The same of these parts.
pub(super) fn draw_parts(
    station: &Station,
    parts: Vec<PathPart>,
    marks: &[Mark],
    available: f64,
) -> Drawing {
    let split = parts
        .iter()
        .position(|p| p.element.is_some() || p.figure == Figure::FillValve);
    let split = split.unwrap_or(0);
    let one_row = Row::natural(&parts) + 2.0 * MARGIN <= available;
    let pieces: Vec<&[PathPart]> = match (one_row, parts.split_at_checked(split)) {
        (false, Some((first, rest))) => vec![first, rest],
        _ => vec![&parts],
    };
    let width = pieces.iter().map(|p| Row::natural(p)).fold(0.0, f64::max) + 2.0 * MARGIN;
    let rows: Vec<Row> = pieces
        .iter()
        .map(|piece| Row::lay(piece, &shared(piece, station), marks, MARGIN, width))
        .collect();
    let mut sheet = Sheet::default();
    let mut y = 4.0;
    let mut from: Option<((f64, f64), f64)> = None;
    for row in &rows {
        let pipe = y - row.top;
        if let (Some((end, turn)), Some(start)) = (from, row.start()) {
            let way = [
                end,
                (end.0 + 12.0, end.1),
                (end.0 + 12.0, turn),
                (6.0, turn),
            ];
            let way = [&way[..], &[(6.0, pipe), (start, pipe)]].concat();
            sheet.line("t", &super::super::sheet::through(&way));
        }
        put(&mut sheet, row, pipe, station);
        y = pipe + row.bottom + 24.0;
        from = row.end().map(|x| ((x, pipe), y - 16.0));
    }
    sheet.say(Pen::Note, note(station), (MARGIN, y), Anchor::Start);
    let size = (width, y + FOOT - 16.0);
    Drawing::new(title(station), described(station, &parts), size, sheet)
}

/// What is enclosed by a chain line in this row: the compressor, and what shares the tower's air.
fn shared(parts: &[PathPart], station: &Station) -> Vec<Shared> {
    let figures = Figures {
        units: station.units,
    };
    let stages = parts.iter().position(|p| p.figure == Figure::Stage);
    let cooler = parts.iter().rposition(|p| p.figure == Figure::Cooler);
    let mut all = Vec::new();
    if let (Some(first), Some(last)) = (stages, cooler) {
        let drive = drive(station, figures);
        let words = match drive.is_empty() {
            true => "compressor".to_owned(),
            false => format!("compressor, {drive}"),
        };
        all.push(Shared {
            first,
            last,
            words,
            motor: true,
        });
    }
    let tower = tower(parts, &station.air_path.order);
    all.extend(tower.map(|(first, last)| Shared {
        first,
        last,
        words: "tower: one pressure space".to_owned(),
        motor: false,
    }));
    all
}

/// First and last part of the space the purifier's air is in: up to a valve on either side.
pub(super) fn tower(parts: &[PathPart], order: &[Element]) -> Option<(usize, usize)> {
    let valve =
        |place: usize| matches!(order.get(place), Some(Element::Check | Element::Pmv) | None);
    let purifier = order.iter().position(|e| *e == Element::Purifier)?;
    let first = (0..=purifier).rev().take_while(|p| !valve(*p)).last()?;
    let last = (purifier..order.len()).take_while(|p| !valve(*p)).last()?;
    let inside = |p: &PathPart| {
        p.element
            .is_some_and(|place| (first..=last).contains(&place))
    };
    Some((
        parts.iter().position(inside)?,
        parts.iter().rposition(inside)?,
    ))
}

fn put(sheet: &mut Sheet, row: &Row, pipe: f64, station: &Station) {
    for (frame, motor) in &row.frames {
        let frame = Rect {
            y: frame.y + pipe,
            ..*frame
        };
        sheet.frame("chain", frame);
        if *motor {
            shaft(sheet, row, pipe, &frame, station);
        }
    }
    lines(sheet, row, pipe);
    for (part, x) in row.parts.iter().zip(&row.xs) {
        if part.shut {
            let here = Rect::new(x - 24.0, pipe - 24.0, 48.0, 48.0);
            sheet.symbol("s-shutoff-closed", here);
            continue;
        }
        draw_symbol(sheet, part.figure, (*x, pipe), station);
    }
    for (number, (x, y)) in &row.numbers {
        sheet.balloon(*number, (*x, y + pipe));
    }
    for label in &row.labels {
        if let Some(Leader { x, from, to }) = label.leader {
            sheet.straight("lead", (x, from + pipe), (x, to + pipe));
        }
        if let Some(mark) = label.mark {
            let place = Rect::new(label.place.x, label.place.y + pipe + 1.0, 14.0, 14.0);
            sheet.symbol(mark, place);
        }
        let shift = if label.mark.is_some() { 17.0 } else { 0.0 };
        let middle = label.place.x + shift + 0.5 * (label.place.w - shift);
        let mut y = label.place.y + pipe;
        for line in &label.lines {
            sheet.write(line, (middle, y + 0.82 * line.height()), Anchor::Middle);
            y += line.height();
        }
    }
}

/// Pens of the pipe, thin to thick.
fn pen(pen: u8) -> &'static str {
    match pen {
        1 => "hairline",
        2 => "",
        3 => "m",
        _ => "t",
    }
}

/// The pipe from part to part, with a dot where a branch leaves it.
fn lines(sheet: &mut Sheet, row: &Row, pipe: f64) {
    let mut from: Option<(f64, u8)> = None;
    for (part, x) in row.parts.iter().zip(&row.xs) {
        let Some((left, right)) = ports(part.figure) else {
            if part.stand == Stand::End {
                let (start, weight) = from.unwrap_or((*x, 4));
                let down = format!("M{} {}H{}v9", at(start), at(pipe), at(*x));
                sheet.line(pen(weight), &down);
            } else {
                if from.is_none() {
                    from = Some((x - 24.0, part.pen));
                }
                sheet.circle("solid", (*x, pipe), 3.0);
            }
            continue;
        };
        if let Some((start, weight)) = from {
            sheet.straight(pen(weight), (start, pipe), (x + left, pipe));
        }
        from = Some((x + right, part.pen));
    }
    if let (Some((start, weight)), Some(end)) = (from, row.end()) {
        sheet.straight(pen(weight), (start, pipe), (end, pipe));
    }
}

/// The shaft from the first stage to the motor or engine.
fn shaft(sheet: &mut Sheet, row: &Row, pipe: f64, frame: &Rect, station: &Station) {
    let stages = row
        .parts
        .iter()
        .zip(&row.xs)
        .filter(|(p, _)| p.figure == Figure::Stage);
    let xs: Vec<f64> = stages.map(|(_, x)| *x).collect();
    let y = pipe + 46.0;
    let motor = Rect::new(frame.x + frame.w - 44.0, y - 16.0, 36.0, 36.0);
    for x in &xs {
        sheet.straight("hairline", (*x, pipe + 23.0), (*x, y));
    }
    if let Some(first) = xs.first() {
        let (left, right) = (at(first - 4.0), at(motor.x + 5.0));
        let (top, bottom) = (at(y), at(y + 4.0));
        sheet.line(
            "hairline",
            &format!("M{right} {top}H{left}V{bottom}H{right}"),
        );
    }
    match station.compressor.drive {
        Some(station::Drive::Petrol | station::Drive::Diesel) => {
            sheet.frame("m", Rect::new(motor.x + 5.0, motor.y + 5.0, 26.0, 26.0));
            let middle = (motor.x + 18.0, motor.y + 22.5);
            sheet.write(&Words::new(Pen::Value, "E"), middle, Anchor::Middle);
        }
        _ => sheet.symbol("s-motor", motor),
    }
}
