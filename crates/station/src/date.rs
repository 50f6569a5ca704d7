//! A calendar day as stamps and labels carry it. No clock and no time zone.

use std::fmt;

/// A day of the Gregorian calendar, written `2024-03-01` (ISO 8601).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Date {
    year: u16,
    month: u8,
    day: u8,
}

impl Date {
    /// The day, if the calendar has it; years 1900 to 2199.
    pub fn new(year: u16, month: u8, day: u8) -> Option<Self> {
        let known = (1900..2200).contains(&year) && (1..=days_in_month(year, month)).contains(&day);
        known.then_some(Self { year, month, day })
    }

    /// Reads `2024-03-01`, nothing else.
    pub fn parse(text: &str) -> Option<Self> {
        let mut parts = text.split('-');
        let (year, month, day) = (parts.next()?, parts.next()?, parts.next()?);
        let widths = (year.len(), month.len(), day.len()) == (4, 2, 2);
        let digits = text.chars().all(|c| c.is_ascii_digit() || c == '-');
        if parts.next().is_some() || !widths || !digits {
            return None;
        }
        Self::new(year.parse().ok()?, month.parse().ok()?, day.parse().ok()?)
    }

    /// The year.
    pub fn year(self) -> u16 {
        self.year
    }

    /// The month, January = 1.
    pub fn month(self) -> u8 {
        self.month
    }

    /// The day of the month, from 1.
    pub fn day(self) -> u8 {
        self.day
    }
}

impl fmt::Display for Date {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:04}-{:02}-{:02}", self.year, self.month, self.day)
    }
}

/// Days in a month; 0 for a month that does not exist.
fn days_in_month(year: u16, month: u8) -> u8 {
    let leap = year.is_multiple_of(4) && (!year.is_multiple_of(100) || year.is_multiple_of(400));
    match month {
        1 | 3 | 5 | 7 | 8 | 10 | 12 => 31,
        4 | 6 | 9 | 11 => 30,
        2 if leap => 29,
        2 => 28,
        _ => 0,
    }
}

#[cfg(test)]
mod tests {
    use super::Date;

    /// Gregorian leap-year rule: 1900 is none, 2000 is one (ISO 8601:2004, 3.2.1).
    #[test]
    fn leap_days() {
        for (text, known) in [
            ("2000-02-29", true),
            ("1900-02-29", false),
            ("2024-02-29", true),
            ("2023-02-29", false),
            ("2023-04-31", false),
            ("2023-12-31", true),
        ] {
            assert_eq!(Date::parse(text).is_some(), known, "{text}");
        }
    }

    #[test]
    fn only_the_long_form() {
        for text in [
            "",
            "2024",
            "2024-3-1",
            "01-03-2024",
            "2024-03-01-",
            "+024-03-01",
            "2024-00-01",
        ] {
            assert_eq!(Date::parse(text), None, "{text}");
        }
    }

    #[test]
    fn prints_as_read() {
        let read = Date::parse("2024-03-01").map(|d| d.to_string());
        assert_eq!(read.as_deref(), Some("2024-03-01"));
    }
}
