//! The ground of a trace: hatching, grid, the ladder as its scale, the times.

use insight::ladder::{Rung, RungKind};

use super::super::figures::round_step;
use super::super::place::{Rect, spread};
use super::super::sheet::{Anchor, Sheet, at};
use super::super::text::{Pen, Words, fitted, width};
use super::curves::off_spells;
use super::frame::Frame;
use super::{Medium, Trace};

/// Distance of the ladder's rails.
const RAILS: f64 = 16.0;
/// Distance of the labels' lines.
const GAP: f64 = 17.0;

/// What lies under everything else.
pub(super) fn ground(sheet: &mut Sheet, trace: &Trace, frame: &Frame) {
    for (from, to) in off_spells(trace.forecast, frame.end_s) {
        let (x, to) = (frame.x(from), frame.x(to));
        let spell = Rect {
            x,
            w: (to - x).max(0.0),
            ..frame.field()
        };
        sheet.texture("p-tol", spell);
        let off = Words::new(Pen::Note, "machine off").class("halo");
        if spell.w > off.width() + 8.0 {
            let middle = (x + 0.5 * spell.w, frame.bottom - 10.0);
            sheet.write(&off, middle, Anchor::Middle);
        }
    }
    if frame.medium == Medium::Print {
        grid(sheet, frame);
    }
}

/// A line every minute and every 20 bar (250 psi), coarser where they would run together.
fn grid(sheet: &mut Sheet, frame: &Frame) {
    let mut d = String::new();
    let minutes = frame.end_s / 60.0;
    let step = round_step((minutes / 100.0).max(1.0));
    let mut minute = 0.0;
    while minute <= minutes {
        let (x, top) = (at(frame.x(minute * 60.0)), at(frame.top));
        d += &format!("M{x} {top}V{}", at(frame.bottom));
        minute += step;
    }
    let usual = match frame.figures.unit() {
        "bar" => 20.0,
        _ => 250.0,
    };
    let top = frame.figures.value(frame.top_bar);
    let step = if top / usual > 40.0 {
        round_step(top / 40.0)
    } else {
        usual
    };
    let mut number = 0.0;
    while number <= top {
        let y = at(frame.y(frame.figures.bar(number)));
        d += &format!("M{} {y}H{}", at(frame.left), at(frame.right));
        number += step;
    }
    sheet.line("grid", &d);
}

/// Whether a rung belongs to a run's scale: settings, the weakest part, and what the cylinders of
/// the run are stamped, unless it is the working pressure.
fn shown(trace: &Trace, rung: &Rung) -> bool {
    let same = |bar: f64| (bar - rung.bar).abs() < 1e-6 * rung.bar.max(1.0);
    match rung.kind {
        RungKind::ReliefFull | RungKind::Rating | RungKind::BankRating => false,
        RungKind::FillStop => {
            let working = trace.ladder.rung(RungKind::Working);
            let mut cylinders = trace.forecast.cylinders.iter();
            cylinders.any(|c| same(c.rated_bar)) && !working.is_some_and(|w| same(w.bar))
        }
        _ => true,
    }
}

/// What a rung is called where room is scarce.
fn name(rung: &Rung) -> String {
    match rung.kind {
        RungKind::Working => "working".into(),
        RungKind::DiscBursts => "burst disc".into(),
        RungKind::WeakestRating => format!("weakest: {}", rung.part.name),
        RungKind::FillStop => "cylinder rated".into(),
        _ => rung.name.clone(),
    }
}

/// The ladder as the scale, its rungs carried across.
pub(super) fn ladder(sheet: &mut Sheet, trace: &Trace, frame: &Frame) {
    let rungs = trace.ladder.rungs.iter().rev();
    let rungs: Vec<&Rung> = rungs.filter(|rung| shown(trace, rung)).collect();
    scale(sheet, &rungs, frame);
}

/// These rungs, the highest first, as the scale.
pub(super) fn scale(sheet: &mut Sheet, rungs: &[&Rung], frame: &Frame) {
    let (rail, left, right) = (frame.left - RAILS, frame.left, frame.right);
    let stretch = |low: f64, high: f64, x: f64, w: f64| {
        let (top, bottom) = (frame.y(high), frame.y(low));
        Rect::new(x, top, w, bottom - top)
    };
    let bar = |kind| rungs.iter().find(|r| r.kind == kind).map(|r| r.bar);
    if let (Some(low), Some(high)) = (bar(RungKind::PmvCloses), bar(RungKind::PmvOpens)) {
        sheet.rect("band", stretch(low, high.max(low), rail, RAILS));
    }
    for rung in rungs.iter().filter(|r| r.kind == RungKind::DiscBursts) {
        let (low, high) = (rung.low_bar, rung.high_bar);
        sheet.rect("band2", stretch(low, high, rail, RAILS));
        if frame.medium == Medium::Screen {
            sheet.rect("well", stretch(low, high, left, right - left));
        }
    }
    let (bottom, top) = (at(frame.bottom), at(frame.top - 6.0));
    sheet.line(
        "t",
        &format!("M{} {bottom}V{top}M{} {bottom}V{top}", at(rail), at(left)),
    );
    ticks(sheet, frame);
    for rung in rungs {
        let (y, working) = (frame.y(rung.bar), rung.kind == RungKind::Working);
        let (pen, across, out) = match working {
            true => ("x", "hairline", 4.0),
            false => ("m", "dot faint", 0.0),
        };
        sheet.straight(pen, (rail - out, y), (left + out, y));
        sheet.straight(across, (left, y), (right, y));
    }
    labels(sheet, frame, rungs, rail);
}

fn labels(sheet: &mut Sheet, frame: &Frame, rungs: &[&Rung], rail: f64) {
    let wanted: Vec<(f64, f64)> = rungs.iter().map(|r| (frame.y(r.bar), GAP)).collect();
    // a scale with more rungs than lines goes on below its zero rather than over itself
    let placed = spread(&wanted, frame.top - 8.0, frame.bottom - 12.0);
    for ((rung, (from, _)), to) in rungs.iter().zip(&wanted).zip(&placed) {
        let figure = figure(rung, frame);
        let room = rail - 22.0 - width(Pen::Value, &figure) - 6.0;
        let name = fitted(Pen::Note, &name(rung), room);
        let words = Words::new(Pen::Note, name).then(Pen::Value, figure);
        sheet.line(
            "lead",
            &format!(
                "M{} {}h-4L{} {}h-4",
                at(rail - 1.0),
                at(*from),
                at(rail - 13.0),
                at(*to)
            ),
        );
        sheet.write(&words, (rail - 20.0, to + 4.3), Anchor::End);
    }
    sheet.say(
        Pen::Note,
        "0",
        (rail - 6.0, frame.bottom + 14.0),
        Anchor::End,
    );
}

/// The set pressure; a stamp in its own unit; a disc with its tolerance.
fn figure(rung: &Rung, frame: &Frame) -> String {
    let figures = frame.figures;
    if rung.kind == RungKind::DiscBursts && rung.bar > 0.0 {
        let percent = 100.0 * (rung.high_bar / rung.bar - 1.0);
        return format!("{} ± {percent:.0} %", figures.set(rung.bar));
    }
    match &rung.stamp {
        Some(stamp) if !stamp.ends_with(figures.unit()) => stamp.clone(),
        _ => figures.set(rung.bar),
    }
}

/// Short strokes left of the plot, without numbers: the rungs have them.
fn ticks(sheet: &mut Sheet, frame: &Frame) {
    let mut d = String::new();
    for (bar, long) in frame.figures.strokes(frame.top_bar) {
        let long = if long { -7.0 } else { -3.5 };
        let y = at(frame.y(bar));
        d += &format!("M{} {y}h{long}", at(frame.left));
    }
    sheet.line("hairline", &d);
}

/// The line of time and its minutes.
pub(super) fn times(sheet: &mut Sheet, frame: &Frame) {
    let bottom = frame.bottom;
    sheet.straight("m", (frame.left - RAILS, bottom), (frame.right, bottom));
    let minutes = frame.end_s / 60.0;
    let most = (frame.right - frame.left) / 34.0;
    let step = round_step(minutes / most);
    for i in 0.. {
        let minute = f64::from(i) * step;
        if minute > minutes * (1.0 + 1e-9) {
            break;
        }
        let x = frame.x(minute * 60.0);
        sheet.straight("hairline", (x, bottom), (x, bottom + 5.0));
        let number = super::super::figures::short(minute, 2);
        sheet.say(Pen::Note, number, (x, bottom + 19.0), Anchor::Middle);
    }
    let unit = format!("minutes from the start; {} gauge", frame.figures.unit());
    let place = (frame.right, bottom + 35.0);
    sheet.say(Pen::Note, unit, place, Anchor::End);
}
