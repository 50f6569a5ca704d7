//! Hit rates, calibration, coverage.

use super::case::{Case, Kind};
use insight::diagnose::answer::Diagnosis;
use std::fmt::Write as _;

/// Probabilities are gathered in tenths.
const TENTHS: usize = 10;

#[derive(Default)]
struct Row {
    kind: Option<Kind>,
    cases: usize,
    first: usize,
    second: usize,
    given: f64,
    instead: Vec<String>,
}

/// Everything counted.
#[derive(Default)]
pub struct Score {
    rows: Vec<Row>,
    brier: f64,
    told: [(usize, f64, usize); TENTHS],
    covered: Vec<(&'static str, usize, usize)>,
    seconds: Vec<f64>,
    runs: usize,
}

impl Score {
    pub fn add(&mut self, kind: Kind, case: &Case, answer: &Diagnosis, seconds: f64) {
        let place = match self.rows.iter().position(|r| r.kind == Some(kind)) {
            Some(place) => place,
            None => {
                self.rows.push(Row {
                    kind: Some(kind),
                    ..Row::default()
                });
                self.rows.len() - 1
            }
        };
        let row = &mut self.rows[place];
        row.cases += 1;
        let rank = answer.causes.iter().position(|c| c.id == kind.id());
        row.first += usize::from(rank == Some(0));
        row.second += usize::from(rank.is_some_and(|r| r < 2));
        row.given += rank.map_or(0.0, |r| answer.causes[r].probability);
        if rank != Some(0)
            && let Some(first) = answer.causes.first()
        {
            row.instead.push(first.id.clone());
        }
        for cause in &answer.causes {
            let right = cause.id == kind.id();
            let p = cause.probability;
            let hit = if right { 1.0 } else { 0.0 };
            self.brier += (p - hit) * (p - hit);
            let tenth = ((p * TENTHS as f64) as usize).min(TENTHS - 1);
            self.told[tenth].0 += 1;
            self.told[tenth].1 += p;
            self.told[tenth].2 += usize::from(right);
        }
        self.seconds.push(seconds);
        self.runs += answer.runs;
        self.cover(case, answer);
    }

    fn cover(&mut self, case: &Case, answer: &Diagnosis) {
        for (name, truth) in &case.truth {
            let (name, truth) = match *name {
                "delivery_factor" => {
                    let specified = answer.settings.iter().find(|s| s.name == "delivery");
                    let per = specified.and_then(|s| s.specified).unwrap_or(0.0);
                    ("delivery", truth / (100.0 / 6e4) * per)
                }
                other => (other, *truth),
            };
            let Some(found) = answer.settings.iter().find(|s| s.name == name) else {
                continue;
            };
            let (Some(low), Some(high)) = (found.low, found.high) else {
                continue;
            };
            let held = usize::from((low..=high).contains(&truth));
            match self.covered.iter_mut().find(|c| c.0 == name) {
                Some(c) => (c.1, c.2) = (c.1 + 1, c.2 + held),
                None => self.covered.push((name, 1, held)),
            }
        }
    }

    pub fn line(&self, kind: Kind) -> String {
        let Some(row) = self.rows.iter().find(|r| r.kind == Some(kind)) else {
            return format!("| {} | none |", kind.id());
        };
        let share = |n: usize| 100.0 * n as f64 / row.cases as f64;
        let mut instead = row.instead.clone();
        instead.sort();
        instead.dedup();
        format!(
            "| {} | {} | {:.0} % | {:.0} % | {:.2} | {} |",
            kind.id(),
            row.cases,
            share(row.first),
            share(row.second),
            row.given / row.cases as f64,
            instead.join(", ")
        )
    }

    pub fn table(&self) -> String {
        let mut text = String::from(
            "| fault | cases | first | among two | probability | taken for |\n|---|---|---|---|---|---|\n",
        );
        for row in &self.rows {
            if let Some(kind) = row.kind {
                let _ = writeln!(text, "{}", self.line(kind));
            }
        }
        let cases: usize = self.rows.iter().map(|r| r.cases).sum();
        let of = |count: fn(&Row) -> usize| {
            100.0 * self.rows.iter().map(count).sum::<usize>() as f64 / cases.max(1) as f64
        };
        let _ = writeln!(
            text,
            "\nall: first {:.1} %, among two {:.1} %, Brier score {:.3}",
            of(|r| r.first),
            of(|r| r.second),
            self.brier / cases.max(1) as f64
        );
        let _ = writeln!(
            text,
            "\n| told | times | mean told | came true |\n|---|---|---|---|"
        );
        for (i, (n, p, right)) in self.told.iter().enumerate().filter(|(_, t)| t.0 > 0) {
            let (n_f, low) = (*n as f64, 10 * i);
            let _ = writeln!(
                text,
                "| {low} to {} % | {n} | {:.2} | {:.2} |",
                low + 10,
                p / n_f,
                *right as f64 / n_f
            );
        }
        let _ = writeln!(
            text,
            "\n| setting | found | 90 % interval holds it |\n|---|---|---|"
        );
        for (name, n, held) in &self.covered {
            let _ = writeln!(
                text,
                "| {name} | {n} | {:.0} % |",
                100.0 * *held as f64 / *n as f64
            );
        }
        let mut seconds = self.seconds.clone();
        seconds.sort_by(f64::total_cmp);
        let at = |q: f64| {
            seconds
                .get(((seconds.len() as f64 - 1.0) * q) as usize)
                .copied()
                .unwrap_or(0.0)
        };
        let _ = writeln!(
            text,
            "\ntime: median {:.2} s, 95 in 100 below {:.2} s; {} runs of the machine each",
            at(0.5),
            at(0.95),
            self.runs / cases.max(1)
        );
        text
    }
}
