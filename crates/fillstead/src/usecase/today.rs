//! What day it is: as typed, or by the machine's clock.
//!
//! The clock is read here and nowhere else; its day is that of Greenwich (UTC).

use std::time::SystemTime;

use station::Date;

use crate::usecase::Trouble;

/// The day typed for `--today`; the clock's day where none is.
pub fn today(typed: Option<&str>) -> Result<Date, Trouble> {
    match typed {
        Some(text) => Date::parse(text.trim()).ok_or_else(|| {
            Trouble::new(
                format!("\"{text}\" is no day of the calendar"),
                "write year-month-day, like \"2026-05-20\"",
            )
            .about("today")
        }),
        None => by_clock().ok_or_else(|| {
            Trouble::new(
                "this machine's clock shows no day of the calendar",
                "set the clock, or give the day, like --today \"2026-05-20\"",
            )
        }),
    }
}

fn by_clock() -> Option<Date> {
    let since = SystemTime::now()
        .duration_since(SystemTime::UNIX_EPOCH)
        .ok()?;
    day(since.as_secs() / 86_400)
}

/// The day so many days after 1970-01-01; none after 2199.
fn day(after: u64) -> Option<Date> {
    let mut left = after;
    for year in 1970..2200 {
        for month in 1..=12 {
            let length = (28..=31)
                .rev()
                .find(|&last| Date::new(year, month, last).is_some())?;
            if left < u64::from(length) {
                return Date::new(year, month, u8::try_from(left + 1).ok()?);
            }
            left -= u64::from(length);
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    /// POSIX time counts 86 400 s a day from 1970-01-01; 1 000 000 000 s is 2001-09-09 and
    /// 2 147 483 647 s is 2038-01-19 (both widely printed); 2000-02-29 is day 11 016.
    #[test]
    fn days_of_the_clock() {
        for (days, shown) in [
            (0, "1970-01-01"),
            (1_000_000_000 / 86_400, "2001-09-09"),
            (2_147_483_647 / 86_400, "2038-01-19"),
            (11_016, "2000-02-29"),
        ] {
            assert_eq!(day(days).unwrap().to_string(), shown);
        }
        assert_eq!(day(1 << 40), None);
    }

    #[test]
    fn a_day_typed_counts() {
        assert_eq!(
            today(Some(" 2026-05-20 ")).unwrap(),
            Date::parse("2026-05-20").unwrap()
        );
        assert_eq!(today(Some("20.5.2026")).unwrap_err().field, Some("today"));
    }
}
