//! A figure on paper: as typed, and a pressure in the other unit beside it.

use quantity::{GaugePressure, Quantity, display_as, show};
use serde::Serialize;

/// A figure as typed.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Shown {
    /// With its unit, as typed.
    pub typed: String,
    /// A pressure in the unit of the other side of the ocean; none for all else.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub other: Option<String>,
}

impl Shown {
    /// A figure that has no other unit.
    pub fn plain(typed: impl Into<String>) -> Shown {
        Shown {
            typed: typed.into(),
            other: None,
        }
    }

    /// A pressure as typed: bar beside psi, psi beside bar, both beside any other unit.
    pub fn pressure(value: GaugePressure, typed: &str) -> Shown {
        let unit = quantity::parse::<GaugePressure>(typed).map(|typed| typed.unit.symbol);
        let beside: &[&str] = match unit {
            Ok("bar") => &["psi"],
            Ok("psi") => &["bar"],
            _ => &["bar", "psi"],
        };
        let beside: Vec<String> = beside
            .iter()
            .filter_map(|unit| beside_in(value, unit))
            .collect();
        Shown {
            typed: typed.to_owned(),
            other: Some(beside.join(", ")),
        }
    }

    /// A pressure of the book.
    pub fn of(measure: &book::Measure<GaugePressure>) -> Shown {
        Shown::pressure(measure.value(), measure.typed())
    }

    /// A figure of any kind.
    pub fn of_amount(amount: &book::Amount) -> Shown {
        match amount {
            book::Amount::Pressure(measure) => Shown::of(measure),
            other => Shown::plain(other.to_string()),
        }
    }
}

/// Whole psi, since no gauge shows less; bar to four digits.
fn beside_in(value: GaugePressure, unit: &str) -> Option<String> {
    match unit {
        "psi" => Some(show(value, GaugePressure::unit(unit)?, 0)),
        _ => display_as(value, unit),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use book::{Amount, Measure};

    /// NIST SP 811 (2008), appendix B.9: 1 psi = 6.894757 E+03 Pa.
    #[test]
    fn bar_and_psi_stand_side_by_side_as_typed_first() {
        let shown = |text: &str| {
            let shown = Shown::of(&Measure::parse(text).unwrap());
            (shown.typed, shown.other.unwrap())
        };
        let of = |a: &str, b: &str| (a.to_owned(), b.to_owned());
        // 232e5 / 6894.757 = 3364.87; 50e5 / 6894.757 = 725.19; 3300 x 0.06894757 = 227.53; 2216 psi = 152.79 bar
        assert_eq!(shown("232 bar"), of("232 bar", "3365 psi"));
        assert_eq!(shown("3300 psi"), of("3300 psi", "227.5 bar"));
        assert_eq!(shown("50 bar"), of("50 bar", "725 psi"));
        assert_eq!(shown("2216psi"), of("2216psi", "152.8 bar"));
        assert_eq!(shown("23.2 MPa"), of("23.2 MPa", "232 bar, 3365 psi"));
    }

    #[test]
    fn what_is_no_pressure_stands_alone() {
        let shown = Shown::of_amount(&Amount::parse("40 mL").unwrap());
        assert_eq!(shown, Shown::plain("40 mL"));
    }
}
