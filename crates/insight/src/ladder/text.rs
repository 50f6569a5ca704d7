//! The ladder as characters, for a terminal.
//!
//! At most [`WIDTH`] columns; one row is the same number of bar everywhere.

use super::label::{clean, label, sentences, step_bar};
use super::spread::spread;
use super::{Ladder, Rung, RungKind, Say};
use quantity::UnitSystem;

/// Widest line.
pub const WIDTH: usize = 96;
/// Rows of the scale, unless there are more labels.
const ROWS: usize = 34;
/// Columns between the rails.
const INSIDE: usize = 5;

/// The ladder drawn with characters: scale, bands, labels with the part's
/// number, and below it overlaps and the room between neighbours.
pub fn text(ladder: &Ladder, units: UnitSystem) -> String {
    let say = Say { units };
    let rows = ROWS.max(ladder.rungs.len() + 2);
    let row = |bar: f64| {
        let share = (1.0 - bar / ladder.top_bar).clamp(0.0, 1.0);
        (share * (rows - 1) as f64).round() as usize
    };
    let mut lines = vec![format!(
        "Pressure ladder of {}, {} gauge, linear from 0",
        clean(&ladder.station),
        say.unit()
    )];
    let downwards: Vec<&Rung> = ladder.rungs.iter().rev().collect();
    let from: Vec<usize> = downwards.iter().map(|r| row(r.bar)).collect();
    let wanted: Vec<f64> = from.iter().map(|&r| r as f64).collect();
    let placed = spread(&wanted, 1.0, 0.0, (rows - 1) as f64);
    let to: Vec<usize> = placed
        .iter()
        .enumerate()
        .map(|(i, y)| (y - i as f64).round() as usize + i)
        .collect();
    let leaders = leaders(&from, &to, rows);
    for (r, leader) in leaders.iter().enumerate() {
        let at = to.iter().position(|&t| t == r);
        let words = at.and_then(|i| downwards.get(i)).map(|rung| {
            let label = label(rung, say);
            let number = rung.part.balloon.map_or(String::new(), |n| n.to_string());
            format!(" {:>7}  {number:>2}  {}", label.figure, label.words)
        });
        let scale = scale(ladder, say, r, &row);
        let inside = inside(ladder, r, &row);
        lines.push(format!(
            "{scale}{inside}{leader}{}",
            words.unwrap_or_default()
        ));
    }
    if let Some(now) = ladder.now_bar {
        lines.push(format!("► tower gauge now: {}", say.pressure(now)));
    }
    lines.extend(sentences(ladder, say).into_iter().map(|s| format!("  {s}")));
    let cut = |line: String| {
        let line = line.trim_end();
        match line.char_indices().nth(WIDTH) {
            None => line.to_owned(),
            Some(_) => line.chars().take(WIDTH - 1).chain(['…']).collect(),
        }
    };
    let lines: Vec<String> = lines.into_iter().map(cut).collect();
    lines.join("\n") + "\n"
}

/// The numbers beside the left rail, and the marker of the tower's pressure.
fn scale(ladder: &Ladder, say: Say, r: usize, row: &dyn Fn(f64) -> usize) -> String {
    let step = step_bar(ladder, say);
    let ticks = (0..9).map(|i| f64::from(i) * step);
    let tick = ticks
        .filter(|bar| *bar <= ladder.top_bar)
        .find(|bar| row(*bar) == r);
    let number = tick.map_or(String::new(), |bar| format!("{:.0}", say.value(bar)));
    let now = ladder.now_bar.is_some_and(|bar| row(bar) == r);
    format!("{number:>6}{}", if now { '►' } else { ' ' })
}

/// One row between the rails: overlap before rung before band.
fn inside(ladder: &Ladder, r: usize, row: &dyn Fn(f64) -> usize) -> String {
    let covers = |low: f64, high: f64| (row(high)..=row(low)).contains(&r);
    let overlap = ladder
        .overlaps
        .iter()
        .any(|o| covers(o.low_bar, o.high_bar));
    let here = |kind| {
        ladder
            .rungs
            .iter()
            .any(|g| g.kind == kind && row(g.bar) == r)
    };
    let any = ladder.rungs.iter().any(|g| row(g.bar) == r);
    let pmv = [RungKind::PmvCloses, RungKind::PmvOpens].map(|k| ladder.rung(k).map(|g| g.bar));
    let between = matches!(pmv, [Some(low), Some(high)] if covers(low, high));
    let band = ladder
        .rungs
        .iter()
        .any(|g| g.high_bar > g.low_bar && covers(g.low_bar, g.high_bar));
    let fill = match () {
        () if here(RungKind::Working) => '━',
        () if overlap => '╱',
        () if any => '─',
        () if band => '░',
        () if between => '·',
        () => ' ',
    };
    let fill: String = std::iter::repeat_n(fill, INSIDE).collect();
    let (left, right) = match () {
        () if here(RungKind::Working) => ('╋', '╋'),
        () if any => ('┠', '┨'),
        () => ('┃', '┃'),
    };
    format!("{left}{fill}{right}")
}

const UP: u8 = 1;
const DOWN: u8 = 2;
const LEFT: u8 = 4;
const RIGHT: u8 = 8;

/// Lines from rungs to labels, one text a row. A label pushed down takes a
/// column to the right of those below it that it passes, one pushed up to the
/// right of those above, so that no two lines cross.
fn leaders(from: &[usize], to: &[usize], rows: usize) -> Vec<String> {
    let columns = columns(from, to);
    let width = columns.iter().max().map_or(2, |most| most + 2);
    let mut cells = vec![vec![0u8; width]; rows];
    let mut mark = |row: usize, column: usize, bits: u8| {
        if let Some(cell) = cells.get_mut(row).and_then(|r| r.get_mut(column)) {
            *cell |= bits;
        }
    };
    for ((&from, &to), &turn) in from.iter().zip(to).zip(&columns) {
        for column in 0..turn {
            mark(from, column, LEFT | RIGHT);
        }
        for column in turn + 1..width {
            mark(to, column, LEFT | RIGHT);
        }
        let (away, back) = if to > from { (DOWN, UP) } else { (UP, DOWN) };
        if from == to {
            mark(from, turn, LEFT | RIGHT);
            continue;
        }
        mark(from, turn, LEFT | away);
        mark(to, turn, back | RIGHT);
        for row in from.min(to) + 1..from.max(to) {
            mark(row, turn, UP | DOWN);
        }
    }
    let line = |row: &Vec<u8>| row.iter().map(|bits| stroke(*bits)).collect();
    cells.iter().map(line).collect()
}

/// The column in which each leader turns.
fn columns(from: &[usize], to: &[usize]) -> Vec<usize> {
    let mut columns = vec![0; from.len()];
    let at = |list: &[usize], i: usize| list.get(i).copied().unwrap_or(0);
    let pushed_down = |i: usize| at(to, i) > at(from, i);
    let pushed_up = |i: usize| at(to, i) < at(from, i);
    for i in (0..from.len().saturating_sub(1)).rev() {
        let passes = pushed_down(i) && pushed_down(i + 1) && at(from, i + 1) <= at(to, i);
        let column = if passes { at(&columns, i + 1) + 1 } else { 0 };
        columns.iter_mut().skip(i).take(1).for_each(|c| *c = column);
    }
    for i in 1..from.len() {
        let passes = pushed_up(i) && pushed_up(i - 1) && at(to, i) <= at(from, i - 1);
        let column = at(&columns, i - 1) + 1;
        if passes {
            columns.iter_mut().skip(i).take(1).for_each(|c| *c = column);
        }
    }
    columns
}

fn stroke(bits: u8) -> char {
    const STROKES: [char; 16] = [
        ' ', '│', '│', '│', '─', '┘', '┐', '┤', '─', '└', '┌', '├', '─', '┴', '┬', '┼',
    ];
    STROKES.get(usize::from(bits)).copied().unwrap_or(' ')
}
