//! When the next air sample is due.
//!
//! Not here: the clock; the caller says what day it is.

use station::Date;

use super::answer::{Due, DueState};
use super::standard::{Interval, Standard};

/// When the next sample is due by a standard; none where it gives no interval.
pub fn due(standard: &Standard, sampled: Option<Date>, today: Option<Date>) -> Option<Due> {
    let interval = standard.interval.as_ref();
    interval.map(|interval| of_interval(interval, sampled, today))
}

/// Where `today` stands, counted in calendar months from the day of sampling.
/// The last day itself is still in time.
fn of_interval(interval: &Interval, sampled: Option<Date>, today: Option<Date>) -> Due {
    let after = |months| sampled.and_then(|day| months_later(day, months));
    let (usual, latest) = (after(interval.usual_months), after(interval.latest_months));
    let state = match (today, usual, latest) {
        (Some(today), _, Some(latest)) if today > latest => DueState::Overdue,
        (Some(today), Some(usual), _) if today > usual => DueState::InWindow,
        (Some(_), Some(_), Some(_)) => DueState::Current,
        _ => DueState::Unknown,
    };
    let text = |day: Option<Date>| day.map(|d| d.to_string());
    Due {
        every_months: interval.usual_months,
        latest_months: interval.latest_months,
        sampled: text(sampled),
        usual_on: text(usual),
        latest_on: text(latest),
        state,
        note: interval.note.clone(),
        source: interval.source.clone(),
        unverified: interval.certainty.is_unverified(),
    }
}

/// The same day of the month so many months later, or the last day of a month
/// that is too short; none beyond the years known.
fn months_later(day: Date, months: u16) -> Option<Date> {
    let counted = u32::from(day.month()) - 1 + u32::from(months);
    let year = day.year().checked_add(u16::try_from(counted / 12).ok()?)?;
    let month = u8::try_from(counted % 12 + 1).ok()?;
    (0..4).find_map(|less| Date::new(year, month, day.day().checked_sub(less)?))
}

#[cfg(test)]
mod tests {
    use super::months_later;
    use station::Date;

    /// Counted on a calendar.
    #[test]
    fn months_are_calendar_months() {
        for (from, months, to) in [
            ("2026-01-31", 1, Some("2026-02-28")),
            ("2027-11-30", 3, Some("2028-02-29")),
            ("2026-12-15", 1, Some("2027-01-15")),
            ("2026-06-30", 6, Some("2026-12-30")),
            ("2199-12-01", 1, None),
        ] {
            let later = months_later(Date::parse(from).unwrap(), months).map(|d| d.to_string());
            assert_eq!(later.as_deref(), to, "{from} + {months}");
        }
    }
}
