//! Days and months as people and spreadsheets write them.
//!
//! `03/07/2024` is a day in July or in March by where it was written: it is read only once somebody
//! says which. Not here: times of day ([`super::fills`]).

use jiff::civil::Date;
use jiff::{Span, ToSpan};

use crate::usecase::Trouble;

/// Which number comes first where a date has two that may be either.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Order {
    /// Day, month, year.
    DayFirst,
    /// Month, day, year.
    MonthFirst,
}

impl Order {
    /// The order of this name.
    pub fn named(name: &str) -> Result<Order, Trouble> {
        match name.trim() {
            "day-first" => Ok(Order::DayFirst),
            "month-first" => Ok(Order::MonthFirst),
            other => Err(Trouble::new(
                format!("\"{other}\" is no order of dates"),
                "write day-first (10/03/2024 is in March) or month-first (it is in October)",
            )
            .about("dates")),
        }
    }
}

/// A day, or a whole month.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Written {
    /// Its first day.
    pub first: Date,
    /// No day was written.
    pub month_only: bool,
}

impl Written {
    /// As the book keeps it: `2024-03-10` or `2024-03`.
    pub fn iso(self) -> String {
        let form = if self.month_only { "%Y-%m" } else { "%Y-%m-%d" };
        self.first.strftime(form).to_string()
    }
}

/// Years that a date of a cylinder or a fill can have.
const YEARS: std::ops::RangeInclusive<i16> = 1900..=2199;
/// Serial numbers that stand for 1954 to 2099: a smaller one is more likely a year or a count.
const SERIALS: std::ops::RangeInclusive<f64> = 20_000.0..=73_050.0;

/// Beginnings of the months' names in English, German, French and Spanish, without accents.
const MONTHS: [&[&str]; 12] = [
    &["jan", "ene"],
    &["feb", "fev"],
    &["mar", "maer", "mrz"],
    &["apr", "avr", "abr"],
    &["may", "mai"],
    &["jun", "juin"],
    &["jul", "juil"],
    &["aug", "aou", "ago"],
    &["sep"],
    &["oct", "okt"],
    &["nov"],
    &["dec", "dez", "dic"],
];

const WRITE: &str = "write year-month-day or year-month, like 2026-05-20 or 2026-05";

/// Reads a day or month.
pub fn read(text: &str, order: Option<Order>) -> Result<Written, Trouble> {
    let no_day = || Trouble::new(format!("\"{text}\" is no day or month"), WRITE);
    // A time behind the day: midnight, as spreadsheets add it, or more than is kept here.
    let (date, _) = parted(text);
    let parts: Vec<&str> = date
        .split(|c: char| matches!(c, '-' | '/' | '.' | ',') || c.is_whitespace())
        .filter(|part| !part.is_empty())
        .collect();
    let dots = date.contains('.');
    match parts.as_slice() {
        [one] => alone(one).unwrap_or_else(|| Err(no_day())),
        [a, b] => of_two(a, b).ok_or_else(|| short_year(&[a, b], text).unwrap_or_else(no_day)),
        [y, m, d] if y.len() == 4 && number(y).is_some() => {
            day(number(y), month(m), number(d)).ok_or_else(no_day)
        }
        [a, b, y] if y.len() == 4 => match (number(a), number(b)) {
            (Some(a), Some(b)) => numbers(a, b, number(y), dots, order, text),
            (Some(d), None) => day(number(y), month(b), Some(d)).ok_or_else(no_day),
            (None, _) => day(number(y), month(a), number(b)).ok_or_else(no_day),
        },
        parts => Err(short_year(parts, text).unwrap_or_else(no_day)),
    }
}

/// A day and the time of day behind it, where there is one.
pub fn parted(text: &str) -> (&str, Option<&str>) {
    let head = text.find(':').and_then(|colon| text.get(..colon));
    match head.and_then(|head| head.rfind([' ', 'T', '\u{a0}', '\u{202f}'])) {
        Some(at) => {
            let (date, clock) = text.split_at(at);
            let clock = clock.trim_start_matches(|c: char| c == 'T' || c.is_whitespace());
            (date.trim(), Some(clock.trim()))
        }
        None => (text, None),
    }
}

/// The day of a spreadsheet's serial number: days since 1899-12-30.
pub fn of_serial(serial: f64) -> Option<Date> {
    if !SERIALS.contains(&serial) {
        return None;
    }
    let days: Span = (serial.floor() as i32).days();
    Date::new(1899, 12, 30).ok()?.checked_add(days).ok()
}

/// One number or word.
fn alone(text: &str) -> Option<Result<Written, Trouble>> {
    let value: f64 = text.parse().ok()?;
    if text.len() == 8 {
        let (year, rest) = text.split_at_checked(4)?;
        let (m, d) = rest.split_at_checked(2)?;
        return day(number(year), month(m), number(d)).map(Ok);
    }
    if value.fract() == 0.0 && YEARS.contains(&(value as i16)) && value < 3000.0 {
        return Some(Err(Trouble::new(
            format!("{text} is a year without its month"),
            "write year and month as stamped, like 2024-03, or leave it out",
        )));
    }
    of_serial(value).map(|first| {
        Ok(Written {
            first,
            month_only: false,
        })
    })
}

/// Two parts: a month and a year.
fn of_two(a: &str, b: &str) -> Option<Written> {
    let (year, name) = match (a.len() == 4 && number(a).is_some(), b.len() == 4) {
        (true, _) => (a, b),
        (_, true) => (b, a),
        _ => return None,
    };
    let first = Date::new(in_range(number(year)?)?, month(name)?, 1).ok()?;
    Some(Written {
        first,
        month_only: true,
    })
}

/// Two numbers that may be day and month, and a year.
fn numbers(
    a: i16,
    b: i16,
    year: Option<i16>,
    dots: bool,
    order: Option<Order>,
    text: &str,
) -> Result<Written, Trouble> {
    let as_day_first = day(year, i8::try_from(b).ok(), Some(a));
    let as_month_first = day(year, i8::try_from(a).ok(), Some(b));
    let wrong = || Trouble::new(format!("\"{text}\" is no day of the calendar"), WRITE);
    match (dots, order) {
        (true, _) => as_day_first.ok_or_else(wrong),
        (false, Some(Order::DayFirst)) => as_day_first.ok_or_else(|| against(text, "day", wrong())),
        (false, Some(Order::MonthFirst)) => {
            as_month_first.ok_or_else(|| against(text, "month", wrong()))
        }
        (false, None) => match (as_day_first, as_month_first) {
            (Some(one), Some(other)) if one != other => Err(Trouble::new(
                format!("\"{text}\" may be {} or {}", one.iso(), other.iso()),
                "say which for the whole file, with --dates day-first or --dates month-first",
            )),
            (one, other) => one.or(other).ok_or_else(wrong),
        },
    }
}

fn against(text: &str, first: &str, otherwise: Trouble) -> Trouble {
    match read(text, None) {
        Ok(_) => Trouble::new(
            format!("\"{text}\" is no date with the {first} first"),
            "write this one as year-month-day, or choose the other order with --dates",
        ),
        Err(_) => otherwise,
    }
}

/// Two digits for a year leave open which century, and which of the numbers it is.
fn short_year(parts: &[&str], text: &str) -> Option<Trouble> {
    let known = |part: &&str| part.len() <= 2 && number(part).is_some() || month(part).is_some();
    ((2..=3).contains(&parts.len()) && parts.iter().all(known)).then(|| {
        Trouble::new(
            format!("\"{text}\" has a year of two digits"),
            "write the year with four digits, like 2024-03-10 or 2024-03",
        )
    })
}

fn number(text: &str) -> Option<i16> {
    text.chars()
        .all(|c| c.is_ascii_digit())
        .then(|| text.parse().ok())?
}

/// A month by number or name.
fn month(text: &str) -> Option<i8> {
    if let Some(number) = number(text) {
        return i8::try_from(number)
            .ok()
            .filter(|month| (1..=12).contains(month));
    }
    let name = super::headings::plain(text);
    let fits = |starts: &[&str]| name.len() >= 3 && starts.iter().any(|s| name.starts_with(s));
    let at = MONTHS.iter().position(|starts| fits(starts))?;
    i8::try_from(at + 1).ok()
}

fn in_range(year: i16) -> Option<i16> {
    YEARS.contains(&year).then_some(year)
}

fn day(year: Option<i16>, month: Option<i8>, day: Option<i16>) -> Option<Written> {
    let first = Date::new(in_range(year?)?, month?, i8::try_from(day?).ok()?).ok()?;
    Some(Written {
        first,
        month_only: false,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dates_are_read_as_written() {
        for (text, iso) in [
            ("2024-03-10", "2024-03-10"),
            ("2024/3/1", "2024-03-01"),
            ("10.03.2024", "2024-03-10"),
            ("1.2.2024", "2024-02-01"),
            ("25/03/2024", "2024-03-25"),
            ("03/25/2024", "2024-03-25"),
            ("05/05/2024", "2024-05-05"),
            ("2024-03", "2024-03"),
            ("03/2024", "2024-03"),
            ("3.2024", "2024-03"),
            ("Mar 2024", "2024-03"),
            ("12 März 2024", "2024-03-12"),
            ("Dez. 2023", "2023-12"),
            ("3 juillet 2024", "2024-07-03"),
            ("3 juin 2024", "2024-06-03"),
            ("May 4, 2024", "2024-05-04"),
            ("2024-03-10 00:00:00", "2024-03-10"),
            ("2024-03-10T00:00", "2024-03-10"),
            ("20240310", "2024-03-10"),
        ] {
            assert_eq!(
                read(text, None).map(Written::iso),
                Ok(iso.to_owned()),
                "{text}"
            );
        }
    }

    /// ECMA-376 part 1, 18.17.4.1: in the 1900 date system, 1 is 1900-01-01 and 2958465 is
    /// 9999-12-31; so is 45361 2024-03-10 (9999-12-31 less 2913104 days).
    #[test]
    fn serial_numbers_are_days() {
        let last = Date::new(9999, 12, 31).unwrap();
        let day = of_serial(45_361.0).unwrap();
        assert_eq!(day.until(last).unwrap().get_days(), 2_958_465 - 45_361);
        assert_eq!(read("45361", None).unwrap().iso(), "2024-03-10");
        assert_eq!(of_serial(2024.0), None);
    }

    #[test]
    fn what_may_be_two_days_is_not_guessed() {
        let both = read("03/07/2024", None).unwrap_err();
        assert_eq!(both.what, "\"03/07/2024\" may be 2024-07-03 or 2024-03-07");
        let iso = |order| read("03/07/2024", Some(order)).unwrap().iso();
        assert_eq!(iso(Order::DayFirst), "2024-07-03");
        assert_eq!(iso(Order::MonthFirst), "2024-03-07");
        let against = read("25/03/2024", Some(Order::MonthFirst)).unwrap_err();
        assert!(against.what.contains("month first"), "{}", against.what);
    }

    #[test]
    fn what_is_no_date_is_told() {
        for text in [
            "soon",
            "2024",
            "03/24",
            "10.3.24",
            "31.02.2024",
            "2024-13",
            "1/2/3/4",
            "0/0/2024",
        ] {
            assert!(read(text, None).is_err(), "{text}");
        }
        assert!(
            read("2024", None)
                .unwrap_err()
                .what
                .contains("without its month")
        );
        assert!(
            read("10-Mar-24", None)
                .unwrap_err()
                .what
                .contains("two digits")
        );
    }
}
