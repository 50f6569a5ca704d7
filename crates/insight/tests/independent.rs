//! The diagnosis on runs of an independent model of a station: another program, another
//! integrator, other heat films (`benches/independent_model`). It differs from this engine in
//! detail, as a real machine would. Readings: `readings.py` there.

#![allow(clippy::unwrap_used, clippy::panic)]

use insight::diagnose::answer::{Diagnosis, Standing};
use insight::diagnose::diagnose;
use insight::diagnose::request::{Request, Row, read};
use insight::forecast::request::CylinderStart;
use quantity::GaugePressure;
use std::path::PathBuf;

struct Known {
    name: String,
    cause: String,
    answer: Diagnosis,
}

fn folder() -> PathBuf {
    [env!("CARGO_MANIFEST_DIR"), "tests", "data", "independent"]
        .iter()
        .collect()
}

fn rows(text: &str) -> Vec<Row> {
    let line = |(i, line): (usize, &str)| {
        let fields: Vec<&str> = line.split(',').collect();
        Row {
            line: i + 3,
            time: fields[0].into(),
            gauge: fields[1].into(),
            reading: fields[2].into(),
            observed: fields[3].into(),
        }
    };
    text.lines().skip(2).enumerate().map(line).collect()
}

/// Every case, diagnosed with the pressures before the start known or not.
fn all(starts: bool) -> Vec<Known> {
    let text = std::fs::read_to_string(folder().join("station.toml")).unwrap();
    let station = station::read(&text).station.unwrap();
    let mut names: Vec<PathBuf> = std::fs::read_dir(folder())
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|e| e == "csv"))
        .collect();
    names.sort();
    let one = |path: &PathBuf| {
        let text = std::fs::read_to_string(path).unwrap();
        let request = Request {
            readings: read(&station, &rows(&text)).unwrap(),
            cylinders: vec![CylinderStart {
                id: "steel 12".into(),
                start: starts.then(|| GaugePressure::bar(40.0)),
            }],
            tower: starts.then(|| GaugePressure::bar(20.0)),
            intake_temperature: None,
        };
        Known {
            name: path.file_stem().unwrap().to_string_lossy().into_owned(),
            cause: text.lines().next().unwrap().trim_start_matches("# ").into(),
            answer: diagnose(&station, &request, &|_| {}).unwrap(),
        }
    };
    names.iter().map(one).collect()
}

#[test]
fn faults_of_another_model_are_found() {
    let all = all(true);
    assert!(all.len() >= 16);
    let mut missed = Vec::new();
    let mut among_two = 0;
    for known in &all {
        let ids: Vec<&str> = known.answer.causes.iter().map(|c| c.id.as_str()).collect();
        among_two += usize::from(ids.iter().take(2).any(|id| *id == known.cause));
        if ids[0] != known.cause {
            let told: Vec<(&str, f64)> = known
                .answer
                .causes
                .iter()
                .take(3)
                .map(|c| (c.id.as_str(), c.probability))
                .collect();
            missed.push(format!("{}: {told:?}", known.name));
        }
        // never a sure word for the wrong cause
        let sure = known.answer.standing == Standing::Likely;
        assert!(!sure || ids[0] == known.cause, "{}: {ids:?}", known.name);
    }
    // a leak of the tower and a weeping relief valve look the same to every gauge
    let share = 1.0 - missed.len() as f64 / all.len() as f64;
    assert!(share >= 0.9, "{share}: {missed:#?}");
    assert!(among_two as f64 / all.len() as f64 >= 0.9, "{missed:#?}");
}

/// Nobody wrote down what tower and cylinder held before: less is found, and nothing wrong is said
/// for sure.
#[test]
fn without_the_start_nothing_is_claimed_too_much() {
    let all = all(false);
    let mut first = 0;
    for known in &all {
        let told = &known.answer.causes[0].id;
        let sure = known.answer.standing == Standing::Likely;
        assert!(!sure || *told == known.cause, "{}: {told}", known.name);
        first += usize::from(*told == known.cause);
    }
    assert!(2 * first > all.len(), "{first} of {}", all.len());
}
