//! Test and inspection intervals of cylinders, a row each, with one line for today.
//!
//! Start at [`strips`]: a page's own table names the cylinders. Days are numbers of any epoch; the
//! caller knows the calendar.

use super::place::Rect;
use super::sheet::{Anchor, Sheet, at};
use super::text::{Pen, Words, fitted};
use super::{Drawing, Table};

/// Height of a row, of the head, of a bar.
const ROW: f64 = 38.0;
const HEAD: f64 = 40.0;
const BAR: f64 = 8.0;

/// One cylinder.
#[derive(Debug, Clone, PartialEq)]
pub struct Interval {
    /// What it is called.
    pub id: String,
    /// Day of its last test; none where it is not known.
    pub from: Option<f64>,
    /// Day its visual inspection is due.
    pub visual: Option<f64>,
    /// Day its next test is due.
    pub due: Option<f64>,
    /// How that stands today.
    pub state: State,
    /// The same in words: `in date`, `due in 17 weeks`.
    pub words: String,
}

/// How an interval stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum State {
    /// Nothing to do.
    InDate,
    /// To be arranged.
    Soon,
    /// Over: not to be filled.
    Over,
    /// Cannot be told.
    Unknown,
}

/// The scale of days.
#[derive(Debug, Clone, PartialEq)]
pub struct Days {
    /// Today.
    pub today: f64,
    /// Days worth a name, such as each new year: the day and its name.
    pub named: Vec<(f64, String)>,
}

/// Width of a strip, and of what stands free at its ends.
const STRIP: f64 = 316.0;
const FREE: f64 = 4.0;

/// From the first day drawn to the last, and where they stand.
struct Scale {
    first: f64,
    last: f64,
    left: f64,
    right: f64,
}

impl Scale {
    fn of(rows: &[Interval], days: &Days, (left, right): (f64, f64)) -> Scale {
        let each = |row: &Interval| [row.from, row.visual, row.due];
        let all = rows.iter().flat_map(each).flatten();
        let all = all.chain(days.named.iter().map(|(day, _)| *day));
        let all: Vec<f64> = all
            .chain([days.today])
            .filter(|day| day.is_finite())
            .collect();
        let first = all.iter().copied().fold(f64::MAX, f64::min);
        let last = all.iter().copied().fold(f64::MIN, f64::max);
        let (first, last) = match last > first {
            true => (first, last),
            false => (days.today - 1.0, days.today + 1.0),
        };
        Scale {
            first,
            last,
            left,
            right,
        }
    }

    fn x(&self, day: f64) -> f64 {
        let share = (day - self.first) / (self.last - self.first);
        self.left + (self.right - self.left) * share.clamp(0.0, 1.0)
    }
}

/// The head of the column of strips, and a strip for each row.
pub fn strips(rows: &[Interval], days: &Days) -> (Drawing, Vec<Drawing>) {
    let scale = Scale::of(rows, days, (FREE, STRIP - FREE));
    let mut sheet = Sheet::default();
    head(&mut sheet, &scale, days, STRIP);
    let top = Drawing::new("Years", "Years, and today", (STRIP, HEAD), sheet);
    let strip = |row: &Interval| {
        let mut sheet = Sheet::default();
        let y = 0.5 * ROW;
        sheet.straight("decor", (scale.left, y), (scale.right, y));
        bar(&mut sheet, &scale, days.today, row, y);
        let today = scale.x(days.today);
        sheet.straight("dot", (today, 0.0), (today, ROW));
        Drawing::new(
            format!("Tests of {}", row.id),
            format!("{}: {}", row.id, row.words),
            (STRIP, ROW),
            sheet,
        )
    };
    (top, rows.iter().map(strip).collect())
}

/// Names of days below the word for today, as far as they stand apart.
fn head(sheet: &mut Sheet, scale: &Scale, days: &Days, width: f64) {
    let today = Words::new(Pen::Value, "today");
    let half = 0.5 * today.width();
    let x = scale
        .x(days.today)
        .clamp(scale.left + half - FREE, width - half);
    sheet.write(&today, (x, 13.0), Anchor::Middle);
    let mut taken = 0.0;
    for (day, name) in days.named.iter().filter(|(day, _)| day.is_finite()) {
        let words = Words::new(Pen::Note, fitted(Pen::Note, name, 60.0));
        let (x, w) = (scale.x(*day), words.width());
        if x - 0.5 * w > taken && x + 0.5 * w < width {
            sheet.write(&words, (x, 31.0), Anchor::Middle);
            taken = x + 0.5 * w + 6.0;
        }
    }
}

/// From the last test to the next, with the visual inspection.
fn bar(sheet: &mut Sheet, scale: &Scale, today: f64, interval: &Interval, y: f64) {
    let day = |day: Option<f64>| day.filter(|d| d.is_finite()).map(|d| scale.x(d));
    let (from, due, now) = (day(interval.from), day(interval.due), scale.x(today));
    let bar = |from: f64, to: f64| Rect::new(from, y - 0.5 * BAR, (to - from).max(0.0), BAR);
    if let (Some(from), Some(due)) = (from, due) {
        sheet.rect("band2", bar(from, due));
        match interval.state {
            State::Over => sheet.texture("p-danger", bar(due, now)),
            State::Soon => sheet.rect("yellow-fill", bar(now.min(due), due)),
            State::InDate | State::Unknown => {}
        }
    }
    let tick = |sheet: &mut Sheet, pen: &str, x: f64| {
        sheet.line(pen, &format!("M{} {}v16", at(x), at(y - 8.0)));
    };
    if let Some(x) = from {
        tick(sheet, "m", x);
    }
    if let Some(x) = due {
        tick(sheet, "t", x);
    }
    if let Some(x) = day(interval.visual) {
        sheet.circle("ground", (x, y), 4.5);
        sheet.circle("ln", (x, y), 4.5);
    }
}

/// The same as rows; `date` writes a day as a date.
pub fn table(rows: &[Interval], date: impl Fn(f64) -> String) -> Table {
    let mut table = Table::new(
        "Tests of the cylinders",
        &["Cylinder", "Tested", "Visual due", "Test due", "State"],
    );
    let day = |day: Option<f64>| day.map_or("not known".to_owned(), &date);
    for row in rows {
        table.row([
            row.id.clone(),
            day(row.from),
            day(row.visual),
            day(row.due),
            row.words.clone(),
        ]);
    }
    table
}
