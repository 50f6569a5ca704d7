//! Readings with a known cause, and what is made of them. What a sound machine shows comes from
//! the forecast, whose engine is checked against an independent model elsewhere.

use super::answer::Verdict;
use super::*;
use crate::fault::Fault;
use crate::forecast::answer::{Forecast, Sample};
use crate::forecast::forecast;
use crate::forecast::request::{CylinderStart, Request as RunRequest};
use quantity::GaugePressure;
use quantity::TimeSpan;

fn station() -> Station {
    let text = include_str!("../../../../stations/boathouse.toml");
    station::read(text).station.unwrap()
}

fn run_with(station: &Station, fault: Option<&str>) -> Forecast {
    let request = RunRequest {
        cylinders: cylinders(),
        tower: Some(GaugePressure::bar(20.0)),
        faults: fault
            .map(|f| Fault::parse(f).unwrap())
            .into_iter()
            .collect(),
        members: 0,
        sample_every: TimeSpan::second(5.0),
        ..RunRequest::default()
    };
    forecast(station, &request, &|_| {}).unwrap()
}

fn cylinders() -> Vec<CylinderStart> {
    vec![CylinderStart {
        id: "A1".into(),
        start: Some(GaugePressure::bar(50.0)),
    }]
}

fn at(ran: &Forecast, t_s: f64) -> &Sample {
    let later = ran.samples.iter().find(|s| s.t_s >= t_s - 0.1);
    later.or(ran.samples.last()).unwrap()
}

/// Lines as a careful person writes them: to the nearest bar, at these minutes.
fn lines(ran: &Forecast, at_min: &[(f64, &str)]) -> Vec<request::Row> {
    let row = |(i, (minute, gauge)): (usize, &(f64, &str))| {
        let sample = at(ran, minute * 60.0);
        let bar = match *gauge {
            "tower" => sample.tower_bar,
            "panel" => sample.line_bar,
            "first stage" => sample.stages_bar[0],
            _ => sample.stages_bar[1],
        };
        request::Row {
            line: i + 2,
            time: format!(
                "{:.0}:{:02.0}",
                (sample.t_s / 60.0).floor(),
                sample.t_s % 60.0
            ),
            gauge: (*gauge).into(),
            reading: format!("{bar:.1} bar"),
            observed: String::new(),
        }
    };
    at_min.iter().enumerate().map(row).collect()
}

const ROUTINE: [(f64, &str); 8] = [
    (0.5, "tower"),
    (1.0, "tower"),
    (2.0, "panel"),
    (7.0, "tower"),
    (12.0, "panel"),
    (18.0, "tower"),
    (18.0, "panel"),
    (60.0, "tower"),
];

fn answer_to(rows: &[request::Row]) -> Diagnosis {
    let station = station();
    let request = Request {
        readings: request::read(&station, rows).unwrap(),
        cylinders: cylinders(),
        tower: Some(GaugePressure::bar(20.0)),
        intake_temperature: None,
    };
    diagnose(&station, &request, &|_| {}).unwrap()
}

fn setting<'a>(answer: &'a Diagnosis, name: &str) -> &'a answer::SettingFound {
    answer.settings.iter().find(|s| s.name == name).unwrap()
}

#[test]
fn a_sound_machine_is_found_sound() {
    let answer = answer_to(&lines(&run_with(&station(), None), &ROUTINE));
    assert_eq!(answer.standing, Standing::Sound, "{}", answer.headline);
    assert_eq!(answer.causes[0].id, "healthy");
    let sum: f64 = answer.causes.iter().map(|c| c.probability).sum();
    assert!(sum > 0.95 && sum < 1.0 + 1e-9, "{sum}");
    // the settings of the station file, by which the run was made
    let delivery = setting(&answer, "delivery");
    let (found, specified) = (delivery.found.unwrap(), delivery.specified.unwrap());
    assert!((found - specified).abs() < delivery.plus_minus.unwrap());
    assert!(
        !answer
            .settings
            .iter()
            .any(|s| matches!(s.verdict, Verdict::Below | Verdict::Above))
    );
    assert_eq!(
        setting(&answer, "relief_lifts").verdict,
        Verdict::NotReached
    );
    assert!(answer.misfit_bar.unwrap() < 2.0);
    assert!(!answer.headline.contains("safe"));
}

/// The cause put into the run leads, or is one that the answer names as looking alike.
#[test]
fn what_was_put_in_is_found() {
    let station = station();
    for (fault, id) in [
        ("pmv-low=30 bar", "pmv_opens_early"),
        ("pmv-high=35 bar", "pmv_opens_late"),
        ("pmv-stuck-shut", "pmv_stuck_shut"),
        ("tower-leak=25 L/min", "tower_leak"),
        ("relief-low=60 bar", "relief_lifts_early"),
        ("tower-gauge-offset=22 bar", "tower_gauge_reads_high"),
        ("line-gauge-offset=-20 bar", "line_gauge_reads_low"),
    ] {
        let mut rows = lines(&run_with(&station, Some(fault)), &ROUTINE);
        let off = match fault {
            "tower-gauge-offset=22 bar" => ("tower", 22.0),
            "line-gauge-offset=-20 bar" => ("panel", -20.0),
            _ => ("", 0.0),
        };
        for row in rows.iter_mut().filter(|r| r.gauge == off.0) {
            let bar: f64 = row.reading.trim_end_matches(" bar").parse().unwrap();
            row.reading = format!("{:.1} bar", (bar + off.1).max(0.0));
        }
        let answer = answer_to(&rows);
        let first = &answer.causes[0];
        let called = KNOWLEDGE.cause(id).unwrap().called.to_owned();
        assert!(
            first.id == id || first.looks_like.contains(&called),
            "{fault}: {} {:?}",
            answer.headline,
            answer
                .causes
                .iter()
                .map(|c| (&c.id, c.probability))
                .collect::<Vec<_>>()
        );
    }
}

#[test]
fn six_readings_and_a_hiss_are_enough_to_be_useful() {
    let station = station();
    let ran = run_with(&station, Some("relief-weeps=15 L/min"));
    let mut rows = lines(&ran, &ROUTINE[2..]);
    rows.push(request::Row {
        line: 9,
        time: "31".into(),
        observed: "hissing at the relief valve".into(),
        ..request::Row::default()
    });
    let answer = answer_to(&rows);
    assert_eq!(answer.causes[0].id, "relief_weeps", "{}", answer.headline);
    assert!(answer.causes[0].who.contains("licensed"));
    assert_eq!(answer.observations.len(), 1);
}

#[test]
fn without_readings_nothing_is_claimed() {
    let answer = answer_to(&[]);
    assert_eq!(answer.standing, Standing::NoReadings);
    assert!(answer.next_reading.is_none());
    let first = &answer.causes[0];
    assert!(first.probability < 0.7, "{first:?}");
}

#[test]
fn a_mistyped_reading_stands_apart_and_does_not_decide() {
    let mut rows = lines(&run_with(&station(), None), &ROUTINE);
    rows[3].reading = format!("1{}", rows[3].reading.replace(".0", ""));
    let bar: f64 = rows[3].reading.trim_end_matches(" bar").parse().unwrap();
    rows[3].reading = format!("{:.0} bar", bar.min(990.0));
    let answer = answer_to(&rows);
    assert_eq!(answer.causes[0].id, "healthy", "{}", answer.headline);
    let apart: Vec<_> = answer
        .readings
        .iter()
        .filter(|r| r.apart.is_some())
        .collect();
    assert_eq!(apart.len(), 1);
    assert_eq!(apart[0].line, 5);
}

/// Times in another order, another unit, another station: never a sure cause.
#[test]
fn rubbish_is_called_rubbish() {
    let ran = run_with(&station(), None);
    let good = lines(&ran, &ROUTINE);
    let mut shuffled = good.clone();
    for (i, j) in [(0, 5), (1, 7), (2, 6), (3, 4)] {
        let (a, b) = (shuffled[i].reading.clone(), shuffled[j].reading.clone());
        (shuffled[i].reading, shuffled[j].reading) = (b, a);
    }
    let answer = answer_to(&shuffled);
    assert_eq!(answer.standing, Standing::DoesNotFit, "{}", answer.headline);
    let mut units = good.clone();
    for row in &mut units {
        row.reading = row.reading.replace("bar", "psi");
    }
    let answer = answer_to(&units);
    assert_eq!(answer.standing, Standing::DoesNotFit, "{}", answer.headline);
    assert!(
        answer.warnings.iter().any(|w| w.contains("typed as psi")),
        "{:?}",
        answer.warnings
    );
}

/// Readings of another machine: twice the air, another PMV, another relief valve.
#[test]
fn another_station_is_not_taken_for_this_one() {
    let text = include_str!("../../../../stations/boathouse.toml")
        .replace(
            "charging_rate = \"100 L/min\"",
            "charging_rate = \"235 L/min\"",
        )
        .replace("opens = \"100 bar\"", "opens = \"150 bar\"")
        .replace("closes = \"70 bar\"", "closes = \"120 bar\"");
    let other = station::read(&text).station.unwrap();
    let times: Vec<(f64, &str)> = ROUTINE.iter().map(|(m, g)| (m * 0.45, *g)).collect();
    let answer = answer_to(&lines(&run_with(&other, None), &times));
    assert_ne!(answer.standing, Standing::Likely, "{}", answer.headline);
    assert_ne!(answer.standing, Standing::Sound, "{}", answer.headline);
}

#[test]
fn the_next_reading_tells_the_leading_causes_apart() {
    let ran = run_with(&station(), Some("tower-gauge-offset=9 bar"));
    let mut rows = lines(&ran, &[(0.5, "tower"), (1.0, "tower"), (1.5, "tower")]);
    for row in &mut rows {
        let bar: f64 = row.reading.trim_end_matches(" bar").parse().unwrap();
        row.reading = format!("{:.0} bar", bar + 9.0);
    }
    let answer = answer_to(&rows);
    let Some(next) = answer.next_reading else {
        panic!(
            "no reading helps: {:?}",
            answer
                .causes
                .iter()
                .map(|c| (&c.id, c.probability))
                .collect::<Vec<_>>()
        );
    };
    assert!(next.minute * 60.0 >= 90.0, "{next:?}");
    assert!(next.bits > 0.0 && next.bits < 3.0);
    assert!(next.expected.len() > 1);
    assert!(answer.next_check.is_some());
}

#[test]
fn dangers_are_told_first() {
    let rows = [request::Row {
        line: 2,
        observed: "a diver had a headache".into(),
        ..request::Row::default()
    }];
    let answer = answer_to(&rows);
    assert!(answer.warnings[0].contains("stop filling"));
}

#[test]
fn more_cylinders_than_hoses_are_refused() {
    let station = station();
    let mut request = Request::default();
    for _ in 0..3 {
        request.cylinders.extend(cylinders());
    }
    let error = diagnose(&station, &request, &|_| {})
        .unwrap_err()
        .to_string();
    assert!(error.contains("one set"), "{error}");
}
