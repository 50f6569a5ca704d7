//! Runs and readings as tables: what the machine did and showed.
//!
//! Not here: cylinders, fills and the ledger ([`super::export`]).

use book::body::{RunStarted, RunStopped};
use book::{Amount, Body, Event, Kind, Measure};
use quantity::{Quantity, TimeSpan};
use serde_json::{Value, json};

use super::export::{Source, corrected_by};
use super::tables::{Table, figure};
use crate::usecase::Trouble;

impl Source {
    /// What gauges showed and people saw.
    pub(super) fn readings(&self) -> Result<Table, Trouble> {
        let head = ["happened", "author", "of", "value_typed"].into_iter();
        let tail = ["observed", "seq", "corrected_by", "invented"];
        let columns = head.chain(AMOUNTS).chain(tail).map(str::to_owned);
        let mut table = Table {
            columns: columns.collect(),
            rows: Vec::new(),
        };
        for event in self.events(&[Kind::Reading])? {
            let Ok(Body::Reading(body)) = &event.body else {
                continue;
            };
            let mut row = vec![
                json!(self.zone.exact(event.happened)),
                json!(event.author),
                json!(body.of),
            ];
            row.push(
                body.value
                    .as_ref()
                    .map_or(Value::Null, |value| json!(value.to_string())),
            );
            let worked = body.value.as_ref().map(amount);
            row.extend(AMOUNTS.map(|name| match worked {
                Some((column, value)) if column == name => figure(value),
                _ => Value::Null,
            }));
            row.extend([
                json!(body.observed),
                json!(event.seq),
                corrected_by(&event),
                self.mark(),
            ]);
            table.rows.push(row);
        }
        Ok(table)
    }

    /// Each start with the stop that followed it.
    pub(super) fn runs(&self) -> Result<Table, Trouble> {
        let columns = OF_RUNS.map(str::to_owned).to_vec();
        let mut table = Table {
            columns,
            rows: Vec::new(),
        };
        let mut going: Option<(Event, RunStarted)> = None;
        for event in self.events(&[Kind::RunStarted, Kind::RunStopped])? {
            match &event.body {
                Ok(Body::RunStarted(start)) => {
                    let start = start.clone();
                    if let Some(never_stopped) = going.replace((event, start)) {
                        table.rows.push(self.run(Some(&never_stopped), None));
                    }
                }
                Ok(Body::RunStopped(stop)) => {
                    let started = going.take();
                    table
                        .rows
                        .push(self.run(started.as_ref(), Some((&event, stop))));
                }
                _ => {}
            }
        }
        if let Some(going) = going {
            table.rows.push(self.run(Some(&going), None));
        }
        Ok(table)
    }

    fn run(
        &self,
        start: Option<&(Event, RunStarted)>,
        stop: Option<(&Event, &RunStopped)>,
    ) -> Vec<Value> {
        let at = |event: Option<&Event>| {
            event.map_or(Value::Null, |e| json!(self.zone.exact(e.happened)))
        };
        let seq = |event: Option<&Event>| event.map_or(Value::Null, |e| json!(e.seq));
        let by = |event: Option<&Event>| event.map_or(Value::Null, |e| json!(e.author));
        let (begin, started) = (start.map(|(event, _)| event), start.map(|(_, body)| body));
        let (end, stopped) = (stop.map(|(event, _)| event), stop.map(|(_, body)| body));
        let lasted = match (begin, end) {
            (Some(begin), Some(end)) => figure(end.happened.seconds_since(begin.happened)),
            _ => Value::Null,
        };
        let [hours_typed, hours_s] = time(started.and_then(|body| body.hours.as_ref()));
        let [end_typed, end_s] = time(stopped.and_then(|body| body.hours.as_ref()));
        let why = stopped.and_then(|body| body.why.as_ref());
        vec![
            at(begin),
            at(end),
            lasted,
            hours_typed,
            hours_s,
            end_typed,
            end_s,
            json!(why),
            by(begin),
            by(end),
            seq(begin),
            seq(end),
            self.mark(),
        ]
    }
}

const OF_RUNS: [&str; 13] = [
    "started",
    "stopped",
    "lasted_s",
    "hours_at_start_typed",
    "hours_at_start_s",
    "hours_at_stop_typed",
    "hours_at_stop_s",
    "why",
    "started_by",
    "stopped_by",
    "seq_start",
    "seq_stop",
    "invented",
];

/// Columns of a figure whose kind is not fixed.
const AMOUNTS: [&str; 9] = [
    "value_bar",
    "value_c",
    "value_s",
    "value_percent",
    "value_l",
    "value_kg",
    "value_free_air_l",
    "value_mg_m3",
    "value_ppm",
];

fn amount(amount: &Amount) -> (&'static str, f64) {
    match amount {
        Amount::Pressure(m) => ("value_bar", m.value().as_bar()),
        Amount::Temperature(m) => ("value_c", m.value().as_celsius()),
        Amount::Time(m) => ("value_s", m.value().as_second()),
        Amount::Share(m) => ("value_percent", m.value().as_percent()),
        Amount::Volume(m) => ("value_l", m.value().as_litre()),
        Amount::Mass(m) => ("value_kg", m.value().as_kilogram()),
        Amount::FreeAir(m) => ("value_free_air_l", m.value().as_litre()),
        Amount::Concentration(m) => ("value_mg_m3", m.value().as_milligram_per_cubic_metre()),
        Amount::Ppm(ppm) => ("value_ppm", *ppm),
    }
}

fn time(measure: Option<&Measure<TimeSpan>>) -> [Value; 2] {
    match measure {
        Some(m) => [json!(m.typed()), figure(m.value().si())],
        None => [Value::Null, Value::Null],
    }
}
