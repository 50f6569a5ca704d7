//! A moment as people read it: RFC 3339, UTC, microseconds.

use crate::entry::Moment;

const DAY: i64 = 86_400_000_000;

/// Such as `2026-05-20T08:00:00.000000Z`; none outside the years 0 to 9999, which RFC 3339 has no
/// form for.
pub(super) fn written(moment: Moment) -> Option<String> {
    let (year, month, day) = date(moment.0.div_euclid(DAY))?;
    let micros = moment.0.rem_euclid(DAY);
    let seconds = micros / 1_000_000;
    Some(format!(
        "{year:04}-{month:02}-{day:02}T{:02}:{:02}:{:02}.{:06}Z",
        seconds / 3600,
        seconds / 60 % 60,
        seconds % 60,
        micros % 1_000_000
    ))
}

/// Year, month and day so many days after 1970-01-01 in the Gregorian calendar, which repeats every
/// 400 years (146 097 days).
fn date(days: i64) -> Option<(i64, i64, i64)> {
    // Counted from 0000-03-01, so that a leap day is the last of its year.
    let days = days + 719_468;
    let (cycle, day_of_cycle) = (days.div_euclid(146_097), days.rem_euclid(146_097));
    let year_of_cycle =
        (day_of_cycle - day_of_cycle / 1460 + day_of_cycle / 36_524 - day_of_cycle / 146_096) / 365;
    let day_of_year =
        day_of_cycle - (365 * year_of_cycle + year_of_cycle / 4 - year_of_cycle / 100);
    let month_from_march = (5 * day_of_year + 2) / 153;
    let day = day_of_year - (153 * month_from_march + 2) / 5 + 1;
    let month = (month_from_march + 2) % 12 + 1;
    let year = 400 * cycle + year_of_cycle + i64::from(month <= 2);
    (0..=9999).contains(&year).then_some((year, month, day))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// RFC 3339, section 5.8: 1985-04-12T23:20:50.52Z, and 1996-12-19T16:39:57-08:00 is the same as
    /// 1996-12-20T00:39:57Z. Unix times of both by the POSIX formula (IEEE 1003.1, 4.19).
    #[test]
    fn rfc_3339_examples() {
        let posix = |year: i64, yday: i64, h: i64, m: i64, s: i64| {
            let y = year - 1900;
            s + m * 60 + h * 3600 + yday * 86_400 + (y - 70) * 31_536_000 + ((y - 69) / 4) * 86_400
                - ((y - 1) / 100) * 86_400
                + ((y + 299) / 400) * 86_400
        };
        let of = |seconds: i64, micros: i64| written(Moment(seconds * 1_000_000 + micros)).unwrap();
        assert_eq!(
            of(posix(1985, 101, 23, 20, 50), 520_000),
            "1985-04-12T23:20:50.520000Z"
        );
        assert_eq!(
            of(posix(1996, 354, 0, 39, 57), 0),
            "1996-12-20T00:39:57.000000Z"
        );
    }

    #[test]
    fn each_day_follows_the_one_before() {
        let leap = |y: i64| y % 4 == 0 && (y % 100 != 0 || y % 400 == 0);
        let length = |y, m| match m {
            2 => 28 + i64::from(leap(y)),
            4 | 6 | 9 | 11 => 30,
            _ => 31,
        };
        let (mut y, mut m, mut d) = date(-719_528).unwrap();
        assert_eq!((y, m, d), (0, 1, 1));
        for days in -719_527..2_932_897 {
            d += 1;
            if d > length(y, m) {
                (m, d) = (m + 1, 1);
            }
            if m > 12 {
                (y, m) = (y + 1, 1);
            }
            assert_eq!(date(days), Some((y, m, d)));
        }
        assert_eq!((y, m, d), (9999, 12, 31));
        assert_eq!(date(2_932_897), None);
        assert_eq!(written(Moment(i64::MIN)), None);
        assert_eq!(written(Moment(-1)).unwrap(), "1969-12-31T23:59:59.999999Z");
    }
}
