//! The table to hold beside the machine: what each gauge reads, minute by minute.

use insight::forecast::answer::{Band, CylinderSample, Forecast, Sample};

use crate::cli::render::page::Table;
use crate::cli::render::units::{Say, time};

/// Rows, at most; and cylinders side by side, at most.
const ROWS: usize = 30;
const ABREAST: usize = 4;

/// One table for every few cylinders.
pub fn text(say: Say, forecast: &Forecast) -> String {
    let every = step(forecast.samples.len());
    let rows: Vec<&Sample> = forecast.samples.iter().step_by(every).collect();
    if rows.is_empty() {
        return String::new();
    }
    let mut text = format!(
        "What the gauges read ({}; the middle of all runs, and between which 90 % of them lie)\n",
        say.pressure_unit()
    );
    for first in (0..forecast.cylinders.len().max(1)).step_by(ABREAST) {
        text += &table(say, forecast, &rows, first).text();
    }
    if every > 1 {
        text += &format!("  Every {every}th reading is shown; --csv gives all.\n");
    }
    text
}

/// Every how many readings are shown.
fn step(readings: usize) -> usize {
    let nice = [1, 2, 5, 10, 15, 20, 30, 60, 120, 300, 600];
    let fits = |every: &&usize| readings.div_ceil(**every) <= ROWS;
    nice.iter()
        .find(fits)
        .copied()
        .unwrap_or(readings.div_ceil(ROWS))
}

/// Cylinders from `first` on; the stage gauges stand in the first table where there is room.
fn table(say: Say, forecast: &Forecast, rows: &[&Sample], first: usize) -> Table {
    let abreast = rows.first().map_or(0, |sample| shown(sample, first).len());
    let most = rows.iter().map(|s| s.stages_bar.len()).max().unwrap_or(0);
    let room = first == 0 && abreast + most.div_ceil(2) <= ABREAST;
    let stages = if room { most } else { 0 };
    let figures = (0..=1)
        .chain((0..abreast).map(|i| 3 + 2 * i))
        .chain((0..stages).map(|i| 3 + 2 * abreast + i));
    let mut table = Table::new(2).right(figures);
    let mut head = vec!["clock".to_owned(), "tower".to_owned(), String::new()];
    let named = rows.first().map_or(&[][..], |sample| shown(sample, first));
    head.extend(named.iter().flat_map(|c| [c.id.clone(), String::new()]));
    head.extend((1..=stages).map(|stage| format!("stage {stage}")));
    table.row(head);
    for sample in rows {
        table.row(row(say, forecast.members > 1, sample, first, stages));
    }
    table
}

/// The cylinders that stand in the table from `first` on.
fn shown(sample: &Sample, first: usize) -> &[CylinderSample] {
    let from = sample.cylinders.get(first..).unwrap_or(&[]);
    from.get(..ABREAST).unwrap_or(from)
}

/// One moment: clock, tower, cylinders, stages.
fn row(say: Say, banded: bool, sample: &Sample, first: usize, stages: usize) -> Vec<String> {
    let stage = |i| {
        let bar = sample.stages_bar.get(i);
        bar.map_or("-".to_owned(), |bar| say.stage_number(*bar))
    };
    let cylinders = shown(sample, first).iter();
    let mut cells = vec![time(sample.t_s)];
    cells.extend(reading(say, sample.tower, banded));
    cells.extend(cylinders.flat_map(|c| reading(say, c.band, banded)));
    cells.extend((0..stages).map(stage));
    cells
}

/// Median, then the band.
fn reading(say: Say, band: Band, banded: bool) -> [String; 2] {
    let (low, high) = (say.number(band.low), say.number(band.high));
    let between = if banded && low != high {
        format!("{low}-{high}")
    } else {
        String::new()
    };
    [say.number(band.median), between]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn long_runs_are_thinned() {
        for readings in [0_usize, 1, 30, 31, 61, 400, 5000, 100_000] {
            let shown = readings.div_ceil(step(readings).max(1));
            assert!(shown <= ROWS, "{readings}: {shown}");
        }
        assert_eq!(step(30), 1);
        assert_eq!(step(31), 2);
    }
}
