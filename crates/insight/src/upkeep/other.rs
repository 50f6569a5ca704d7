//! Rows from an air standard and from the fill gate, and the sentence of any row.

use super::answer::{DueDates, DueItem, Item, LimitKind, LimitUse, State};
use super::calendar::day_number;
use crate::air::{Due, DueState, Mistake, Standard};
use crate::cylinder::answer::CheckAnswer;
use crate::cylinder::{FillAnswer, When};
use station::Date;

/// Months ahead for which a cylinder's examination is soon due, days (common practice, no source).
const SOON_DAYS: i64 = 45;

/// When the next air sample is due by an air standard, named as for [`crate::air::find`].
///
/// **Errors** no standard, or more than one, of that name: the message lists them.
pub fn air_sample<'a>(
    standard: &str,
    known: impl IntoIterator<Item = &'a Standard>,
    sampled: Option<Date>,
    today: Date,
) -> Result<DueItem, Mistake> {
    let standard = crate::air::find(standard, known)?;
    let mut row = blank(Item::AirSample, Item::AirSample.called().into());
    row.last = sampled.map(|day| day.to_string());
    row.last_what = sampled.map(|_| "sampled".into());
    match crate::air::due(standard, sampled, Some(today)) {
        Some(due) => {
            with_due(&mut row, &due, sampled, today);
            row.source = Some(standard.title());
        }
        None => row.hints = super::hints::samples(),
    }
    row.sentence = sentence(&row);
    Ok(row)
}

fn with_due(row: &mut DueItem, due: &Due, sampled: Option<Date>, today: Date) {
    row.certainty = due
        .unverified
        .then(|| "not seen in the standard itself".into());
    let Some((sampled, usual)) = sampled.zip(due.usual_on.as_deref().and_then(Date::parse)) else {
        row.state = State::NeverRecorded;
        return;
    };
    let (begun, last, now) = (day_number(sampled), day_number(usual), day_number(today));
    row.state = match due.state {
        DueState::Overdue => State::Over,
        DueState::InWindow => State::Due,
        DueState::Unknown => State::NeverRecorded,
        DueState::Current if last - now <= SOON_DAYS => State::Soon,
        DueState::Current => State::InTime,
    };
    let dates = DueDates {
        earliest: usual.to_string(),
        likely: usual.to_string(),
        latest: due.latest_on.clone(),
        likely_day_number: last,
    };
    let fraction = (now - begun) as f64 / ((last - begun) as f64).max(1.0);
    let months = f64::from(due.every_months);
    by_months(row, months, fraction, dates);
}

/// Each examination of a cylinder as a row.
pub fn cylinder_checks(answer: &FillAnswer, today: Date) -> Vec<DueItem> {
    let one = |check: &CheckAnswer| {
        let what = match check.check {
            "test" => "pressure test",
            other => other,
        };
        let name = format!("cylinder {}: {what}", answer.cylinder);
        let mut row = blank(Item::Cylinder, name);
        row.which = Some(answer.cylinder.clone());
        row.last = check.last.map(|last| last.to_string());
        row.last_what = check.last.map(|_| what.into());
        row.source = Some(check.source.clone());
        row.certainty = Some(check.certainty.clone());
        row.state = State::NeverRecorded;
        if let Some(due) = check.due {
            with_check(&mut row, check, due, today);
        }
        row.sentence = sentence(&row);
        row
    };
    answer.checks.iter().map(one).collect()
}

fn with_check(row: &mut DueItem, check: &CheckAnswer, due: When, today: Date) {
    let (last, now) = (day_number(due.last_day()), day_number(today));
    row.state = match last - now {
        _ if check.overdue => State::Over,
        _ if due.is_this_month(today) => State::Due,
        days if days <= SOON_DAYS => State::Soon,
        _ => State::InTime,
    };
    let dates = DueDates {
        earliest: due.to_string(),
        likely: due.to_string(),
        latest: Some(due.to_string()),
        likely_day_number: last,
    };
    let begun = check.last.map_or(now, |day| day_number(day.first_day()));
    let fraction = (now - begun) as f64 / ((last - begun) as f64).max(1.0);
    by_months(row, f64::from(check.every_months), fraction, dates);
}

fn by_months(row: &mut DueItem, months: f64, fraction: f64, dates: DueDates) {
    row.first = Some(LimitKind::Months);
    row.fraction = Some(fraction);
    row.due = Some(dates.clone());
    row.limits = vec![LimitUse {
        kind: LimitKind::Months,
        limit: months,
        used: Some(fraction * months),
        fraction: Some(fraction),
        due: Some(dates),
    }];
}

fn blank(item: Item, name: String) -> DueItem {
    DueItem {
        item,
        name,
        which: None,
        state: State::NoInterval,
        last: None,
        last_what: None,
        last_running_h: None,
        since_running_h: None,
        since_free_air_litres: None,
        limits: Vec::new(),
        first: None,
        fraction: None,
        due: None,
        source: None,
        certainty: None,
        hints: Vec::new(),
        sentence: String::new(),
    }
}

/// A row in one sentence.
pub(super) fn sentence(row: &DueItem) -> String {
    let name = &row.name;
    let used = row
        .limits
        .iter()
        .find(|limit| Some(limit.kind) == row.first);
    let used = used.map_or(String::new(), in_words);
    let likely = row.due.as_ref().map(|due| &due.likely);
    match (row.state, likely) {
        (State::NoInterval, _) => format!(
            "{name}: no interval is set; take it from the maker's manual and write it down."
        ),
        (State::NeverRecorded, _) => format!(
            "{name}: an interval is set, but when it was last done, or the use since, was never \
             recorded."
        ),
        (State::Over, _) => format!("{name}: over, {used}; see to it before the next run."),
        (State::Due, Some(day)) => format!("{name}: due {day}, {used}."),
        (State::Due, None) => format!("{name}: due, {used}."),
        (State::Soon, Some(day)) => format!("{name}: soon due, about {day}, {used}."),
        (State::Soon, None) => format!("{name}: soon due, {used}."),
        (State::InTime, Some(day)) => format!("{name}: in time until about {day}, {used}."),
        (State::InTime, None) => format!("{name}: in time, {used}."),
    }
}

fn in_words(limit: &LimitUse) -> String {
    let used = limit.used.unwrap_or(0.0);
    match limit.kind {
        LimitKind::RunningH => format!("{used:.1} of {:.0} running hours used", limit.limit),
        LimitKind::Months => format!("{used:.1} of {:.0} months gone", limit.limit),
        LimitKind::FreeAirLitres => {
            format!(
                "{:.0} of {:.0} m³ of free air used",
                used / 1e3,
                limit.limit / 1e3
            )
        }
    }
}
