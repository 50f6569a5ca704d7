//! The verdict: every limit of a standard against the results of one sample.
//!
//! Start at [`judge`]. Not here: which limit holds ([`super::choose`]), one
//! result against one limit ([`super::compare`]), sentences ([`super::words`]).

use std::collections::BTreeMap;

use quantity::{GaugePressure, Typed};
use serde::Serialize;
use station::Date;

use super::amount::{Amount, Reading, reading};
use super::answer::{Bounds, Judged, Outcome, Overall, Verdict};
use super::choose::{Choice, choose};
use super::compare::{compare, margin};
use super::due::due;
use super::measurand::{Measurand, Measured};
use super::mistake::{At, Mistake};
use super::standard::{Allowed, Limit, Standard};
use super::{advice, elsewhere, words};
use crate::convert::{Points, Question, Substance, convert};

/// What one sample gave.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Results {
    /// The day it was taken.
    pub sampled: Option<Date>,
    /// The values, in any order, each quantity once.
    pub values: Vec<Measured>,
}

/// Where and when, as far as it is known.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Context {
    /// Where the sample was taken.
    pub point: Option<Point>,
    /// Pressure to which the cylinders in question are filled.
    pub cylinder_pressure: Option<Typed<GaugePressure>>,
    /// No oil where the machine compresses.
    pub oil_free: bool,
    /// What day it is.
    pub today: Option<Date>,
    /// The day of the last sample that passed.
    pub last_passed: Option<Date>,
}

/// Where a sample is taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Point {
    /// At the outlet of the compressor and its purifier.
    Outlet,
    /// From a filled cylinder.
    Cylinder,
}

impl Point {
    /// Reads `outlet` or `cylinder`.
    pub fn named(word: &str) -> Option<Self> {
        match word.trim().to_lowercase().as_str() {
            "outlet" => Some(Self::Outlet),
            "cylinder" => Some(Self::Cylinder),
            _ => None,
        }
    }

    /// `at the outlet`, `in a cylinder`.
    pub fn in_words(self) -> &'static str {
        match self {
            Self::Outlet => "at the outlet",
            Self::Cylinder => "in a cylinder",
        }
    }
}

/// The results, read: by quantity, as given and normalised.
pub(super) type Taken = BTreeMap<Measurand, (String, Reading)>;

/// Judges one sample by one standard.
///
/// A result passes when all of its uncertainty lies within the limit, fails
/// when all of it lies beyond. What the standard limits and nobody measured
/// cannot be told. Where it is not known which limit holds (sampling point,
/// cylinder pressure), the result is held against each that may.
///
/// **Errors** every result that cannot be read, with its place.
pub fn judge(
    results: &Results,
    standard: &Standard,
    context: &Context,
) -> Result<Verdict, Vec<Mistake>> {
    let taken = take(results, context)?;
    let quantities = rows(&taken, standard, context);
    let overall = overall(&quantities);
    let due = due(standard, results.sampled, context.today);
    let mut verdict = Verdict {
        standard: standard.name.clone(),
        edition: standard.edition.clone(),
        overall,
        sentence: String::new(),
        not_limited: not_limited(&taken, standard, context),
        otherwise: elsewhere::otherwise(&taken, standard, results, context, &quantities),
        advice: Vec::new(),
        notes: Vec::new(),
        quantities,
        due,
    };
    verdict.sentence = words::sentence(&verdict);
    verdict.notes = words::notes(&verdict, standard, context);
    verdict.advice = advice::advice(&verdict, context);
    Ok(verdict)
}

/// Reads every result, or tells of every one that cannot be read.
pub(super) fn take(results: &Results, context: &Context) -> Result<Taken, Vec<Mistake>> {
    let mut taken = Taken::new();
    let mut mistakes = Vec::new();
    for (place, measured) in results.values.iter().enumerate() {
        if taken.contains_key(&measured.what) {
            let cause = format!("{} is given twice", measured.what.name());
            let mistake =
                Mistake::new(cause, "keep the result of this sample, one line a quantity");
            mistakes.push(mistake.at(At::Result(place)));
        }
        match reading(measured) {
            Ok(found) => {
                taken.insert(measured.what, (measured.as_given(), found));
            }
            Err(mistake) => mistakes.push(mistake.at(At::Result(place))),
        }
    }
    if results.values.is_empty() {
        mistakes.push(Mistake::new(
            "no result is given",
            "add at least one, like oxygen",
        ));
    }
    if let (Some(sampled), Some(today)) = (results.sampled, context.today)
        && sampled > today
    {
        let cause = format!("the sample is dated {sampled}, after today, {today}");
        mistakes.push(Mistake::new(cause, "correct the day of the sample").at(At::Sampled));
    }
    match mistakes.is_empty() {
        true => Ok(taken),
        false => Err(mistakes),
    }
}

/// A row for every quantity the standard limits.
pub(super) fn rows(taken: &Taken, standard: &Standard, context: &Context) -> Vec<Judged> {
    let row = |what| row(taken.get(&what), standard, what, context);
    Measurand::ALL.into_iter().filter_map(row).collect()
}

/// One failure is a failure; nothing limited is nothing told.
pub(super) fn overall(rows: &[Judged]) -> Overall {
    if rows.iter().any(|row| row.outcome == Outcome::Fails) {
        Overall::Fails
    } else if rows.is_empty() || rows.iter().any(|row| !row.outcome.is_decided()) {
        Overall::CannotTell
    } else {
        Overall::Passes
    }
}

fn row(
    result: Option<&(String, Reading)>,
    standard: &Standard,
    what: Measurand,
    context: &Context,
) -> Option<Judged> {
    let (limits, outcome) = match choose(standard, what, context) {
        Choice::NotLimited => return None,
        Choice::NoneHere { why, settle } => {
            let all: Vec<&Limit> = standard.limits.iter().filter(|l| l.what == what).collect();
            (all, Outcome::CannotTell { why, settle })
        }
        Choice::Of(limits) => match result {
            None if context.oil_free && limits.iter().all(|l| l.not_for_oil_free) => return None,
            None => (limits, not_measured(what)),
            Some((_, reading)) => settle(limits, reading, context),
        },
    };
    let first = limits.first()?;
    let said: Vec<String> = limits.iter().map(|l| l.in_words()).collect();
    let single = limits.len() == 1;
    Some(Judged {
        what,
        given: result.map(|(given, _)| given.clone()),
        reading: result.map(|(_, reading)| reading.clone()),
        also: result.and_then(|(_, reading)| in_other_units(what, reading, context)),
        limit: said.join(" or "),
        bounds: bounds(first).filter(|_| single),
        margin: result
            .filter(|_| single)
            .and_then(|(_, reading)| margin(reading, first)),
        outcome,
        note: first.note.clone(),
        source: first.source.clone(),
        certainty: first.certainty,
        unverified: limits.iter().any(|l| l.certainty.is_unverified()),
    })
}

fn bounds(limit: &Limit) -> Option<Bounds> {
    let Allowed::Within { least, most } = &limit.allowed else {
        return None;
    };
    Some(Bounds {
        least: least.as_ref().map(|bound| bound.value),
        most: most.as_ref().map(|bound| bound.value),
    })
}

fn not_measured(what: Measurand) -> Outcome {
    let (why, settle) = match what {
        Measurand::LiquidWater => (
            "nobody says whether drops of water were seen".to_owned(),
            "look whether drops come when the valve is opened a little, its outlet away from \
             people, and write none, slight or strong"
                .to_owned(),
        ),
        Measurand::Odour => (
            "nobody says whether the air smells or tastes".to_owned(),
            "have it smelt once carbon monoxide is known to pass, and write none, slight or strong"
                .to_owned(),
        ),
        _ => (
            "not measured".to_owned(),
            format!("have {} measured", what.name()),
        ),
    };
    Outcome::CannotTell { why, settle }
}

/// The limits that matter for the outcome, and the outcome: of several that
/// may hold the strictest where all are kept, the loosest where none is.
fn settle<'a>(
    mut limits: Vec<&'a Limit>,
    reading: &Reading,
    context: &Context,
) -> (Vec<&'a Limit>, Outcome) {
    limits.sort_by(|a, b| a.allowed.most().total_cmp(&b.allowed.most()));
    let outcomes: Vec<Outcome> = limits.iter().map(|l| compare(reading, l)).collect();
    let all = |wanted: Outcome| outcomes.iter().all(|o| *o == wanted);
    if all(Outcome::Passes) {
        limits.truncate(1);
        return (limits, Outcome::Passes);
    }
    if all(Outcome::Fails) {
        let loosest = limits.pop().into_iter().collect();
        return (loosest, Outcome::Fails);
    }
    if let ([_], [only]) = (limits.as_slice(), outcomes.as_slice()) {
        let outcome = only.clone();
        return (limits, outcome);
    }
    let outcome = Outcome::CannotTell {
        why: "the result keeps one of the limits that may hold and not the other".into(),
        settle: which(&limits, context),
    };
    (limits, outcome)
}

/// What would say which of the limits holds.
fn which(limits: &[&Limit], context: &Context) -> String {
    let by_point = limits.iter().any(|l| l.point.is_some());
    match (
        by_point && context.point.is_none(),
        context.cylinder_pressure,
    ) {
        (true, Some(_)) => "say where the sample was taken: outlet or cylinder".into(),
        (true, None) => {
            "say where the sample was taken (outlet or cylinder) and the cylinder's pressure".into()
        }
        (false, None) => "say to which pressure the cylinder is filled".into(),
        (false, Some(typed)) => {
            format!("ask whoever enforces the standard which limit holds for {typed}")
        }
    }
}

/// Water in ppm and as a dew or frost point.
fn in_other_units(what: Measurand, reading: &Reading, context: &Context) -> Option<String> {
    let (Measurand::Water, Reading::Counted(Amount { value, .. })) = (what, reading) else {
        return None;
    };
    let at = context.cylinder_pressure;
    let converted = convert(&Question {
        amount: format!("{value} mg/m3"),
        of: Substance::Water,
        at: at.map(|typed| typed.value),
        temperature: None,
        point_at_pressure: false,
    })
    .ok()?;
    let point = |points: &Points, place: &str| match (points.frost_c, points.dew_c) {
        (Some(c), _) => Some(format!("frost point {c:.1} °C at {place}")),
        (None, Some(c)) => Some(format!("dew point {c:.1} °C at {place}")),
        (None, None) => None,
    };
    let parts = [
        converted.ppm.map(|ppm| format!("{ppm:.1} ppm")),
        converted
            .at_1_atm
            .and_then(|points| point(&points, "1 atm")),
        converted
            .at_pressure
            .zip(at)
            .and_then(|(points, typed)| point(&points, &typed.to_string())),
    ];
    let parts: Vec<String> = parts.into_iter().flatten().collect();
    Some(parts.join("; "))
}

/// Names of what was measured and is not limited.
fn not_limited(taken: &Taken, standard: &Standard, context: &Context) -> Vec<String> {
    let free = |what: &&Measurand| matches!(choose(standard, **what, context), Choice::NotLimited);
    taken
        .keys()
        .filter(free)
        .map(|what| what.name().to_owned())
        .collect()
}
