//! Names beside the curves of a trace, where there is room for them.
//!
//! What finds none is left out: the table has it.

use super::super::place::{Rect, Spots};
use super::super::sheet::{Anchor, Sheet};
use super::super::text::{Pen, Words, fitted};
use super::Trace;
use super::curves::{Fill, settled};
use super::frame::Frame;

/// Where names are put, and what is taken there.
pub(super) struct Names<'a> {
    pub sheet: &'a mut Sheet,
    pub frame: &'a Frame,
    pub spots: Spots,
}

impl Names<'_> {
    /// Cylinders with what they settle to; those filled together share a name.
    pub fn fills(&mut self, fills: &[Fill]) {
        let same = |a: &Fill, b: &Fill| (a.from_s - b.from_s).abs() < 1.0;
        for together in fills.chunk_by(same) {
            let ids: Vec<&str> = together.iter().map(|f| f.end.id.as_str()).collect();
            let name = fitted(Pen::Value, &ids.join(", "), 150.0);
            let name = Words::new(Pen::Value, name);
            if let Some(fill) = together.first() {
                let one = std::slice::from_ref(&name);
                let beside = self.put(one, middle(&fill.points), &RIGHT_BELOW, NAME_RINGS);
                if beside.is_none() {
                    self.at_the_foot(&name, fill);
                }
            }
            let fall = together.iter().find_map(|f| f.fall(self.frame));
            if let Some([.., end]) = fall.as_deref() {
                for band in [true, false] {
                    let words = settled_words(together, self.frame, band);
                    if self.put(&words, *end, &SETTLED, RINGS).is_some() {
                        break;
                    }
                }
            }
        }
    }

    /// The tower's line, near its start.
    pub fn tower(&mut self, line: &[(f64, f64)]) {
        let Some(start) = line.first() else { return };
        let near = line.iter().find(|p| p.0 > start.0 + 24.0).unwrap_or(start);
        self.put(&[Words::new(Pen::Note, "tower")], *near, &ABOVE, NAME_RINGS);
    }

    /// The measured line, at its end.
    pub fn measured(&mut self, trace: &Trace) {
        if let Some(end) = trace.measured.last() {
            let end = (self.frame.x(end.t_s), self.frame.y(end.bar));
            self.put(
                &[Words::new(Pen::Note, "measured")],
                end,
                &RIGHT_BELOW,
                NAME_RINGS,
            );
        }
    }

    /// Below the curve, at the foot of the plot.
    fn at_the_foot(&mut self, name: &Words, fill: &Fill) {
        let (Some(first), Some(last)) = (fill.points.first(), fill.points.last()) else {
            return;
        };
        let (w, h) = (name.width(), name.height());
        let (left, right) = (first.0 + 4.0, last.0 - w - 4.0);
        let y = self.frame.bottom - h - 3.0;
        let places = [0.5, 0.25, 0.75, 0.0, 1.0].map(|share| left + share * (right - left));
        let places = places.map(|x| Rect::new(x, y, w, h));
        if let Some(place) = self.spots.first_free(places) {
            let base = (place.x, place.y + 0.78 * h);
            self.sheet
                .write(&name.clone().class("halo"), base, Anchor::Start);
        }
    }

    /// Lines of words at the nearest free place; left out where there is none: the table has them.
    fn put(
        &mut self,
        lines: &[Words],
        near: (f64, f64),
        ways: &[(f64, f64)],
        rings: u8,
    ) -> Option<Rect> {
        let frame = self.frame;
        let w = lines.iter().map(Words::width).fold(0.0, f64::max);
        let h: f64 = lines.iter().map(Words::height).sum();
        let (width, _) = frame.size();
        let tries = (0..rings).flat_map(|ring| {
            let far = 4.0 + 9.0 * f64::from(ring);
            ways.iter().map(move |(dx, dy)| {
                let (x, y) = (
                    near.0 + dx * w + far * dx.signum(),
                    near.1 + dy * h + far * dy.signum(),
                );
                Rect::new(x, y, w, h)
            })
        });
        let inside = |r: &Rect| {
            r.x > frame.left + 4.0
                && r.x + r.w < width
                && r.y > frame.top
                && r.y + r.h < frame.bottom - 2.0
        };
        let place = self.spots.first_free(tries.filter(inside))?;
        let mut y = place.y;
        for line in lines {
            let base = (place.x, y + 0.78 * (line.height() - 3.0) + 1.0);
            self.sheet
                .write(&line.clone().class("halo"), base, Anchor::Start);
            y += line.height();
        }
        Some(place)
    }
}

/// What those filled together settle to; a line each, three at most.
fn settled_words(together: &[Fill], frame: &Frame, with_band: bool) -> Vec<Words> {
    let warm = together.first().map_or(15.0, |fill| fill.end.reference_c);
    let at = format!("settles, {}", frame.figures.temperature(warm));
    let mut lines = vec![Words::new(Pen::Note, at)];
    let full: Vec<&Fill> = together.iter().filter(|f| f.end.full_s.is_some()).collect();
    for fill in full.iter().take(3) {
        let (settled, band) = settled(fill.end);
        let value = match with_band {
            true => frame.figures.give_or_take(settled, band.low, band.high),
            false => frame.figures.read(settled),
        };
        lines.push(match together {
            [_] => Words::new(Pen::Value, value),
            _ => {
                Words::new(Pen::Note, fitted(Pen::Note, &fill.end.id, 40.0)).then(Pen::Value, value)
            }
        });
    }
    lines
}

fn middle(points: &[(f64, f64)]) -> (f64, f64) {
    points.get(points.len() / 2).copied().unwrap_or_default()
}

/// How far from its curve a name may stand, in steps, and words that need no nearness.
const NAME_RINGS: u8 = 4;
const RINGS: u8 = 9;
/// Directions in which room is looked for: of the words' left upper corner, in their own sizes.
const RIGHT_BELOW: [(f64, f64); 5] = [
    (0.15, 0.6),
    (0.0, 1.0),
    (-1.1, -1.4),
    (-1.0, -2.2),
    (0.3, 0.2),
];
const ABOVE: [(f64, f64); 4] = [(0.0, -1.4), (-0.5, -1.6), (0.1, 0.4), (-0.5, 1.0)];
const SETTLED: [(f64, f64); 5] = [
    (0.0, -0.3),
    (0.0, 0.1),
    (-1.0, 0.3),
    (-0.5, 0.5),
    (-1.0, 0.0),
];
