//! One row of the air path, its pipe at y = 0: where parts, numbers and labels stand.

use super::super::place::{Rect, Spots};
use super::super::sheet::{BALLOON, balloon_at};
use super::super::text::{Pen, Words, fitted, width, wrapped};
use super::parts::{Figure, PathPart, Stand};
use super::symbol::{covers, numbers, ports, slot, solid};
use super::{Mark, mark_of};

/// Widest line of a label.
const WIDEST: f64 = 92.0;
/// Lines of one text, at most; what is longer is in the table.
const LINES: usize = 3;
/// Steps a label is moved away from its part, and how many.
const STEP: f64 = 8.0;
const STEPS: u8 = 40;

/// What a chain line encloses.
pub(super) struct Shared {
    pub first: usize,
    pub last: usize,
    pub words: String,
    /// With the shaft and the motor below the pipe.
    pub motor: bool,
}

/// A part's name and settings.
pub(super) struct Label {
    pub lines: Vec<Words>,
    pub place: Rect,
    pub mark: Option<&'static str>,
    /// A line from the part, where the label stands away from it.
    pub leader: Option<Leader>,
}

/// A line from a part to its label, upright.
#[derive(Debug, Clone, Copy)]
pub(super) struct Leader {
    pub x: f64,
    pub from: f64,
    pub to: f64,
}

/// A row laid out.
pub(super) struct Row<'a> {
    pub parts: &'a [PathPart],
    /// Middle of each part.
    pub xs: Vec<f64>,
    pub numbers: Vec<(u8, (f64, f64))>,
    pub labels: Vec<Label>,
    /// Chain lines, and whether a motor is inside.
    pub frames: Vec<(Rect, bool)>,
    pub top: f64,
    pub bottom: f64,
}

/// What is taken: for labels, and for the leaders that may cross a chain line.
struct Taken {
    all: Spots,
    solid: Spots,
}

impl Taken {
    fn block(&mut self, rect: Rect) {
        self.all.block(rect);
        self.solid.block(rect);
    }
}

impl<'a> Row<'a> {
    /// How wide parts are beside each other.
    pub fn natural(parts: &[PathPart]) -> f64 {
        parts.iter().map(|p| slot(p.figure)).sum()
    }

    /// Lays the parts out from `left` on a sheet of this width.
    pub fn lay(
        parts: &'a [PathPart],
        shared: &[Shared],
        marks: &[Mark],
        left: f64,
        width: f64,
    ) -> Row<'a> {
        let mut x = left;
        let mut xs = Vec::new();
        for part in parts {
            x += 0.5 * slot(part.figure);
            xs.push(x);
            x += 0.5 * slot(part.figure);
        }
        let mut row = Row {
            parts,
            xs,
            numbers: Vec::new(),
            labels: Vec::new(),
            frames: Vec::new(),
            top: -60.0,
            bottom: 60.0,
        };
        let mut taken = Taken {
            all: Spots::default(),
            solid: Spots::default(),
        };
        for (part, x) in parts.iter().zip(&row.xs) {
            for rect in solid(part.figure, *x) {
                taken.block(rect);
            }
        }
        // the pipe itself
        taken.block(Rect::new(0.0, -2.0, width, 4.0));
        row.number(&mut taken);
        row.enclose(shared, &mut taken);
        row.label(marks, width, &mut taken);
        row.name(shared, width, &mut taken);
        row.measure();
        row
    }

    /// Left end of its pipe.
    pub fn start(&self) -> Option<f64> {
        let (part, x) = (self.parts.first()?, self.xs.first()?);
        Some(x + ports(part.figure).map_or(0.0, |(left, _)| left))
    }

    /// Right end of its pipe; none where it ends in a cylinder.
    pub fn end(&self) -> Option<f64> {
        let (part, x) = (self.parts.last()?, self.xs.last()?);
        let right = ports(part.figure).map_or(24.0, |(_, right)| right);
        (part.stand != Stand::End).then_some(x + right)
    }

    fn number(&mut self, taken: &mut Taken) {
        for (part, x) in self.parts.iter().zip(&self.xs) {
            let Some(number) = part.balloon else { continue };
            let higher = (0..20).map(|i| (*x, -92.0 - 6.0 * f64::from(i)));
            let mut places = numbers(part.figure, *x).into_iter().chain(higher);
            let free = |place: &(f64, f64)| taken.all.is_free(&balloon_at(*place).grown(1.0));
            if let Some(place) = places.find(free) {
                taken.block(balloon_at(place).grown(1.0));
                self.numbers.push((number, place));
            }
        }
    }

    /// Chain lines around parts that belong together; labels keep off them, leaders need not.
    fn enclose(&mut self, shared: &[Shared], taken: &mut Taken) {
        for Shared {
            first, last, motor, ..
        } in shared
        {
            let inside = self.parts.iter().zip(&self.xs);
            let inside = inside.skip(*first).take(last - first + 1);
            let boxes: Vec<Rect> = inside.map(|(p, x)| covers(p.figure, *x)).collect();
            let left = boxes.iter().map(|r| r.x).fold(f64::MAX, f64::min) - 7.0;
            let right = boxes.iter().map(|r| r.x + r.w).fold(f64::MIN, f64::max) + 7.0;
            let numbers = self.numbers.iter().map(|(_, at)| *at);
            let numbers = numbers.filter(|(x, _)| (left..right).contains(x));
            let top = boxes
                .iter()
                .map(|r| r.y)
                .chain(numbers.map(|(_, y)| y - BALLOON));
            let top = top.fold(f64::MAX, f64::min) - 7.0;
            let bottom = boxes.iter().map(|r| r.y + r.h).fold(f64::MIN, f64::max) + 7.0;
            let bottom = if *motor { bottom.max(74.0) } else { bottom };
            let frame = Rect::new(left, top, right - left, bottom - top);
            for y in [frame.y, frame.y + frame.h] {
                taken.all.block(Rect::new(frame.x, y - 1.0, frame.w, 2.0));
            }
            for x in [frame.x, frame.x + frame.w] {
                taken.all.block(Rect::new(x - 1.0, frame.y, 2.0, frame.h));
            }
            if *motor {
                taken.block(Rect::new(left, 24.0, right - left, 44.0));
            }
            self.frames.push((frame, *motor));
        }
    }

    fn label(&mut self, marks: &[Mark], sheet_width: f64, taken: &mut Taken) {
        for (part, x) in self.parts.iter().zip(&self.xs) {
            if matches!(part.figure, Figure::Cooler) {
                continue;
            }
            if part.figure == Figure::Stage && part.values.is_empty() {
                continue;
            }
            let mark = mark_of(marks, part);
            let lines = lines(part);
            let (w, h) = size(&lines, mark);
            let own = covers(part.figure, *x);
            let up = part.stand == Stand::Up || part.figure == Figure::Purifier;
            let found = find(*x, own, up, (w, h), sheet_width, taken);
            if let Some((place, leader)) = found {
                self.labels.push(Label {
                    lines,
                    place,
                    mark,
                    leader,
                });
            } else {
                let label = apart(part, (*x, own, up), mark, (sheet_width, taken));
                self.labels.extend(label);
            }
        }
    }

    /// The words of each chain line, on its upper edge or its lower one.
    fn name(&mut self, shared: &[Shared], sheet_width: f64, taken: &mut Taken) {
        for (shared, (frame, _)) in shared.iter().zip(&self.frames) {
            let most = sheet_width - frame.x - 6.0;
            let text = fitted(Pen::Note, &shared.words, most);
            let (w, h) = (width(Pen::Note, &text), 15.0);
            let along = (0..30).map(|i| frame.x + 2.0 + 8.0 * f64::from(i));
            let along: Vec<f64> = along.filter(|x| x + w < sheet_width).collect();
            let above = along.iter().map(|x| Rect::new(*x, frame.y - h - 2.0, w, h));
            let bottom = frame.y + frame.h;
            let below = along.iter().map(|x| Rect::new(*x, bottom + 3.0, w, h));
            let far = (1..40).map(|i| Rect::new(frame.x, bottom + 8.0 * f64::from(i), w, h));
            let places: Vec<Rect> = above.chain(below).chain(far).collect();
            if let Some(place) = taken.all.first_free(places) {
                self.labels.push(Label {
                    lines: vec![Words::new(Pen::Note, text)],
                    place,
                    mark: None,
                    leader: None,
                });
            }
        }
    }

    fn measure(&mut self) {
        let parts = self.parts.iter().zip(&self.xs);
        let symbols = parts.map(|(p, x)| covers(p.figure, *x));
        let numbers = self.numbers.iter().map(|(_, at)| balloon_at(*at));
        let labels = self.labels.iter().map(|l| l.place);
        let frames = self.frames.iter().map(|(frame, _)| *frame);
        for rect in symbols.chain(numbers).chain(labels).chain(frames) {
            self.top = self.top.min(rect.y);
            self.bottom = self.bottom.max(rect.y + rect.h);
        }
    }
}

/// A free place above or below a part, the nearest first, with the line that leads to it.
fn find(
    x: f64,
    own: Rect,
    up: bool,
    (w, h): (f64, f64),
    sheet_width: f64,
    taken: &mut Taken,
) -> Option<(Rect, Option<Leader>)> {
    for step in 0..STEPS {
        for (up, step) in [(up, Some(step)), (!up, step.checked_sub(LATER))] {
            let Some(step) = step else { continue };
            let shifted = SHIFTS.map(|shift| spot(x, own, up, (w, h), (step, shift), sheet_width));
            let free = |spot: &&Spot| spot.is_free(x, taken);
            if let Some(spot) = shifted.iter().find(free) {
                return Some(spot.take(taken));
            }
        }
    }
    None
}

/// A label no line can lead to: anywhere near, told by its part's number.
fn apart(
    part: &PathPart,
    (x, own, up): (f64, Rect, bool),
    mark: Option<&'static str>,
    (sheet_width, taken): (f64, &mut Taken),
) -> Option<Label> {
    let number = part.balloon.map_or(String::new(), |n| format!("{n}: "));
    let named = PathPart {
        name: format!("{number}{}", part.name),
        ..part.clone()
    };
    let lines = lines(&named);
    let (w, h) = size(&lines, mark);
    let steps = (0..4 * STEPS).flat_map(|step| SHIFTS.map(|shift| (step, shift)));
    let mut places = steps.map(|way| spot(x, own, up, (w, h), way, sheet_width).place);
    let place = places.find(|place| taken.all.is_free(&place.grown(1.5)))?;
    taken.block(place.grown(1.5));
    Some(Label {
        lines,
        place,
        mark,
        leader: None,
    })
}

/// Steps after which the other side of a part is tried as well.
const LATER: u8 = 4;
/// Shifts to the side, in widths of the label.
const SHIFTS: [f64; 5] = [0.0, -0.25, 0.25, -0.45, 0.45];

/// A place tried, and the line to it.
struct Spot {
    place: Rect,
    line: Rect,
    near: bool,
}

impl Spot {
    fn is_free(&self, x: f64, taken: &Taken) -> bool {
        let reaches = (self.place.x..=self.place.x + self.place.w).contains(&x);
        let leads = self.near || (reaches && taken.solid.is_free(&self.line));
        leads && taken.all.is_free(&self.place.grown(1.5))
    }

    fn take(&self, taken: &mut Taken) -> (Rect, Option<Leader>) {
        taken.block(self.place.grown(1.5));
        let leader = (!self.near).then(|| {
            taken.block(self.line);
            Leader {
                x: self.line.x + 0.5 * self.line.w,
                from: self.line.y,
                to: self.line.y + self.line.h,
            }
        });
        (self.place, leader)
    }
}

fn spot(
    x: f64,
    own: Rect,
    up: bool,
    (w, h): (f64, f64),
    (step, shift): (u8, f64),
    sheet_width: f64,
) -> Spot {
    let away = 3.0 + STEP * f64::from(step);
    let left = (x + shift * w - 0.5 * w).clamp(2.0, (sheet_width - w - 2.0).max(2.0));
    let (y, from, to) = match up {
        true => (own.y - away - h, own.y - away, own.y - 1.0),
        false => {
            let bottom = own.y + own.h;
            (bottom + away, bottom + 1.0, bottom + away)
        }
    };
    Spot {
        place: Rect::new(left, y, w, h),
        line: Rect::new(x - 1.0, from, 2.0, to - from),
        near: step == 0,
    }
}

/// Width and height of a label.
fn size(lines: &[Words], mark: Option<&'static str>) -> (f64, f64) {
    let w = lines.iter().map(Words::width).fold(0.0, f64::max);
    let w = w + if mark.is_some() { 17.0 } else { 0.0 };
    (w, lines.iter().map(Words::height).sum())
}

/// Name and settings, broken into lines.
fn lines(part: &PathPart) -> Vec<Words> {
    let narrow = match part.figure {
        Figure::Check => 40.0,
        _ => WIDEST,
    };
    let broken = |pen, text: &String, most| wrapped(pen, text, most, LINES);
    let name = broken(Pen::Note, &part.name, narrow);
    let notes = part.notes.iter().flat_map(|n| broken(Pen::Note, n, WIDEST));
    let name = name.into_iter().chain(notes);
    let name = name.map(|line| Words::new(Pen::Note, line));
    let values = part.values.iter();
    let values = values.flat_map(|v| broken(Pen::Value, v, WIDEST));
    let values = values.map(|line| Words::new(Pen::Value, line));
    name.chain(values).collect()
}
