//! The data of a trace as rows.

use insight::forecast::answer::{Forecast, Sample};

use super::super::Table;
use super::super::figures::{Figures, round_step, time};
use super::{Trace, flags};

/// Rows aimed at, beside those of events.
const ROWS: f64 = 30.0;

/// All of it.
pub(super) fn of(trace: &Trace) -> Table {
    let figures = Figures { units: trace.units };
    let forecast = trace.forecast;
    let unit = figures.unit();
    let mut table = Table::new(
        format!("Forecast readings, {unit} gauge"),
        &["Time", "Tower"],
    );
    let ids = forecast.cylinders.iter().map(|c| c.id.clone());
    table.head.extend(ids);
    table.head.push("Event".into());
    for row in rows(forecast) {
        table.rows.push(row.cells(forecast, figures));
    }
    table
}

/// One row: a sample, and what is flagged then.
struct Row<'a> {
    t_s: f64,
    sample: &'a Sample,
    event: String,
}

fn rows(forecast: &Forecast) -> Vec<Row<'_>> {
    let flags = flags::of(forecast);
    let last_s = forecast
        .events
        .iter()
        .filter(|e| e.kind != "cooled")
        .map(|e| e.t_s);
    let last_s = last_s.fold(0.0, f64::max);
    let step_s = 60.0 * round_step((last_s / 60.0 / ROWS).max(1.0));
    let on_step = |s: &&Sample| {
        let off = s.t_s % step_s;
        s.t_s <= last_s && off.min(step_s - off) < 0.5
    };
    let plain = forecast.samples.iter().filter(on_step).map(|sample| Row {
        t_s: sample.t_s,
        sample,
        event: String::new(),
    });
    let nearest = |t_s: f64| {
        let distance = |s: &&Sample| (s.t_s - t_s).abs();
        let samples = forecast.samples.iter();
        samples.min_by(|a, b| distance(a).total_cmp(&distance(b)))
    };
    let flagged = flags.iter().filter_map(|flag| {
        Some(Row {
            t_s: flag.t_s,
            sample: nearest(flag.t_s)?,
            event: flag.words.clone(),
        })
    });
    let mut rows: Vec<Row> = plain.chain(flagged).collect();
    rows.sort_by(|a, b| a.t_s.total_cmp(&b.t_s));
    rows
}

impl Row<'_> {
    fn cells(&self, forecast: &Forecast, figures: Figures) -> Vec<String> {
        let at_event = |event: &&insight::forecast::answer::ForecastEvent| {
            !self.event.is_empty() && (event.t_s - self.t_s).abs() < 1e-9
        };
        let event = forecast.events.iter().find(at_event);
        let tower = event.map_or(self.sample.tower_bar, |e| e.tower_bar);
        let mut cells = vec![time(self.t_s), figures.read(tower)];
        cells.extend(forecast.cylinders.iter().enumerate().map(|(i, end)| {
            match self.sample.cylinders.get(i) {
                _ if end.full_s.is_some_and(|t| (t - self.t_s).abs() < 1e-9) => {
                    figures.read(end.stop_bar)
                }
                Some(c) => {
                    let (low, high) = (figures.read(c.band.low), figures.read(c.band.high));
                    format!("{} ({low} to {high})", figures.read(c.bar))
                }
                None => String::new(),
            }
        }));
        cells.push(self.event.clone());
        cells
    }
}
