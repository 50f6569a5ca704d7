//! How settings and the charging rate move, and the cartridge as the logged runs left it.

use std::path::Path;

use book::body::{Body, CheckKept, Part};
use book::{Amount, Book, Kind, Moment, Wanted};
use insight::drift::{
    Crossing, Point, Reset, Setting, TrendAnswer, gauge_uncertainty, measured_rate, sentence,
    tolerance_of, trend,
};
use insight::logged::{CartridgeAnswer, Today, cartridge};
use quantity::{GaugePressure, Quantity as _};
use serde::Serialize;
use station::{Reads, Station};

use super::desk;
use super::list::{title, today};
use super::records::{Records, day, moment};
use crate::draw::points::{Ahead, Points, Value};
use crate::usecase::clock::{self, Zone};
use crate::usecase::forecast::trouble_of;
use crate::usecase::{Trouble, units};

/// So many of the latest runs tell the charging rate.
const RUNS: usize = 60;
/// Standard uncertainty of a setting read from a gauge that the station file does not describe, Pa.
const NO_GAUGE_PA: f64 = 4e5;

/// 90 % of the normal distribution lies within so many standard uncertainties (standard tables).
const NINE_IN_TEN: f64 = 1.6449;

/// Each setting, the names under which it is read, and the part whose replacement begins it anew.
const SETTINGS: [(Setting, &str, Part); 4] = [
    (Setting::PmvOpens, "pmv opens", Part::Pmv),
    (Setting::PmvCloses, "pmv closes", Part::Pmv),
    (Setting::ReliefLifts, "relief lifts", Part::Relief),
    (Setting::ReliefReseats, "relief reseats", Part::Relief),
];

/// How everything moves.
#[derive(Clone, Debug, Serialize)]
pub struct DriftPage {
    /// The station.
    pub station: String,
    /// Demonstration data.
    pub invented: bool,
    /// The day it holds for.
    pub today: String,
    /// Each setting and the charging rate.
    pub trends: Vec<Trend>,
    /// What to think of.
    pub remarks: Vec<String>,
}

/// One trend with its dates.
#[derive(Clone, Debug, Serialize)]
pub struct Trend {
    /// The computation's answer; days count from 1970-01-01 UTC.
    #[serde(flatten)]
    pub answer: TrendAnswer,
    /// The day it most likely leaves its tolerance.
    pub crosses_on: Option<String>,
    /// As early as.
    pub crosses_from: Option<String>,
    /// The readings that count, with their days.
    pub points: Vec<Reading>,
}

/// One reading of a trend, in the unit of its answer.
#[derive(Clone, Debug, Serialize)]
pub struct Reading {
    /// The day.
    pub day: String,
    /// What was read.
    pub value: f64,
    /// Its standard uncertainty.
    pub standard_uncertainty: f64,
}

impl Trend {
    /// The readings as a plot. Pressures are drawn as what they are off the specified figure: a
    /// few bar matter here, and a scale from nothing would hide them.
    pub fn plot(&self) -> Points {
        let a = &self.answer;
        let shown = units::asked()
            .unwrap_or_default()
            .preferred::<GaugePressure>();
        let scale = shown.number(GaugePressure::bar(1.0).si());
        let (off, scale, unit) = match (a.unit, a.specified) {
            ("bar", Some(figure)) => {
                let at = quantity::show(GaugePressure::bar(figure), shown, 0);
                (
                    figure,
                    scale,
                    format!("{} off the specified {at}", shown.symbol),
                )
            }
            ("bar", None) => (0.0, scale, shown.symbol.to_owned()),
            _ => (0.0, 100.0, "% of the station's own figure".to_owned()),
        };
        let y = |value: f64| (value - off) * scale;
        let value = |reading: &Reading| {
            let wide = 1.645 * reading.standard_uncertainty;
            Value {
                day: number(&reading.day),
                date: reading.day.clone(),
                value: y(reading.value),
                low: y(reading.value - wide),
                high: y(reading.value + wide),
            }
        };
        let ahead = match (&a.crossing, &self.crosses_on) {
            (
                Crossing::Crosses {
                    earliest_day,
                    median_day,
                    ..
                },
                Some(on),
            ) => Some(Ahead {
                day: *median_day,
                earliest: *earliest_day,
                words: format!("leaves on {on}"),
            }),
            _ => None,
        };
        Points {
            title: format!("Readings of {}", a.setting.called()),
            unit,
            values: self.points.iter().map(value).collect(),
            least: a.tolerance_low.map(y),
            most: a.tolerance_high.map(y),
            level: a.level.map(|level| (y(level.low), y(level.high))),
            today: None,
            ahead,
            from_nothing: false,
        }
    }
}

fn number(day: &str) -> f64 {
    station::Date::parse(day).map_or(0.0, super::shelf::day_number)
}

/// How settings and the charging rate move, on a day.
pub fn drift(path: &Path, typed: Option<&str>) -> Result<DriftPage, Trouble> {
    let book = desk::read(path)?;
    let zone = desk::zone(&book)?;
    let (name, invented) = title(&book)?;
    let (today, mut remarks) = today(&book, &zone, typed)?;
    let end = zone.day_limits(today).map_or(clock::now(), |(_, end)| end);
    let records = Records::of(&book, &zone, end)?;
    let mut trends = Vec::new();
    for (setting, read_as, part) in SETTINGS {
        if tolerance_of(setting, &records.station).is_none() {
            continue;
        }
        let points = readings(&book, &records, setting, read_as)?;
        let resets = resets(&book, part, &zone)?;
        trends.push(told(
            setting,
            points,
            &resets,
            day(end),
            &records.station,
            &zone,
        ));
    }
    let (points, notes) = rates(&records);
    remarks.extend(notes);
    let resets = resets(&book, Part::Belt, &zone)?;
    trends.push(told(
        Setting::ChargingRate,
        points,
        &resets,
        day(end),
        &records.station,
        &zone,
    ));
    Ok(DriftPage {
        station: name,
        invented,
        today: today.to_string(),
        trends,
        remarks,
    })
}

fn told(
    setting: Setting,
    points: Vec<Point>,
    resets: &[Reset],
    today: f64,
    station: &Station,
    zone: &Zone,
) -> Trend {
    let tolerance = tolerance_of(setting, station);
    let mut answer = trend(setting, &points, resets, today, tolerance.as_ref());
    if let Some(units) = units::asked() {
        answer.sentence = sentence(&answer, today, units);
    }
    let on = |day: f64| zone.day_text(moment(day));
    let (crosses_on, crosses_from) = match &answer.crossing {
        Crossing::Crosses {
            median_day,
            earliest_day,
            ..
        } => (Some(on(*median_day)), Some(on(*earliest_day))),
        Crossing::CannotTell {
            earliest_day: Some(earliest),
            ..
        } => (None, Some(on(*earliest))),
        _ => (None, None),
    };
    let scale = if setting == Setting::ChargingRate {
        1.0
    } else {
        1e-5
    };
    let since = answer.since_day.unwrap_or(f64::NEG_INFINITY);
    let counts = points
        .iter()
        .filter(|point| point.day > since && point.day <= today);
    Trend {
        crosses_on,
        crosses_from,
        points: counts
            .map(|point| Reading {
                day: on(point.day),
                value: point.value * scale,
                standard_uncertainty: point.standard_uncertainty * scale,
            })
            .collect(),
        answer,
    }
}

/// Readings of a setting: written down as such, found by a test of the valve, or by a check that was
/// kept, which brings its own uncertainty.
fn readings(
    book: &Book,
    records: &Records,
    setting: Setting,
    read_as: &str,
) -> Result<Vec<Point>, Trouble> {
    let uncertainty = gauge_uncertainty(&records.station, Reads::Tower).unwrap_or(NO_GAUGE_PA);
    let wanted = Wanted {
        kinds: &[
            Kind::Reading,
            Kind::PartTested,
            Kind::ValveSet,
            Kind::CheckKept,
        ],
        ..Wanted::default()
    };
    let mut points = Vec::new();
    for event in book.events(&wanted)? {
        let (value, own) = match &event.body {
            Ok(Body::CheckKept(b)) => found(b, read_as),
            Ok(Body::Reading(b)) if b.of.trim().eq_ignore_ascii_case(read_as) => {
                (b.value.as_ref().and_then(Amount::pressure), None)
            }
            Ok(Body::PartTested(b)) if Some(b.part) == tested(setting) => {
                (b.measured.as_ref().and_then(Amount::pressure), None)
            }
            Ok(Body::ValveSet(b)) if Some(b.valve.part()) == tested(setting) => {
                (b.after.as_ref().map(|m| m.value()), None)
            }
            _ => (None, None),
        };
        points.extend(value.map(|value| Point {
            // A setting found right after the valve was set belongs to what follows.
            day: day(event.happened) + f64::from(event.kind == Kind::ValveSet.name()) * 1e-6,
            running_h: Some(records.hours.at(event.happened).hours()),
            value: quantity::Quantity::si(value),
            standard_uncertainty: own.unwrap_or(uncertainty),
        }));
    }
    Ok(points)
}

/// A setting as a check found it, with its standard uncertainty, Pa, where that was kept.
fn found(kept: &CheckKept, read_as: &str) -> (Option<GaugePressure>, Option<f64>) {
    let name = read_as.replace(' ', "_");
    let Some(setting) = kept.settings().find(|setting| setting.name == name) else {
        return (None, None);
    };
    let within = setting.within.map(|m| quantity::Quantity::si(m.value()));
    let own = within.map(|within: f64| within / NINE_IN_TEN);
    (Some(setting.found.value()), own.filter(|pa| *pa > 0.0))
}

/// The part whose test or setting tells this setting.
fn tested(setting: Setting) -> Option<Part> {
    match setting {
        Setting::PmvOpens => Some(Part::Pmv),
        Setting::ReliefLifts => Some(Part::Relief),
        _ => None,
    }
}

/// When a trend begins anew: the valve was set, or the part replaced.
fn resets(book: &Book, part: Part, zone: &Zone) -> Result<Vec<Reset>, Trouble> {
    let subject = book::Subject::Part(part.key().to_owned());
    let wanted = Wanted {
        kinds: &[Kind::ValveSet, Kind::PartReplaced],
        about: Some(&subject),
        ..Wanted::default()
    };
    let reset = |event: &book::Event| Reset {
        day: day(event.happened),
        what: format!(
            "{} on {}",
            super::words::line(event),
            zone.day_text(event.happened)
        ),
    };
    Ok(book.events(&wanted)?.iter().map(reset).collect())
}

/// The charging rate of the latest runs whose fills are written down whole.
fn rates(records: &Records) -> (Vec<Point>, Vec<String>) {
    let mut logged = records.logged(None);
    logged.retain(|run| run.ran.is_some() && !run.fills.is_empty());
    let skip = logged.len().saturating_sub(RUNS);
    let mut notes = Vec::new();
    if skip > 0 {
        notes.push(format!(
            "the charging rate is worked out from the latest {RUNS} runs"
        ));
    }
    let mut left_out = 0;
    let points =
        logged
            .iter()
            .skip(skip)
            .filter_map(|run| match measured_rate(&records.station, run) {
                Ok(rate) => {
                    let hours = records.hours.at(moment(run.start_day)).hours();
                    Some(rate.point(Some(hours)))
                }
                Err(_) => {
                    left_out += 1;
                    None
                }
            });
    let points: Vec<Point> = points.collect();
    if left_out > 0 {
        notes.push(format!(
            "{left_out} runs are left out: what is written of them does not fit together"
        ));
    }
    (points, notes)
}

/// The cartridge as the logged runs left it.
#[derive(Clone, Debug, Serialize)]
pub struct CartridgePage {
    /// The station.
    pub station: String,
    /// Demonstration data.
    pub invented: bool,
    /// When the cartridge went in, by the record.
    pub since: Option<String>,
    /// The computation's answer; none where the station file describes no drying bed.
    pub cartridge: Option<CartridgeAnswer>,
}

/// The cartridge as the runs on record left it.
pub fn cartridge_state(path: &Path) -> Result<CartridgePage, Trouble> {
    let book = desk::read(path)?;
    let zone = desk::zone(&book)?;
    let (name, invented) = title(&book)?;
    let records = Records::of(&book, &zone, clock::now())?;
    let since = since_change(&records);
    let answer = cartridge(
        &records.station,
        &records.logged(since),
        &Today::default(),
        &[],
    );
    Ok(CartridgePage {
        station: name,
        invented,
        since: since.map(|at| zone.day_text(at)),
        cartridge: answer.map_err(trouble_of)?,
    })
}

fn since_change(records: &Records) -> Option<Moment> {
    let part = records.parts.part(Part::Cartridge)?;
    part.replaced.as_ref().map(|told| told.happened)
}
