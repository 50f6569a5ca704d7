//! Days counted, so that a rate of use can be turned into a date.
//!
//! Not here: calendar months ([`crate::cylinder`]'s `When`).

use station::Date;

/// Days since 1970-01-01 of the Gregorian calendar.
///
/// Counted from March, so that the leap day comes last: 365 days a year, one more every fourth,
/// less every hundredth, more every four hundredth, and 153 days in any five months of it.
pub fn day_number(date: Date) -> i64 {
    let (y, m, d) = (
        i64::from(date.year()),
        i64::from(date.month()),
        i64::from(date.day()),
    );
    let (y, m) = if m > 2 { (y, m - 3) } else { (y - 1, m + 9) };
    365 * y + y / 4 - y / 100 + y / 400 + (153 * m + 2) / 5 + d - 719_469
}

/// The date of a day number; none outside the years 1900 to 2199.
pub fn date_of(day: i64) -> Option<Date> {
    let guess = 1970 + (day as f64 / 365.2425).floor() as i64;
    (guess - 1..=guess + 1).find_map(|year| {
        let year = u16::try_from(year).ok()?;
        (1..=12).find_map(|month| {
            let first = day_number(Date::new(year, month, 1)?);
            let of_month = u8::try_from(day - first + 1).ok()?;
            Date::new(year, month, of_month)
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Julian day numbers less 2440587.5 (1970-01-01): 2000-01-01 is JD 2451544.5, 2024-02-29
    /// JD 2460369.5 (Meeus, Astronomical Algorithms, chapter 7; from memory).
    #[test]
    fn julian_days() {
        for (text, day) in [
            ("1970-01-01", 0),
            ("1970-03-01", 59),
            ("2000-01-01", 10_957),
            ("2024-02-29", 19_782),
            ("1999-12-31", 10_956),
        ] {
            assert_eq!(day_number(Date::parse(text).unwrap()), day, "{text}");
        }
    }

    /// Every day from 1900 to 2199 follows the one before and is found again.
    #[test]
    fn there_and_back() {
        let first = day_number(Date::new(1900, 1, 1).unwrap());
        let last = day_number(Date::new(2199, 12, 31).unwrap());
        assert_eq!(last - first + 1, 300 * 365 + 73);
        for day in first..=last {
            assert_eq!(date_of(day).map(day_number), Some(day));
        }
        assert_eq!(date_of(last + 1), None);
        assert_eq!(date_of(first - 1), None);
    }
}
