//! The curves of a trace.
//!
//! Not here: their names ([`super::names`]).

use insight::forecast::answer::{Band, CylinderEnd, CylinderSample, Forecast, Sample};

use super::super::place::{Rect, Spots};
use super::super::sheet::{Sheet, at, through};
use super::Trace;
use super::frame::Frame;
use super::names::Names;

/// A change of pressure that a gauge would show, bar.
const NOTICED_BAR: f64 = 0.2;
/// Beyond the stop by this: the cylinder was not shut, bar.
const OVER_BAR: f64 = 2.0;
/// Part of the axis over which cooling is drawn.
const COOLING: f64 = 0.05;

/// Bands, tower, cylinders, readings, and their names.
pub(super) fn draw(sheet: &mut Sheet, trace: &Trace, frame: &Frame) {
    let fills: Vec<Fill> = trace
        .forecast
        .cylinders
        .iter()
        .enumerate()
        .filter_map(|(i, end)| Fill::of(trace.forecast, i, end, frame))
        .collect();
    for fill in &fills {
        fill.band(sheet, frame);
    }
    let tower = tower(trace.forecast, frame);
    sheet.line("tower", &through(&tower));
    for fill in &fills {
        fill.curves(sheet, frame);
    }
    let measured: Vec<(f64, f64)> = trace
        .measured
        .iter()
        .filter(|p| p.t_s.is_finite() && p.bar.is_finite())
        .map(|p| (frame.x(p.t_s), frame.y(p.bar)))
        .collect();
    sheet.line("m dash", &through(&measured));
    let mut spots = Spots::default();
    for label in &sheet.labels {
        spots.block(label.grown(2.0));
    }
    for line in fills.iter().map(|f| &f.points).chain([&tower, &measured]) {
        block_line(&mut spots, line);
    }
    for reading in trace
        .readings
        .iter()
        .filter(|p| p.t_s.is_finite() && p.bar.is_finite())
    {
        let (x, y) = (frame.x(reading.t_s), frame.y(reading.bar));
        circled_cross(sheet, (x, y));
        spots.block(Rect::new(x - 7.0, y - 7.0, 14.0, 14.0));
    }
    for event in &trace.forecast.events {
        // the flags' lines
        let x = frame.x(event.t_s);
        spots.block(Rect {
            x: x - 1.0,
            w: 2.0,
            ..frame.field()
        });
    }
    let mut names = Names {
        sheet,
        frame,
        spots,
    };
    names.fills(&fills);
    names.tower(&tower);
    names.measured(trace);
}

/// A reading.
pub(super) fn circled_cross(sheet: &mut Sheet, (x, y): (f64, f64)) {
    sheet.circle("ground", (x, y), 5.5);
    sheet.circle("ln", (x, y), 5.5);
    let (left, right, top, bottom) = (at(x - 5.5), at(x + 5.5), at(y - 5.5), at(y + 5.5));
    sheet.line(
        "hairline",
        &format!("M{left} {}H{right}M{} {top}V{bottom}", at(y), at(x)),
    );
}

/// Small boxes along a line, so that no words stand on it.
pub(super) fn block_line(spots: &mut Spots, points: &[(f64, f64)]) {
    for pair in points.windows(2) {
        let [(ax, ay), (bx, by)] = pair else { continue };
        let pieces = ((bx - ax).abs().max((by - ay).abs()) / 6.0)
            .ceil()
            .clamp(1.0, 400.0);
        for i in 0..=pieces as usize {
            let share = i as f64 / pieces;
            let (x, y) = (ax + (bx - ax) * share, ay + (by - ay) * share);
            spots.block(Rect::new(x - 3.0, y - 4.0, 6.0, 8.0));
        }
    }
}

/// One cylinder from the start of its filling to its settled pressure.
pub(super) struct Fill<'a> {
    pub end: &'a CylinderEnd,
    pub from_s: f64,
    /// When filling ends and at which pressure; none where it does not get full.
    ends: Option<(f64, f64)>,
    samples: Vec<(f64, &'a CylinderSample)>,
    /// While it fills, on the sheet.
    pub points: Vec<(f64, f64)>,
}

impl<'a> Fill<'a> {
    fn of(
        forecast: &'a Forecast,
        i: usize,
        end: &'a CylinderEnd,
        frame: &Frame,
    ) -> Option<Fill<'a>> {
        let one = |s: &'a Sample| Some((s.t_s, s.cylinders.get(i)?));
        let finite = |s: &(f64, &CylinderSample)| s.0.is_finite() && s.1.bar.is_finite();
        let samples: Vec<(f64, &CylinderSample)> = forecast
            .samples
            .iter()
            .filter_map(one)
            .filter(finite)
            .collect();
        let from_s = begins_s(forecast, end, &samples)?;
        let ends = ends(forecast, end, &samples);
        let until_s = ends.map_or(frame.end_s, |(t, _)| t);
        let first = (frame.x(from_s), frame.y(end.start_bar));
        let within = samples
            .iter()
            .filter(|(t, _)| *t > from_s && *t < until_s.min(frame.end_s));
        let mut points = vec![first];
        points.extend(within.map(|(t, c)| (frame.x(*t), frame.y(c.bar))));
        points.extend(ends.map(|(t, bar)| (frame.x(t), frame.y(bar))));
        Some(Fill {
            end,
            from_s,
            ends,
            samples,
            points,
        })
    }

    fn band(&self, sheet: &mut Sheet, frame: &Frame) {
        let until = self.ends.map_or(frame.end_s, |(t, _)| t);
        let within: Vec<&(f64, &CylinderSample)> = self
            .samples
            .iter()
            .filter(|(t, c)| {
                *t >= self.from_s
                    && *t <= until
                    && c.band.low.is_finite()
                    && c.band.high.is_finite()
            })
            .collect();
        let edge = |bar: fn(&Band) -> f64| {
            let one = move |(t, c): &&(f64, &CylinderSample)| (frame.x(*t), frame.y(bar(&c.band)));
            within.iter().map(one).collect::<Vec<(f64, f64)>>()
        };
        let mut outline = edge(|band| band.high);
        let mut back = edge(|band| band.low);
        back.reverse();
        outline.extend(back);
        if outline.len() > 3 {
            sheet.shape("band2", &format!("{}Z", through(&outline)));
        }
    }

    /// The thick line, and the dotted fall after it.
    fn curves(&self, sheet: &mut Sheet, frame: &Frame) {
        sheet.line("curve", &through(&self.points));
        if let Some(fall) = self.fall(frame) {
            sheet.line("fall", &through(&fall));
        }
    }

    /// Cooling as far as it is drawn, then down to where it settles.
    pub fn fall(&self, frame: &Frame) -> Option<Vec<(f64, f64)>> {
        let (full, bar) = self.ends?;
        let until = full + COOLING * frame.end_s;
        let cooling = self
            .samples
            .iter()
            .filter(|(t, _)| *t > full && *t <= until);
        let mut points = vec![(frame.x(full), frame.y(bar))];
        points.extend(cooling.map(|(t, c)| (frame.x(*t), frame.y(c.bar))));
        let (settled, _) = settled(self.end);
        let x = frame.x(until);
        let y = points.last().map_or(0.0, |p| p.1);
        points.extend([(x, y), (x, frame.y(settled)), (x + 9.0, frame.y(settled))]);
        Some(points)
    }
}

/// When filling ends: when full, unless nobody shuts the valve and the pressure goes on rising until
/// the machine stops.
fn ends(
    forecast: &Forecast,
    end: &CylinderEnd,
    samples: &[(f64, &CylinderSample)],
) -> Option<(f64, f64)> {
    let full = end.full_s?;
    let over = |(t, c): &(f64, &CylinderSample)| *t > full && c.bar > end.stop_bar + OVER_BAR;
    if !samples.iter().any(over) {
        return Some((full, end.stop_bar));
    }
    let mut stops = forecast.events.iter().filter(|e| e.t_s >= full);
    let stop = stops.find(|e| e.kind == "compressor_stopped" && e.line_bar.is_finite())?;
    Some((stop.t_s, stop.line_bar))
}

/// When a cylinder is opened to the line: the last start of the machine before its pressure moves.
fn begins_s(
    forecast: &Forecast,
    end: &CylinderEnd,
    samples: &[(f64, &CylinderSample)],
) -> Option<f64> {
    let moved = samples
        .iter()
        .find(|(_, c)| (c.bar - end.start_bar).abs() > NOTICED_BAR);
    let moved = moved.map(|(t, _)| *t).or(end.full_s)?;
    let starts = forecast
        .events
        .iter()
        .filter(|e| e.kind == "compressor_started");
    let before = starts.map(|e| e.t_s).filter(|t| *t <= moved);
    Some(before.fold(0.0, f64::max))
}

/// What it settles to at the temperature for which its rating holds, and the band of that.
pub(super) fn settled(end: &CylinderEnd) -> (f64, Band) {
    match end.reference_c > 18.0 {
        true => (end.settled_bar_21c, end.settled_21c),
        false => (end.settled_bar_15c, end.settled_15c),
    }
}

/// From when to when the machine stands still, s.
pub(super) fn off_spells(forecast: &Forecast, end_s: f64) -> Vec<(f64, f64)> {
    let mut spells = Vec::new();
    let mut off: Option<f64> = None;
    for event in &forecast.events {
        match event.kind {
            "compressor_stopped" => off = off.or(Some(event.t_s)),
            "compressor_started" => spells.extend(off.take().map(|from| (from, event.t_s))),
            _ => {}
        }
    }
    spells.extend(off.map(|from| (from, end_s)));
    spells.retain(|(from, to)| to > from && *from < end_s);
    spells
}

/// The tower's line, on the sheet: samples, and what it read at each event.
fn tower(forecast: &Forecast, frame: &Frame) -> Vec<(f64, f64)> {
    let samples = forecast.samples.iter().map(|s| (s.t_s, s.tower_bar));
    let events = forecast.events.iter().map(|e| (e.t_s, e.tower_bar));
    let mut all: Vec<(f64, f64)> = samples
        .chain(events)
        .filter(|(t, bar)| t.is_finite() && bar.is_finite() && *t <= frame.end_s)
        .collect();
    all.sort_by(|a, b| a.0.total_cmp(&b.0));
    all.iter()
        .map(|(t, bar)| (frame.x(*t), frame.y(*bar)))
        .collect()
}
