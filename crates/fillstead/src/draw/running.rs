//! The last ten minutes of a running bench: tower, line and cylinder over the set pressures.
//!
//! Start at [`draw`]; [`table`] is the same as rows. Drawn by the server each second: three lines of at
//! most 600 points are ten kilobytes, they print, they need no script, and their table is beside them.
//! Not here: forecasts ([`super::trace`]).

use insight::bench::Trace;
use quantity::UnitSystem;

use super::figures::{Figures, round_step, time};
use super::place::{Rect, spread};
use super::sheet::{Anchor, Sheet, box_of, through};
use super::text::{Pen, Words};
use super::{Drawing, Table};

/// Its field, and the plot in it.
const SIZE: (f64, f64) = (440.0, 240.0);
const LEFT: f64 = 132.0;
const RIGHT: f64 = 350.0;
const TOP: f64 = 8.0;
const BOTTOM: f64 = 212.0;
/// Ten minutes, s.
const SPAN_S: f64 = 600.0;
/// Points drawn of each line, at most.
const MOST: usize = 150;

/// What is drawn.
#[derive(Debug, Clone, Copy)]
pub struct Running<'a> {
    /// A reading a second, oldest first.
    pub trace: &'a [Trace],
    /// Set pressures: name and bar.
    pub rungs: &'a [(&'a str, f64)],
    /// When a fault was put in, where everybody may know.
    pub put_in_s: Option<u64>,
    /// Units of the figures.
    pub units: UnitSystem,
}

struct Frame {
    from_s: f64,
    top_bar: f64,
    figures: Figures,
}

impl Frame {
    fn of(running: &Running) -> Frame {
        let figures = Figures {
            units: running.units,
        };
        let last = running.trace.last().map_or(0.0, |p| p.t_s as f64);
        let bars = running.trace.iter().flat_map(|p| [p.tower_bar, p.line_bar]);
        let bars = bars.chain(running.rungs.iter().map(|(_, bar)| *bar));
        let most = bars.filter(|b| b.is_finite()).fold(100.0, f64::max);
        Frame {
            from_s: (last - SPAN_S).max(0.0),
            top_bar: most * 1.08,
            figures,
        }
    }

    fn x(&self, t_s: f64) -> f64 {
        LEFT + (RIGHT - LEFT) * ((t_s - self.from_s) / SPAN_S).clamp(0.0, 1.0)
    }

    fn y(&self, bar: f64) -> f64 {
        let share = (bar / self.top_bar).clamp(0.0, 1.0);
        BOTTOM - (BOTTOM - TOP) * share
    }
}

/// The trace.
pub fn draw(running: &Running) -> Drawing {
    let frame = Frame::of(running);
    let mut sheet = Sheet::default();
    rails(&mut sheet, running, &frame);
    times(&mut sheet, &frame);
    let step = running.trace.len().div_ceil(MOST).max(1);
    let last = running.trace.len().saturating_sub(1);
    let kept = running.trace.iter().enumerate();
    let kept: Vec<&Trace> = kept
        .filter(|(i, _)| i % step == 0 || *i == last)
        .map(|(_, p)| p)
        .collect();
    let curve = |bar: fn(&Trace) -> Option<f64>| {
        let one = |p: &&Trace| Some((frame.x(p.t_s as f64), frame.y(bar(p)?)));
        let points: Vec<(f64, f64)> = kept.iter().filter_map(one).collect();
        through(&points)
    };
    sheet.line("dash", &curve(|p| p.sound_bar));
    sheet.line("hairline", &curve(|p| Some(p.line_bar)));
    sheet.line("m", &curve(|p| Some(p.cylinder_bar)));
    sheet.line("curve", &curve(|p| Some(p.tower_bar)));
    names(&mut sheet, running, &frame);
    put_in(&mut sheet, running, &frame);
    let title = "Pressures of the last ten minutes";
    Drawing::new(title, described(running, &frame), SIZE, sheet)
}

/// The ladder on the left: set pressures with their names.
fn rails(sheet: &mut Sheet, running: &Running, frame: &Frame) {
    let bar = |name: &str| {
        running
            .rungs
            .iter()
            .find(|(n, _)| *n == name)
            .map(|(_, b)| *b)
    };
    if let (Some(low), Some(high)) = (bar("PMV closes"), bar("PMV opens")) {
        let (top, foot) = (frame.y(high), frame.y(low));
        sheet.rect("band", Rect::new(LEFT - 16.0, top, 16.0, foot - top));
    }
    for x in [LEFT - 16.0, LEFT] {
        sheet.straight("m", (x, TOP), (x, BOTTOM));
    }
    let mut rungs: Vec<(&str, f64)> = running.rungs.to_vec();
    rungs.sort_by(|a, b| b.1.total_cmp(&a.1));
    let wanted: Vec<(f64, f64)> = rungs.iter().map(|(_, b)| (frame.y(*b), 15.0)).collect();
    let placed = spread(&wanted, TOP, BOTTOM);
    for ((name, bar), y) in rungs.iter().zip(placed) {
        let here = frame.y(*bar);
        sheet.straight("m", (LEFT - 16.0, here), (LEFT, here));
        sheet.straight("faint dot", (LEFT, here), (RIGHT, here));
        sheet.straight("lead", (LEFT - 18.0, here), (LEFT - 26.0, y));
        let words = Words::new(Pen::Note, *name).then(Pen::Value, frame.figures.set(*bar));
        sheet.write(&words, (LEFT - 29.0, y + 4.0), Anchor::End);
    }
}

/// Minutes below.
fn times(sheet: &mut Sheet, frame: &Frame) {
    sheet.straight("m", (LEFT, BOTTOM), (RIGHT, BOTTOM));
    let step = round_step(1.0) * 120.0;
    let mut t = (frame.from_s / step).ceil() * step;
    while t <= frame.from_s + SPAN_S {
        let x = frame.x(t);
        sheet.straight("", (x, BOTTOM), (x, BOTTOM + 5.0));
        let words = match t == 0.0 {
            true => "0 min".to_owned(),
            false => format!("{:.0}", t / 60.0),
        };
        sheet.say(Pen::Note, words, (x, BOTTOM + 18.0), Anchor::Middle);
        t += step;
    }
}

/// The names of the lines at their ends, apart from each other.
fn names(sheet: &mut Sheet, running: &Running, frame: &Frame) {
    let Some(last) = running.trace.last() else {
        return;
    };
    let mut lines = vec![
        ("tower", last.tower_bar),
        ("line", last.line_bar),
        ("cylinder", last.cylinder_bar),
    ];
    lines.extend(last.sound_bar.map(|bar| ("sound tower", bar)));
    lines.sort_by(|a, b| b.1.total_cmp(&a.1));
    let wanted: Vec<(f64, f64)> = lines.iter().map(|(_, b)| (frame.y(*b), 14.0)).collect();
    let x = frame.x(last.t_s as f64);
    for ((name, bar), y) in lines.iter().zip(spread(&wanted, TOP, BOTTOM)) {
        let words = Words::new(Pen::Note, *name).class("halo");
        let words = match *name {
            "sound tower" => words,
            _ => words.then(Pen::Value, frame.figures.read(*bar)),
        };
        sheet.write(&words, (x + 5.0, y + 4.0), Anchor::Start);
    }
}

/// When a fault was put in, its words where nothing else stands.
fn put_in(sheet: &mut Sheet, running: &Running, frame: &Frame) {
    let t_s = running.put_in_s.map(|t| t as f64);
    let Some(t_s) = t_s.filter(|t| *t >= frame.from_s) else {
        return;
    };
    let x = frame.x(t_s);
    sheet.straight("dot", (x, TOP), (x, BOTTOM));
    let words = Words::new(Pen::Note, "fault put in").class("halo");
    let sides = [(x + 4.0, Anchor::Start), (x - 4.0, Anchor::End)];
    let heights = (0..14).map(|i| BOTTOM - 8.0 - 14.0 * f64::from(i));
    let mut places = heights.flat_map(|y| sides.map(|(x, anchor)| (x, y, anchor)));
    let free = |(x, y, anchor): &(f64, f64, Anchor)| {
        let here = box_of(&words, (*x, *y), *anchor);
        let inside = here.x > LEFT && here.x + here.w < SIZE.0;
        inside && !sheet.labels.iter().any(|label| label.meets(&here))
    };
    if let Some((x, y, anchor)) = places.find(free) {
        sheet.write(&words, (x, y), anchor);
    }
}

fn described(running: &Running, frame: &Frame) -> String {
    let unit = frame.figures.unit();
    let read = |bar: f64| frame.figures.read(bar);
    match (running.trace.first(), running.trace.last()) {
        (Some(first), Some(last)) => format!(
            "From {} to {}: tower {} to {} {unit}, line {} to {}, cylinder {} to {}.",
            time(first.t_s as f64),
            time(last.t_s as f64),
            read(first.tower_bar),
            read(last.tower_bar),
            read(first.line_bar),
            read(last.line_bar),
            read(first.cylinder_bar),
            read(last.cylinder_bar)
        ),
        _ => "Nothing has been read yet.".to_owned(),
    }
}

/// The same as rows, one every half minute and the last.
pub fn table(running: &Running) -> Table {
    let figures = Figures {
        units: running.units,
    };
    let caption = format!(
        "Pressures of the last ten minutes, {} gauge",
        figures.unit()
    );
    let mut table = Table::new(caption, &["Bench time", "Tower", "Line", "Cylinder"]);
    let last = running.trace.last().map(|p| p.t_s);
    let rows = running.trace.iter();
    for point in rows.filter(|p| p.t_s % 30 == 0 || Some(p.t_s) == last) {
        table.row([
            time(point.t_s as f64),
            figures.read(point.tower_bar),
            figures.read(point.line_bar),
            figures.read(point.cylinder_bar),
        ]);
    }
    table
}

#[cfg(test)]
mod tests {
    use super::*;

    fn point(t_s: u64, bar: f64) -> Trace {
        Trace {
            t_s,
            tower_bar: bar,
            line_bar: bar / 2.0,
            cylinder_bar: f64::NAN,
            sound_bar: None,
        }
    }

    /// No coordinate is anything but a number, no words stand on others, and the rows say the same.
    #[test]
    fn it_is_drawn_from_nothing_and_from_much() {
        let rungs = [
            ("working", 232.0),
            ("PMV opens", 100.0),
            ("PMV closes", 70.0),
        ];
        for n in [0u64, 1, 700] {
            let trace: Vec<Trace> = (0..n).map(|t| point(t, t as f64 / 3.0)).collect();
            let running = Running {
                trace: &trace,
                rungs: &rungs,
                put_in_s: Some(650),
                units: UnitSystem::Metric,
            };
            let drawn = draw(&running);
            assert!(!drawn.svg().contains("NaN"), "{}", drawn.svg());
            assert!(drawn.svg().len() < 20_000, "{}", drawn.svg().len());
        }
        let trace = [point(0, 10.0), point(30, 20.0), point(31, 21.0)];
        let running = Running {
            trace: &trace,
            rungs: &rungs,
            put_in_s: None,
            units: UnitSystem::Metric,
        };
        let rows = table(&running).rows;
        assert_eq!(rows.len(), 3);
        assert_eq!(rows[2][..2], ["0:31".to_owned(), "21".to_owned()]);
    }
}
