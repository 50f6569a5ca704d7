//! Reading the number at the head of a text: sign, digits, thousands commas,
//! decimal point, exponent.
//!
//! Not here: units.

use crate::Reason;

/// Length in bytes of the number at the head of `text`; `None` when there is
/// not one digit. It may yet be malformed: see [`value`].
pub(crate) fn length(text: &str) -> Option<usize> {
    let unsigned = text.trim_start_matches(['+', '-', '−']);
    let sign = text.len() - unsigned.len();
    let mantissa = unsigned
        .find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | ',')))
        .unwrap_or(unsigned.len());
    let (digits, rest) = unsigned.split_at(mantissa);
    digits
        .contains(|c: char| c.is_ascii_digit())
        .then(|| sign + mantissa + exponent(rest))
}

/// Length of an exponent such as `e-3` at the head of `text`, or zero.
fn exponent(text: &str) -> usize {
    let Some(after) = text.strip_prefix(['e', 'E']) else {
        return 0;
    };
    let digits = after.strip_prefix(['+', '-']).unwrap_or(after);
    let count = digits.chars().take_while(char::is_ascii_digit).count();
    if count == 0 {
        0
    } else {
        text.len() - digits.len() + count
    }
}

/// The value of a number's text. Infinite where it overflows.
pub(crate) fn value(number: &str) -> Result<f64, Reason> {
    let number = number.replace('−', "-");
    if let Some(point) = decimal_comma(&number) {
        return Err(Reason::DecimalComma { write: point });
    }
    let bare = match number.contains(',') {
        true if !thousands(&number) => return Err(Reason::BadNumber),
        true => number.replace(',', ""),
        false => number,
    };
    bare.parse().map_err(|_| Reason::BadNumber)
}

/// Whether the commas part the whole digits into groups of three.
fn thousands(number: &str) -> bool {
    let whole = number.trim_start_matches(['+', '-']);
    let whole = whole
        .find(['.', 'e', 'E'])
        .and_then(|end| whole.get(..end))
        .unwrap_or(whole);
    let fraction_has_comma = number.rfind(',') > number.find('.') && number.contains('.');
    let mut groups = whole.split(',');
    let first = groups.next().unwrap_or("");
    !fraction_has_comma
        && (1..=3).contains(&first.len())
        && !first.starts_with('0')
        && groups.all(|group| group.len() == 3)
}

/// The number with a point for its comma, when it has one comma that cannot
/// part thousands, and otherwise only what a number has.
fn decimal_comma(number: &str) -> Option<String> {
    let is_decimal =
        number.matches(',').count() == 1 && !number.ends_with(',') && !thousands(number);
    let bare = match number.rfind(',') > number.find('.') {
        true => number.replace('.', ""),
        false => number.to_owned(),
    };
    let point = bare.replace(',', ".");
    (is_decimal && point.parse::<f64>().is_ok()).then_some(point)
}
