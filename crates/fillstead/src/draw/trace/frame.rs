//! Where times and pressures stand on the sheet.

use insight::ladder::Ladder;

use super::super::figures::Figures;
use super::super::place::Rect;
use super::flags::{self, Flag};
use super::{Medium, Trace};

/// Right of the plot: words at the last flag, and what the last cylinder settles to.
const RIGHT: f64 = 124.0;
/// Shortest run drawn, s.
const LEAST_S: f64 = 60.0;

/// The plot's field and its scales.
pub(super) struct Frame {
    pub left: f64,
    pub right: f64,
    pub top: f64,
    pub bottom: f64,
    /// Time at the right end, s.
    pub end_s: f64,
    /// Pressure at the upper end, bar.
    pub top_bar: f64,
    pub medium: Medium,
    pub figures: Figures,
}

impl Frame {
    pub fn of(trace: &Trace, medium: Medium, flags: &[Flag]) -> Frame {
        let (left, width, height) = match medium {
            Medium::Screen => (190.0, 900.0, 340.0),
            Medium::Print => (178.0, 718.0, 216.0),
        };
        let mut frame = Frame {
            left,
            right: width - RIGHT,
            top: 0.0,
            bottom: 0.0,
            end_s: end_s(trace),
            top_bar: top_bar(trace),
            medium,
            figures: Figures { units: trace.units },
        };
        frame.top = flags::height(&frame, flags) + 14.0;
        frame.bottom = frame.top + height;
        frame
    }

    pub fn x(&self, t_s: f64) -> f64 {
        let share = (t_s / self.end_s).clamp(0.0, 1.0);
        self.left + (self.right - self.left) * share
    }

    pub fn y(&self, bar: f64) -> f64 {
        let share = (bar / self.top_bar).clamp(0.0, 1.0);
        self.bottom - (self.bottom - self.top) * share
    }

    /// The field of the plot.
    pub fn field(&self) -> Rect {
        let (w, h) = (self.right - self.left, self.bottom - self.top);
        Rect::new(self.left, self.top, w, h)
    }

    /// The whole drawing.
    pub fn size(&self) -> (f64, f64) {
        (self.right + RIGHT, self.bottom + 40.0)
    }
}

/// A little after the last thing that happens to a running or venting machine.
fn end_s(trace: &Trace) -> f64 {
    let forecast = trace.forecast;
    let events = forecast.events.iter().filter(|e| e.kind != "cooled");
    let events = events
        .filter(|e| !e.kind.starts_with("bleed"))
        .filter(|e| !e.kind.starts_with("pmv_"))
        .map(|e| e.t_s);
    let running = forecast.samples.iter().filter(|s| s.running).map(|s| s.t_s);
    let given = trace.readings.iter().chain(trace.measured).map(|p| p.t_s);
    let all = events.chain(running).chain(given);
    let last = all.filter(|t| t.is_finite()).fold(0.0, f64::max);
    (last * 1.06).max(LEAST_S)
}

/// The ladder's end, or what is reached beyond it.
fn top_bar(trace: &Trace) -> f64 {
    let Ladder { top_bar, .. } = trace.ladder;
    let samples = trace.forecast.samples.iter();
    let towers = samples.clone().map(|s| s.tower_bar.max(s.tower.high));
    let cylinders = samples.flat_map(|s| &s.cylinders).map(|c| c.band.high);
    let given = trace.readings.iter().chain(trace.measured).map(|p| p.bar);
    let reached = towers.chain(cylinders).chain(given);
    let reached = reached.filter(|bar| bar.is_finite()).fold(1.0, f64::max);
    top_bar.max(reached * 1.03)
}
