//! The dial of a pressure gauge: three quarters of a circle, a needle, the figure beneath.
//!
//! Start at [`draw`]. Not here: what the gauge reads.

use std::f64::consts::PI;

use quantity::UnitSystem;

use super::Drawing;
use super::figures::Figures;
use super::sheet::{Anchor, Sheet, at, box_of};
use super::text::{Pen, Words};

/// Width and height of its field.
const SIZE: f64 = 148.0;
/// Middle, and radius of the rim.
const MIDDLE: f64 = 74.0;
const RIM: f64 = 70.0;
/// Where the scale begins and how far it goes, of a whole turn, clockwise from straight down.
const FROM: f64 = 0.125;
const SWEEP: f64 = 0.75;

/// What a dial shows.
#[derive(Debug, Clone, PartialEq)]
pub struct Dial<'a> {
    /// What the gauge is called.
    pub name: &'a str,
    /// What it shows, gauge bar.
    pub bar: f64,
    /// Full scale, bar.
    pub span_bar: f64,
    /// The thick arc, bar: from working pressure to where the relief valve lifts.
    pub arc: Option<(f64, f64)>,
}

/// The dial.
pub fn draw(dial: &Dial, units: UnitSystem) -> Drawing {
    let figures = Figures { units };
    let mut sheet = Sheet::default();
    sheet.circle("ln m", (MIDDLE, MIDDLE), RIM);
    // the reading keeps its room, whatever it is
    let widest = Words::new(Pen::Big, figures.read(dial.span_bar));
    let mut taken = vec![box_of(&widest, (MIDDLE, 119.0), Anchor::Middle).grown(1.0)];
    let long = figures.dial_step(dial.span_bar);
    let mut number = 0.0;
    let span = figures.value(dial.span_bar);
    while number <= span * 1.0001 {
        mark(&mut sheet, number / span, 10.0, "m");
        let words = Words::new(Pen::Note, format!("{number:.0}"));
        let (x, y) = point(number / span, RIM - 23.0);
        let here = box_of(&words, (x, y + 4.0), Anchor::Middle);
        if !taken.iter().any(|there| there.meets(&here)) {
            taken.push(here);
            sheet.write(&words, (x, y + 4.0), Anchor::Middle);
        }
        for i in 1..5 {
            let between = (number + long * f64::from(i) / 5.0) / span;
            if between <= 1.0 {
                mark(&mut sheet, between, 5.0, "hairline");
            }
        }
        number += long;
    }
    if let Some((low, high)) = dial.arc.filter(|(_, high)| *high <= dial.span_bar) {
        sheet.line("x", &arc(low / dial.span_bar, high / dial.span_bar));
    }
    let share = (dial.bar / dial.span_bar).clamp(0.0, 1.0);
    let (tip, tail) = (point(share, RIM - 16.0), point(share, -14.0));
    sheet.straight("t", tail, tip);
    sheet.circle("solid", (MIDDLE, MIDDLE), 5.0);
    let shown = figures.read(dial.bar);
    sheet.say(Pen::Big, shown.clone(), (MIDDLE, 119.0), Anchor::Middle);
    sheet.say(Pen::Note, figures.unit(), (MIDDLE, 134.0), Anchor::Middle);
    let said = format!("{}: {shown} {}", dial.name, figures.unit());
    Drawing::new(dial.name.to_owned(), said, (SIZE, SIZE), sheet)
}

/// A point at a share of the scale, so far from the middle.
fn point(share: f64, r: f64) -> (f64, f64) {
    let angle = 2.0 * PI * (FROM + SWEEP * share);
    (MIDDLE - r * angle.sin(), MIDDLE + r * angle.cos())
}

fn mark(sheet: &mut Sheet, share: f64, long: f64, pen: &str) {
    sheet.straight(pen, point(share, RIM - 4.0), point(share, RIM - 4.0 - long));
}

/// The arc just inside the rim between two shares of the scale.
fn arc(from: f64, to: f64) -> String {
    let r = RIM - 3.0;
    let ((ax, ay), (bx, by)) = (point(from, r), point(to, r));
    let wide = i32::from((to - from) * SWEEP > 0.5);
    let (ax, ay, bx, by) = (at(ax), at(ay), at(bx), at(by));
    format!("M{ax} {ay}A{} {} 0 {wide} 1 {bx} {by}", at(r), at(r))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The needle's end: half the scale is straight up, none is down to the left.
    #[test]
    fn the_scale_goes_round_from_lower_left() {
        let (x, y) = point(0.5, 50.0);
        assert!((x - MIDDLE).abs() < 1e-9 && (y - 24.0).abs() < 1e-9);
        let (x, y) = point(0.0, 50.0);
        assert!(x < MIDDLE && y > MIDDLE && (MIDDLE - x - (y - MIDDLE)).abs() < 1e-9);
        let (x, _) = point(1.0, 50.0);
        assert!(x > MIDDLE);
    }

    #[test]
    fn a_dial_says_what_it_shows() {
        let dial = Dial {
            name: "tower <a>",
            bar: 128.4,
            span_bar: 400.0,
            arc: Some((232.0, 255.0)),
        };
        let drawn = draw(&dial, UnitSystem::Metric).svg();
        assert!(
            drawn.contains("tower &#60;a&#62;: 128 bar")
                || drawn.contains("tower &lt;a&gt;: 128 bar"),
            "{drawn}"
        );
        let us = draw(&dial, UnitSystem::Us).svg();
        assert!(us.contains("1860 psi"), "{us}");
    }
}
