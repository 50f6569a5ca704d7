//! Readings turned into a trend, and the trend into words.
//!
//! Not here: the line ([`super::line`]) and where it meets a limit ([`super::cross`]).

use super::answer::{Apart, Crossing, Interval, Standing, TrendAnswer};
use super::cross::reach;
use super::limits::Tolerance;
use super::line::{Line, Reading, STATED, student};
use super::outlier::apart;
use super::{Point, Reset, Setting};

/// Fewer readings have no trend.
const FEWEST: usize = 3;
/// Nothing is said of what happens after so many years.
const HORIZON_YEARS: f64 = 10.0;
const DAYS_A_YEAR: f64 = 365.25;

const METHOD: &str = "straight line by weighted least squares; 90 % ranges by Student's t, never \
                      narrower than the stated uncertainties and wider where readings scatter \
                      more; days of crossing by Fieller's interval; one reading more than 3.5 \
                      scatters off is left out and named";

/// Level, slope and crossing of one setting on the day `today`, from readings in any order.
///
/// Only readings of today or before, after the last reset, with a finite value and an
/// uncertainty above zero count. The same gauge's own error moves all readings alike: it is in
/// the level's range through the stated uncertainty, and does not feign a trend.
pub fn trend(
    setting: Setting,
    points: &[Point],
    resets: &[Reset],
    today: f64,
    tolerance: Option<&Tolerance>,
) -> TrendAnswer {
    let since = last_reset(resets, today);
    let mut kept = counting(points, since, today);
    let left_out = apart(&by_day(&kept)).map(|(which, scatters)| {
        let latest = which + 1 == kept.len();
        let point = kept.remove(which);
        Apart {
            day: point.day,
            value: setting.shown(point.value),
            scatters,
            latest,
        }
    });
    let line = (kept.len() >= FEWEST)
        .then(|| Line::through(&by_day(&kept), STATED, 1.0))
        .flatten();
    let level = level(&kept, line.as_ref(), today);
    let standing = standing(level, tolerance);
    let slope = |line: &Line, per: f64| around(line.b * per, line.half_slope() * per);
    let per_year = line.as_ref().map(|line| slope(line, DAYS_A_YEAR));
    let per_100 = line
        .and_then(|_| by_hours(&kept))
        .and_then(|readings| Line::through(&readings, STATED, 1.0))
        .map(|line| slope(&line, 100.0));
    let shown = |interval: Interval| Interval {
        low: setting.shown(interval.low),
        mid: setting.shown(interval.mid),
        high: setting.shown(interval.high),
    };
    let mut answer = TrendAnswer {
        setting,
        unit: setting.unit(),
        readings: kept.len(),
        since_day: since.map(|since| since.day),
        since_what: since.map(|since| since.what.clone()),
        specified: tolerance.map(|t| setting.shown(t.specified)),
        tolerance_low: tolerance.and_then(|t| t.low).map(|si| setting.shown(si)),
        tolerance_high: tolerance.and_then(|t| t.high).map(|si| setting.shown(si)),
        level: level.map(shown),
        standing,
        per_year: per_year.map(shown),
        per_100_running_h: per_100.map(shown),
        significant: per_year.is_some_and(|s| s.low > 0.0 || s.high < 0.0),
        scatter_ratio: line.and_then(|line| line.scatter),
        apart: left_out,
        crossing: crossing(line.as_ref(), level, standing, tolerance, today),
        sentence: String::new(),
        method: METHOD,
    };
    answer.sentence = super::words::sentence(&answer, today, quantity::UnitSystem::Metric);
    answer
}

fn last_reset(resets: &[Reset], today: f64) -> Option<&Reset> {
    let before = resets.iter().filter(|reset| reset.day <= today);
    before.max_by(|a, b| a.day.total_cmp(&b.day))
}

/// The readings that count, oldest first.
fn counting(points: &[Point], since: Option<&Reset>, today: f64) -> Vec<Point> {
    let mut kept: Vec<Point> = points
        .iter()
        .filter(|p| since.is_none_or(|since| p.day >= since.day))
        .filter(|p| p.day <= today && p.value.is_finite() && p.standard_uncertainty > 0.0)
        .copied()
        .collect();
    kept.sort_by(|a, b| a.day.total_cmp(&b.day));
    kept
}

fn by_day(points: &[Point]) -> Vec<Reading> {
    let reading = |p: &Point| Reading {
        x: p.day,
        y: p.value,
        u: p.standard_uncertainty,
    };
    points.iter().map(reading).collect()
}

fn by_hours(points: &[Point]) -> Option<Vec<Reading>> {
    let reading = |p: &Point| {
        Some(Reading {
            x: p.running_h?,
            y: p.value,
            u: p.standard_uncertainty,
        })
    };
    points.iter().map(reading).collect()
}

fn around(mid: f64, half: f64) -> Interval {
    Interval {
        low: mid - half,
        mid,
        high: mid + half,
    }
}

/// Today's value: of the line, or the weighted mean of one or two readings.
fn level(points: &[Point], line: Option<&Line>, today: f64) -> Option<Interval> {
    if let Some(line) = line {
        return Some(around(line.at(today), line.half_at(today)));
    }
    let weight = |p: &Point| p.standard_uncertainty.powi(-2);
    let sum: f64 = points.iter().map(weight).sum();
    let mid = points.iter().map(|p| weight(p) * p.value).sum::<f64>() / sum;
    let chi2: f64 = points
        .iter()
        .map(|p| weight(p) * (p.value - mid).powi(2))
        .sum();
    let freedom = STATED + points.len().checked_sub(1)? as f64;
    let wider = ((STATED + chi2) / freedom).max(1.0);
    Some(around(mid, student(freedom) * (wider / sum).sqrt()))
}

fn standing(level: Option<Interval>, tolerance: Option<&Tolerance>) -> Standing {
    let (Some(level), Some(t)) = (level, tolerance) else {
        return Standing::Unknown;
    };
    let (low, high) = edges(t);
    let within = |v: f64| (low..=high).contains(&v);
    match (within(level.low) && within(level.high), within(level.mid)) {
        (true, _) => Standing::Within,
        (false, true) => Standing::LikelyWithin,
        (false, false) if level.high < low || level.low > high => Standing::Outside,
        (false, false) => Standing::LikelyOutside,
    }
}

fn edges(t: &Tolerance) -> (f64, f64) {
    (
        t.low.unwrap_or(f64::NEG_INFINITY),
        t.high.unwrap_or(f64::INFINITY),
    )
}

fn crossing(
    line: Option<&Line>,
    level: Option<Interval>,
    standing: Standing,
    tolerance: Option<&Tolerance>,
    today: f64,
) -> Crossing {
    let Some(tolerance) = tolerance else {
        return cannot("the station file gives no figure for it", None);
    };
    if standing == Standing::Outside {
        return Crossing::Outside;
    }
    let (low, high) = edges(tolerance);
    if level.is_some_and(|level| level.high - level.low > high - low) {
        return cannot("the readings spread too wide", None);
    }
    if standing == Standing::LikelyOutside {
        return Crossing::Outside;
    }
    let Some(line) = line else {
        return cannot("there are fewer than 3 readings on different days", None);
    };
    ahead(line, (low, high), today)
}

/// When a setting that is still within its band leaves it.
fn ahead(line: &Line, (low, high): (f64, f64), today: f64) -> Crossing {
    let horizon = today + HORIZON_YEARS * DAYS_A_YEAR;
    let edge = if line.b < 0.0 { "low" } else { "high" };
    let there = |limit: f64| limit.is_finite().then(|| reach(line, limit, today));
    let ends = [there(low), there(high)];
    let earliest = ends
        .iter()
        .flatten()
        .filter_map(|end| end.first)
        .filter(|day| *day < horizon)
        .min_by(f64::total_cmp);
    let Some(earliest) = earliest else {
        return Crossing::NotWithin {
            years: HORIZON_YEARS,
        };
    };
    let [at_low, at_high] = ends;
    let next = if line.b < 0.0 { at_low } else { at_high };
    let told = line.b.abs() > line.half_slope();
    match next.and_then(|end| end.middle).filter(|_| told) {
        Some(median_day) if median_day < horizon => Crossing::Crosses {
            edge,
            earliest_day: earliest,
            median_day,
            latest_day: next.and_then(|end| end.last).filter(|day| *day < horizon),
        },
        Some(_) => Crossing::NotWithin {
            years: (earliest - today) / DAYS_A_YEAR,
        },
        None => cannot(
            "no movement is seen, and the readings spread too wide to rule one out",
            Some(earliest),
        ),
    }
}

fn cannot(why: &str, earliest_day: Option<f64>) -> Crossing {
    Crossing::CannotTell {
        why: why.into(),
        earliest_day,
    }
}
