//! Printing a quantity in a chosen unit, and keeping one in the unit typed.
//!
//! Not here: which unit suits whom; see [`UnitSystem`](crate::UnitSystem).

use std::fmt;

use crate::{Quantity, TimeSpan, Unit};

/// A quantity together with the number and unit it was written in, so that
/// "3300 psi" is never shown back as 227.5 bar unasked.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Typed<Q: Quantity> {
    /// The quantity.
    pub value: Q,
    /// The unit as typed.
    pub unit: &'static Unit,
    /// The number as typed.
    pub number: f64,
}

impl<Q: Quantity> Typed<Q> {
    /// A quantity as if typed in this unit, one of `Q::UNITS`.
    #[must_use]
    pub fn new(value: Q, unit: &'static Unit) -> Self {
        Self {
            value,
            unit,
            number: unit.number(value.si()),
        }
    }
}

/// The number in full and the unit's symbol; [`parse`](crate::parse) reads it
/// back.
impl<Q: Quantity> fmt::Display for Typed<Q> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.number, self.unit.symbol)
    }
}

/// The quantity in this unit, one of `Q::UNITS`, to so many decimals.
#[must_use]
pub fn show<Q: Quantity>(q: Q, unit: &Unit, decimals: usize) -> String {
    format!("{} {}", rounded(unit.number(q.si()), decimals), unit.symbol)
}

/// The quantity in the unit of this name to four significant digits, whole
/// numbers in full and without trailing zeros; `None` when the quantity has no
/// such unit.
#[must_use]
pub fn display_as<Q: Quantity>(q: Q, unit: &str) -> Option<String> {
    let unit = Q::unit(unit)?;
    let number = unit.number(q.si());
    let text = rounded(number, decimals_for(number));
    let text = match text.contains('.') {
        true => text.trim_end_matches('0').trim_end_matches('.'),
        false => &text,
    };
    Some(format!("{text} {}", unit.symbol))
}

/// A time as minutes:seconds, to the nearest second: `12:30`, `90:00`.
#[must_use]
pub fn clock(time: TimeSpan) -> String {
    let seconds = time.as_second().round();
    let sign = if seconds < 0.0 { "-" } else { "" };
    let seconds = seconds.abs();
    format!("{sign}{}:{:02}", (seconds / 60.0).floor(), seconds % 60.0)
}

/// Decimals that leave four significant digits, at most twelve.
fn decimals_for(number: f64) -> usize {
    let size = number.abs();
    if !size.is_finite() || size == 0.0 {
        return 0;
    }
    (3.0 - size.log10().floor()).clamp(0.0, 12.0) as usize
}

/// The number to so many decimals, never as minus zero.
fn rounded(number: f64, decimals: usize) -> String {
    let text = format!("{number:.decimals$}");
    let is_zero = text.chars().all(|c| matches!(c, '-' | '0' | '.'));
    if is_zero { text.replace('-', "") } else { text }
}
