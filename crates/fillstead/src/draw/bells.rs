//! What one gauge would show, cause by cause: a curve for each, and where they part.
//!
//! Start at [`draw`]. Not here: which reading tells them apart ([`insight::diagnose`]).

use super::figures::{Figures, round_step, short};
use super::place::spread;
use super::sheet::{Anchor, Sheet, at, through};
use super::text::{Pen, Words, fitted};
use super::{Drawing, Table};

/// What a gauge would show if one cause holds.
#[derive(Debug, Clone, PartialEq)]
pub struct Bell {
    /// The cause.
    pub name: String,
    /// The middle, bar.
    pub bar: f64,
    /// Half the 90 % interval, bar.
    pub plus_minus: f64,
    /// Its chance now.
    pub weight: f64,
}

const WIDTH: f64 = 452.0;
const LEFT: f64 = 10.0;
const BASE: f64 = 116.0;
const TOP: f64 = 40.0;
/// 90 % of the normal distribution lies within so many standard deviations (standard tables).
const NINE_IN_TEN: f64 = 1.6449;

impl Bell {
    fn sd(&self) -> f64 {
        (self.plus_minus / NINE_IN_TEN).abs().max(0.05)
    }

    fn height(&self, bar: f64) -> f64 {
        let z = (bar - self.bar) / self.sd();
        self.weight * (-0.5 * z * z).exp() / self.sd()
    }
}

/// Where two causes are equally likely, between their middles; none where one is always likelier.
pub fn parting(a: &Bell, b: &Bell) -> Option<f64> {
    let ahead = |bar: f64| a.height(bar) - b.height(bar);
    let (mut from, mut to) = (a.bar, b.bar);
    if ahead(from) <= 0.0 || ahead(to) >= 0.0 {
        return None;
    }
    for _ in 0..60 {
        let middle = 0.5 * (from + to);
        match ahead(middle) > 0.0 {
            true => from = middle,
            false => to = middle,
        }
    }
    Some(0.5 * (from + to))
}

/// The curves, the likeliest first; none where there is nothing to draw.
pub fn draw(bells: &[Bell], gauge: &str, figures: Figures) -> Option<Drawing> {
    let sound = |b: &&Bell| {
        [b.bar, b.plus_minus, b.weight]
            .iter()
            .all(|f| f.is_finite())
    };
    let bells = apart(bells.iter().filter(sound));
    let first = bells.first()?;
    let ends = |way: f64| bells.iter().map(move |b| b.bar + way * 3.2 * b.sd());
    let low = ends(-1.0).fold(first.bar, f64::min);
    let high = ends(1.0).fold(first.bar, f64::max);
    let x = |bar: f64| LEFT + (WIDTH - 2.0 * LEFT) * (bar - low) / (high - low).max(1e-9);
    let most = bells.iter().map(|b| b.height(b.bar)).fold(0.0, f64::max);
    let y = |height: f64| BASE - (BASE - TOP) * height / most.max(1e-12);
    let mut sheet = Sheet::default();
    for bell in bells.iter().rev() {
        let class = if std::ptr::eq(*bell, *first) {
            "band2"
        } else {
            "band"
        };
        let points = curve(bell, (low, high), &x, &y);
        sheet.shape(class, &format!("{}Z", through(&points)));
        sheet.line("", &through(&points));
    }
    sheet.straight("m", (LEFT, BASE), (WIDTH - LEFT, BASE));
    ticks(&mut sheet, figures, (low, high), &x);
    names(&mut sheet, &bells, &x);
    if let [a, b, ..] = bells.as_slice()
        && let Some(bar) = parting(a, b)
    {
        let words = Words::new(Pen::Note, figures.read(bar)).class("halo");
        let half = 0.5 * words.width();
        let place = x(bar).clamp(half, WIDTH - half);
        sheet.straight("dash", (x(bar), TOP - 4.0), (x(bar), BASE));
        sheet.write(&words, (place, TOP - 8.0), Anchor::Middle);
    }
    let unit = format!("{gauge}, {}", figures.unit());
    let unit = fitted(Pen::Note, &unit, WIDTH - 2.0 * LEFT);
    sheet.say(Pen::Note, unit, (WIDTH - LEFT, BASE + 34.0), Anchor::End);
    Some(Drawing::new(
        format!("What {gauge} would show"),
        table(&bells, figures)
            .rows
            .iter()
            .map(|r| r.join(", "))
            .collect::<Vec<_>>()
            .join("; "),
        (WIDTH, BASE + 40.0),
        sheet,
    ))
}

/// The likeliest, and those that stand apart from it and from each other; three at most. Where all
/// show the same, the first two.
fn apart<'a>(bells: impl Iterator<Item = &'a Bell>) -> Vec<&'a Bell> {
    let all: Vec<&Bell> = bells.collect();
    let mut chosen: Vec<&Bell> = Vec::new();
    for bell in &all {
        let far = |other: &&Bell| (bell.bar - other.bar).abs() > bell.sd().max(other.sd());
        if chosen.len() < 3 && chosen.iter().all(far) {
            chosen.push(bell);
        }
    }
    if chosen.len() < 2 {
        chosen = all.into_iter().take(2).collect();
    }
    chosen
}

fn curve(
    bell: &Bell,
    (low, high): (f64, f64),
    x: &impl Fn(f64) -> f64,
    y: &impl Fn(f64) -> f64,
) -> Vec<(f64, f64)> {
    let from = (bell.bar - 3.2 * bell.sd()).max(low);
    let to = (bell.bar + 3.2 * bell.sd()).min(high);
    let step = |i: u32| from + (to - from) * f64::from(i) / 60.0;
    (0..=60)
        .map(|i| (x(step(i)), y(bell.height(step(i)))))
        .collect()
}

/// A number at each round step of the unit.
fn ticks(sheet: &mut Sheet, figures: Figures, (low, high): (f64, f64), x: &impl Fn(f64) -> f64) {
    let (from, to) = (figures.value(low), figures.value(high));
    let step = round_step((to - from) / 7.0);
    let mut taken = 0.0;
    for i in 0..40 {
        let number = ((from / step).ceil() + f64::from(i)) * step;
        if number > to {
            break;
        }
        let place = x(figures.bar(number));
        sheet.line("hairline", &format!("M{} {}v5", at(place), at(BASE)));
        let words = Words::new(Pen::Note, short(number, 1));
        if place - 0.5 * words.width() > taken && place + 0.5 * words.width() < WIDTH {
            sheet.write(&words, (place, BASE + 18.0), Anchor::Middle);
            taken = place + 0.5 * words.width() + 6.0;
        }
    }
}

/// Over the peaks, side by side.
fn names(sheet: &mut Sheet, bells: &[&Bell], x: &impl Fn(f64) -> f64) {
    let mut sorted: Vec<&&Bell> = bells.iter().collect();
    sorted.sort_by(|a, b| a.bar.total_cmp(&b.bar));
    let most = WIDTH / sorted.len().max(1) as f64 - 10.0;
    let word = |b: &&&Bell| Words::new(Pen::Value, fitted(Pen::Value, &b.name, most));
    let words: Vec<Words> = sorted.iter().map(word).collect();
    let wanted: Vec<(f64, f64)> = sorted
        .iter()
        .zip(&words)
        .map(|(b, w)| (x(b.bar), w.width() + 8.0))
        .collect();
    let places = spread(&wanted, 0.0, WIDTH);
    for ((words, place), (peak, _)) in words.iter().zip(places).zip(&wanted) {
        sheet.straight("lead", (place, 18.0), (*peak, TOP - 6.0));
        sheet.write(words, (place, 13.0), Anchor::Middle);
    }
}

/// The same as rows.
pub fn table(bells: &[&Bell], figures: Figures) -> Table {
    let mut table = Table::new(
        "What it would show, cause by cause",
        &["If it is", "It shows", "Chance now"],
    );
    for bell in bells {
        table.row([
            bell.name.clone(),
            format!(
                "{} ± {} {}",
                figures.read(bell.bar),
                short(figures.value(bell.plus_minus).ceil(), 0),
                figures.unit()
            ),
            format!("{:.0} %", 100.0 * bell.weight),
        ]);
    }
    table
}
