//! One item of the station turned into a row.

use super::answer::{DueDates, DueItem, LimitKind, LimitUse, State};
use super::calendar::{date_of, day_number};
use super::{Interval, Kept, Usage, hints};
use crate::cylinder::When;
use station::{Date, Station};

/// Due within so many days is due now; within so many, soon (common practice, no source).
const NOW_DAYS: i64 = 7;
const SOON_DAYS: i64 = 45;
/// Used so far, soon (common practice, no source).
const SOON_FRACTION: f64 = 0.9;
/// Between minus and plus this many deviations lie 90 % of a normal distribution.
const NINETY: f64 = 1.645;
/// Use may change by this factor where the number of runs is not known (common practice, no
/// source).
const USE_MAY_CHANGE: f64 = 1.5;

/// Use a day: low, likely, high.
#[derive(Clone, Copy)]
struct Rate([f64; 3]);

pub(super) fn row(kept: &Kept, usage: &Usage, station: &Station) -> DueItem {
    let done = kept.done.as_ref();
    let by_meter = || Some(usage.running_h? - done?.running_h?).filter(|h| *h >= 0.0);
    let since_running_h = kept.since_running_h.or_else(by_meter);
    let known = kept.interval.as_ref().filter(|interval| sensible(interval));
    let limits: Vec<LimitUse> = known
        .map(|interval| limits(interval, kept, since_running_h, usage))
        .unwrap_or_default();
    let first = first(&limits);
    let state = state(known.is_some(), done.is_some(), first, &limits, usage.today);
    let mut row = DueItem {
        item: kept.item,
        name: name(kept),
        which: kept.which.clone(),
        state,
        last: done.map(|done| done.day.to_string()),
        last_what: done.map(|done| done.what.clone()),
        last_running_h: done.and_then(|done| done.running_h),
        since_running_h,
        since_free_air_litres: kept.since_free_air_litres,
        first: first.map(|limit| limit.kind),
        fraction: first.and_then(|limit| limit.fraction),
        due: first.and_then(|limit| limit.due.clone()),
        source: known.map(|interval| interval.source.clone()),
        certainty: None,
        hints: if known.is_none() {
            hints::of(kept.item, station)
        } else {
            Vec::new()
        },
        limits,
        sentence: String::new(),
    };
    row.sentence = super::other::sentence(&row);
    row
}

fn name(kept: &Kept) -> String {
    match &kept.which {
        Some(which) => format!("{} {which}", kept.item.called()),
        None => kept.item.called().into(),
    }
}

/// An interval with nothing in it is taken away.
fn sensible(interval: &Interval) -> bool {
    let positive = |value: Option<f64>| value.is_some_and(|v| v > 0.0);
    positive(interval.running_h)
        || positive(interval.free_air_litres)
        || interval.months.is_some_and(|m| m > 0)
}

fn limits(
    interval: &Interval,
    kept: &Kept,
    since_running_h: Option<f64>,
    usage: &Usage,
) -> Vec<LimitUse> {
    let mut limits = Vec::new();
    let day = kept.done.as_ref().map(|done| done.day);
    if let Some(months) = interval.months.filter(|m| *m > 0) {
        limits.push(by_calendar(months, day, usage.today));
    }
    let uses = [
        (
            LimitKind::RunningH,
            interval.running_h,
            since_running_h,
            usage.recent_h,
        ),
        (
            LimitKind::FreeAirLitres,
            interval.free_air_litres,
            kept.since_free_air_litres,
            usage.recent_free_air_litres,
        ),
    ];
    for (kind, limit, used, recent) in uses {
        let Some(limit) = limit.filter(|limit| *limit > 0.0) else {
            continue;
        };
        // since when is not known, so neither is how much
        let used = used.filter(|_| day.is_some());
        let rate = recent.and_then(|recent| rate(recent, usage));
        limits.push(LimitUse {
            kind,
            limit,
            used,
            fraction: used.map(|used| used / limit),
            due: used.and_then(|used| by_use(limit - used, rate, usage.today)),
        });
    }
    limits
}

fn by_calendar(months: u32, day: Option<Date>, today: Date) -> LimitUse {
    let due = day.map(|day| When::on(day).after_months(months).first_day());
    let used_days = day.map(|day| (day_number(today) - day_number(day)) as f64);
    let fraction = day
        .zip(due)
        .zip(used_days)
        .map(|((day, due), used)| used / ((day_number(due) - day_number(day)) as f64).max(1.0));
    LimitUse {
        kind: LimitKind::Months,
        limit: f64::from(months),
        used: fraction.map(|fraction| fraction * f64::from(months)),
        fraction,
        due: due.map(|due| DueDates {
            earliest: due.to_string(),
            likely: due.to_string(),
            latest: Some(due.to_string()),
            likely_day_number: day_number(due),
        }),
    }
}

/// Use a day from that of late. Runs come and go as they do: n of them tell the rate to 1/√n.
fn rate(recent: f64, usage: &Usage) -> Option<Rate> {
    let likely = recent / usage.recent_days;
    if !(likely > 0.0 && likely.is_finite()) {
        return None;
    }
    Some(match usage.recent_runs {
        Some(runs) if runs > 0 => {
            let by = NINETY / f64::from(runs).sqrt();
            Rate([likely * (1.0 - by).max(0.0), likely, likely * (1.0 + by)])
        }
        _ => Rate([likely / USE_MAY_CHANGE, likely, likely * USE_MAY_CHANGE]),
    })
}

/// When so much more will have been used. What is used up was due today or before.
fn by_use(left: f64, rate: Option<Rate>, today: Date) -> Option<DueDates> {
    let now = day_number(today);
    let after = |per_day: f64| {
        let days = (left / per_day).max(0.0);
        // beyond the calendar's end there is no date
        (days < 200.0 * 366.0).then(|| now + days.floor() as i64)
    };
    if left <= 0.0 {
        let text = today.to_string();
        return Some(DueDates {
            earliest: text.clone(),
            likely: text.clone(),
            latest: Some(text),
            likely_day_number: now,
        });
    }
    let Rate([low, likely, high]) = rate?;
    let likely_day_number = after(likely)?;
    let date = |day: i64| date_of(day).map(|d| d.to_string());
    Some(DueDates {
        earliest: date(after(high)?)?,
        likely: date(likely_day_number)?,
        latest: after(low).and_then(date),
        likely_day_number,
    })
}

/// The limit that comes first: by date, and by what is used where dates are not known.
fn first(limits: &[LimitUse]) -> Option<&LimitUse> {
    let spent = limits
        .iter()
        .filter(|l| l.fraction.is_some_and(|f| f >= 1.0));
    let most = |a: &&LimitUse, b: &&LimitUse| {
        a.fraction
            .unwrap_or(0.0)
            .total_cmp(&b.fraction.unwrap_or(0.0))
    };
    let day = |l: &LimitUse| l.due.as_ref().map(|due| due.likely_day_number);
    spent
        .max_by(most)
        .or_else(|| {
            let dated = limits.iter().filter(|l| l.due.is_some());
            dated.min_by_key(|l| day(l))
        })
        .or_else(|| limits.iter().filter(|l| l.fraction.is_some()).max_by(most))
}

fn state(
    interval: bool,
    recorded: bool,
    first: Option<&LimitUse>,
    limits: &[LimitUse],
    today: Date,
) -> State {
    if !interval {
        return State::NoInterval;
    }
    let Some(first) = first.filter(|_| recorded) else {
        return State::NeverRecorded;
    };
    let days = first
        .due
        .as_ref()
        .map(|due| due.likely_day_number - day_number(today));
    // on its last day by the calendar it is still in time; what is used up by hours is over
    let passed = |l: &LimitUse| match l.kind {
        LimitKind::Months => l.fraction.is_some_and(|f| f > 1.0),
        _ => l.fraction.is_some_and(|f| f > 1.0 + 1e-9),
    };
    let used = limits.iter().filter_map(|l| l.fraction).fold(0.0, f64::max);
    match days {
        _ if limits.iter().any(passed) => State::Over,
        _ if used >= 1.0 - 1e-9 => State::Due,
        Some(days) if days <= NOW_DAYS => State::Due,
        Some(days) if days <= SOON_DAYS => State::Soon,
        _ if used >= SOON_FRACTION => State::Soon,
        _ => State::InTime,
    }
}
