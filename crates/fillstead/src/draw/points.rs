//! Values over days: what was read or measured, its limits, and where it goes.
//!
//! Start at [`draw`]. Narrow enough for a telephone. Days are numbers of any epoch; the caller knows
//! the calendar. Not here: what follows from the values ([`insight::drift`], [`insight::air`]).

use super::figures::{round_step, short};
use super::place::Rect;
use super::sheet::{Anchor, Sheet, at};
use super::text::{Pen, Words, fitted};
use super::{Drawing, Table};

/// Width and height, and where the field of values begins and ends.
const WIDTH: f64 = 360.0;
const HEIGHT: f64 = 190.0;
const LEFT: f64 = 46.0;
const RIGHT: f64 = 350.0;
const TOP: f64 = 26.0;
const BOTTOM: f64 = 160.0;

/// One value.
#[derive(Debug, Clone, PartialEq)]
pub struct Value {
    /// When.
    pub day: f64,
    /// The same as people write it.
    pub date: String,
    /// How much.
    pub value: f64,
    /// Least and most it may be.
    pub low: f64,
    /// Most it may be.
    pub high: f64,
}

/// A day ahead, with its word.
#[derive(Debug, Clone, PartialEq)]
pub struct Ahead {
    /// When.
    pub day: f64,
    /// As early as.
    pub earliest: f64,
    /// What it is.
    pub words: String,
}

/// Everything on the plot.
#[derive(Debug, Clone, PartialEq)]
pub struct Points {
    /// What it is of.
    pub title: String,
    /// What stands over the scale: the unit, or what is counted from what.
    pub unit: String,
    /// The values, oldest first.
    pub values: Vec<Value>,
    /// Least allowed.
    pub least: Option<f64>,
    /// Most allowed.
    pub most: Option<f64>,
    /// Range that holds today's value nine times in ten.
    pub level: Option<(f64, f64)>,
    /// Today; none: the last value is the end.
    pub today: Option<f64>,
    /// When a limit is passed.
    pub ahead: Option<Ahead>,
    /// Whether the scale begins at nothing, each value on a stem.
    pub from_nothing: bool,
}

/// Where values and days stand.
struct Scale {
    days: (f64, f64),
    values: (f64, f64),
}

impl Scale {
    fn of(points: &Points) -> Scale {
        let mut days: Vec<f64> = points.values.iter().map(|v| v.day).collect();
        days.extend(points.today);
        days.extend(points.ahead.iter().map(|ahead| ahead.day));
        let each = |v: &Value| [v.low, v.value, v.high];
        let mut values: Vec<f64> = points.values.iter().flat_map(each).collect();
        values.extend([points.least, points.most].into_iter().flatten());
        values.extend(points.level.into_iter().flat_map(|(low, high)| [low, high]));
        if points.from_nothing {
            values.push(0.0);
        }
        let (low, high) = span(&values, 1.0);
        let room = 0.06 * (high - low);
        let floor = if points.from_nothing { 0.0 } else { low - room };
        Scale {
            days: span(&days, 15.0),
            values: (floor, high + room),
        }
    }

    fn x(&self, day: f64) -> f64 {
        let share = (day - self.days.0) / (self.days.1 - self.days.0);
        LEFT + 8.0 + (RIGHT - LEFT - 16.0) * share.clamp(0.0, 1.0)
    }

    fn y(&self, value: f64) -> f64 {
        let share = (value - self.values.0) / (self.values.1 - self.values.0);
        BOTTOM - (BOTTOM - TOP) * share.clamp(0.0, 1.0)
    }
}

/// Least and most, apart by twice `least` where they are one.
fn span(of: &[f64], least: f64) -> (f64, f64) {
    let finite = || of.iter().copied().filter(|v| v.is_finite());
    let (low, high) = (
        finite().fold(f64::INFINITY, f64::min),
        finite().fold(f64::NEG_INFINITY, f64::max),
    );
    match low < high {
        true => (low, high),
        false if low == high => (low - least, high + least),
        false => (0.0, 2.0 * least),
    }
}

/// The plot.
pub fn draw(points: &Points) -> Drawing {
    let scale = Scale::of(points);
    let mut sheet = Sheet::default();
    let unit = fitted(Pen::Note, &points.unit, WIDTH);
    sheet.say(Pen::Note, unit, (0.0, 12.0), Anchor::Start);
    limits(&mut sheet, &scale, points);
    grid(&mut sheet, &scale);
    ahead(&mut sheet, &scale, points);
    for value in &points.values {
        one(&mut sheet, &scale, value, points.from_nothing);
    }
    ends(&mut sheet, points);
    let table = table(points);
    let rows: Vec<String> = table.rows.iter().map(|row| row.join(": ")).collect();
    Drawing::new(
        points.title.as_str(),
        format!("{}. {}.", points.unit, rows.join("; ")),
        (WIDTH, HEIGHT),
        sheet,
    )
}

/// What is beyond a limit is hatched, the limit a thick line; today's range a grey band.
fn limits(sheet: &mut Sheet, scale: &Scale, points: &Points) {
    let zone = |from: f64, to: f64| Rect::new(LEFT, from, RIGHT - LEFT, (to - from).max(0.0));
    if let Some((low, high)) = points.level {
        sheet.rect("band", zone(scale.y(high), scale.y(low)));
    }
    if let Some(most) = points.most {
        sheet.texture("p-tol", zone(TOP, scale.y(most)));
        sheet.straight("t", (LEFT, scale.y(most)), (RIGHT, scale.y(most)));
    }
    if let Some(least) = points.least {
        sheet.texture("p-tol", zone(scale.y(least), BOTTOM));
        sheet.straight("t", (LEFT, scale.y(least)), (RIGHT, scale.y(least)));
    }
}

fn grid(sheet: &mut Sheet, scale: &Scale) {
    let (low, high) = scale.values;
    let step = round_step((high - low) / 4.0);
    let first = (low / step).ceil() as i64;
    let last = (high / step).floor() as i64;
    for i in first..=last.min(first + 12) {
        let value = i as f64 * step;
        let y = scale.y(value);
        sheet.straight("decor", (LEFT, y), (RIGHT, y));
        let decimals = if step < 0.1 {
            2
        } else {
            usize::from(step < 1.0)
        };
        sheet.say(
            Pen::Note,
            short(value, decimals),
            (LEFT - 6.0, y + 4.0),
            Anchor::End,
        );
    }
    sheet.straight("m", (LEFT, BOTTOM), (RIGHT, BOTTOM));
}

fn ahead(sheet: &mut Sheet, scale: &Scale, points: &Points) {
    if let Some(today) = points.today {
        let x = scale.x(today);
        sheet.straight("dot", (x, TOP), (x, BOTTOM));
    }
    let Some(ahead) = &points.ahead else { return };
    let (from, x) = (scale.x(ahead.earliest), scale.x(ahead.day));
    sheet.rect(
        "band2",
        Rect::new(from, BOTTOM - 6.0, (x - from).max(0.0), 6.0),
    );
    sheet.straight("dash", (x, TOP), (x, BOTTOM));
}

fn one(sheet: &mut Sheet, scale: &Scale, value: &Value, stem: bool) {
    let (x, y) = (scale.x(value.day), scale.y(value.value));
    if stem {
        sheet.straight("", (x, BOTTOM), (x, y));
    }
    if value.high > value.low {
        let (low, high) = (scale.y(value.low), scale.y(value.high));
        sheet.line("", &format!("M{} {}V{}", at(x), at(low), at(high)));
    }
    sheet.circle("solid", (x, y), 3.4);
}

/// The first day on the left, the last or what lies ahead on the right.
fn ends(sheet: &mut Sheet, points: &Points) {
    let y = BOTTOM + 17.0;
    let Some(first) = points.values.first() else {
        sheet.say(Pen::Note, "no value yet", (LEFT, y), Anchor::Start);
        return;
    };
    let begin = Words::new(Pen::Note, first.date.as_str());
    sheet.write(&begin, (LEFT, y), Anchor::Start);
    let end = match (&points.ahead, points.values.last()) {
        (Some(ahead), _) => ahead.words.as_str(),
        (None, Some(last)) if last.day > first.day => last.date.as_str(),
        _ => return,
    };
    let room = RIGHT - LEFT - begin.width() - 10.0;
    sheet.say(
        Pen::Note,
        fitted(Pen::Note, end, room),
        (RIGHT, y),
        Anchor::End,
    );
}

/// The same as rows.
pub fn table(points: &Points) -> Table {
    let mut table = Table::new(points.title.as_str(), &["Day", "Value", "Between"]);
    for value in &points.values {
        let between = match value.high > value.low {
            true => format!("{} and {}", figure(value.low), figure(value.high)),
            false => String::new(),
        };
        table.row([value.date.clone(), figure(value.value), between]);
    }
    table
}

fn figure(value: f64) -> String {
    let size = value.abs();
    short(
        value,
        if size < 10.0 {
            2
        } else {
            usize::from(size < 100.0)
        },
    )
}
