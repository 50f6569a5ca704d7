//! Reading a quantity from text: a number, then a unit.
//!
//! Start at [`parse`]. Not here: the number itself (`number`) and the names of
//! units (the tables beside each quantity).

use std::ops::Range;

use crate::error::article;
use crate::kinds::kind_of;
use crate::unit::{Lookup, find};
use crate::{AbsolutePressure, GaugePressure, ParseError, Quantity, Reason, Typed, Unit, number};

/// Reads a quantity, such as `232 bar`, and keeps the unit as typed.
///
/// Numbers have a decimal point; commas may part thousands. Spaces of any kind
/// may stand around the number and inside the unit. A unit may be in any case,
/// except where m and M differ in size. A time may also be `12:30` (minutes and
/// seconds), `1:02:30`, or `1 h 30 min`; it is kept in its smallest unit.
///
/// # Errors
/// [`ParseError`] names the bytes at fault, the cause and what is accepted.
pub fn parse<Q: Quantity>(text: &str) -> Result<Typed<Q>, ParseError> {
    read::<Q>(text).map_err(|Fault { span, reason }| ParseError {
        text: text.to_owned(),
        span,
        reason,
        accepted: format!("{} {} such as {}", article(Q::NAME), Q::NAME, Q::EXAMPLES),
    })
}

/// A place in the text and what is wrong with it.
struct Fault {
    span: Range<usize>,
    reason: Reason,
}

/// A number and a unit, and where the next piece may begin.
struct Piece {
    number: f64,
    unit: &'static Unit,
    end: usize,
}

fn read<Q: Quantity>(text: &str) -> Result<Typed<Q>, Fault> {
    let start = text.len() - text.trim_start().len();
    let all = start..text.trim_end().len().max(start);
    let fault = |reason| Fault {
        span: all.clone(),
        reason,
    };
    if all.is_empty() {
        return Err(fault(Reason::Empty));
    }
    let (number, unit) = match Q::CLOCK {
        Some(second) if text.contains(':') => (
            clock(text.trim()).ok_or_else(|| fault(Reason::BadClock))?,
            second,
        ),
        _ => pieces::<Q>(text, all.clone())?,
    };
    let si = unit.to_si(number);
    if !si.is_finite() {
        return Err(fault(Reason::TooLarge));
    }
    if si < Q::LEAST {
        return Err(fault(Reason::BelowLeast));
    }
    Ok(Typed {
        value: Q::from_si(si),
        unit,
        number,
    })
}

/// Reads one piece, or for a time several, and adds them up in the last unit.
fn pieces<Q: Quantity>(text: &str, all: Range<usize>) -> Result<(f64, &'static Unit), Fault> {
    let Piece {
        mut number,
        mut unit,
        mut end,
    } = piece::<Q>(text, all.clone())?;
    let sign = if number.is_sign_negative() { -1.0 } else { 1.0 };
    while end < all.end {
        let next = piece::<Q>(text, end..all.end)?;
        if next.unit.scale >= unit.scale {
            return Err(Fault {
                span: end..all.end,
                reason: Reason::UnitOrder,
            });
        }
        number = number * (unit.scale / next.unit.scale) + sign * next.number;
        (unit, end) = (next.unit, next.end);
    }
    Ok((number, unit))
}

/// Reads the number and unit at the head of `span`, which has no space at
/// either end.
fn piece<Q: Quantity>(text: &str, span: Range<usize>) -> Result<Piece, Fault> {
    let rest = text.get(span.clone()).unwrap_or("");
    let Some(length) = number::length(rest) else {
        return Err(Fault {
            span,
            reason: Reason::NoNumber,
        });
    };
    let (digits, after) = rest.split_at(length);
    let digits_end = span.start + length;
    let before = text.get(..span.start).unwrap_or("").trim_start();
    let number = number::value(digits).map_err(|reason| Fault {
        span: span.start..digits_end,
        reason: in_place(reason, before, after),
    })?;
    let unit_start = span.end - after.trim_start().len();
    let names = after.trim_start();
    if names.is_empty() {
        return Err(Fault {
            span,
            reason: Reason::MissingUnit,
        });
    }
    if let Some(more) = second_number(names) {
        return Err(Fault {
            span: span.start..unit_start + more,
            reason: Reason::BadNumber,
        });
    }
    let several = Q::CLOCK.is_some() && Q::unit(names).is_none() && kind_of(names).is_none();
    let name = if several { before_digit(names) } else { names };
    let name_span = unit_start..unit_start + name.trim_end().len();
    let unit = unit::<Q>(name).map_err(|reason| Fault {
        span: name_span,
        reason,
    })?;
    Ok(Piece {
        number,
        unit,
        end: unit_start + name.len(),
    })
}

/// Completes the remedy for a decimal comma with the text around the number.
fn in_place(reason: Reason, before: &str, after: &str) -> Reason {
    match reason {
        Reason::DecimalComma { write } => Reason::DecimalComma {
            write: format!("{before}{write}{after}"),
        },
        other => other,
    }
}

/// Length of a second number at the head of what should be a unit, unless it
/// is part of a unit's name, as in `1/min`.
fn second_number(names: &str) -> Option<usize> {
    let digits = names
        .starts_with(|c: char| c.is_ascii_digit())
        .then(|| number::length(names))??;
    let is_name = names
        .get(digits..)
        .is_some_and(|after| after.starts_with('/'));
    (!is_name).then_some(digits)
}

/// The part of the text before its first digit; all of it when that is nothing.
fn before_digit(text: &str) -> &str {
    let end = text
        .find(|c: char| c.is_ascii_digit())
        .filter(|end| *end > 0);
    end.and_then(|end| text.get(..end)).unwrap_or(text)
}

/// The unit of this name, or why there is none.
fn unit<Q: Quantity>(name: &str) -> Result<&'static Unit, Reason> {
    match find(Q::UNITS, name) {
        Lookup::Found(unit) => Ok(unit),
        Lookup::CaseMatters(unit) => Err(Reason::CaseMatters { meant: unit.symbol }),
        Lookup::Unknown => {
            Err(
                kind_of(name).map_or(Reason::UnknownUnit, |kind| match (Q::NAME, kind.name) {
                    (GaugePressure::NAME, AbsolutePressure::NAME) => Reason::AbsoluteForGauge,
                    (AbsolutePressure::NAME, GaugePressure::NAME) => Reason::GaugeForAbsolute,
                    (_, is) => Reason::WrongKind { is },
                }),
            )
        }
    }
}

/// Seconds of `minutes:seconds` or `hours:minutes:seconds`.
fn clock(text: &str) -> Option<f64> {
    let unsigned = text.strip_prefix(['-', '−']).unwrap_or(text);
    let mut parts = unsigned.split(':');
    let mut total = digits(parts.next()?)?;
    let mut count = 1;
    for part in parts {
        let value = digits(part).filter(|value| part.len() == 2 && *value < 60.0)?;
        total = total * 60.0 + value;
        count += 1;
    }
    let total = if unsigned.len() < text.len() {
        -total
    } else {
        total
    };
    (2..=3).contains(&count).then_some(total)
}

/// The value of a text of digits alone.
fn digits(text: &str) -> Option<f64> {
    let all_digits = !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
    all_digits.then(|| text.parse().ok())?
}
