//! Why something asked for cannot be done, and what to do instead.

use quantity::{ParseError, Quantity, Typed, parse};

/// Something asked for that does not work out. Both texts are parts of a sentence, without a
/// capital and without a full stop.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Trouble {
    /// The input it is about, by the name of its option, such as `intake-temperature`.
    pub field: Option<&'static str>,
    /// What is wrong.
    pub what: String,
    /// What to do about it.
    pub remedy: String,
}

impl Trouble {
    /// Trouble that is not about one input.
    pub fn new(what: impl Into<String>, remedy: impl Into<String>) -> Trouble {
        Trouble {
            field: None,
            what: what.into(),
            remedy: remedy.into(),
        }
    }

    /// The same, about this input.
    pub fn about(self, field: &'static str) -> Trouble {
        Trouble {
            field: Some(field),
            ..self
        }
    }
}

impl From<ParseError> for Trouble {
    fn from(error: ParseError) -> Trouble {
        Trouble::new(error.cause(), error.remedy())
    }
}

/// A quantity typed for this input.
pub fn typed<Q: Quantity>(field: &'static str, text: &str) -> Result<Typed<Q>, Trouble> {
    parse(text).map_err(|error| Trouble::from(error).about(field))
}

/// A quantity typed for this input, within bounds that are written as people write them.
pub fn within<Q: Quantity>(
    field: &'static str,
    text: &str,
    least: Q,
    most: Q,
) -> Result<Typed<Q>, Trouble> {
    let typed = typed::<Q>(field, text)?;
    if (least.si()..=most.si()).contains(&typed.value.si()) {
        return Ok(typed);
    }
    let show = |q: Q| Typed::new(q, typed.unit).rounded();
    let what = format!("{typed} is not between {} and {}", show(least), show(most));
    Err(Trouble::new(
        what,
        format!("check the figure and its unit: {}", Q::EXAMPLES),
    )
    .about(field))
}

/// Short numbers for bounds.
trait Rounded {
    fn rounded(&self) -> String;
}

impl<Q: Quantity> Rounded for Typed<Q> {
    fn rounded(&self) -> String {
        quantity::display_as(self.value, self.unit.symbol).unwrap_or_else(|| self.to_string())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use quantity::{Fraction, Temperature};

    #[test]
    fn bounds_are_told_in_the_unit_typed() {
        let humidity = |text| within("humidity", text, Fraction::ratio(0.0), Fraction::ratio(1.0));
        assert!(humidity("100 %").is_ok());
        let trouble = humidity("140 %").unwrap_err();
        assert_eq!(trouble.field, Some("humidity"));
        assert_eq!(trouble.what, "140 % is not between 0 % and 100 %");
        let (cold, hot) = (Temperature::celsius(-40.0), Temperature::celsius(60.0));
        let trouble = within("intake-temperature", "180 °F", cold, hot).unwrap_err();
        assert_eq!(trouble.what, "180 °F is not between -40 °F and 140 °F");
    }

    #[test]
    fn a_missing_unit_is_told_with_its_remedy() {
        let trouble = typed::<Fraction>("humidity", "75").unwrap_err();
        assert_eq!(trouble.what, "\"75\" has no unit");
        assert!(trouble.remedy.contains("75 %"), "{}", trouble.remedy);
    }
}
