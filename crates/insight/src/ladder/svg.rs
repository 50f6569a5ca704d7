//! The ladder as a drawing that stands alone: one SVG text with its own styles.
//!
//! Ink on grey; hatching, not colour, carries the meaning, so that it prints in
//! black and white. Every drawing has a title and a description in words.

use super::label::{Label, clean, label, sentences, step_bar};
use super::spread::spread;
use super::{Ladder, Margin, Overlap, Rung, RungKind, Say};
use quantity::UnitSystem;
use std::fmt::Write as _;

/// Width of the drawing.
const WIDTH: f64 = 500.0;
/// Room above and below the scale.
const TOP: f64 = 56.0;
const BOTTOM: f64 = 28.0;
/// Least height of the scale.
const SCALE: f64 = 640.0;
/// Distance between labels.
const GAP: f64 = 37.0;
/// Distance of the words left of the scale.
const LEFT_GAP: f64 = 29.0;
/// The left rail and the distance of the rails.
const RAIL: f64 = 172.0;
const RAILS: f64 = 28.0;
/// Where labels begin.
const LABEL: f64 = RAIL + RAILS + 40.0;
/// Line of dimensions, and where their words end.
const DIMENSION: f64 = RAIL - 50.0;
const LEFT: f64 = DIMENSION - 18.0;

const STYLE: &str = "\
svg{background:#F3F4F1}
text{font-family:'Encode Sans','Segoe UI',Roboto,'Noto Sans','Liberation Sans',Arial,sans-serif;\
font-variant-numeric:tabular-nums;fill:#162025}
.h{font-size:17px;font-weight:600}.f{font-size:17px;font-weight:600}.w{font-size:12px;fill:#414D53}
.s{font-size:12px;fill:#5D686D}.e{text-anchor:end}.m{text-anchor:middle}
.l{fill:none;stroke:#162025;stroke-width:1}.r{stroke-width:2.5}.x{stroke-width:5}.d{stroke-width:.75}
.b{fill:#DADEDC}.t{fill:#C2C9C8}.k{fill:#162025}.bad{fill:#B3211F}.badline{stroke:#B3211F;stroke-width:1.4}
@media print{svg{background:#fff}.b{fill:#eee}.t{fill:#ccc}.w,.s{fill:#000}}";

const HATCH: &str = "<pattern id=\"hatch\" width=\"7\" height=\"7\" patternUnits=\"userSpaceOnUse\" \
patternTransform=\"rotate(45)\"><rect width=\"7\" height=\"7\" fill=\"#fff\"/>\
<rect width=\"2.4\" height=\"7\" fill=\"#B3211F\"/></pattern>";

/// Something labelled right of the scale.
struct Beside {
    bar: f64,
    /// The pen of its rung; none for the marker of the tower's pressure.
    pen: Option<&'static str>,
    /// How far the rung sticks out of the rails.
    out: f64,
    label: Label,
    balloon: Option<u8>,
}

/// What the parts of the drawing share.
struct Sheet<'l> {
    ladder: &'l Ladder,
    say: Say,
    scale: f64,
    out: String,
}

/// The ladder as a standalone SVG.
pub fn svg(ladder: &Ladder, units: UnitSystem) -> String {
    drawn(ladder, units, true)
}

/// The ladder for a page that brings the styles of its classes under `.ladder`, and that has the
/// heading itself.
pub fn inline(ladder: &Ladder, units: UnitSystem) -> String {
    drawn(ladder, units, false)
}

fn drawn(ladder: &Ladder, units: UnitSystem, alone: bool) -> String {
    let labels = ladder.rungs.len() as f64 + 1.0;
    let mut sheet = Sheet {
        ladder,
        say: Say { units },
        scale: SCALE.max((labels + 1.0) * GAP),
        out: String::new(),
    };
    match alone {
        true => sheet.heading(),
        false => sheet.opening(),
    }
    sheet.bands();
    sheet.rails();
    sheet.rungs();
    sheet.dimensions();
    sheet.out.push_str("</svg>\n");
    sheet.out
}

impl Sheet<'_> {
    /// Height on the sheet of a pressure.
    fn y(&self, bar: f64) -> f64 {
        TOP + self.scale * (1.0 - (bar / self.ladder.top_bar).clamp(0.0, 1.0))
    }

    fn put(&mut self, element: std::fmt::Arguments) {
        // writing to a String cannot fail
        let _ = self.out.write_fmt(element);
        self.out.push('\n');
    }

    fn path(&mut self, class: &str, d: &str) {
        self.put(format_args!("<path class=\"l {class}\" d=\"{d}\"/>"));
    }

    fn words(&mut self, class: &str, x: f64, y: f64, text: &str) {
        let text = escaped(text);
        self.put(format_args!(
            "<text class=\"{class}\" x=\"{x:.1}\" y=\"{y:.1}\">{text}</text>"
        ));
    }

    /// A filled stretch between the rails.
    fn stretch(&mut self, fill: &str, low_bar: f64, high_bar: f64) {
        let (y, height) = (self.y(high_bar), self.y(low_bar) - self.y(high_bar));
        self.put(format_args!(
            "<rect {fill} x=\"{RAIL}\" y=\"{y:.1}\" width=\"{RAILS}\" height=\"{height:.1}\"/>"
        ));
    }

    /// The begin without styles and heading.
    fn opening(&mut self) {
        let (top, height) = (TOP - 12.0, 12.0 + self.scale + BOTTOM);
        let title = escaped(&clean(&self.ladder.station));
        let described = escaped(&self.described());
        self.put(format_args!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"ladder\" viewBox=\"0 {top} {WIDTH} {height}\" \
             width=\"{WIDTH}\" height=\"{height}\" role=\"img\">\n\
             <title>Pressure ladder of {title}</title>\n<desc>{described}</desc>\n<defs>{HATCH}</defs>"
        ));
    }

    fn heading(&mut self) {
        let height = TOP + self.scale + BOTTOM;
        let station = clean(&self.ladder.station);
        let (title, unit) = (escaped(&station), self.say.unit());
        let described = escaped(&self.described());
        self.put(format_args!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {WIDTH} {height}\" \
             width=\"{WIDTH}\" height=\"{height}\" role=\"img\" aria-labelledby=\"t d\">\n\
             <title id=\"t\">Pressure ladder of {title}</title>\n<desc id=\"d\">{described}</desc>\n\
             <style>{STYLE}</style>\n<defs>{HATCH}</defs>"
        ));
        self.path("r", &format!("M16 8H{}", WIDTH - 16.0));
        self.words("h", 16.0, 28.0, "Pressure ladder");
        self.words("s", 16.0, 44.0, &shortened(&station, 40));
        let unit = format!("{unit} gauge");
        self.words("s e", WIDTH - 16.0, 28.0, &unit);
    }

    /// Everything the drawing says, in words.
    fn described(&self) -> String {
        let rung = |rung: &Rung| {
            let label = label(rung, self.say);
            let unit = self.say.unit();
            let number = rung.part.balloon.map(|n| format!(" (part {n})"));
            format!(
                "{} {unit}: {}{}",
                label.figure,
                label.words,
                number.unwrap_or_default()
            )
        };
        let rungs = self.ladder.rungs.iter().map(rung);
        let all: Vec<String> = rungs.chain(sentences(self.ladder, self.say)).collect();
        format!("From low to high. {}.", all.join(". "))
    }

    fn bands(&mut self) {
        let rung = |kind| self.ladder.rung(kind).map(|r| r.bar);
        let pmv = (rung(RungKind::PmvCloses), rung(RungKind::PmvOpens));
        if let (Some(low), Some(high)) = pmv {
            self.stretch("class=\"b\"", low, high.max(low));
        }
        for rung in self.ladder.rungs.iter().filter(|r| r.high_bar > r.low_bar) {
            self.stretch("class=\"t\"", rung.low_bar, rung.high_bar);
        }
        for Overlap {
            low_bar, high_bar, ..
        } in &self.ladder.overlaps
        {
            self.stretch(
                "fill=\"url(#hatch)\" stroke=\"#B3211F\"",
                *low_bar,
                *high_bar,
            );
        }
    }

    fn rails(&mut self) {
        let (bottom, top, right) = (self.y(0.0), TOP - 6.0, RAIL + RAILS);
        self.path(
            "r",
            &format!("M{RAIL} {bottom}V{top}M{right} {bottom}V{top}"),
        );
        self.path("r", &format!("M{} {bottom}H{}", RAIL - 8.0, right + 8.0));
        let step = step_bar(self.ladder, self.say);
        let ticks = (0..9).map(|i| f64::from(i) * step);
        for bar in ticks.filter(|bar| *bar <= self.ladder.top_bar) {
            let y = self.y(bar);
            self.path("d", &format!("M{RAIL} {y:.1}h9"));
            let number = format!("{:.0}", self.say.value(bar));
            self.words("s e", RAIL - 8.0, y + 4.0, &number);
        }
    }

    /// Rungs, the tower's pressure now, and the words for both right of the scale.
    fn rungs(&mut self) {
        let beside = self.beside();
        let wanted: Vec<f64> = beside.iter().map(|b| self.y(b.bar)).collect();
        let (low, high) = (TOP + 6.0, TOP + self.scale - 6.0);
        let placed = spread(&wanted, GAP, low, high);
        for ((beside, y), at) in beside.iter().zip(&wanted).zip(&placed) {
            let right = RAIL + RAILS + beside.out;
            match beside.pen {
                Some(class) => self.path(class, &format!("M{} {y:.1}H{right}", RAIL - beside.out)),
                None => {
                    let x = RAIL + RAILS;
                    self.put(format_args!(
                        "<path d=\"M{x} {y:.1}l11 -6v12Z\" class=\"k\"/>"
                    ));
                }
            }
            let (turn, end) = (RAIL + RAILS + 12.0, LABEL - 6.0);
            self.path(
                "d",
                &format!("M{right} {y:.1}H{turn}L{} {at:.1}H{end}", end - 10.0),
            );
            self.words("f", LABEL, at + 2.0, &beside.label.figure);
            self.words("w", LABEL, at + 16.0, &shortened(&beside.label.words, 42));
            if let Some(number) = beside.balloon {
                self.balloon(WIDTH - 28.0, at - 3.0, number);
            }
        }
    }

    /// What stands right of the scale, from the top down.
    fn beside(&self) -> Vec<Beside> {
        let rung = |rung: &Rung| {
            let working = rung.kind == RungKind::Working;
            Beside {
                bar: rung.bar,
                pen: Some(if working { "x" } else { "r" }),
                out: if working { 7.0 } else { 0.0 },
                label: label(rung, self.say),
                balloon: rung.part.balloon,
            }
        };
        let now = self.ladder.now_bar.map(|bar| Beside {
            bar,
            pen: None,
            out: 11.0,
            label: Label {
                figure: self.say.number(bar),
                words: "tower gauge now".into(),
            },
            balloon: None,
        });
        let mut all: Vec<Beside> = self
            .ladder
            .rungs
            .iter()
            .rev()
            .map(rung)
            .chain(now)
            .collect();
        all.sort_by(|a, b| b.bar.total_cmp(&a.bar));
        all
    }

    fn balloon(&mut self, x: f64, y: f64, number: u8) {
        self.put(format_args!(
            "<circle class=\"l\" cx=\"{x}\" cy=\"{y:.1}\" r=\"10\"/>"
        ));
        self.words("w m", x, y + 4.0, &number.to_string());
    }

    /// Left of the scale: the room between neighbours, and in red what overlaps.
    fn dimensions(&mut self) {
        let margin = |m: &Margin| (m.from_bar, m.to_bar, m.what, false);
        let over = |o: &Overlap| (o.low_bar, o.high_bar, "over", true);
        let margins = self.ladder.margins.iter().map(margin);
        let mut all: Vec<_> = margins
            .chain(self.ladder.overlaps.iter().map(over))
            .collect();
        all.sort_by(|a, b| (b.0 + b.1).total_cmp(&(a.0 + a.1)));
        let middles = all.iter().map(|(from, to, ..)| self.y(0.5 * (from + to)));
        let middles: Vec<f64> = middles.collect();
        let placed = spread(&middles, LEFT_GAP, TOP, TOP + self.scale);
        for (((from, to, what, bad), middle), at) in all.into_iter().zip(middles).zip(placed) {
            let (line, red) = if bad { ("badline", " bad") } else { ("d", "") };
            let (a, b) = (self.y(from), self.y(to));
            let mut d = format!("M{DIMENSION} {a:.1}V{b:.1}");
            for y in [a, b] {
                let _ = write!(d, "M{} {:.1}l8 -8", DIMENSION - 4.0, y + 4.0);
            }
            let _ = write!(d, "M{DIMENSION} {middle:.1}L{} {at:.1}h-4", LEFT + 8.0);
            self.path(line, &d);
            let room = self.say.number(to - from);
            self.words(&format!("w e{red}"), LEFT, at + 1.0, &room);
            self.words(&format!("s e{red}"), LEFT, at + 13.0, what);
        }
    }
}

/// Text that may stand in XML.
fn escaped(text: &str) -> String {
    clean(text)
        .replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
        .replace('"', "&quot;")
}

fn shortened(text: &str, most: usize) -> String {
    match text.char_indices().nth(most) {
        None => text.to_owned(),
        Some(_) => text.chars().take(most - 1).chain(['…']).collect(),
    }
}
