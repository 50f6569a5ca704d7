//! Small histories to fold: bodies written short, events numbered from 1.

use book::body::{
    AirTest, CauseRecorded, Check, CylinderInspected, CylinderRegistered, Fill, Outcome, Part,
    PartReplaced, Released, RunStarted, RunStopped, SymptomReported,
};
use book::{Body, Event, Measure, Moment};

use crate::common::MORNING;

/// So many hours after 2026-05-20 08:00 UTC.
pub fn h(hours: f64) -> Moment {
    Moment(MORNING.0 + (hours * 3600.0).round() as i64 * 1_000_000)
}

/// 08:00 UTC so many days after 2026-05-20.
pub fn d(days: f64) -> Moment {
    h(24.0 * days)
}

/// Events written when they happened.
pub fn history(told: Vec<(Moment, Body)>) -> Vec<Event> {
    let event = |(seq, (at, body)): (u64, (Moment, Body))| Event {
        seq,
        carrier: seq,
        happened: at,
        recorded: at,
        zone: "Europe/Dublin".into(),
        author: "MK".into(),
        kind: body.kind().name().into(),
        withdrawn: false,
        body: Ok(body),
    };
    (1..).zip(told).map(event).collect()
}

pub fn start(meter: Option<f64>) -> Body {
    let hours = meter.map(|h| Measure::parse(&format!("{h} h")).unwrap());
    Body::RunStarted(RunStarted {
        hours,
        ..RunStarted::default()
    })
}

pub fn stop(meter: Option<f64>) -> Body {
    let hours = meter.map(|h| Measure::parse(&format!("{h} h")).unwrap());
    Body::RunStopped(RunStopped {
        hours,
        ..RunStopped::default()
    })
}

pub fn fill(cylinder: &str, person: &str) -> Body {
    Body::Fill(Fill {
        cylinder: cylinder.into(),
        person: Some(person.into()),
        ..Fill::default()
    })
}

pub fn from_bank(cylinder: &str, bank: &str) -> Body {
    Body::Fill(Fill {
        cylinder: cylinder.into(),
        from_bank: Some(bank.into()),
        ..Fill::default()
    })
}

pub fn cartridge() -> Body {
    Body::PartReplaced(PartReplaced {
        part: Part::Cartridge,
        hours: None,
        which: None,
        detail: None,
        by: None,
    })
}

pub fn air_test(outcome: Outcome, sampled: Option<&str>) -> Body {
    test_of(outcome, sampled, None)
}

pub fn test_of(outcome: Outcome, sampled: Option<&str>, cylinder: Option<&str>) -> Body {
    Body::AirTest(AirTest {
        sampled: sampled.map(str::to_owned),
        standard: "an invented standard, 1st edition".into(),
        outcome,
        sentence: "invented".into(),
        laboratory: None,
        cylinder: cylinder.map(str::to_owned),
        results: String::new(),
    })
}

pub fn symptom(cylinder: Option<&str>) -> Body {
    Body::SymptomReported(SymptomReported {
        what: "headache after a dive".into(),
        person: None,
        cylinder: cylinder.map(str::to_owned),
    })
}

pub fn cause(of: u64) -> Body {
    Body::CauseRecorded(CauseRecorded {
        of,
        cause: "exhaust at the intake".into(),
        done: "intake moved".into(),
    })
}

pub fn released(of: u64, cylinders: &[&str]) -> Body {
    Body::Released(Released {
        of,
        cylinders: cylinders.iter().map(|&name| name.to_owned()).collect(),
        why: "vented to nothing".into(),
    })
}

pub fn registered(cylinder: &str) -> Body {
    Body::CylinderRegistered(CylinderRegistered {
        cylinder: cylinder.into(),
        ..CylinderRegistered::default()
    })
}

pub fn inspected(cylinder: &str, check: Check, on: &str, passed: bool) -> Body {
    Body::CylinderInspected(CylinderInspected {
        cylinder: cylinder.into(),
        check,
        on: on.into(),
        passed,
        by: None,
        plus: None,
        remark: None,
    })
}
