//! What an entry says, in one line: for lists, day sheets and pages.

use book::answer::Doubt;
use book::body::{
    AirTest, CheckKept, CylinderInspected, CylinderRegistered, Drained, Fill, FillRefused,
    IntervalSet, Parked, PartReplaced, PartTested, PriceSet, Reading, RunStarted, RunStopped,
    ValveSet,
};
use book::{Body, Event};

use crate::usecase::units::{both, both_of};

/// The line of an event; of one that cannot be read, why.
pub fn line(event: &Event) -> String {
    match &event.body {
        Ok(body) => of_body(body),
        Err(error) => error.to_string(),
    }
}

/// The line of a body.
pub fn of_body(body: &Body) -> String {
    match body {
        Body::BookBegun(b) => joined([Some(b.station.clone()), b.remark.clone()]),
        Body::StationRevised(b) => joined([Some(b.name.clone()), b.why.clone()]),
        Body::RulesChosen(b) => joined([
            b.cylinder_rule
                .as_ref()
                .map(|rule| format!("cylinders by {rule}")),
            b.air_standard
                .as_ref()
                .map(|standard| format!("air by {standard}")),
        ]),
        Body::IntervalSet(b) => interval(b),
        Body::PriceSet(b) => price(b),
        Body::CylinderRegistered(b) => registered(b),
        Body::CylinderInspected(b) => inspected(b),
        Body::CylinderCondemned(b) => format!("{}: {}", b.cylinder, b.why),
        Body::CylinderLeft(b) => format!("{}: {}", b.cylinder, b.why),
        Body::RunStarted(b) => started(b),
        Body::RunStopped(b) => stopped(b),
        Body::Reading(b) => reading(b),
        Body::Drained(b) => drained(b),
        Body::Fill(b) => fill(b),
        Body::FillRefused(b) => refused(b),
        Body::ValveSet(b) => valve(b),
        Body::PartReplaced(b) => replaced(b),
        Body::PartTested(b) => tested(b),
        Body::CheckKept(b) => checked(b),
        Body::AirTest(b) => air(b),
        Body::Parked(b) => parked(b),
        Body::SymptomReported(b) => joined([
            Some(b.what.clone()),
            b.person
                .as_ref()
                .map(|person| format!("reported of {person}")),
            b.cylinder.as_ref().map(|id| format!("from cylinder {id}")),
        ]),
        Body::CauseRecorded(b) => format!("of entry {}: {}; {}", b.of, b.cause, b.done),
        Body::Released(b) => {
            let which = match b.cylinders.is_empty() {
                true => "all set aside".to_owned(),
                false => b.cylinders.join(", "),
            };
            format!("{which} by entry {}: {}", b.of, b.why)
        }
        Body::Note(b) => joined([b.cylinder.clone(), Some(b.text.clone())]),
        Body::Correction(b) => {
            let does = if b.becomes.is_some() {
                "corrects"
            } else {
                "withdraws"
            };
            format!("{does} entry {}: {}", b.of, b.why)
        }
    }
}

/// The parts there are, with commas.
fn joined(parts: impl IntoIterator<Item = Option<String>>) -> String {
    let parts: Vec<String> = parts.into_iter().flatten().collect();
    parts.join(", ")
}

fn interval(b: &IntervalSet) -> String {
    let every: Vec<String> = [
        b.hours.as_ref().map(ToString::to_string),
        b.months.map(|months| format!("{months} months")),
        b.free_air
            .as_ref()
            .map(|air| format!("{} of free air", both(air))),
    ]
    .into_iter()
    .flatten()
    .collect();
    match every.is_empty() {
        true => format!("{}: no interval ({})", b.part, b.source),
        false => format!("{} every {} ({})", b.part, every.join(" or "), b.source),
    }
}

fn price(b: &PriceSet) -> String {
    format!("{} {} a {}", b.amount, b.currency, b.of.called())
}

fn registered(b: &CylinderRegistered) -> String {
    joined([
        Some(b.cylinder.clone()),
        b.water_volume.as_ref().map(ToString::to_string),
        b.free_air.as_ref().map(|air| format!("{air} of free air")),
        b.working_pressure.as_ref().map(ToString::to_string),
        b.stamp.as_ref().map(|stamp| format!("stamped {stamp}")),
        b.owner.as_ref().map(|owner| format!("of {owner}")),
    ])
}

fn inspected(b: &CylinderInspected) -> String {
    let check = match b.check {
        book::body::Check::Test => "pressure test",
        book::body::Check::Visual => "visual inspection",
        book::body::Check::EddyCurrent => "eddy-current examination",
    };
    let outcome = if b.passed { "passed" } else { "NOT passed" };
    joined([
        Some(format!("{}: {check} of {} {outcome}", b.cylinder, b.on)),
        b.by.as_ref().map(|by| format!("by {by}")),
        b.remark.clone(),
    ])
}

fn started(b: &RunStarted) -> String {
    joined([
        b.hours.as_ref().map(|hours| format!("hour meter {hours}")),
        b.tower
            .as_ref()
            .map(|tower| format!("tower {}", both(tower))),
        b.intake_temperature
            .as_ref()
            .map(|t| format!("intake {}", both(t))),
        b.humidity.as_ref().map(|h| format!("{h} humidity")),
        planned(b),
        (!b.checked.is_empty()).then(|| format!("looked at: {}", b.checked.join(", "))),
    ])
}

/// What is to be filled: `to fill: A1 from 50 bar, A2`.
fn planned(b: &RunStarted) -> Option<String> {
    let one = |planned: &book::body::Planned| match &planned.from {
        Some(from) => format!("{} from {}", planned.cylinder, both(from)),
        None => planned.cylinder.clone(),
    };
    let all: Vec<String> = b.planned.iter().map(one).collect();
    (!all.is_empty()).then(|| format!("to fill: {}", all.join(", ")))
}

fn stopped(b: &RunStopped) -> String {
    joined([
        b.hours.as_ref().map(|hours| format!("hour meter {hours}")),
        b.tower
            .as_ref()
            .map(|tower| format!("tower {}", both(tower))),
        b.why.clone(),
    ])
}

fn reading(b: &Reading) -> String {
    let value = b.value.as_ref().map(both_of).unwrap_or_default();
    joined([
        Some(format!("{} {value}", b.of).trim().to_owned()),
        b.observed.clone(),
    ])
}

fn drained(b: &Drained) -> String {
    let what = b
        .volume
        .as_ref()
        .map_or("amount not written down".to_owned(), ToString::to_string);
    joined([b.drain.clone(), Some(what), b.looks.clone()])
}

fn fill(b: &Fill) -> String {
    let pressures = match (b.from.as_ref().map(both), b.to.as_ref().map(both)) {
        (Some(from), Some(to)) => Some(format!("{from} to {to}")),
        (Some(from), None) => Some(format!("from {from}")),
        (None, Some(to)) => Some(format!("to {to}")),
        (None, None) => None,
    };
    let gate = b.gate.as_ref();
    let overridden = gate.filter(|gate| !gate.overridden.is_empty()).map(|gate| {
        let who: Vec<String> = gate
            .overridden
            .iter()
            .map(|o| format!("{} overridden by {}: {}", o.refusal, o.by, o.reason))
            .collect();
        who.join("; ")
    });
    let against = gate.filter(|gate| !gate.against.is_empty()).map(|gate| {
        let what: Vec<&str> = gate.against.iter().map(|r| r.what.as_str()).collect();
        format!("FILLED ALTHOUGH {}", what.join("; "))
    });
    joined([
        Some(b.cylinder.clone()),
        pressures,
        b.took.as_ref().map(|took| format!("in {took}")),
        b.settled.as_ref().map(|settled| match &b.settled_at {
            Some(at) => format!("settled {} at {}", both(settled), both(at)),
            None => format!("settled {}", both(settled)),
        }),
        b.person.as_ref().map(|person| format!("for {person}")),
        b.from_bank.as_ref().map(|bank| format!("from bank {bank}")),
        gate.and_then(|gate| gate.protected_at.as_ref())
            .map(|p| format!("line held at {}", both(p))),
        overridden,
        against,
        b.remark.clone(),
    ])
}

fn refused(b: &FillRefused) -> String {
    let reasons: Vec<&str> = b.refusals.iter().map(|r| r.what.as_str()).collect();
    let who = b
        .person
        .as_ref()
        .map(|person| format!(" of {person}"))
        .unwrap_or_default();
    format!("{}{who}: {}", b.cylinder, reasons.join("; "))
}

fn valve(b: &ValveSet) -> String {
    let moved = match (b.before.as_ref().map(both), b.after.as_ref().map(both)) {
        (Some(before), Some(after)) => Some(format!("{before} to {after}")),
        (None, Some(after)) => Some(format!("to {after}")),
        (Some(before), None) => Some(format!("from {before}")),
        (None, None) => None,
    };
    joined([
        Some(b.valve.to_string()),
        moved,
        b.turns.map(|turns| format!("{turns:+} turns")),
        Some(format!("by {}", b.set_by)),
        b.manual.clone(),
    ])
}

fn replaced(b: &PartReplaced) -> String {
    joined([
        Some(b.part.to_string()),
        b.which.clone(),
        b.hours.as_ref().map(|hours| format!("hour meter {hours}")),
        b.detail.clone(),
        b.by.as_ref().map(|by| format!("by {by}")),
    ])
}

fn checked(b: &CheckKept) -> String {
    let good = b.baseline.then(|| "kept as a good run".to_owned());
    let run = b.run.map(|run| format!("run of entry {run}"));
    joined([Some(b.says.clone()), run, good, b.remark.clone()])
}

fn tested(b: &PartTested) -> String {
    let outcome = if b.passed { "passed" } else { "NOT passed" };
    joined([
        Some(format!("{} {outcome}", b.part)),
        b.which.clone(),
        b.measured.as_ref().map(both_of),
        b.by.as_ref().map(|by| format!("by {by}")),
        b.remark.clone(),
    ])
}

fn air(b: &AirTest) -> String {
    joined([
        b.sampled.as_ref().map(|day| format!("sample of {day}")),
        Some(b.sentence.clone()),
        b.laboratory.as_ref().map(|by| format!("measured by {by}")),
    ])
}

fn parked(b: &Parked) -> String {
    joined([
        b.tower
            .as_ref()
            .map(|tower| format!("tower left at {}", both(tower))),
        b.hours.as_ref().map(|hours| format!("hour meter {hours}")),
        (!b.done.is_empty()).then(|| b.done.join(", ")),
        b.remark.clone(),
    ])
}

/// What does not fit together in the records of hours, in a sentence.
pub fn doubt(doubt: &Doubt) -> String {
    match doubt {
        Doubt::NeverStopped {
            start,
            next,
            counted_h,
        } => format!(
            "the run of entry {start} was never stopped before the next began (entry {next}); \
             {counted_h:.1} h are counted"
        ),
        Doubt::StopWithoutStart { stop } => {
            format!("entry {stop} stops a run that was never started; its time is not counted")
        }
        Doubt::Overlap {
            starts: [a, b],
            stops: [c, d],
        } => format!("runs overlap (starts {a} and {b}, stops {c} and {d}); counted as one"),
        Doubt::LongRun { start, stop, hours } => {
            let stop = stop.map_or("it still goes on".to_owned(), |stop| format!("stop {stop}"));
            format!("the run of entry {start} took {hours:.0} h ({stop}); was its stop forgotten?")
        }
        Doubt::MeterBack {
            before,
            after,
            from_h,
            to_h,
        } => format!(
            "the hour meter went back from {from_h:.1} h (entry {before}) to {to_h:.1} h (entry \
             {after}): replaced, reset or misread; counted by the clock between"
        ),
        Doubt::MeterAhead {
            before,
            after,
            meter_h,
            passed_h,
        } => format!(
            "the hour meter went {meter_h:.1} h on in {passed_h:.1} h (entries {before} and {after}): \
             misread or replaced; counted by the clock between"
        ),
        Doubt::Disagree {
            before,
            after,
            meter_h,
            clock_h,
        } => format!(
            "between entries {before} and {after} the hour meter went {meter_h:.1} h and the recorded \
             runs took {clock_h:.1} h; the meter counts"
        ),
        Doubt::OutOfOrder { entry, after } => {
            format!("entry {entry} is dated before entry {after}, which was written earlier")
        }
        Doubt::Ahead { entry } => format!("entry {entry} is dated after it was written"),
        Doubt::FillOutsideRun { fill } => {
            format!("entry {fill} fills a cylinder while no run is recorded, and from no bank")
        }
    }
}
