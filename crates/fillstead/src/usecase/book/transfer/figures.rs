//! Numbers as people write them, with a comma or a point.
//!
//! `3,300` is three thousand or three and a bit, by where it was written: it is read only once
//! somebody says which. Not here: units.

use crate::usecase::Trouble;

/// Which sign parts whole and fraction.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Decimal {
    /// `12.5`
    Point,
    /// `12,5`
    Comma,
}

impl Decimal {
    /// The sign of this name.
    pub fn named(name: &str) -> Result<Decimal, Trouble> {
        match name.trim() {
            "point" | "." => Ok(Decimal::Point),
            "comma" | "," => Ok(Decimal::Comma),
            other => Err(Trouble::new(
                format!("\"{other}\" is no decimal sign"),
                "write point (12.5) or comma (12,5)",
            )
            .about("decimal")),
        }
    }
}

/// Parts a text into the number in front, with a point, and what follows; none where no number is
/// in front.
pub fn parted(text: &str, decimal: Option<Decimal>) -> Option<Result<(String, &str), Trouble>> {
    let part = |c: char| {
        c.is_ascii_digit() || matches!(c, '.' | ',' | '\'' | '’' | ' ' | '\u{a0}' | '\u{202f}')
    };
    let (sign, rest) = match text.trim_start().strip_prefix(['-', '−']) {
        Some(rest) => ("-", rest),
        None => ("", text.trim_start().trim_start_matches('+')),
    };
    let end = rest.find(|c| !part(c)).unwrap_or(rest.len());
    let (digits, unit) = rest.split_at(end);
    let digits = digits.trim();
    digits.contains(|c: char| c.is_ascii_digit()).then(|| {
        let number = plain(digits, decimal)?;
        Ok((format!("{sign}{number}"), unit.trim()))
    })
}

fn plain(digits: &str, decimal: Option<Decimal>) -> Result<String, Trouble> {
    let bad = || {
        Trouble::new(
            format!("\"{digits}\" is not one number"),
            "write one number and its unit, like 12.5 L",
        )
    };
    let spaced = |c: char| matches!(c, ' ' | '\'' | '’' | '\u{a0}' | '\u{202f}');
    if digits.contains(spaced) {
        let whole = digits.split(['.', ',']).next().unwrap_or_default();
        if !in_thousands(whole, spaced) {
            return Err(bad());
        }
    }
    let digits: String = digits.chars().filter(|c| !spaced(*c)).collect();
    let (points, commas) = (digits.matches('.').count(), digits.matches(',').count());
    let fraction = match (points, commas) {
        (0, 0) => None,
        (1, 0) => one(&digits, '.', Decimal::Point, decimal)?,
        (0, 1) => one(&digits, ',', Decimal::Comma, decimal)?,
        (_, 0) if in_thousands(&digits, |c| c == '.') => None,
        (0, _) if in_thousands(&digits, |c| c == ',') => None,
        (1, _) | (_, 1) => {
            let last = digits.rfind(['.', ',']).unwrap_or(0);
            let (whole, sign) = (
                digits.get(..last).unwrap_or_default(),
                digits.get(last..=last),
            );
            match in_thousands(whole, |c| {
                Some(c.to_string().as_str()) != sign && !c.is_ascii_digit()
            }) {
                true => Some(last),
                false => return Err(bad()),
            }
        }
        _ => return Err(bad()),
    };
    let only = |text: &str| -> String { text.chars().filter(char::is_ascii_digit).collect() };
    Ok(match fraction {
        Some(at) => {
            let (whole, rest) = digits.split_at(at);
            let whole = if whole.is_empty() {
                "0".to_owned()
            } else {
                only(whole)
            };
            match only(rest).as_str() {
                "" => whole,
                rest => format!("{whole}.{rest}"),
            }
        }
        None => only(&digits),
    })
}

/// Where the fraction of a number with one sign begins; none where the sign parts thousands.
fn one(
    digits: &str,
    sign: char,
    meaning: Decimal,
    decimal: Option<Decimal>,
) -> Result<Option<usize>, Trouble> {
    let at = digits.find(sign).unwrap_or(0);
    let may_part = in_thousands(digits, |c| c == sign) && !digits.starts_with('0');
    match (may_part, decimal) {
        (false, _) => Ok(Some(at)),
        (true, Some(decimal)) if decimal == meaning => Ok(Some(at)),
        (true, Some(_)) => Ok(None),
        (true, None) => {
            let (whole, rest) = digits.split_at(at);
            let rest = rest.trim_start_matches(sign);
            Err(Trouble::new(
                format!("\"{digits}\" may be {whole}{rest} or {whole}.{rest}"),
                "say which for the whole file, with --decimal point or --decimal comma",
            ))
        }
    }
}

/// Whether the digits stand in groups of three, the first of one to three.
fn in_thousands(digits: &str, sign: impl Fn(char) -> bool) -> bool {
    let mut groups = digits.split(sign);
    let first = groups.next().unwrap_or_default();
    let whole = |group: &str| group.chars().all(|c| c.is_ascii_digit());
    (1..=3).contains(&first.len()) && whole(first) && groups.all(|g| g.len() == 3 && whole(g))
        || !digits.contains(|c: char| !c.is_ascii_digit())
}

/// A number of a cell as text: with the 15 digits a spreadsheet keeps.
pub fn shown(number: f64) -> String {
    let rounded: f64 = format!("{number:.14e}").parse().unwrap_or(number);
    format!("{rounded}")
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn read(text: &str, decimal: Option<Decimal>) -> (String, String) {
        let (number, unit) = parted(text, decimal).unwrap().unwrap();
        (number, unit.to_owned())
    }

    #[test]
    fn commas_and_points_are_read_by_their_place() {
        for (text, number, unit) in [
            ("12,5 L", "12.5", "L"),
            ("12.5", "12.5", ""),
            ("232bar", "232", "bar"),
            ("1.234,5", "1234.5", ""),
            ("1,234.5 kg", "1234.5", "kg"),
            ("1.234.567", "1234567", ""),
            ("3'300 psi", "3300", "psi"),
            ("3 300 psi", "3300", "psi"),
            ("0,750 L", "0.750", "L"),
            ("0.005", "0.005", ""),
            ("-5 °C", "-5", "°C"),
            ("−5,5 °C", "-5.5", "°C"),
            (",5", "0.5", ""),
            ("12, L", "12", "L"),
            ("3300.000", "3300.000", ""),
        ] {
            assert_eq!(
                read(text, None),
                (number.to_owned(), unit.to_owned()),
                "{text}"
            );
        }
    }

    #[test]
    fn what_may_be_two_numbers_is_not_guessed() {
        let trouble = parted("3,300 psi", None).unwrap().unwrap_err();
        assert_eq!(trouble.what, "\"3,300\" may be 3300 or 3.300");
        assert_eq!(read("3,300 psi", Some(Decimal::Point)).0, "3300");
        assert_eq!(read("3,300 kg", Some(Decimal::Comma)).0, "3.300");
        assert_eq!(read("3.300 psi", Some(Decimal::Comma)).0, "3300");
        for text in ["1,2,3", "1.2.3", "1 2", "1,23.4,5", "12.3.456"] {
            assert!(parted(text, None).unwrap().is_err(), "{text}");
        }
        assert_eq!(parted("about 12", None), None);
    }

    proptest! {
        #[test]
        fn nothing_panics(text in "[-0-9., ']{0,12}.{0,4}") {
            if let Some(Ok((number, _))) = parted(&text, None) {
                prop_assert!(number.parse::<f64>().is_ok(), "{number}");
            }
        }

        #[test]
        fn a_cell_of_two_decimals_is_shown_so(hundredths in -100_000_000i64..100_000_000) {
            let text = shown(hundredths as f64 / 100.0);
            prop_assert_eq!((text.parse::<f64>().unwrap() * 100.0).round() as i64, hundredths);
            prop_assert!(text.split('.').nth(1).is_none_or(|f| f.len() <= 2), "{}", text);
        }
    }
}
