//! A day as stamps give it: often only a month.
//!
//! No clock: today is always an argument. What is due in a month is good to the
//! end of that month (common practice, no source).

use serde::{Serialize, Serializer};
use station::Date;
use std::fmt;

/// A day, or a whole month.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct When {
    first: Date,
    whole_month: bool,
}

impl When {
    /// A day.
    pub fn on(day: Date) -> When {
        When {
            first: day,
            whole_month: false,
        }
    }

    /// A month, January = 1; years 1900 to 2199.
    pub fn month(year: u16, month: u8) -> Option<When> {
        Date::new(year, month, 1).map(|first| When {
            first,
            whole_month: true,
        })
    }

    /// Reads `2024-03` or `2024-03-10`.
    pub fn parse(text: &str) -> Option<When> {
        if let Some(day) = Date::parse(text) {
            return Some(When::on(day));
        }
        let whole = format!("{text}-01");
        let first = Date::parse(&whole)?;
        When::month(first.year(), first.month())
    }

    /// Its first day.
    pub fn first_day(self) -> Date {
        self.first
    }

    /// Its last day.
    pub fn last_day(self) -> Date {
        if self.whole_month {
            last_of_month(self.first.year(), self.first.month()).unwrap_or(self.first)
        } else {
            self.first
        }
    }

    /// So many months later; the last day of a shorter month where there is no
    /// such day. After 2199 the calendar here ends: its last month.
    #[must_use]
    pub fn after_months(self, months: u32) -> When {
        let count = u32::from(self.first.year()) * 12 + u32::from(self.first.month()) - 1 + months;
        let year = u16::try_from(count / 12).unwrap_or(u16::MAX);
        let month = (count % 12 + 1) as u8;
        let first = match Date::new(year, month, self.first.day()) {
            Some(day) => day,
            None => last_of_month(year, month)
                .or_else(|| Date::new(2199, 12, 1))
                .unwrap_or(self.first),
        };
        When {
            first,
            whole_month: self.whole_month,
        }
    }

    /// Whether it has passed.
    pub fn is_over(self, today: Date) -> bool {
        today > self.last_day()
    }

    /// Whether it is this month.
    pub fn is_this_month(self, today: Date) -> bool {
        (self.first.year(), self.first.month()) == (today.year(), today.month())
    }

    /// Whether it has not begun.
    pub fn is_ahead(self, today: Date) -> bool {
        self.first > today
    }
}

fn last_of_month(year: u16, month: u8) -> Option<Date> {
    (28..=31).rev().find_map(|day| Date::new(year, month, day))
}

impl fmt::Display for When {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.whole_month {
            write!(f, "{:04}-{:02}", self.first.year(), self.first.month())
        } else {
            self.first.fmt(f)
        }
    }
}

impl Serialize for When {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn when(text: &str) -> When {
        When::parse(text).unwrap()
    }

    fn day(text: &str) -> Date {
        Date::parse(text).unwrap()
    }

    /// Gregorian calendar: 2024 is a leap year, 2029 is not (ISO 8601).
    #[test]
    fn months_are_added_by_the_calendar() {
        for (from, months, to) in [
            ("2021-03", 60, "2026-03"),
            ("2022-01", 30, "2024-07"),
            ("2024-02-29", 60, "2029-02-28"),
            ("2023-08-31", 6, "2024-02-29"),
            ("2019-12", 1, "2020-01"),
            ("2199-06", 60, "2199-12"),
        ] {
            assert_eq!(when(from).after_months(months).to_string(), to, "{from}");
        }
    }

    #[test]
    fn a_month_lasts_to_its_end() {
        let due = when("2026-03");
        assert!(!due.is_over(day("2026-03-31")) && due.is_over(day("2026-04-01")));
        assert!(due.is_this_month(day("2026-03-02")));
        let due = when("2026-03-10");
        assert!(!due.is_over(day("2026-03-10")) && due.is_over(day("2026-03-11")));
    }

    #[test]
    fn only_whole_dates_are_read() {
        for text in ["", "2024", "2024-13", "24-03", "2024-3", "2024-02-30"] {
            assert_eq!(When::parse(text), None, "{text}");
        }
    }
}
