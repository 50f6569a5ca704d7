//! A setting against its tolerance, in a strip: grey is the tolerance, whiskers hold the true value
//! nine times in ten.
//!
//! Start at [`strip`]. Not here: what it means ([`insight::diagnose`], [`insight::drift`]).

use super::Drawing;
use super::place::Rect;
use super::sheet::{Anchor, Sheet, at};
use super::text::{Pen, fitted};

/// A setting as found; all figures in one unit.
#[derive(Debug, Clone, PartialEq)]
pub struct Against {
    /// What it is called.
    pub called: String,
    /// What is specified.
    pub specified: f64,
    /// Tolerance about it.
    pub tolerance: f64,
    /// The ends and the middle of what was found; none where it was not reached.
    pub found: Option<(f64, f64, f64)>,
    /// Whether it is out of tolerance.
    pub out: bool,
    /// The figures in words.
    pub words: String,
}

const WIDTH: f64 = 300.0;
const HEIGHT: f64 = 34.0;
const FREE: f64 = 10.0;

/// The strip.
pub fn strip(of: &Against) -> Drawing {
    let mut sheet = Sheet::default();
    let reach = reach(of);
    let (middle, half) = (0.5 * WIDTH, 0.5 * WIDTH - FREE);
    let x = |value: f64| middle + half * ((value - of.specified) / reach).clamp(-1.0, 1.0);
    let y = 0.5 * HEIGHT;
    let (left, right) = (
        x(of.specified - of.tolerance),
        x(of.specified + of.tolerance),
    );
    sheet.straight("decor", (FREE, y), (WIDTH - FREE, y));
    sheet.rect(
        "band2",
        Rect::new(left, y - 9.0, (right - left).max(1.0), 18.0),
    );
    sheet.straight("m", (middle, y - 12.0), (middle, y + 12.0));
    match of.found {
        Some((low, found, high)) => {
            let pen = if of.out { "m warn" } else { "m" };
            let (from, to) = (x(low), x(high));
            let end = |x: f64| format!("M{} {}v12", at(x), at(y - 6.0));
            sheet.line(
                pen,
                &format!("M{} {}H{}{}{}", at(from), at(y), at(to), end(from), end(to)),
            );
            let fill = if of.out { "yellow-fill" } else { "solid" };
            sheet.circle(fill, (x(found), y), 5.5);
            sheet.circle("ln", (x(found), y), 5.5);
        }
        None => {
            let room = WIDTH - right - 8.0;
            let words = fitted(Pen::Note, "not reached", room);
            sheet.say(Pen::Note, words, (right + 8.0, y + 4.0), Anchor::Start);
        }
    }
    Drawing::new(
        format!("{} against its tolerance", of.called),
        of.words.as_str(),
        (WIDTH, HEIGHT),
        sheet,
    )
}

/// From the middle to the ends: what was found has room, and the tolerance is never a hair.
fn reach(of: &Against) -> f64 {
    let off = |value: f64| (value - of.specified).abs();
    let found = of
        .found
        .map_or(0.0, |(low, _, high)| off(low).max(off(high)));
    let widest = (1.1 * found).min(12.0 * of.tolerance.max(1e-9));
    let reach = widest.max(3.0 * of.tolerance);
    match reach.is_finite() && reach > 0.0 {
        true => reach,
        false => 1.0,
    }
}
