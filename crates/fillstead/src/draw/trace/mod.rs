//! A forecast unrolled along time over the pressure ladder; readings may be plotted over it.
//!
//! Start at [`draw`]. Thick: what a gauge on a cylinder reads; thin: the tower; grey: where 90 % of
//! runs lie; hatched: the machine is off; dotted: after filling, down to the settled pressure.
//! Not here: what is read off it.

mod axis;
mod curves;
pub mod fitted;
mod flags;
mod frame;
mod names;

use insight::forecast::answer::Forecast;
use insight::ladder::Ladder;
use quantity::UnitSystem;

use super::Drawing;
use super::figures::{Figures, time};
use super::sheet::Sheet;
use frame::Frame;

/// What a trace shows.
#[derive(Debug, Clone, Copy)]
pub struct Trace<'a> {
    /// The run forecast.
    pub forecast: &'a Forecast,
    /// The station's pressures, for the scale.
    pub ladder: &'a Ladder,
    /// Units of the figures.
    pub units: UnitSystem,
    /// Single readings to plot over it, as circled crosses.
    pub readings: &'a [Point],
    /// A second, measured line, dashed.
    pub measured: &'a [Point],
}

/// A pressure at a time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// Since the start, s.
    pub t_s: f64,
    /// Gauge, bar.
    pub bar: f64,
}

/// What it is drawn for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Medium {
    /// A screen, 900 px wide.
    Screen,
    /// A4 paper, with a grid to plot readings by hand.
    Print,
}

/// The trace of a run.
pub fn draw(trace: &Trace, medium: Medium) -> Drawing {
    let flags = flags::of(trace.forecast);
    let frame = Frame::of(trace, medium, &flags);
    let mut sheet = Sheet::default();
    axis::ground(&mut sheet, trace, &frame);
    axis::ladder(&mut sheet, trace, &frame);
    curves::draw(&mut sheet, trace, &frame);
    axis::times(&mut sheet, &frame);
    flags::draw(&mut sheet, &frame, &flags);
    let title = format!("Pressures of a run forecast for {}", trace.forecast.station);
    Drawing::new(title, described(trace), frame.size(), sheet)
}

/// Where times stand in a drawing, for reading values off it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scale {
    /// Left end of the plot, in the drawing's units.
    pub left: f64,
    /// Its right end.
    pub right: f64,
    /// Its upper end.
    pub top: f64,
    /// Its lower end.
    pub bottom: f64,
    /// Time at the right end, s.
    pub end_s: f64,
}

/// The scale of the drawing of this trace.
pub fn scale(trace: &Trace, medium: Medium) -> Scale {
    let frame = Frame::of(trace, medium, &flags::of(trace.forecast));
    Scale {
        left: frame.left,
        right: frame.right,
        top: frame.top,
        bottom: frame.bottom,
        end_s: frame.end_s,
    }
}

/// Everything the drawing says, in sentences.
fn described(trace: &Trace) -> String {
    let figures = Figures { units: trace.units };
    let unit = figures.unit();
    let one = |c: &insight::forecast::answer::CylinderEnd| {
        let from = figures.read(c.start_bar);
        let (settled, band) = curves::settled(c);
        let settled = figures.give_or_take(settled, band.low, band.high);
        let end = match c.full_s {
            Some(t) => format!("{} {unit} after {}", figures.read(c.stop_bar), time(t)),
            None => "not full in this run".to_owned(),
        };
        format!(
            "{}: from {from} {unit}, {end}, settles to {settled} {unit}",
            c.id
        )
    };
    let mut said: Vec<String> = trace.forecast.cylinders.iter().map(one).collect();
    let events = flags::of(trace.forecast);
    let event = |f: &flags::Flag| format!("{} {}", time(f.t_s), f.words);
    let events: Vec<String> = events.iter().map(event).collect();
    if !events.is_empty() {
        said.push(format!("Events: {}", events.join("; ")));
    }
    if trace.forecast.invented {
        said.push("Invented demonstration data".to_owned());
    }
    format!("{}. Grey bands hold 90 % of runs.", said.join(". "))
}
