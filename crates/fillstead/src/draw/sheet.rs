//! The sheet a drawing is put on: elements as SVG text, and where every text stands.

use std::fmt::{Arguments, Write as _};

use super::place::Rect;
use super::text::{Pen, Words};

/// Radius of a balloon.
pub(super) const BALLOON: f64 = 9.5;

/// Which point of the words is given.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Anchor {
    Start,
    Middle,
    End,
}

/// Elements so far.
#[derive(Debug, Default)]
pub(super) struct Sheet {
    pub out: String,
    pub labels: Vec<Rect>,
}

/// A coordinate as text: a tenth of a px is fine enough, and it is always a number.
pub(super) fn at(number: f64) -> String {
    if !number.is_finite() {
        return "0".to_owned();
    }
    let text = format!("{number:.1}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0" } else { text }.to_owned()
}

/// A path through these points.
pub(super) fn through(points: &[(f64, f64)]) -> String {
    let mut d = String::new();
    for (i, (x, y)) in points.iter().enumerate() {
        let _ = write!(d, "{}{} {}", if i == 0 { 'M' } else { 'L' }, at(*x), at(*y));
    }
    d
}

impl Sheet {
    fn put(&mut self, element: Arguments) {
        // writing to a String cannot fail
        let _ = self.out.write_fmt(element);
        self.out.push('\n');
    }

    /// A line of the drawing, with these classes beside its own.
    pub fn line(&mut self, class: &str, d: &str) {
        if !d.is_empty() {
            self.put(format_args!("<path class=\"ln {class}\" d=\"{d}\"/>"));
        }
    }

    /// A straight line.
    pub fn straight(&mut self, class: &str, from: (f64, f64), to: (f64, f64)) {
        self.line(class, &through(&[from, to]));
    }

    /// A filled shape.
    pub fn shape(&mut self, class: &str, d: &str) {
        self.put(format_args!("<path class=\"{class}\" d=\"{d}\"/>"));
    }

    /// A shape filled with a pattern of the symbols.
    pub fn textured(&mut self, pattern: &str, d: &str) {
        self.put(format_args!("<path fill=\"url(#{pattern})\" d=\"{d}\"/>"));
    }

    /// A filled rectangle.
    pub fn rect(&mut self, class: &str, rect: Rect) {
        self.shape(class, &outline(rect));
    }

    /// A rectangle filled with a pattern.
    pub fn texture(&mut self, pattern: &str, rect: Rect) {
        self.textured(pattern, &outline(rect));
    }

    /// The outline of a rectangle.
    pub fn frame(&mut self, class: &str, rect: Rect) {
        self.line(class, &outline(rect));
    }

    pub fn circle(&mut self, class: &str, (x, y): (f64, f64), r: f64) {
        let (x, y, r) = (at(x), at(y), at(r));
        self.put(format_args!(
            "<circle class=\"{class}\" cx=\"{x}\" cy=\"{y}\" r=\"{r}\"/>"
        ));
    }

    /// A symbol in this rectangle.
    pub fn symbol(&mut self, id: &str, rect: Rect) {
        self.turned(id, rect, 0.0);
    }

    /// A symbol turned clockwise about its middle, degrees.
    pub fn turned(&mut self, id: &str, rect: Rect, degrees: f64) {
        let (x, y, w, h) = (at(rect.x), at(rect.y), at(rect.w), at(rect.h));
        let turn = match degrees {
            0.0 => String::new(),
            _ => {
                let (cx, cy) = (rect.x + 0.5 * rect.w, rect.y + 0.5 * rect.h);
                format!(
                    " transform=\"rotate({} {} {})\"",
                    at(degrees),
                    at(cx),
                    at(cy)
                )
            }
        };
        self.put(format_args!(
            "<use href=\"#{id}\" x=\"{x}\" y=\"{y}\" width=\"{w}\" height=\"{h}\"{turn}/>"
        ));
    }

    /// The number of a part in its circle; counted among the texts.
    pub fn balloon(&mut self, number: u8, (x, y): (f64, f64)) {
        self.labels.push(balloon_at((x, y)));
        let (cx, cy, base) = (at(x), at(y), at(y + 3.9));
        self.put(format_args!(
            "<g class=\"bl\"><circle cx=\"{cx}\" cy=\"{cy}\" r=\"{BALLOON}\"/>\
             <text x=\"{cx}\" y=\"{base}\">{number}</text></g>"
        ));
    }

    /// Words on this base line.
    pub fn write(&mut self, words: &Words, (x, y): (f64, f64), anchor: Anchor) {
        let text = words.markup();
        if text.trim().is_empty() {
            return;
        }
        self.labels.push(box_of(words, (x, y), anchor));
        let mut class = match &words.runs[..] {
            [(pen, _)] => pen.class().to_owned(),
            _ => String::new(),
        };
        for more in [words.class, anchor.class()] {
            if !more.is_empty() {
                class = format!("{class} {more}");
            }
        }
        let (x, y) = (at(x), at(y));
        self.put(format_args!(
            "<text class=\"{}\" x=\"{x}\" y=\"{y}\">{text}</text>",
            class.trim()
        ));
    }

    /// Words of one pen on this base line.
    pub fn say(&mut self, pen: Pen, text: impl Into<String>, place: (f64, f64), anchor: Anchor) {
        self.write(&Words::new(pen, text), place, anchor);
    }
}

impl Anchor {
    fn class(self) -> &'static str {
        match self {
            Anchor::Start => "",
            Anchor::Middle => "c",
            Anchor::End => "e",
        }
    }
}

fn outline(rect: Rect) -> String {
    let (x, y, w, h) = (at(rect.x), at(rect.y), at(rect.w), at(rect.h));
    format!("M{x} {y}h{w}v{h}h-{w}Z")
}

/// The box of a balloon.
pub(super) fn balloon_at((x, y): (f64, f64)) -> Rect {
    let d = 2.0 * BALLOON;
    Rect::new(x - BALLOON, y - BALLOON, d, d)
}

/// The box of words whose base line is there.
pub(super) fn box_of(words: &Words, (x, y): (f64, f64), anchor: Anchor) -> Rect {
    let (w, h) = (words.width(), words.height() - 3.0);
    let left = match anchor {
        Anchor::Start => x,
        Anchor::Middle => x - 0.5 * w,
        Anchor::End => x - w,
    };
    Rect::new(left, y - 0.78 * h, w, h)
}
