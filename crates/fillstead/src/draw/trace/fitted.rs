//! Readings against the model: the run as fitted with its band, the run as specified dashed, the
//! readings as circled crosses, over the pressure ladder.
//!
//! Start at [`draw`]; the same as rows is [`table`]. Not here: what follows from it
//! ([`insight::diagnose`]).

use insight::diagnose::answer::{Diagnosis, SettingFound, TracePoint, Verdict};
use insight::ladder::{Ladder, Rung, RungKind};
use quantity::UnitSystem;

use super::super::figures::{Figures, short, time};
use super::super::place::{Rect, Spots};
use super::super::sheet::{Anchor, Sheet, at, through};
use super::super::text::{Pen, Words};
use super::super::{Drawing, Table};
use super::Medium;
use super::axis;
use super::curves::{block_line, circled_cross};
use super::frame::Frame;

/// What is drawn.
#[derive(Debug, Clone, Copy)]
pub struct Fitted<'a> {
    /// The diagnosis.
    pub diagnosis: &'a Diagnosis,
    /// The station's pressures, for the scale.
    pub ladder: &'a Ladder,
    /// Units of the figures.
    pub units: UnitSystem,
    /// Lines of the readings of the tower and of the line; those of a stage have a scale of their
    /// own and stand in the table.
    pub shown: &'a [usize],
}

const LEFT: f64 = 168.0;
const RIGHT: f64 = 880.0;
const TOP: f64 = 18.0;
const HEIGHT: f64 = 320.0;
/// Shortest run drawn, s.
const LEAST_S: f64 = 60.0;

/// The drawing; none where no run could be fitted.
pub fn draw(of: &Fitted) -> Option<Drawing> {
    let trace = &of.diagnosis.trace;
    let last = trace.iter().map(|p| p.t_s).fold(0.0, f64::max);
    if trace.len() < 2 || !last.is_finite() {
        return None;
    }
    let rungs = of.ladder.rungs.iter().rev().filter(|r| belongs(r));
    let rungs: Vec<&Rung> = rungs.collect();
    let frame = Frame {
        left: LEFT,
        right: RIGHT,
        top: TOP,
        bottom: TOP + HEIGHT,
        end_s: last.max(LEAST_S),
        top_bar: top_bar(of, &rungs),
        medium: Medium::Screen,
        figures: Figures { units: of.units },
    };
    let mut sheet = Sheet::default();
    axis::scale(&mut sheet, &rungs, &frame);
    curves(&mut sheet, of, &frame);
    axis::times(&mut sheet, &frame);
    Some(Drawing::new(
        format!("Readings against the model of {}", of.diagnosis.station),
        described(of),
        (RIGHT + 12.0, frame.bottom + 40.0),
        sheet,
    ))
}

/// The settings of the valves and the working pressure.
fn belongs(rung: &Rung) -> bool {
    matches!(
        rung.kind,
        RungKind::PmvCloses
            | RungKind::PmvOpens
            | RungKind::Working
            | RungKind::ReliefReseats
            | RungKind::ReliefLifts
    )
}

/// A little above the highest rung, curve and reading.
fn top_bar(of: &Fitted, rungs: &[&Rung]) -> f64 {
    let trace = of.diagnosis.trace.iter();
    let curves = trace.flat_map(|p| {
        [
            p.tower + p.tower_band,
            p.line + p.line_band,
            p.tower_specified,
        ]
    });
    let readings = readings(of).map(|r| r.bar);
    let all = rungs.iter().map(|r| r.bar).chain(curves).chain(readings);
    1.04 * all.filter(|bar| bar.is_finite()).fold(10.0, f64::max)
}

fn readings<'a>(
    of: &'a Fitted,
) -> impl Iterator<Item = &'a insight::diagnose::answer::ReadingJudged> {
    let readings = of.diagnosis.readings.iter();
    readings.filter(|r| of.shown.contains(&r.line) && r.bar.is_finite() && r.t_s.is_finite())
}

/// One quantity of the trace on the sheet.
fn line(of: &Fitted, frame: &Frame, bar: impl Fn(&TracePoint) -> f64) -> Vec<(f64, f64)> {
    let points = of.diagnosis.trace.iter().map(|p| (p.t_s, bar(p)));
    let known = points.filter(|(t, bar)| t.is_finite() && bar.is_finite());
    known.map(|(t, bar)| (frame.x(t), frame.y(bar))).collect()
}

fn band(sheet: &mut Sheet, class: &str, upper: Vec<(f64, f64)>, lower: Vec<(f64, f64)>) {
    let mut outline = upper;
    outline.extend(lower.into_iter().rev());
    if outline.len() > 3 {
        sheet.shape(class, &format!("{}Z", through(&outline)));
    }
}

fn curves(sheet: &mut Sheet, of: &Fitted, frame: &Frame) {
    let over = |bar: fn(&TracePoint) -> f64| line(of, frame, bar);
    band(
        sheet,
        "band",
        over(|p| p.line + p.line_band),
        over(|p| p.line - p.line_band),
    );
    band(
        sheet,
        "band2",
        over(|p| p.tower + p.tower_band),
        over(|p| p.tower - p.tower_band),
    );
    let (tower, whip) = (over(|p| p.tower), over(|p| p.line));
    let specified = over(|p| p.tower_specified);
    sheet.line("dash hairline", &through(&over(|p| p.line_specified)));
    sheet.line("dash", &through(&specified));
    sheet.line("tower", &through(&whip));
    sheet.line("curve", &through(&tower));
    let mut spots = Spots::default();
    for label in &sheet.labels {
        spots.block(label.grown(2.0));
    }
    for one in [&tower, &whip, &specified] {
        block_line(&mut spots, one);
    }
    for reading in readings(of) {
        let (x, y) = (frame.x(reading.t_s), frame.y(reading.bar));
        circled_cross(sheet, (x, y));
        spots.block(Rect::new(x - 7.0, y - 7.0, 14.0, 14.0));
        if reading.apart.is_some() {
            sheet.symbol("m-abnormal", Rect::new(x + 7.0, y - 18.0, 15.0, 15.0));
            spots.block(Rect::new(x + 6.0, y - 19.0, 17.0, 17.0));
        }
    }
    off(sheet, &mut spots, of, frame);
    let mut put = |words: Words, along: &[(f64, f64)], ways: &[f64]| {
        name(sheet, &mut spots, frame, words, along, ways);
    };
    let fitted = Words::new(Pen::Value, "tower, fitted to your readings");
    put(fitted, &tower, &[1.0, -1.0]);
    put(
        Words::new(Pen::Note, "as specified"),
        &specified,
        &[-1.0, 1.0],
    );
    put(Words::new(Pen::Note, "line, fitted"), &whip, &[1.0, -1.0]);
}

/// Words beside a curve, where there is room; left out where there is none.
fn name(
    sheet: &mut Sheet,
    spots: &mut Spots,
    frame: &Frame,
    words: Words,
    along: &[(f64, f64)],
    ways: &[f64],
) {
    let (w, h) = (words.width(), words.height());
    let shares = [0.55, 0.7, 0.4, 0.8, 0.3, 0.2];
    let place = |share: f64, way: f64, far: f64| {
        let at = along.get((share * (along.len() as f64 - 1.0)) as usize)?;
        let y = at.1 + way * (far + 0.5 * h) - 0.5 * h;
        Some(Rect::new(at.0 - 0.3 * w, y, w, h))
    };
    let tries = [10.0, 20.0, 32.0, 46.0].into_iter().flat_map(|far| {
        let of_share = move |share: f64| ways.iter().map(move |way| (share, *way, far));
        shares.into_iter().flat_map(of_share)
    });
    let inside = |r: &Rect| {
        r.x > frame.left + 4.0
            && r.x + r.w < frame.right
            && r.y > frame.top
            && r.y + r.h < frame.bottom - 2.0
    };
    let tries = tries.filter_map(|(share, way, far)| place(share, way, far));
    if let Some(place) = spots.first_free(tries.filter(inside)) {
        let base = (place.x, place.y + 0.78 * (h - 3.0) + 1.0);
        sheet.write(&words.class("halo"), base, Anchor::Start);
    }
}

/// The valve that is off: from where it should open to where it does.
fn off(sheet: &mut Sheet, spots: &mut Spots, of: &Fitted, frame: &Frame) {
    let is_off =
        |s: &&SettingFound| matches!(s.verdict, Verdict::Below | Verdict::Above) && opens(s);
    let Some(setting) = of.diagnosis.settings.iter().find(is_off) else {
        return;
    };
    let (Some(found), Some(wanted)) = (setting.found_bar, setting.specified_bar) else {
        return;
    };
    let reached = of.diagnosis.trace.iter().find(|p| p.tower >= found - 1.0);
    let from = frame.x(reached.map_or(0.0, |p| p.t_s));
    let (low, high) = (frame.y(found), frame.y(wanted));
    let x = (from + 48.0).min(frame.right - 150.0);
    sheet.straight("faint", (from, low), (x + 5.0, low));
    sheet.line(
        "m warn",
        &format!(
            "M{x} {low}V{high}M{l} {low}h10M{l} {high}h10",
            x = at(x),
            low = at(low),
            high = at(high),
            l = at(x - 5.0)
        ),
    );
    let figures = frame.figures;
    let by = figures.set((found - wanted).abs());
    let way = if found < wanted { "low" } else { "high" };
    let words = format!("{} {by} {} {way}", setting.called, figures.unit());
    let words = Words::new(Pen::Value, words).class("odd halo");
    let y = low.min(high) - 22.0;
    let place = Rect::new(x + 8.0, y.max(frame.top), words.width() + 22.0, 18.0);
    if place.x + place.w < frame.right {
        sheet.symbol("m-abnormal", Rect::new(place.x, place.y, 16.0, 16.0));
        sheet.write(&words, (place.x + 21.0, place.y + 13.0), Anchor::Start);
        spots.block(place);
    }
    spots.block(Rect::new(x - 7.0, low.min(high), 14.0, (low - high).abs()));
}

/// Where a valve opens, and not where it shuts: that end is read off the curve.
fn opens(setting: &SettingFound) -> bool {
    matches!(setting.name, "pmv_opens" | "relief_lifts")
}

/// Each reading with what the run as fitted and as specified would show.
pub fn table(diagnosis: &Diagnosis, units: UnitSystem) -> Table {
    let figures = Figures { units };
    let unit = figures.unit();
    let mut table = Table::new(
        format!("Readings against the model, {unit} gauge"),
        &[
            "Minute",
            "Gauge",
            "Read",
            "Fitted",
            "As specified",
            "Remark",
        ],
    );
    for one in &diagnosis.readings {
        table.row([
            time(one.t_s),
            one.gauge.clone(),
            figures.set(one.bar),
            figures.read(one.fitted_bar),
            figures.read(one.specified_bar),
            one.apart.clone().unwrap_or_default(),
        ]);
    }
    table
}

/// Everything the drawing says, in sentences.
fn described(of: &Fitted) -> String {
    let figures = Figures { units: of.units };
    let mut text = format!("{} ", of.diagnosis.headline);
    text += &format!(
        "{} readings as circled crosses, the run fitted to them with the band that holds it nine \
         times in ten, and the run as specified, dashed.",
        readings(of).count()
    );
    if let Some(misfit) = of.diagnosis.misfit_bar {
        let misfit = short(figures.value(misfit), 1);
        text += &format!(" The readings lie {misfit} {} from it.", figures.unit());
    }
    if of.diagnosis.invented {
        text += " Invented demonstration data.";
    }
    text
}
